"""Families of rows that run side by side, and which of them are neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector

PARALLEL_DEG: Final = 15.0
"""Beam lines whose directions differ by no more than this run side by side."""

_COMMON_SHARE: Final = 0.2
"""Two rows are neighbours when at least this share of the shorter one lies beside the other."""
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
    order across, ``neighbours`` (m, 2) the pairs of rows that have no other row between them, ``clear``
    whether no row reaches into the strip between two others.
    """

    way: Vector
    rows: tuple[int, ...]
    neighbours: Indices
    clear: bool


def families_of(points: PointTable, rows: RowTable) -> tuple[Family, ...]:
    """Return beam lines grouped by direction, in the order of the plan's first line of each group."""
    left = np.arange(len(rows))
    limit = math.cos(math.radians(PARALLEL_DEG)) - 1e-12
    found = []
    while len(left):
        way = rows.way[left[0]]
        same = np.abs(rows.way[left] @ way) >= limit
        found.append(_family(points, rows, way, left[same]))
        left = left[~same]
    return tuple(found)


def _family(points: PointTable, rows: RowTable, way: Floats, members: Indices) -> Family:
    """Return a family with its rows in order across: the plan's first row on the side where it lies."""
    across = np.array((-way[1], way[0]))
    middle = rows.ends[members].mean(axis=1) @ across
    if middle[-1] < middle[0]:
        across, middle = -across, -middle
    order = np.argsort(middle, kind="stable")
    members, middle = members[order], middle[order]
    span, spread = _spans(points, rows, members, way, across)
    pairs = np.array(list(_neighbours(span, middle)), dtype=np.intp).reshape(-1, 2)
    x, y = way.tolist()
    return Family((x, y), tuple(members.tolist()), members[pairs], _is_clear(pairs, spread, len(members)))


def _spans(
    points: PointTable, rows: RowTable, members: Indices, way: Floats, across: Floats
) -> tuple[Floats, Floats]:
    """Return where rows begin and end along and across: two of (rows, 2), in mm.

    A row of fewer than two points spans what its line does.
    """
    ends = rows.ends[members]
    span, spread = np.sort(ends @ way, axis=1), np.sort(ends @ across, axis=1)
    stops = rows.stops
    long = np.flatnonzero(stops.first[members + 1] - stops.first[members] >= 2)
    if len(long):
        bounds = np.stack((stops.first[members[long]], stops.first[members[long] + 1]), axis=1).reshape(-1)
        xy = points.xy[stops.point]
        xy = np.concatenate((xy, xy[-1:]))
        for column, direction in ((span, way), (spread, across)):
            values = xy @ direction
            column[long, 0] = np.minimum.reduceat(values, bounds)[::2]
            column[long, 1] = np.maximum.reduceat(values, bounds)[::2]
    return span, spread


def _neighbours(span: Floats, middle: Floats) -> Iterator[tuple[int, int]]:
    """Yield pairs of rows, by place in the family, with no row between them over a good part of both."""
    length = span[:, 1] - span[:, 0]
    sliver = _SLIVER_SHARE * length[:-1]
    plain = (
        (span[1:, 0] <= span[:-1, 0] + sliver)
        & (span[1:, 1] >= span[:-1, 1] - sliver)
        & (np.diff(middle) >= _SAME_LINE_MM)
        & (length[:-1] > 0)
    ).tolist()
    spans, middles = span.tolist(), middle.tolist()
    for i in range(len(spans)):
        if i < len(plain) and plain[i]:
            yield i, i + 1
        else:
            yield from ((i, j) for j in _beside(i, spans, middles))


def _beside(i: int, spans: list[list[float]], middles: list[float]) -> Iterator[int]:
    """Yield the neighbours of one row among those beyond it, nearest first."""
    low_i, high_i = spans[i]
    length = high_i - low_i
    bare = [(low_i, high_i)]
    for j in range(i + 1, min(len(spans), i + 1 + _LOOK_AHEAD)):
        if middles[j] - middles[i] < _SAME_LINE_MM:
            continue
        low, high = spans[j]
        common = sum(max(0.0, min(b, high) - max(a, low)) for a, b in bare)
        if common > 0 and common >= _COMMON_SHARE * min(high - low, length):
            yield j
        bare = [
            (x, y)
            for a, b in bare
            for x, y in ((a, min(b, low)), (max(a, high), b))
            if y - x > _SLIVER_SHARE * length
        ]
        if not bare:
            return


def _is_clear(pairs: Indices, spread: Floats, count: int) -> bool:
    """Return whether each row has one neighbour on each side at most, and lies all on its own side of it."""
    if not len(pairs):
        return True
    if np.bincount(pairs[:, 0]).max() > 1 or np.bincount(pairs[:, 1]).max() > 1:
        return False
    gap = spread[pairs[:, 1], 0] - spread[pairs[:, 0], 1]
    thick = spread[:, 1] - spread[:, 0]
    highest = np.maximum.accumulate(spread[:, 1])
    apart = bool((spread[1:, 0] > highest[:-1]).all()) if count > 1 else True
    return apart and bool((thick[pairs].max(axis=1) <= _COMMON_SHARE * gap).all())
