"""The largest right triangle of whole tape steps that fits the yard: 3-4-5 or 5-12-13, to square the first line."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, pairwise
from typing import Final, TypeAlias

import numpy as np

from layoutdesk.engine.baseline import drawn_length
from layoutdesk.engine.layout import SquareTriangle
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.once import once
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan, TapeClass

Ratio: TypeAlias = tuple[int, int, int]
RATIOS: Final[tuple[Ratio, Ratio]] = ((3, 4, 5), (5, 12, 13))
CLEARLY_BETTER: Final = 0.85
"""5-12-13 is used instead of 3-4-5 when the error of its angle is at most this share of the other's."""
ROOM_MM: Final = 1000.0
"""The triangle may reach this far beyond the outermost pier or beam line."""

_ON_LINE_MM: Final = 1.0
"""A point or wall nearer than this to the baseline lies on it."""
_MOST_CORNERS: Final = 40
"""Where the right angle may stand is tried at no more points than this."""
_LONGEST_MM: Final = 100_000.0
"""No tape is longer than this, whatever the plan says."""
_BATCH: Final = 16
"""Triangles tested against the obstacles at a time, largest first."""


def step_of(plan: Plan) -> float:
    """Return the step in which the sides grow per unit of the ratio: 6 in, or 100 mm."""
    return 152.4 if plan.units == "ft-in" else 100.0


def angle_deviation(leg_along: float, leg_out: float, tape_class: TapeClass) -> float:
    """Return the standard error of the right angle that a taped triangle sets, in radians.

    From the cosine rule at the right angle: d(angle) = (c dc - a da - b db) / (a b).
    """
    hypotenuse = math.hypot(leg_along, leg_out)
    parts = [side * tape_deviation(side, tape_class) for side in (leg_along, leg_out, hypotenuse)]
    return math.hypot(*parts) / (leg_along * leg_out)


def right_angle_deviation(triangle: SquareTriangle | None, plan: Plan) -> float:
    """Return the standard error of the plan's right angle in radians; without a triangle, that of the smallest."""
    a, b = (triangle.leg_along, triangle.leg_out) if triangle else (3 * step_of(plan), 4 * step_of(plan))
    return angle_deviation(a, b, plan.tape_at_hand.tape_class)


@dataclass(frozen=True, slots=True)
class Triangles:
    """The triangle to square the first line with, and the best of the other ratio; None for what does not fit."""

    square: SquareTriangle | None = None
    other: SquareTriangle | None = None


class Squaring:
    """How the first line of a plan is squared; its triangles are looked for when first asked for."""

    def __init__(self, plan: Plan, points: PointTable, frame: Frame | None, obstacles: Obstacles) -> None:
        self._plan = plan
        self._points = points
        self._frame = frame
        self._obstacles = obstacles

    @once
    def triangles(self) -> Triangles:
        """The triangles that fit, the one to use first.

        Crews know 3-4-5 by heart, so it is used unless 5-12-13 sets the angle at least 15 % more exactly.
        """
        if self._frame is None:
            return Triangles()
        known, other = (
            largest_triangle(self._plan, self._points, self._frame, self._obstacles, ratio) for ratio in RATIOS
        )
        if known is None:
            return Triangles(other)
        if other is not None and other.angle_within_deg <= CLEARLY_BETTER * known.angle_within_deg:
            return Triangles(other, known)
        return Triangles(known, other)


def largest_triangle(
    plan: Plan, points: PointTable, frame: Frame, obstacles: Obstacles, ratio: Ratio
) -> SquareTriangle | None:
    """Return the largest triangle of one ratio that fits, or None.

    Its right angle stands at a control point or attachment on the baseline, or at the baseline's origin. One
    leg lies along the drawn baseline or the wall that it follows, the other goes into the yard; all three
    sides are clear of house and keep-outs, and none is longer than the tape at hand. The longer hypotenuse
    wins, then the longer leg into the yard, then the corner nearest to the origin.
    """
    sizes = heapq.merge(*_series(plan, points, frame, ratio), key=lambda size: -size.hypotenuse)
    while batch := list(islice(sizes, _BATCH)):
        corners = np.array([size.places(frame) for size in batch])
        blocked = obstacles.blocking(corners, np.roll(corners, -1, axis=1))
        clear = np.flatnonzero((blocked < 0).all(axis=1))
        if len(clear):
            return batch[int(clear[0])].triangle(frame, plan.tape_at_hand.tape_class)
    return None


