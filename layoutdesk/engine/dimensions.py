"""Which dimensions the sheet shows, and where: what a builder wants to see, and no more.

The spacing of the piers along the two outermost rows (and along those between that differ from them), the
distance from row to row beyond the yard's end, one overall beyond that, and how far the first row is from the
corner of its wall. Dimension lines stand outside the piers and in steps, so that none lies on another.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.layout import Dimension
from layoutdesk.engine.piers import NOTHING, volumes_by_detail
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import Family, Row, RowTable
from layoutdesk.geometry.vector import Vector, distance, dot, foot, left, minus, nearest_on_segment, times
from layoutdesk.plan.model import Plan

LEAST_GAP_MM: Final = 450.0
"""From a row to its dimension line, and from one dimension line to the next, at the least."""
GAP_SHARE: Final = 0.05
"""The same gap as a share of the longest row or the width across all rows."""
MANY_PIERS: Final = 300
"""With more piers than this only the first row's spacings are shown."""
LONG_CHAIN: Final = 40
"""A chain of more dimensions than this is not drawn: nobody could read it."""

_WALL_MM: Final = 1.0
"""An attachment nearer to a wall than this is on it."""


def dimensions_of(plan: Plan, points: PointTable, rows: RowTable) -> tuple[Dimension, ...]:
    """Return the dimensions in the order: spacings, rows, overall, from the wall; family by family."""
    widest = max((v.widest for v in volumes_by_detail(plan).values()), default=NOTHING.widest)
    shown: list[Dimension] = []
    for family in rows.families:
        full = [i for i in family.rows if len(rows.points(i))]
        if full:
            shown += _family(plan, points, rows, family, full, widest / 2)
    return tuple(d for d in shown if d.value > plan.rounding / 2)


def _family(
    plan: Plan, points: PointTable, rows: RowTable, family: Family, full: list[int], radius: float
) -> Iterator[Dimension]:
    """Yield the dimensions of rows that run side by side; ``full`` are those that have points, in order across."""
    way = family.way
    if rows.rows[full[0]].attachment >= 0:
        way = rows.rows[full[0]].way
    ends = {i: rows.points(i, way)[[0, -1]].tolist() for i in full}
    low = min(dot(points.place(ends[i][0]), way) for i in full)
    high = max(dot(points.place(ends[i][1]), way) for i in full)
    across = times(left(way), 1.0)
    width = abs(dot(across, minus(points.place(ends[full[-1]][0]), points.place(ends[full[0]][0]))))
    gap = max(LEAST_GAP_MM, GAP_SHARE * max(high - low, width)) + radius
    yield from _spacings(plan, points, rows, full, way, gap)
    for shift_by, pairs, sets in (
        (gap, [(p.first, p.second) for p in family.neighbours], "row"),
        (2 * gap, [(full[0], full[-1])] if len(full) >= 3 else [], "overall"),
    ):
        if len(pairs) > LONG_CHAIN:
            continue
        for first, second in pairs:
            if second not in ends:
                continue
            yield _square(points, rows.rows[first], rows.rows[second], ends[second][1], way, high + shift_by, sets)
    yield from _from_wall(plan, points, rows.rows[full[0]], gap)


def _spacings(
    plan: Plan, points: PointTable, rows: RowTable, full: list[int], way: Vector, gap: float
) -> Iterator[Dimension]:
    """Yield the spacings along the outermost rows, and along each row between whose piers stand otherwise."""
    middle = points.xy[rows.points(full[len(full) // 2])].mean(axis=0)
    first_place = points.place(int(rows.points(full[0])[0]))
    inner_side = dot(left(way), minus((float(middle[0]), float(middle[1])), first_place))
    towards_rows = 1.0 if inner_side > 0 else -1.0
    chains: list[Floats] = []
    order = [full[0]] if len(plan.piers) > MANY_PIERS else [full[0], *full[:0:-1]]
    for index in order:
        stops = rows.points(index, way)
        if not 2 <= len(stops) <= LONG_CHAIN:
            continue
        places = points.xy[stops] @ np.array(way)
        if any(len(c) == len(places) and np.allclose(c, places, rtol=0, atol=plan.rounding / 2) for c in chains):
            continue
        chains.append(places)
        outside = towards_rows if index == full[-1] and index != full[0] else -towards_rows
        for a, b in pairwise(stops.tolist()):
            start, end = points.place(a), points.place(b)
            yield Dimension(
                start, end, outside * gap, distance(start, end), points.ids[a], points.ids[b], "spacing"
            )


def _square(
    points: PointTable, first: Row, second: Row, at: int, way: Vector, level: float, sets: str
) -> Dimension:
    """Return the distance of one row from another, square from the first, drawn at ``level`` along the rows."""
    end = points.place(at)
    start = foot(end, first.zero, (first.zero[0] + first.way[0], first.zero[1] + first.way[1]))
    beyond = level - dot(end, way)
    side = 1.0 if dot(left(minus(end, start)), way) > 0 else -1.0
    return Dimension(
        start,
        end,
        side * beyond,
        distance(start, end),
        first.line.id,
        second.line.id,
        "row" if sets == "row" else "overall",
    )


def _from_wall(plan: Plan, points: PointTable, row: Row, gap: float) -> Iterator[Dimension]:
    """Yield how far the first row's attachment is from the nearer corner of the wall that it is on."""
    if row.attachment < 0:
        return
    at = points.place(row.attachment)
    for wall in plan.walls:
        for a, b in pairwise(wall.points):
            if distance(at, nearest_on_segment(at, a, b)) > _WALL_MM or distance(a, b) <= _WALL_MM:
                continue
            corner = min((a, b), key=lambda c: distance(c, at))
            house = left(minus(b, a)) if wall.house_side == "left" else times(left(minus(b, a)), -1)
            side = 1.0 if dot(left(minus(at, corner)), house) > 0 else -1.0
            yield Dimension(corner, at, side * gap, distance(corner, at), wall.id, row.line.id, "from wall")
            return
