"""Which dimensions the sheet shows, and where: what a builder wants to see, and no more.

The spacing of the piers along the two outermost rows (and along those between whose piers stand otherwise),
the distance from row to row beyond the yard's end, one overall beyond that, and how far the first row is from
its wall and from the corner of that wall, or else from the baseline. Dimension lines stand outside the piers
and in steps, so that none lies on another.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from layoutdesk.engine.baseline_dimensions import from_baseline
from layoutdesk.engine.columns import Floats
from layoutdesk.engine.families import Family
from layoutdesk.engine.layout import Dimension
from layoutdesk.engine.piers import sizes_by_detail
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.wall_dimensions import ALONG_DEG, Lanes, from_attachment, from_face, nearest_row
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import (
    Vector,
    cross,
    distance,
    dot,
    foot,
    left,
    minus,
    plus,
)
from layoutdesk.plan.model import Plan

LEAST_GAP_MM: Final = 450.0
"""From a row to its dimension line, and from one dimension line to the next, at the least."""
GAP_SHARE: Final = 0.05
"""The same gap as a share of the longest row or of the width across all rows."""
MANY_PIERS: Final = 300
"""With more piers than this only the first row's spacings are shown."""
LONG_CHAIN: Final = 40
"""A chain of more dimensions than this is not drawn: nobody could read it."""


@dataclass(frozen=True, slots=True)
class _Field:
    """A family of rows as the dimensions see it.

    ``full`` are its rows that have points, in order across; ``way`` points along them, away from the house
    where they are attached to it; ``gap`` is the step between dimension lines, ``level`` where along ``way``
    the last point lies; ``inward`` is 1 when the other rows lie to the left of the first, else -1.
    """

    full: tuple[int, ...]
    way: Vector
    gap: float
    level: float
    inward: float

    def side(self, row: int) -> float:
        """Return on which side of ``way`` the spacings of a row stand: 1 to its left, -1 to its right."""
        return self.inward if row == self.full[-1] != self.full[0] else -self.inward

    def lanes(self, row: int) -> Lanes:
        """Return where the dimension lines of an outermost row stand."""
        return Lanes(self.way, self.side(row), self.gap, self.level + self.gap)


def dimensions_of(
    plan: Plan, points: PointTable, rows: RowTable, families: tuple[Family, ...], frame: Frame | None
) -> tuple[Dimension, ...]:
    """Return the dimensions family by family: spacings, row to row, overall, from the wall.

    What is not tied to the house is then tied to the baseline, where the plan has one with a length.
    """
    shown: list[Dimension] = []
    loose: list[_Field] = []
    widest = max((size.widest for size in sizes_by_detail(plan).values()), default=0.0)
    for family in families:
        full = tuple(i for i in family.rows if len(rows.points(i)))
        if not full:
            continue
        field = _field(points, rows, full, widest / 2)
        shown += _spacings(plan, points, rows, field)
        pairs = [(a, b) for a, b in family.neighbours if a in full and b in full]
        if len(pairs) <= LONG_CHAIN:
            shown += [_between(points, rows, field, pair, "row") for pair in pairs]
        if len(full) >= 3:
            shown.append(_between(points, rows, field, (full[0], full[-1]), "overall"))
        from_wall = tuple(_from_wall(plan, points, rows, field))
        shown += from_wall
        if not from_wall and rows.row(full[0]).attachment < 0:
            loose.append(field)
    if frame is not None and len(loose) <= LONG_CHAIN:
        for field in loose:
            index, ends = _nearest_to(frame, points, rows, field)
            lanes = field.lanes(index)
            shown += from_baseline(
                frame, points, rows.row(index), ends, lanes, shown=tuple(shown), radius=widest / 2
            )
    return tuple(dimension for dimension in shown if dimension.value > plan.rounding / 2)


