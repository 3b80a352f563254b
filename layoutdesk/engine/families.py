"""Families of rows that run side by side, and which of them are neighbours."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector, dot, left

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
    order across, ``neighbours`` the pairs of rows that have no other row between them, ``clear`` whether no
    row reaches into the strip between two others.
    """

    way: Vector
    rows: tuple[int, ...]
    neighbours: tuple[tuple[int, int], ...]
    clear: bool


@dataclass(frozen=True, slots=True)
class _Band:
    """What one row covers: from ``low`` to ``high`` along its family, from ``near`` to ``far`` across it, mm."""

    row: int
    low: float
    high: float
    near: float
    far: float

    def turned(self) -> _Band:
        """Return the same band seen from its other side."""
        return _Band(self.row, self.low, self.high, -self.far, -self.near)

    @property
    def middle(self) -> float:
        return (self.near + self.far) / 2

    @property
    def length(self) -> float:
        return self.high - self.low


def families_of(points: PointTable, rows: RowTable) -> tuple[Family, ...]:
    """Return beam lines grouped by direction, in the order of the plan's first line of each group.

    A line that has no direction belongs to none.
    """
    groups: list[tuple[Vector, list[int]]] = []
    aimless = set(rows.aimless)
    for i, (x, y) in enumerate(rows.way.tolist()):
        if i in aimless:
            continue
        for way, members in groups:
            if abs(dot(way, (x, y))) >= _PARALLEL:
                members.append(i)
                break
        else:
            groups.append(((x, y), [i]))
    return tuple(_family(points, rows, way, members) for way, members in groups)


def _family(points: PointTable, rows: RowTable, way: Vector, members: Sequence[int]) -> Family:
    """Return a family with its rows in order across, the plan's first row before its last."""
    bands = _bands(points, rows, members, way)
    if bands[-1].middle < bands[0].middle:
        bands = [band.turned() for band in bands]
    bands.sort(key=lambda band: band.middle)
    pairs = tuple((bands[i].row, bands[j].row) for i, j in _neighbours(bands))
    return Family(way, tuple(band.row for band in bands), pairs, _is_clear(bands, pairs))


def _bands(points: PointTable, rows: RowTable, members: Sequence[int], way: Vector) -> list[_Band]:
    """Return what each row covers: all its points, or its line when it has fewer than two."""
    axes = np.array((way, left(way))).T
    stops, ends = rows.stops, rows.ends @ axes
    least, most = ends.min(axis=1), ends.max(axis=1)
    counts = stops.first[1:] - stops.first[:-1]
    held, long = counts > 0, counts > 1
    if long.any():
        at, where = points.xy[stops.point] @ axes, stops.first[:-1][held]
        least[long] = np.minimum.reduceat(at, where)[long[held]]
        most[long] = np.maximum.reduceat(at, where)[long[held]]
    low, near = least.T.tolist()
    high, far = most.T.tolist()
    return [_Band(i, low[i], high[i], near[i], far[i]) for i in members]


def _neighbours(bands: Sequence[_Band]) -> Iterator[tuple[int, int]]:
    """Yield pairs of rows, by place in ``bands``, with no row between them over a good part of both."""
    for i, band in enumerate(bands):
        bare = [(band.low, band.high)]
        sliver = _SLIVER_SHARE * band.length
        for j in range(i + 1, min(len(bands), i + 1 + _LOOK_AHEAD)):
            other = bands[j]
            if other.middle - band.middle < _SAME_LINE_MM:
                continue
            lean = _LEAN_SHARE * (other.middle - band.middle)
            low, high = other.low - lean, other.high + lean
            common = sum(max(0.0, min(b, high) - max(a, low)) for a, b in bare)
            if common > 0 and common >= _COMMON_SHARE * min(band.length, other.length):
                yield i, j
            cut = [((a, min(b, low)), (max(a, high), b)) for a, b in bare]
            bare = [(a, b) for pieces in cut for a, b in pieces if b - a > sliver]
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
