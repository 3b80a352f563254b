"""Where the plan is on the screen: millimetres to pixels and back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPolygonF

from layoutdesk.geometry.vector import Vector, dot, minus, plus, times
from layoutdesk.gestures.bearings import Bearings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CLOSEST: Final = 20.0
"""The largest scale, in pixels a millimetre: a sixteenth of an inch fills 32 pixels."""
FARTHEST: Final = 2e-4
"""The smallest scale, in pixels a millimetre: five kilometres fill a thousand pixels."""
SCREEN_MM: Final = 25.4 / 96
"""A screen pixel in millimetres, as window systems count them."""


@dataclass(frozen=True, slots=True)
class Camera:
    """How the sheet is looked at: turned so that ``down`` points down the screen, never mirrored.

    ``centre`` is the place of the plan (mm) that lies at ``middle`` (px); ``scale`` is in pixels a
    millimetre. ``right`` and ``down`` are directions of the plan, one millimetre long.
    """

    centre: Vector = (0.0, 0.0)
    scale: float = 0.05
    right: Vector = (1.0, 0.0)
    down: Vector = (0.0, -1.0)
    middle: Vector = (0.0, 0.0)

    def to_screen(self, at: Vector) -> QPointF:
        """Return where a place of the plan is on the screen, in pixels."""
        way = minus(at, self.centre)
        return QPointF(
            dot(way, self.right) * self.scale + self.middle[0], dot(way, self.down) * self.scale + self.middle[1]
        )

    def to_plan(self, x: float, y: float) -> Vector:
        """Return the place of the plan that lies at a pixel."""
        return plus(self.centre, self.way_to_plan(x - self.middle[0], y - self.middle[1]))

    def way_to_plan(self, dx: float, dy: float) -> Vector:
        """Return a move of so many pixels as a move in the plan, in millimetres."""
        return plus(times(self.right, dx / self.scale), times(self.down, dy / self.scale))

    def polygon(self, places: Iterable[Vector]) -> QPolygonF:
        """Return places of the plan as a polygon of the screen."""
        return QPolygonF([self.to_screen(at) for at in places])

    def columns(self, xy: Floats) -> tuple[Floats, Floats]:
        """Return x and y in pixels of many places, given as an (n, 2) array in millimetres."""
        x, y = xy[:, 0] - self.centre[0], xy[:, 1] - self.centre[1]
        s = self.scale
        return (
            x * (self.right[0] * s) + y * (self.right[1] * s) + self.middle[0],
            x * (self.down[0] * s) + y * (self.down[1] * s) + self.middle[1],
        )

    def panned(self, dx: float, dy: float) -> Camera:
        """Return the camera after the sheet was pushed by so many pixels."""
        return replace(self, centre=minus(self.centre, self.way_to_plan(dx, dy)))

    def zoomed(self, factor: float, x: float, y: float) -> Camera:
        """Return the camera after zooming about a pixel, whose place of the plan stays where it is."""
        scale = min(max(self.scale * factor, FARTHEST), CLOSEST)
        held = self.to_plan(x, y)
        there = replace(self, scale=scale)
        return replace(there, centre=plus(there.centre, minus(held, there.to_plan(x, y))))

    def turned_to(self, bearings: Bearings) -> Camera:
        """Return the camera turned to a baseline, about the middle of the screen."""
        return replace(self, right=bearings.right, down=bearings.down)

    def fitted(self, places: Iterable[Vector], width: float, height: float) -> Camera:
        """Return the camera that shows all places in a rectangle of so many pixels round the middle.

        One place alone, or none, is shown at the scale of a small porch.
        """
        ways = [(dot(p, self.right), dot(p, self.down)) for p in places] or [(0.0, 0.0)]
        xs, ys = [w[0] for w in ways], [w[1] for w in ways]
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        if wide <= 0 and high <= 0:
            wide = high = 8000.0
        scale = min(width / max(wide, 1e-9), height / max(high, 1e-9))
        centre = plus(times(self.right, (max(xs) + min(xs)) / 2), times(self.down, (max(ys) + min(ys)) / 2))
        return replace(self, centre=centre, scale=min(max(scale, FARTHEST), CLOSEST))

    @property
    def ratio(self) -> float:
        """Return how many times smaller than the ground the screen shows it: 48 for 1 : 48."""
        return 1 / (self.scale * SCREEN_MM)
