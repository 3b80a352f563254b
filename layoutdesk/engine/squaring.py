"""The largest right triangle of whole tape steps that fits the yard: 3-4-5 or 5-12-13, to square the first line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from layoutdesk.engine.baseline import drawn_length
from layoutdesk.engine.layout import SquareTriangle
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan, TapeClass

RATIOS: Final = ((3, 4, 5), (5, 12, 13))
ROOM_MM: Final = 1000.0
"""The triangle may reach this far beyond the outermost pier or beam line."""

_ON_LINE_MM: Final = 1.0
"""A point or wall nearer than this to the baseline lies on it."""
_MOST_CORNERS: Final = 40
"""Where the right angle may stand is tried at no more points than this."""
_BATCH: Final = 64
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


def largest_triangle(
    plan: Plan, points: PointTable, frame: Frame | None, obstacles: Obstacles
) -> SquareTriangle | None:
    """Return the largest 3-4-5 or 5-12-13 that fits, or None.

    Its right angle stands at a control point or attachment on the baseline, or at the baseline's origin. One
    leg lies along the drawn baseline or the wall that it follows, the other goes into the yard; all three
    sides are clear of house and keep-outs, and none is longer than the tape at hand. The longer hypotenuse
    wins, then 3-4-5, then the longer leg into the yard, then the corner nearest to the origin.
    """
    if frame is None:
        return None
    candidates = list(_candidates(plan, points, frame))
    candidates.sort(key=lambda c: -c.hypotenuse)
    for k in range(0, len(candidates), _BATCH):
        batch = candidates[k : k + _BATCH]
        corners = np.array([(c.corner, c.on_line, c.out) for c in batch])
        blocked = obstacles.blocking(corners, np.roll(corners, -1, axis=1))
        for triangle, sides in zip(batch, blocked, strict=True):
            if (sides < 0).all():
                return triangle
    return None


def _candidates(plan: Plan, points: PointTable, frame: Frame) -> Iterator[SquareTriangle]:
    """Yield the triangles that fit baseline, yard and tape, best corner and ratio first."""
    step, tape = step_of(plan), plan.tape_at_hand
    reach = _reach(plan, frame)
    (low, high), deepest = _yard(plan, points, frame)
    for ratio in RATIOS:
        short, middle, long = ratio
        largest = int(tape.length / (long * step) + 1e-9)
        for along, out in ((short, middle), (middle, short)):
            for station, label in _corners(points, frame, reach):
                if not low - 1e-6 <= station <= high + 1e-6:
                    continue
                for way in (1, -1):
                    room = reach[1] - station if way > 0 else station - reach[0]
                    fits = min(largest, int(room / (along * step) + 1e-9), int(deepest / (out * step) + 1e-9))
                    for k in range(fits, 0, -1):
                        yield _triangle(
                            ratio, frame, station, label, way * along * k * step, out * k * step, tape.tape_class
                        )


def _triangle(
    ratio: tuple[int, int, int],
    frame: Frame,
    station: float,
    label: str,
    along: float,
    out: float,
    tape_class: TapeClass,
) -> SquareTriangle:
    return SquareTriangle(
        ratio=ratio,
        corner=frame.point(station, 0.0),
        corner_label=label,
        on_line=frame.point(station + along, 0.0),
        out=frame.point(station, out),
        leg_along=abs(along),
        leg_out=out,
        hypotenuse=math.hypot(along, out),
        angle_within_deg=math.degrees(2 * angle_deviation(abs(along), out, tape_class)),
    )


def _corners(points: PointTable, frame: Frame, reach: tuple[float, float]) -> list[tuple[float, str]]:
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


def _yard(plan: Plan, points: PointTable, frame: Frame) -> tuple[tuple[float, float], float]:
    """Return the stations and the deepest offset of the yard: all piers and beam lines, and some room round them."""
    places: list[Vector] = [place for line in plan.lines for place in (line.start, line.end)]
    ends = [frame.station_offset(place) for place in places]
    first = points.first_pier
    stations = np.concatenate((points.station[first:], [s for s, _ in ends], [0.0, drawn_length(plan)]))
    offsets = np.concatenate((points.offset[first:], [o for _, o in ends], [0.0]))
    deepest = float(offsets.max()) + ROOM_MM
    return (float(stations.min()) - ROOM_MM, float(stations.max()) + ROOM_MM), deepest