def _field(points: PointTable, rows: RowTable, full: tuple[int, ...], radius: float) -> _Field:
    way = rows.row(full[0]).way
    ends = np.array([rows.points(i, way)[[0, -1]] for i in full])
    places = points.xy[ends]
    along, across = places @ np.array(way), places @ np.array(left(way))
    width = float(np.ptp(across.mean(axis=1)))
    length = float(np.ptp(along))
    return _Field(
        full=full,
        way=way,
        gap=max(LEAST_GAP_MM, GAP_SHARE * max(length, width)) + radius,
        level=float(along.max()),
        inward=1.0 if across[-1].mean() > across[0].mean() else -1.0,
    )


def _spacings(plan: Plan, points: PointTable, rows: RowTable, field: _Field) -> Iterator[Dimension]:
    """Yield the spacings along the outermost rows, and along each row between whose piers stand otherwise."""
    full = field.full
    chains: list[Floats] = []
    for index in (full[0], *full[:0:-1]) if len(plan.piers) <= MANY_PIERS else full[:1]:
        stops = rows.points(index, field.way)
        if not 2 <= len(stops) <= LONG_CHAIN + 1:
            continue
        at = points.xy[stops] @ np.array(field.way)
        if any(len(c) == len(at) and np.allclose(c, at, rtol=0, atol=plan.rounding / 2) for c in chains):
            continue
        chains.append(at)
        for a, b in pairwise(stops.tolist()):
            yield _between_points(points, a, b, field.side(index) * field.gap)


def _between_points(points: PointTable, a: int, b: int, shift: float) -> Dimension:
    start, end = points.place(a), points.place(b)
    return Dimension(
        start=start,
        end=end,
        shift=shift,
        value=distance(start, end),
        first=points.ids[a],
        second=points.ids[b],
        sets="spacing",
    )


def _between(
    points: PointTable, rows: RowTable, field: _Field, pair: tuple[int, int], sets: Literal["row", "overall"]
) -> Dimension:
    """Return how far the second row's last point is square from the first row, drawn beyond all points."""
    first, second = (rows.row(i) for i in pair)
    end = points.place(int(rows.points(pair[1], field.way)[-1]))
    start = foot(end, first.zero, plus(first.zero, first.way))
    level = field.level + field.gap * (1 if sets == "row" else 2)
    side = 1.0 if dot(left(minus(end, start)), field.way) > 0 else -1.0
    return Dimension(
        start=start,
        end=end,
        shift=side * (level - dot(end, field.way)),
        value=distance(start, end),
        first=first.line.id,
        second=second.line.id,
        sets=sets,
    )


def _from_wall(plan: Plan, points: PointTable, rows: RowTable, field: _Field) -> Iterator[Dimension]:
    """Yield how far the first row is from the house; without an attachment, the outermost row nearest to it."""
    first = rows.row(field.full[0])
    if first.attachment >= 0:
        yield from from_attachment(plan, points, first, field.gap)
        return
    ends = _outermost(rows, field)
    index = nearest_row(plan, points, field.way, ends)
    yield from from_face(plan, points, rows.row(index), ends[index], field.lanes(index))


def _nearest_to(frame: Frame, points: PointTable, rows: RowTable, field: _Field) -> tuple[int, tuple[int, int]]:
    """Return the outermost row nearest to the baseline, by index, and its first and last point.

    Of rows square to the baseline, and of rows on both sides of it, the first is taken.
    """
    ends = _outermost(rows, field)
    first = field.full[0]
    offsets = {row: [frame.station_offset(points.place(end))[1] for end in ends[row]] for row in ends}
    square = abs(cross(frame.along, field.way)) >= math.cos(math.radians(ALONG_DEG))
    sides = {offset > 0 for offset in (*offsets[first], *offsets[field.full[-1]])}
    index = first if square or len(sides) > 1 else min(ends, key=lambda row: min(map(abs, offsets[row])))
    return index, ends[index]


def _outermost(rows: RowTable, field: _Field) -> dict[int, tuple[int, int]]:
    """Return the first and last point of the two outermost rows, by index of the row."""
    ends = {}
    for index in (field.full[0], field.full[-1]):
        first, last = rows.points(index, field.way)[[0, -1]].tolist()
        ends[index] = (first, last)
    return ends
