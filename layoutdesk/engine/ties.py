"""Swing ties: two taped distances swung to where they cross, and how exactly they put a stake down.

With the standard deviations s1 and s2 of the two tapes and the angle t at which they cross at the stake, the
covariance of the stake's place has the trace (s1² + s2²) / sin² t; ``within`` is twice its root.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import CHUNK, Bools, Floats, Indices, chunks
from layoutdesk.engine.layout import Strength
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.plan.model import TapeClass

STRONG_DEG: Final = 60.0
FAIR_DEG: Final = 30.0
"""Crossings from 60 degrees are strong, from 30 fair, flatter ones weak (common practice, no source)."""
FLATTEST_DEG: Final = 10.0
"""Tapes that cross flatter than this are not offered at all (common practice, no source)."""
MOST_CONTROLS: Final = 24
"""With more control points than this, only each pier's nearest open ones are paired."""

_LEAST_SINE2: Final = math.sin(math.radians(FLATTEST_DEG)) ** 2


def strength_of(crossing_deg: float) -> Strength:
    """Return how strong a crossing of two tapes is, by its angle folded into 0 to 90 degrees."""
    if crossing_deg >= STRONG_DEG - 1e-9:
        return "strong"
    return "fair" if crossing_deg >= FAIR_DEG - 1e-9 else "weak"


@dataclass(frozen=True, slots=True)
class Ways:
    """Places of control points (c,) and of piers (n,) along x and y, in mm."""

    from_x: Floats
    from_y: Floats
    to_x: Floats
    to_y: Floats

    def chunks(self) -> Iterator[tuple[slice, Floats, Floats]]:
        """Yield parts of the piers and the ways from all control points to them along x and y, (c, part)."""
        for part in chunks(len(self.to_x)):
            yield part, self.to_x[part] - self.from_x[:, None], self.to_y[part] - self.from_y[:, None]


@dataclass(frozen=True, slots=True)
class BestPairs:
    """The pair of tapes with the least expected error for every pier.

    ``pair`` is (n, 2) of control indices, -1 without a pair; ``within`` is (n,) in mm, NaN without one.
    """

    pair: Indices
    within: Floats


def best_pairs(ways: Ways, distance: Floats, usable: Bools, tape_class: TapeClass) -> BestPairs:
    """Return for each pier the pair of control points whose tapes put it down most exactly.

    Pairs that cross flatter than 10 degrees are left out. Of two pairs that are equally exact, the one with
    the earlier control points is taken.

    Args:
        ways: control points and piers.
        distance: from each to each, (c, n) in mm.
        usable: which tapes can be pulled at all, (c, n).
        tape_class: the accuracy class of both tapes.
    """
    count, paired = len(ways.to_x), min(len(ways.from_x), MOST_CONTROLS)
    pair, trace = np.full((count, 2), -1, dtype=np.intp), np.full(count, np.inf)
    if paired >= 2:
        first, second = _pairs(paired)
        room = np.empty((2, len(first), min(count, CHUNK)))
        for part, dx, dy in ways.chunks():
            who, tapes = _nearest_open(Tapes(dx, dy, distance[:, part], usable[:, part]))
            best, trace[part] = _least(_traces(tapes, tape_class, room[:, :, : dx.shape[1]]))
            pair[part, 0], pair[part, 1] = first[best], second[best]
            if who is not None:
                pair[part] = np.sort(np.take_along_axis(who, pair[part].T, axis=0).T, axis=1)
    without = np.isinf(trace)
    if without.any():
        pair[without], trace[without] = -1, np.nan
    return BestPairs(pair, 2 * np.sqrt(trace))


@cache
def _pairs(count: int) -> Indices:
    """Return all pairs of ``count`` things in the order 01, 02, … 12, …; (2, pairs)."""
    return np.array(list(combinations(range(count), 2)), dtype=np.intp).T.copy()


@dataclass(frozen=True, slots=True)
class Tapes:
    """The tapes from some control points to some piers, (c, n): ways and lengths in mm, and which can be pulled."""

    dx: Floats
    dy: Floats
    distance: Floats
    usable: Bools


def _traces(tapes: Tapes, tape_class: TapeClass, room: Floats) -> Floats:
    """Return the trace of the stake's covariance (mm²) for all pairs of tapes.

    Args:
        tapes: the tapes; their ways are worn out.
        tape_class: the accuracy class of all of them.
        room: (2, pairs, n) to work in: to ask the system for it again and again costs more than the arithmetic.

    Returns:
        (pairs, n), pairs in the order 01, 02, … 12, …; infinite for a pair that is not offered. It lies in
        ``room``.
    """
    count, sine, trace = len(tapes.dx), room[0], room[1]
    far = np.maximum(tapes.distance, SAME_MM)
    x, y = np.divide(tapes.dx, far, out=tapes.dx), np.divide(tapes.dy, far, out=tapes.dy)
    variance = tape_deviation(tapes.distance, tape_class)
    variance *= variance
    if not tapes.usable.all():
        variance[~tapes.usable] = np.inf
    at = 0
    for i in range(count - 1):
        to = at + count - 1 - i
        np.multiply(x[i], y[i + 1 :], out=sine[at:to])
        sine[at:to] -= y[i] * x[i + 1 :]
        np.add(variance[i], variance[i + 1 :], out=trace[at:to])
        at = to
    sine *= sine
    trace[sine < _LEAST_SINE2] = np.inf
    np.maximum(sine, _LEAST_SINE2, out=sine)
    offered: Floats = np.divide(trace, sine, out=trace)
    return offered


def _least(values: Floats) -> tuple[Indices, Floats]:
    """Return for each column the first row that holds its least value, and that value.

    Like argmin and a look-up, but many times as fast where rows are few and columns many.
    """
    least = values.min(axis=0)
    rank = np.arange(len(values), 0, -1, dtype=np.uint16)
    first = ((values == least) * rank[:, None]).max(axis=0)
    return len(values) - first.astype(np.intp), least


def _nearest_open(tapes: Tapes) -> tuple[Indices | None, Tapes]:
    """Return which control points are paired for each pier (None for all), and their tapes."""
    if len(tapes.dx) <= MOST_CONTROLS:
        return None, tapes
    far = np.where(tapes.usable, tapes.distance, np.inf)
    who = np.argsort(far, axis=0, kind="stable")[:MOST_CONTROLS]
    dx, dy, distance = (np.take_along_axis(c, who, axis=0) for c in (tapes.dx, tapes.dy, tapes.distance))
    return who, Tapes(dx, dy, distance, np.take_along_axis(tapes.usable, who, axis=0))


def crossing_sine(ways: Ways, pair: Indices) -> Floats:
    """Return the sine of the angle at which the tapes of each pair cross, (n,); NaN without a pair."""
    first, second = pair.T
    ax, ay = ways.to_x - ways.from_x[first], ways.to_y - ways.from_y[first]
    bx, by = ways.to_x - ways.from_x[second], ways.to_y - ways.from_y[second]
    size = np.hypot(ax, ay) * np.hypot(bx, by)
    sine: Floats = np.minimum(np.abs(ax * by - ay * bx) / np.maximum(size, SAME_MM), 1.0)
    sine[first < 0] = np.nan
    return sine
