"""How a beam line seen from its side lies on paper: lengths to the right, heights up, both to scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.layout import SideView
from layoutdesk.engine.levels.entries import SidePier
from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.paper import Box

UNDER_GROUND: Final = 3.0
"""How thick the ground is drawn below its surface, in millimetres."""
NAMES: Final = 5.5
"""Room below the holes for the names of the piers."""
ABOVE: Final = 8.0
"""Room above the beam for its name."""

_SMALLEST: Final = 1e-9
"""No scale is smaller, whatever is typed for heights."""


@dataclass(frozen=True, slots=True)
class Eye:
    """Where running and elevation lie on the page: millimetres of paper for each millimetre on site."""

    room: Box
    zero: Vector
    along: float
    up: float

    @classmethod
    def fitted(cls, view: SideView, room: Box, times: float) -> Eye:
        """Return the largest eye with heights ``times`` taller that shows the whole view."""
        low, high = reach(view)
        inner = Box(room.left + 1.0, room.bottom + UNDER_GROUND + NAMES, room.right - 1.0, room.top - ABOVE)
        along = min(inner.width / (view.end - view.start), inner.height / (times * max(high - low, 1.0)))
        along = max(along, _SMALLEST)
        return cls(
            room, (inner.left - view.start * along, inner.bottom - low * along * times), along, along * times
        )

    def at(self, running: float, elevation: float) -> Vector:
        """Return the place on the page."""
        return (self.zero[0] + running * self.along, self.zero[1] + elevation * self.up)


def reach(view: SideView) -> tuple[float, float]:
    """Return the lowest and the highest elevation that a view shows; a metre where it shows none."""
    heights = [height for part in view.ground for _, height in part]
    heights += [height for line in (view.string, view.beam) if line for _, height in line]
    for pier in view.piers:
        heights += [h for h in (pier.ground, pier.top, pier.bottom, pier.head, pier.support) if h is not None]
    return (min(heights), max(heights)) if heights else (0.0, 1000.0)


def widest(pier: SidePier) -> float:
    """Return how wide a pier and its column are at most, in millimetres on site."""
    return max(pier.column, max((diameter for _, diameter in pier.profile), default=0.0))


def height_on(line: tuple[Vector, Vector], running: float) -> float:
    """Return the elevation of a straight line from its two ends, carried on beyond them."""
    (start, low), (end, high) = line
    return low if start == end else low + (high - low) * (running - start) / (end - start)
