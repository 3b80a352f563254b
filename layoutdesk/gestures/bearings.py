"""How places are read and typed: as station and offset from the baseline, or as x and y without one."""

from __future__ import annotations

import math
from dataclasses import dataclass

from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, left, plus, times
from layoutdesk.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Bearings:
    """The two directions that places are read along, and how the sheet is turned to them.

    With a baseline the sheet is turned, never mirrored, so that the yard lies below the house on the screen:
    offsets grow downward, and stations to the right where the yard is on the right hand of the baseline, to
    the left where it is on the left. Without one the sheet lies as the plan's own axes do.
    """

    frame: Frame | None

    @property
    def names(self) -> tuple[str, str]:
        """Return what the two numbers of a place are called."""
        return ("x", "y") if self.frame is None else ("station", "offset")

    @property
    def ahead(self) -> Vector:
        """Return the direction in which the first number grows, one millimetre long."""
        return (1.0, 0.0) if self.frame is None else self.frame.along

    @property
    def aside(self) -> Vector:
        """Return the direction in which the second number grows, one millimetre long."""
        return (0.0, 1.0) if self.frame is None else self.frame.away

    @property
    def down(self) -> Vector:
        """Return which way of the plan points down the screen: into the yard."""
        return (0.0, -1.0) if self.frame is None else self.frame.away

    @property
    def right(self) -> Vector:
        """Return which way of the plan points to the right of the screen."""
        return left(self.down)

    def read(self, at: Vector) -> tuple[float, float]:
        """Return the two numbers of a place, in millimetres."""
        return at if self.frame is None else self.frame.station_offset(at)

    def place(self, first: float, second: float) -> Vector:
        """Return the place that two numbers name."""
        return (first, second) if self.frame is None else self.frame.point(first, second)

    def way(self, first: float, second: float) -> Vector:
        """Return the move that two numbers name, without regard to the origin."""
        return plus(times(self.ahead, first), times(self.aside, second))

    def read_way(self, way: Vector) -> tuple[float, float]:
        """Return the two numbers of a move."""
        return dot(way, self.ahead), dot(way, self.aside)

    def angle(self, way: Vector) -> float:
        """Return the angle of a direction in degrees: 0 along the baseline, 90 square into the yard.

        Without a baseline 0 is to the right and 90 down the sheet, where the yard will be: one sense from the
        first wall on.
        """
        return math.degrees(math.atan2(dot(way, self.down), dot(way, self.ahead)))

    def direction(self, degrees: float) -> Vector:
        """Return the direction of an angle, one millimetre long; quarter turns are exact."""
        c, s = _exact_turn(degrees)
        return plus(times(self.ahead, c), times(self.down, s))


def _exact_turn(degrees: float) -> tuple[float, float]:
    """Return cosine and sine, exact at quarter turns, so that square is square."""
    quarters = degrees / 90
    if quarters == round(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))


def bearings_of(plan: Plan) -> Bearings:
    """Return how places of this plan are read; a baseline without a length counts as none."""
    base = plan.baseline
    if base is None or distance(base.origin, base.toward) <= SAME_MM:
        return Bearings(None)
    return Bearings(Frame.through(base.origin, base.toward, yard_on_right=base.yard_side == "right"))
