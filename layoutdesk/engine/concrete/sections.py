"""The shape of a hole and its form, part by part: round or square, straight, tapered or stepped.

Depths are in mm below the ground; what stands above it has negative depths. A part whose width goes from a to b
over the height h holds c h / 3 (a² + a b + b²): c is π/4 for a round part (a frustum of a cone) and 1 for a
square one (a frustum of a pyramid, the same rule by Heron).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative

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


def stacked(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Return parts that stand on one another, from the top down, such as a square pad under a round pedestal.

    Raises:
        ReckoningError: when a part has no height or width, or does not begin where the one above it ends.
    """
    found = tuple(parts)
    for part in found:
        more_than_nothing("The height of a part of a pier", part.bottom - part.top)
        more_than_nothing("The width of a part of a pier", min(part.upper, part.lower))
    for k, (above, below) in enumerate(pairwise(found), start=2):
        if below.top != above.bottom:
            raise ReckoningError(
                f"The parts of a pier stand on one another: part {k} does not begin where the one above it ends."
            )
    return found


@dataclass(frozen=True, slots=True)
class Embedded:
    """What stands in the concrete and takes its place: a column, or bars that run with the pier.

    Attributes:
        what: its name in sentences.
        area: of its section, in mm².
        top: where it begins, in mm below the ground; what stands out of the concrete displaces nothing.
        bottom: where it ends.
        count: how many there are.
    """

    what: str
    area: float
    top: float
    bottom: float
    count: int = 1


def gross_volume(parts: Sequence[Part], *, top: float = -math.inf, bottom: float = math.inf) -> float:
    """Return the volume in mm³ of all parts between two depths."""
    return math.fsum(part.volume(top, bottom) for part in parts)


def net_volume(
    parts: Sequence[Part],
    *,
    top: float = -math.inf,
    embedded: Sequence[Embedded] = (),
    steel: float = 0.0,
) -> float:
    """Return the concrete of one pier in mm³.

    Args:
        parts: from the top down.
        top: the depth from which it is filled; above it the hole stays empty.
        embedded: what runs with the pier and displaces concrete.
        steel: the volume in mm³ of hoops, hooks and all other steel in it.

    Raises:
        ReckoningError: when what is embedded does not fit into the pier.
    """
    gross = gross_volume(parts, top=top)
    taken = [not_negative("The volume of the steel", steel)]
    for one in embedded:
        area = not_negative(f"The area of the {one.what}", one.area) * one.count
        for part in parts:
            above, below = max(part.top, top, one.top), min(part.bottom, one.bottom)
            if below <= above:
                continue
            if area > min(part.area(above), part.area(below)):
                raise ReckoningError(f"The {one.what} does not fit into the pier: its section is the larger.")
            taken.append(area * (below - above))
    net = gross - math.fsum(taken)
    if net < 0:
        raise ReckoningError("More is embedded in the pier than it holds.")
    return net


@dataclass(frozen=True, slots=True)
class Spoil:
    """What comes out of a hole: ``in_place`` as it lay, ``loose`` as it lies beside the hole; mm³."""

    in_place: float
    loose: float


def spoil(parts: Sequence[Part], *, swell: float, over_dig: float = 0.0) -> Spoil:
    """Return what is dug for one pier.

    Args:
        parts: the pier; only what is below the ground is dug.
        swell: by which share the ground grows when it is dug, such as 0.25.
        over_dig: by which share the hole comes out bigger than drawn.
    """
    not_negative("The swell of the ground", swell)
    if over_dig <= -1:
        raise ReckoningError("A hole cannot come out smaller than nothing.")
    in_place = gross_volume(parts, top=0.0) * (1 + over_dig)
    return Spoil(in_place, in_place * (1 + swell))
