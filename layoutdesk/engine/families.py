"""Families of rows that run side by side, and which of them are neighbours."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector

PARALLEL_DEG: Final = 15.0
"""Beam lines whose directions differ by no more than this run side by side."""

_PARALLEL: Final = math.cos(math.radians(PARALLEL_DEG)) - 1e-12
_COMMON_SHARE: Final = 0.2
"""Two rows are neighbours when at least this share of the shorter one lies beside the other."""
_LEAN_SHARE: Final = 0.3
"""A row counts as beside another that far past its ends, as a share of the distance between them."""
_SLIVER_SHARE: Final = 0.02
"""A piece of a row shorter than this share of it counts for nothing."""
_SAME_LINE_MM: Final = 10.0
"""Rows nearer to each other than this lie on one line, not side by side."""
_LOOK_AHEAD: Final = 64
"""A row's neighbour is looked for among this many rows beyond it."""


@dataclass(frozen=True, slots=True)
class Family:
    """Beam lines that run side by side.

    ``way`` is the direction they share (that of the first of them in the plan), ``rows`` their indices in
    order across, ``against`` those of them that run the other way, ``neighbours`` the pairs of rows that have
    no other row between them, ``clear`` whether no row reaches into the strip between two others.
    """

    way: Vector
    rows: tuple[int, ...]
    against: tuple[int, ...]
    neighbours: tuple[tuple[int, int], ...]
    clear: bool


class _Band(NamedTuple):
    """What one row covers: from ``low`` to ``high`` along its family, from ``near`` to ``far`` across it, mm."""

    middle: float
    row: int
    low: float
    high: float
    near: float
    far: float


def families_of(points: PointTable, rows: RowTable) -> tuple[Family, ...]:
    """Return beam lines grouped by direction, in the order of the plan's first line of each group.

    A line that has no direction belongs to none.
    """
    groups: list[tuple[Vector, list[int], list[int]]] = []
    for i, (x, y) in enumerate(rows.way.tolist()):
        if i in rows.aimless:
            continue
        for (u, v), members, against in groups:
            same = u * x + v * y
            if abs(same) >= _PARALLEL:
                members.append(i)
                if same < 0:
                    against.append(i)
                break
        else:
            groups.append(((x, y), [i], []))
    return tuple(_family(points, rows, way, members, against) for way, members, against in groups)


def _family(
    points: PointTable, rows: RowTable, way: Vector, members: Sequence[int], against: Sequence[int]
) -> Family:
    """Return a family with its rows in order across, the plan's first row before its last."""
    bands = _bands(points, rows, members, way)
    bands.sort()
    pairs = tuple((bands[i].row, bands[j].row) for i, j in _neighbours(bands))
    in_order = tuple(band.row for band in bands)
    return Family(way, in_order, tuple(against), pairs, _is_clear(bands, pairs))


def _bands(points: PointTable, rows: RowTable, members: Sequence[int], way: Vector) -> list[_Band]:
    """Return what each row covers: all its points, or its line when it has fewer than two."""
    (u, v), stops, counts = way, rows.stops, rows.counts
    (ax, ay), (bx, by) = rows.ends[members[0]].tolist()
    (cx, cy), (dx, dy) = rows.ends[members[-1]].tolist()
    side = -1.0 if u * (cy + dy - ay - by) < v * (cx + dx - ax - bx) else 1.0
    x, y = points.x[stops.point], points.y[stops.point]
    along, across = u * x + v * y, (side * u) * y - (side * v) * x
    filled = [i for i, count in enumerate(counts) if count]
    where = stops.first[:-1] if len(filled) == len(counts) else stops.first[filled]
    covers: dict[int, tuple[float, float, float, float]] = {}
    if filled:
        reduced = (f.reduceat(c, where).tolist() for c in (along, across) for f in (np.minimum, np.maximum))
        covers = dict(zip(filled, zip(*reduced, strict=True), strict=True))
    bands = []
    for i in members:
        if counts[i] >= 2:
            low, high, near, far = covers[i]
        else:
            (ax, ay), (bx, by) = rows.ends[i].tolist()
            low, high = sorted((u * ax + v * ay, u * bx + v * by))
            near, far = sorted((side * (u * ay - v * ax), side * (u * by - v * bx)))
        bands.append(_Band((near + far) / 2, i, low, high, near, far))
    return bands


def _neighbours(bands: Sequence[_Band]) -> Iterator[tuple[int, int]]:
    """Yield pairs of rows, by place in ``bands``, with no row between them over a good part of both."""
    for i, (middle, _, left, right, _, _) in enumerate(bands):
        bare, length = [(left, right)], right - left
        for j in range(i + 1, min(len(bands), i + 1 + _LOOK_AHEAD)):
            other = bands[j]
            apart = other.middle - middle
            if apart < _SAME_LINE_MM:
                continue
            low, high = other.low - _LEAN_SHARE * apart, other.high + _LEAN_SHARE * apart
            common = sum(max(0.0, min(b, high) - max(a, low)) for a, b in bare)
            if common > 0 and common >= _COMMON_SHARE * min(length, other.high - other.low):
                yield i, j
            if low <= left and high >= right:
                break
            cut = [((a, min(b, low)), (max(a, high), b)) for a, b in bare]
            bare = [(a, b) for pieces in cut for a, b in pieces if b - a > _SLIVER_SHARE * length]
            if not bare:
                break


def _is_clear(bands: Sequence[_Band], pairs: Sequence[tuple[int, int]]) -> bool:
    """Return whether no bay between two neighbours can overlap one between two others.

    So it is when every row has one neighbour on each side at most, lies all on its own side of it, and is thin
    against the strip between them.
    """
    sides = (*Counter(first for first, _ in pairs).values(), *Counter(second for _, second in pairs).values())
    if max(sides, default=0) > 1:
        return False
    thickest = max(band.far - band.near for band in bands)
    return all(b.near - a.far > thickest / _COMMON_SHARE for a, b in pairwise(bands))
