"""Networks of our own invention for the tests of the adjustment, and the measures written out by hand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layoutdesk.engine.columns import Bools, Floats
from layoutdesk.engine.proof.network import ANGLE, BESIDE, DISTANCE, Network
from layoutdesk.engine.proof.observations import Observations

Row = tuple[int, int, int, int, float, float]
"""kind, i, j, k, value, deviation."""


def observations(rows: Sequence[Row]) -> Observations:
    """Return measures as columns."""
    columns = list(zip(*rows, strict=True)) if rows else [()] * 6
    whole = [np.array(column, dtype=np.intp) for column in columns[:4]]
    real = [np.array(column, dtype=np.float64) for column in columns[4:]]
    return Observations(
        kind=whole[0],
        i=whole[1],
        j=whole[2],
        k=whole[3],
        value=real[0],
        deviation=real[1],
        tape=np.arange(len(rows), dtype=np.intp),
    )


def taped(xy: Floats, pairs: Sequence[tuple[int, int]], deviation: float = 2.0) -> list[Row]:
    """Return distances as they are between places, without any error."""
    return [(DISTANCE, i, j, -1, float(np.hypot(*(xy[j] - xy[i]))), deviation) for i, j in pairs]


def network(
    start: Sequence[Sequence[float]] | Floats,
    rows: Sequence[Row],
    *,
    held: Sequence[int] = (),
    known: dict[int, float] | None = None,
    free: bool = False,
    datum: Sequence[int] | None = None,
) -> Network:
    """Return a network; ``known`` gives the deviations of points that are known beforehand."""
    places = np.array(start, dtype=np.float64).reshape(-1, 2)
    holds = np.zeros(len(places), dtype=np.bool_)
    holds[list(held)] = True
    prior = np.full(len(places), np.inf)
    for point, deviation in (known or {}).items():
        prior[point] = deviation
    over: Bools | None = None
    if datum is not None:
        over = np.zeros(len(places), dtype=np.bool_)
        over[list(datum)] = True
    return Network(places, holds, prior, free, observations(rows), over)


def by_hand(kind: int, a: complex, b: complex, c: complex) -> float:
    """Return what a measure is between three places, in numbers of the plane."""
    if kind == DISTANCE:
        return abs(b - a)
    if kind == BESIDE:
        return float(((b - a) * (c - a).conjugate()).imag / abs(c - a))
    return float(np.angle((c - a) / (b - a)))


def mixed(seed: int, *, most: int = 14) -> tuple[Floats, list[Row]]:
    """Return places drawn from a seed, and more measures of all kinds between them than are needed, with errors."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(5, most))
    xy = rng.uniform(0, 15_000, (count, 2))
    z = xy @ (1, 1j)
    shapes = [(DISTANCE, i, j, -1) for i in range(count) for j in range(i) if rng.random() < 0.8]
    for _ in range(6):
        i, j, k = rng.choice(count, 3, replace=False).tolist()
        shapes.append((int(rng.choice([BESIDE, ANGLE])), i, j, k))
    rows: list[Row] = []
    for kind, i, j, k in shapes:
        deviation = 1e-3 if kind == ANGLE else float(rng.uniform(1, 4))
        rows.append((kind, i, j, k, by_hand(kind, z[i], z[j], z[k]) + deviation * rng.standard_normal(), deviation))
    return xy, rows
