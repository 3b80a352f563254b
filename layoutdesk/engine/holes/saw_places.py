"""Where an opening is marked on the slab: its corners from the baseline, or the middle of a round one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import distance

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutdesk.engine.holes.entries import Opening
    from layoutdesk.geometry.frame import Frame
    from layoutdesk.geometry.vector import Vector

_ROUND: Final = 12
"""An outline with fewer corners than this is no circle."""
_CORNERS: Final = 4
_HAIR: Final = 1e-5
_SLACK: Final = 1e-6
"""How far from its circle a corner may lie, as a share of the radius."""


@dataclass(frozen=True, slots=True)
class SawPlace:
    """A place to mark: its name on the sheet, and station and offset in mm."""

    name: str
    station: float
    offset: float


@dataclass(frozen=True, slots=True)
class SawMarks:
    """What is marked for one opening.

    Attributes:
        opening: its id.
        places: its corners, or the middle alone where it is round.
        radius: in mm where it is round; else None.
        sides: station from and to, offset from and to where it is a rectangle along the baseline; else None.
    """

    opening: str
    places: tuple[SawPlace, ...]
    radius: float | None = None
    sides: tuple[float, float, float, float] | None = None

    @property
    def lengths(self) -> tuple[float, float, float] | None:
        """Return its sides along and away from the baseline and its diagonal; None for another shape."""
        if self.sides is None:
            return None
        along, away = self.sides[1] - self.sides[0], self.sides[3] - self.sides[2]
        return along, away, math.hypot(along, away)


def saw_marks(opening: Opening, frame: Frame) -> SawMarks:
    """Return what is marked for an opening; its corners are named as they follow round it."""
    ring = circle_of(opening)
    if ring is not None:
        centre, radius = ring
        return SawMarks(opening.id, (SawPlace("middle", *frame.station_offset(centre)),), radius)
    places = [frame.station_offset(corner) for corner in opening.outline]
    corners = tuple(SawPlace(f"corner {n}", *place) for n, place in enumerate(places, start=1))
    return SawMarks(opening.id, corners, sides=_sides(places))


def _sides(places: Sequence[Vector]) -> tuple[float, float, float, float] | None:
    """Return station from and to, offset from and to of a rectangle along the baseline; None for another shape."""
    stations, offsets = [s for s, _ in places], [o for _, o in places]
    sides = (min(stations), max(stations), min(offsets), max(offsets))
    along = {(_end(s, *sides[:2]), _end(o, *sides[2:])) for s, o in places}
    whole = len(places) == _CORNERS == len(along) and not any(None in corner for corner in along)
    return sides if whole else None


def _end(value: float, low: float, high: float) -> int | None:
    """Return which of two ends a value is, to a hundred-thousandth of a millimetre; None for neither."""
    return next((k for k, end in enumerate((low, high)) if abs(value - end) <= _HAIR), None)


def circle_of(opening: Opening) -> tuple[Vector, float] | None:
    """Return middle and radius of an opening that is a whole circle; None for any other."""
    outline = opening.outline
    if len(outline) < _ROUND:
        return None
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    reach = [distance(centre, corner) for corner in outline]
    radius = max(reach)
    return (centre, radius) if min(reach) >= radius * (1 - _SLACK) else None
