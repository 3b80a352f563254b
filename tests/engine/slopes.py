"""A yard that is one plane, for tests of what hangs above it or is dug into it."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.engine.levels.entries import GroundFrom
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times


@dataclass(frozen=True, slots=True)
class PlaneYard:
    """Ground at ``height`` where x and y are 0, rising by ``east`` per mm of x and ``north`` per mm of y."""

    height: float = 0.0
    east: float = 0.0
    north: float = 0.0

    def up(self, place: Vector) -> float:
        """Return the elevation at a place."""
        return self.height + self.east * place[0] + self.north * place[1]

    def at(self, place: Vector) -> tuple[float | None, GroundFrom, float]:
        """Return the elevation at a place as a ground tells it."""
        return self.up(place), "surface", 0.0

    def profile(self, a: Vector, b: Vector) -> tuple[tuple[Vector, ...], ...]:
        """Return the ground from a to b, with a break half way."""
        half = plus(a, times(minus(b, a), 0.5))
        long = distance(a, b)
        return (((0.0, self.up(a)), (long / 2, self.up(half)), (long, self.up(b))),)


class NoYard:
    """Ground of which nothing is known."""

    def at(self, place: Vector) -> tuple[float | None, GroundFrom, float]:
        """Return that nothing is known."""
        return None, "none", 0.0

    def profile(self, a: Vector, b: Vector) -> tuple[tuple[Vector, ...], ...]:
        """Return no part at all."""
        return ()