@dataclass(frozen=True, slots=True)
class _Size:
    """A triangle that fits baseline, yard and tape: ``along`` is negative when it runs back to lower stations."""

    ratio: Ratio
    station: float
    label: str
    along: float
    out: float

    @property
    def hypotenuse(self) -> float:
        return math.hypot(self.along, self.out)

    def places(self, frame: Frame) -> tuple[Vector, Vector, Vector]:
        """Return the corner, the end on the baseline and the end in the yard."""
        return (
            frame.point(self.station, 0.0),
            frame.point(self.station + self.along, 0.0),
            frame.point(self.station, self.out),
        )

    def triangle(self, frame: Frame, tape_class: TapeClass) -> SquareTriangle:
        corner, on_line, out = self.places(frame)
        return SquareTriangle(
            ratio=self.ratio,
            corner=corner,
            corner_label=self.label,
            on_line=on_line,
            out=out,
            leg_along=abs(self.along),
            leg_out=self.out,
            hypotenuse=self.hypotenuse,
            angle_within_deg=math.degrees(2 * angle_deviation(abs(self.along), self.out, tape_class)),
        )


def _series(plan: Plan, points: PointTable, frame: Frame, ratio: Ratio) -> Iterator[Iterator[_Size]]:
    """Yield, preferred ones first, series of triangles one way round at one corner, each from large to small."""
    step, tape = step_of(plan), min(plan.tape_at_hand.length, _LONGEST_MM)
    reach = _reach(plan, frame)
    low, high, deepest = _yard(plan, points, frame)
    corners = [corner for corner in _corners(points, reach) if low <= corner[0] <= high]
    short, middle, long = ratio
    for along, out in ((short, middle), (middle, short)):
        for station, label in corners:
            for way in (1, -1):
                room = reach[1] - station if way > 0 else station - reach[0]
                most = min(tape / long, room / along, deepest / out) / step
                yield _sizes(ratio, (station, label), (way * along * step, out * step), int(most + 1e-9))


def _sizes(ratio: Ratio, corner: tuple[float, str], legs: tuple[float, float], most: int) -> Iterator[_Size]:
    """Yield ``most`` to 1 times the legs at one corner."""
    station, label = corner
    along, out = legs
    return (_Size(ratio, station, label, along * k, out * k) for k in range(most, 0, -1))


def _corners(points: PointTable, reach: tuple[float, float]) -> list[tuple[float, str]]:
    """Return where the right angle may stand: stations and labels, nearest to the origin first."""
    first = points.first_pier
    station, offset = points.station[:first], points.offset[:first]
    on_line = (np.abs(offset) <= _ON_LINE_MM) & (station >= reach[0] - 1e-6) & (station <= reach[1] + 1e-6)
    found = [(s, points.labels[i]) for i in np.flatnonzero(on_line).tolist() for s in (float(station[i]),)]
    if not any(abs(s) <= _ON_LINE_MM for s, _ in found):
        found.append((0.0, "the baseline's origin"))
    found.sort(key=lambda corner: abs(corner[0]))
    return found[:_MOST_CORNERS]


def _reach(plan: Plan, frame: Frame) -> tuple[float, float]:
    """Return the stations between which one can measure along the baseline: as drawn, and along its wall."""
    pieces = [(0.0, drawn_length(plan))]
    for wall in plan.walls:
        for a, b in pairwise(wall.points):
            (s, u), (t, v) = frame.station_offset(a), frame.station_offset(b)
            if abs(u) <= _ON_LINE_MM and abs(v) <= _ON_LINE_MM:
                pieces.append((min(s, t), max(s, t)))
    low, high = pieces[0]
    for s, t in sorted(pieces[1:]):
        if s <= high + _ON_LINE_MM and t >= low - _ON_LINE_MM:
            low, high = min(low, s), max(high, t)
    return low, high


def _yard(plan: Plan, points: PointTable, frame: Frame) -> tuple[float, float, float]:
    """Return the yard's least and greatest station and deepest offset: all piers and lines, and some room."""
    ends = [frame.station_offset(place) for line in plan.lines for place in (line.start, line.end)]
    first = points.first_pier
    stations = np.concatenate((points.station[first:], [s for s, _ in ends], [0.0, drawn_length(plan)]))
    offsets = np.concatenate((points.offset[first:], [o for _, o in ends], [0.0]))
    room = ROOM_MM + 1e-6
    return float(stations.min()) - room, float(stations.max()) + room, float(offsets.max()) + room
