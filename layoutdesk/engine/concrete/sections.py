"""The shape of a hole and its form, part by part: round or square, straight, tapered or stepped.

Depths are in mm below the ground; what stands above it has negative depths. A part whose width goes from a to b
over the height h holds c h / 3 (a² + a b + b²): c is π/4 for a round part (a frustum of a cone) and 1 for a
square one (a frustum of a pyramid, the same rule by Heron).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing

Shape: TypeAlias = Literal["round", "square"]

MM3_PER_M3: Final = 1e9
_AREA: Final[dict[str, float]] = {"round": math.pi / 4, "square": 1.0}


def frustum(height: float, top: float, bottom: float) -> float:
    """Return the volume in mm³ of a round hole whose diameter goes from ``top`` to ``bottom``; all in mm."""
    return math.pi * height / 12 * (top * top + top * bottom + bottom * bottom)


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a pier; ``upper`` and ``lower`` are diameters, or the sides of squares, in mm."""

    top: float
    bottom: float
    upper: float
    lower: float
    shape: Shape = "round"

    def width(self, depth: float) -> float:
        """Return the diameter or side at a depth within the part."""
        return self.upper + (self.lower - self.upper) * (depth - self.top) / (self.bottom - self.top)

    def area(self, depth: float) -> float:
        """Return the area in mm² at a depth within the part."""
        return _AREA[self.shape] * self.width(depth) ** 2

    def volume(self, top: float = -math.inf, bottom: float = math.inf) -> float:
        """Return the volume in mm³ between two depths."""
        above, below = max(self.top, top), min(self.bottom, bottom)
        if below <= above:
            return 0.0
        as_round = frustum(below - above, self.width(above), self.width(below))
        return as_round * (_AREA[self.shape] / _AREA["round"])


def parts_of(profile: Sequence[tuple[float, float]], *, shape: Shape = "round") -> tuple[Part, ...]:
    """Return the parts of a profile of (depth, width) down the hole; two entries at one depth make a step.

    Above its first depth the hole keeps the first width.

    Raises:
        ReckoningError: for a negative or rising depth, and for a width of nothing.
    """
    if not profile:
        return ()
    depths = [depth for depth, _ in profile]
    if not all(math.isfinite(depth) and depth >= 0 for depth in depths):
        raise ReckoningError("A hole begins at the ground: none of its depths can be negative.")
    for k, (above, below) in enumerate(pairwise(depths), start=2):
        if below < above:
            raise ReckoningError(f"The profile of a hole goes down: its point {k} lies above the one before it.")
    for _, width in profile:
        more_than_nothing("The width of a hole", width)
    whole = [(0.0, profile[0][1]), *profile]
    return tuple(Part(z1, z2, w1, w2, shape) for (z1, w1), (z2, w2) in pairwise(whole) if z2 > z1)


def gross_volume(parts: Sequence[Part], *, top: float = -math.inf, bottom: float = math.inf) -> float:
    """Return the volume in mm³ of all parts between two depths."""
    return math.fsum(part.volume(top, bottom) for part in parts)
