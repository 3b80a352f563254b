"""A straight line to measure from: station along it, offset square from it."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.geometry.vector import Vector, cross, dot, left, minus, plus, times, unit


@dataclass(frozen=True, slots=True)
class Frame:
    """An origin, the direction of stations and the direction of offsets (both one millimetre long).

    Offsets grow to the left of the stations, or to the right: ``side`` is 1 or -1.
    """

    origin: Vector
    along: Vector
    side: int

    @classmethod
    def through(cls, origin: Vector, toward: Vector, *, yard_on_right: bool) -> Frame:
        """Return the frame of a baseline.

        Raises:
            ValueError: when origin and toward are the same place.
        """
        return cls(origin, unit(minus(toward, origin)), -1 if yard_on_right else 1)

    @property
    def away(self) -> Vector:
        """Return the direction of growing offsets: from the house into the yard."""
        return times(left(self.along), self.side)

    def station_offset(self, p: Vector) -> tuple[float, float]:
        """Return station and offset of a point of the plan, in millimetres."""
        way = minus(p, self.origin)
        return dot(way, self.along), self.side * cross(self.along, way)

    def point(self, station: float, offset: float) -> Vector:
        """Return the point of the plan at a station and offset."""
        return plus(self.origin, plus(times(self.along, station), times(self.away, offset)))
