"""What the places that were found say of how stakes were set out: exchanged, shifted, turned round, mirrored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Final, Literal, TypeAlias

import numpy as np
from scipy.spatial import KDTree

from layoutdesk.engine.columns import Floats, Indices

Kind: TypeAlias = Literal["swapped", "shifted", "reversed", "mirrored", "elsewhere"]
"""They stand where each other are drawn; each stands where the next of its row is drawn; a row was set out the
other way round; on the wrong side of the line between two control points; or they fit only far from their places,
for no reason that is seen."""

_CLEAR: Final = 3.0
"""Another place is the one meant when it lies so many times as near as the drawn one."""
_FAR: Final = 100.0
"""Who is less far out than this, in mm, was set out in the right place."""
_LINES: Final = 12
"""Lines between so many control points are looked at."""
_ASTRAY: Final = 0.9
"""The cosine between steps of one row."""


@dataclass(frozen=True, slots=True)
class Misplaced:
    """Stakes that were set out wrongly in one way; ``line`` is given by two points, for those mirrored in it."""

    kind: Kind
    points: tuple[int, ...]
    line: tuple[int, int] | None = None


def misplaced(drawn: Floats, found: Floats, points: Indices, known: Indices) -> list[Misplaced]:
    """Return what was set out wrongly.

    Args:
        drawn: where the points are drawn, (n, 2) in mm.
        found: where they stand, (p, 2) in mm; a point may have several places that fit.
        points: which point each place is of, (p,).
        known: the control points.
    """
    stands = _where_drawn(drawn, found, points)
    once = np.bincount(points, minlength=len(drawn))[points] == 1
    at = dict(zip(points[once].tolist(), (found[once] @ (1, 1j)).tolist(), strict=True))
    home: list[complex] = (drawn @ (1, 1j)).tolist()
    by_places = list(_exchanged(stands, at, home))
    across = _mirrored(drawn, at, known)
    if across is not None and len(across.points) > max((len(one.points) for one in by_places), default=0):
        rest = {p: q for p, q in stands.items() if p not in across.points}
        return [across, *_exchanged(rest, {p: z for p, z in at.items() if p not in across.points}, home)]
    done = {p for one in by_places for p in one.points}
    across = _mirrored(drawn, {p: z for p, z in at.items() if p not in done}, known) if done else None
    return [*by_places, *([across] if across is not None else [])]


def _where_drawn(drawn: Floats, found: Floats, points: Indices) -> dict[int, int]:
    """Return which point stands where which other one is drawn."""
    if not len(points):
        return {}
    out = np.hypot(*(found - drawn[points]).T)
    sought = np.unique(points)
    near, at = KDTree(drawn[sought]).query(found)
    clear = (_CLEAR * near < out) & (out > _FAR) & (sought[at] != points)
    return dict(zip(points[clear].tolist(), sought[at[clear]].tolist(), strict=True))


def _exchanged(stands: dict[int, int], at: dict[int, complex], home: list[complex]) -> Iterator[Misplaced]:
    """Yield those that stand in each other's place, rows that are turned round, and rows that are shifted."""
    left = dict(stands)
    rings = []
    for start in sorted(stands):
        ring, p = [start], stands[start]
        while p in left and p != start and p not in ring:
            ring.append(p)
            p = left[p]
        if p == start and start in left:
            rings.append(tuple(ring))
            for one in ring:
                del left[one]
    yield from _turned(rings, at, home)
    ends = set(left.values())
    for start in sorted(set(left) - ends):
        chain = [start]
        while chain[-1] in left and left[chain[-1]] not in chain:
            chain.append(left[chain[-1]])
        if _moved_on(chain, at, home):
            yield Misplaced("shifted", tuple(sorted(chain)))


def _moved_on(chain: list[int], at: dict[int, complex], home: list[complex]) -> bool:
    """Return whether the last of a chain moved on as the others did, so that all are one row that is shifted."""
    last = chain[-1]
    if len(chain) < 2 or last not in at:
        return False
    steps = [home[b] - home[a] for a, b in pairwise(chain)]
    steps.append(at[last] - home[last])
    short = min(abs(step) for step in steps[:-1])
    alike = all((a * b.conjugate()).real > _ASTRAY * abs(a) * abs(b) for a, b in pairwise(steps))
    return alike and abs(steps[-1]) > short / 2


def _turned(rings: list[tuple[int, ...]], at: dict[int, complex], home: list[complex]) -> Iterator[Misplaced]:
    """Yield pairs that changed places; together with all else that lies between them the other way round."""
    pairs = sorted((ring for ring in rings if len(ring) == 2), key=lambda two: -abs(home[two[0]] - home[two[1]]))
    done: set[int] = set()
    for a, b in pairs:
        if a in done:
            continue
        middle, way = home[a] + home[b], home[b] - home[a]
        row = {a, b}
        for p, place in at.items():
            along = (home[p] - home[a]) / way
            between = 0 < along.real < 1 and abs(along.imag) < 0.1 and p not in done
            if between and _CLEAR * abs(place - (middle - home[p])) < abs(place - home[p]):
                row.add(p)
        done |= row
        yield Misplaced("reversed" if len(row) > 2 else "swapped", tuple(sorted(row)))
    for ring in rings:
        if len(ring) > 2 and not done & set(ring):
            yield Misplaced("swapped", ring)


def _mirrored(drawn: Floats, at: dict[int, complex], known: Indices) -> Misplaced | None:
    """Return the most points that stand across the line between two control points, and that line."""
    points = np.array(sorted(at), dtype=np.intp)
    home = drawn[points] @ (1, 1j)
    found = np.array([at[p] for p in points.tolist()])
    out = np.abs(found - home)
    if not (out > _FAR).any():
        return None
    best: tuple[int, float, float, Misplaced] | None = None
    for a, b in combinations(known[:_LINES].tolist(), 2):
        start, way = complex(*drawn[a]), complex(*(drawn[b] - drawn[a]))
        if abs(way) < 1.0:
            continue
        across = np.abs(found - (start + ((home - start) / way).conjugate() * way))
        clear = (_CLEAR * across < out) & (out > _FAR)
        # Of lines that are as good to the centimetre the longest is named.
        rank = int(clear.sum()), -round(float(across[clear].sum()) / 10), abs(way)
        if rank[0] and (best is None or rank > best[:3]):
            best = (*rank, Misplaced("mirrored", tuple(points[clear].tolist()), (a, b)))
    return best[3] if best is not None else None
