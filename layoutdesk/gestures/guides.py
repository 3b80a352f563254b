"""Guides: straight lines that a place may be drawn to, each with the reason in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from layoutdesk.geometry.vector import Vector, crossing, distance, dot, left, minus, plus, times

ON, SQUARE, LEVEL, SPACED, ROWS_SPACED, GRID = 0, 1, 2, 3, 4, 6
"""How strongly a guide pulls, strongest first: on a piece, square from one, in line, spaced as the
neighbours on a line, as the rows beside it, the grid."""
PARALLEL: Final = 0.17
"""Guides that meet at less than ten degrees do not fix a place: their crossing would run away."""
SAME_WAY: Final = 1e-6
"""Two guides that turn against each other by less than this (rad) lie along each other."""


@dataclass(frozen=True, slots=True)
class Guide:
    """A straight line through a place, in mm; ``way`` is one millimetre long.

    ``low`` and ``high`` bound it along its way; ``words`` say what it is and ``on`` which pieces it comes
    from; ``source`` is where it is drawn from, None when the sheet shows it already.
    """

    through: Vector
    way: Vector
    words: str
    rank: int
    on: tuple[str, ...] = ()
    source: Vector | None = None
    low: float = -math.inf
    high: float = math.inf

    def nearest(self, at: Vector) -> Vector:
        """Return the place on the guide nearest to another."""
        run = min(max(dot(minus(at, self.through), self.way), self.low), self.high)
        return plus(self.through, times(self.way, run))

    def away(self, at: Vector) -> float:
        """Return how far a place is from the guide, in mm."""
        return distance(at, self.nearest(at))

    def meets(self, other: Guide) -> Vector | None:
        """Return where two guides cross, None when they run nearly the same way or the crossing is beyond one."""
        if abs(self.way[0] * other.way[1] - self.way[1] * other.way[0]) < PARALLEL:
            return None
        at = crossing(self.through, plus(self.through, self.way), other.through, plus(other.through, other.way))
        if at is None or not self.reaches(at) or not other.reaches(at):
            return None
        return at

    def reaches(self, at: Vector) -> bool:
        """Return whether a place on the endless line lies on the bounded one."""
        run = dot(minus(at, self.through), self.way)
        return self.low - 1e-6 <= run <= self.high + 1e-6

    def lies_along(self, other: Guide) -> bool:
        """Return whether two guides are one and the same straight line."""
        turn = abs(self.way[0] * other.way[1] - self.way[1] * other.way[0])
        return turn <= SAME_WAY and abs(dot(minus(other.through, self.through), left(self.way))) <= 1e-3


def said_together(words: list[str]) -> str:
    """Return reasons as one phrase; two pieces to be in line with are named together."""
    lead = "in line with "
    level = [w.removeprefix(lead) for w in words if w.startswith(lead)]
    together = lead + " and ".join(dict.fromkeys(level))
    return ", ".join(dict.fromkeys(together if w.startswith(lead) else w for w in words))
