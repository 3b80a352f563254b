"""Dimensions from the house: how far the first row is from its wall, and from the corner of that wall."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.layout import Dimension
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import Row
from layoutdesk.geometry.vector import (
    Vector,
    cross,
    distance,
    dot,
    foot,
    left,
    minus,
    nearest_on_segment,
    plus,
    unit,
)
from layoutdesk.plan.model import Plan

ALONG_DEG: Final = 1.0
"""A row runs along a wall, or square to it, when it does so to this."""

_WALL_MM: Final = 1.0
"""An attachment nearer to a wall than this is on it; a shorter straight of a wall is none."""


@dataclass(frozen=True, slots=True)
class Face:
    """One straight of a wall, walked so that the house is to the left."""

    wall: str
    a: Vector
    b: Vector

    @property
    def way(self) -> Vector:
        """Return the direction of the face, 1 mm long."""
        return unit(minus(self.b, self.a))

    def square_on(self, p: Vector) -> bool:
        """Return whether p lies in the yard square out from this face."""
        along = dot(minus(p, self.a), self.way)
        return 0 <= along <= distance(self.a, self.b) and cross(self.way, minus(p, self.a)) < 0

    def foot(self, p: Vector) -> Vector:
        """Return the place of the face square from p."""
        return foot(p, self.a, self.b)


@dataclass(frozen=True, slots=True)
class Lanes:
    """Where dimension lines stand.

    ``side`` is 1 when the spacings of the row stand to the left of ``way``, else -1; ``gap`` is their distance
    from the row; ``level`` is where along ``way`` the dimensions from row to row stand.
    """

    way: Vector
    side: float
    gap: float
    level: float


def faces(plan: Plan) -> Iterator[Face]:
    """Yield the straights of all walls."""
    for wall in plan.walls:
        for a, b in pairwise(wall.points):
            if distance(a, b) > _WALL_MM:
                yield Face(wall.id, a, b) if wall.house_side == "left" else Face(wall.id, b, a)


def from_attachment(plan: Plan, points: PointTable, row: Row, gap: float) -> Iterator[Dimension]:
    """Yield how far a row's attachment is from the nearer corner of the face that it is on."""
    at = points.place(row.attachment)
    for face in faces(plan):
        if distance(at, nearest_on_segment(at, face.a, face.b)) <= _WALL_MM:
            yield _along_face(face, at, row.line.id, gap)
            return


def _along_face(face: Face, at: Vector, line: str, gap: float) -> Dimension:
    """Return how far a place on a face is from its nearer corner, drawn in the house."""
    corner = min((face.a, face.b), key=lambda place: distance(place, at))
    side = 1.0 if dot(minus(at, corner), face.way) > 0 else -1.0
    return Dimension(corner, at, side * gap, distance(corner, at), face.wall, line, "from wall")


def from_face(plan: Plan, points: PointTable, row: Row, ends: tuple[int, int], lanes: Lanes) -> Iterator[Dimension]:
    """Yield how far a row without an attachment is from the face before it, and from that face's corner.

    Args:
        plan: the plan.
        points: its points.
        row: the row nearest to the house.
        ends: its first and last point along ``lanes.way``.
        lanes: where the dimension lines stand.
    """
    first, last = (points.place(end) for end in ends)
    seen = [face for face in faces(plan) if face.square_on(first) and face.square_on(last)]
    if not seen:
        return
    face = min(seen, key=lambda f: min(distance(f.foot(first), first), distance(f.foot(last), last)))
    turn = abs(cross(face.way, lanes.way))
    if turn <= math.sin(math.radians(ALONG_DEG)):
        yield from _beside(face, points, row, ends, lanes)
    elif turn >= math.cos(math.radians(ALONG_DEG)):
        yield from _out(face, points, row, ends, lanes)


def _beside(face: Face, points: PointTable, row: Row, ends: tuple[int, int], lanes: Lanes) -> Iterator[Dimension]:
    """Yield the two dimensions of a row along a face: one in the chain of rows, one in that of its spacings."""
    first, last = (points.place(end) for end in ends)
    start = face.foot(last)
    side = 1.0 if dot(left(minus(last, start)), lanes.way) > 0 else -1.0
    shift = side * (lanes.level - dot(last, lanes.way))
    yield Dimension(start, last, shift, distance(start, last), face.wall, row.line.id, "from wall")
    corner = min((face.a, face.b), key=lambda place: dot(place, lanes.way))
    start = plus(corner, minus(first, face.foot(first)))
    yield Dimension(
        start, first, lanes.side * lanes.gap, distance(start, first), face.wall, points.ids[ends[0]], "from wall"
    )


def _out(face: Face, points: PointTable, row: Row, ends: tuple[int, int], lanes: Lanes) -> Iterator[Dimension]:
    """Yield the two dimensions of a row square to a face: one along the row, one along the face."""
    near = min(ends, key=lambda end: distance(points.place(end), face.foot(points.place(end))))
    at = points.place(near)
    start = face.foot(at)
    side = lanes.side if dot(minus(at, start), lanes.way) > 0 else -lanes.side
    yield Dimension(start, at, side * lanes.gap, distance(start, at), face.wall, points.ids[near], "from wall")
    yield _along_face(face, start, row.line.id, lanes.gap)


def nearest_row(plan: Plan, points: PointTable, way: Vector, ends: dict[int, tuple[int, int]]) -> int:
    """Return which of some rows that run along ``way`` is nearest to the house, by index with their ends.

    Of rows square to the house, and of rows without a face before them, the first is taken.
    """

    def away(row: int) -> float:
        places = [points.place(end) for end in ends[row]]
        before = [face for face in faces(plan) if any(face.square_on(place) for place in places)]
        if any(abs(dot(face.way, way)) <= math.sin(math.radians(ALONG_DEG)) for face in before):
            return 0.0
        return min((distance(place, face.foot(place)) for face in before for place in places), default=math.inf)

    return min(ends, key=away)
