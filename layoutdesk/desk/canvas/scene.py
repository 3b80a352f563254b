"""What one picture of the sheet is painted from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.lettering import Lettering
from layoutdesk.desk.theme import Theme
from layoutdesk.gestures.bearings import Bearings
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.units import Units, format_length

if TYPE_CHECKING:
    from layoutdesk.desk.canvas.underlay import Pictures
    from layoutdesk.engine.layout import Layout
    from layoutdesk.engine.proof.entries import Proof


@dataclass(frozen=True)
class Scene:
    """A plan, what follows from it as far as it is known yet, and how it is looked at.

    ``layout`` is None in the first picture after opening: the lines of the plan are drawn at once and every
    number a moment later. ``columns`` says whether numpy may be used already, which that first picture must
    not wait for; ``numbers`` whether dimensions and ties are shown. ``area`` is what is painted, in pixels of
    the camera; ``sharpness`` is how many device pixels one of them has. ``squaring`` shows the triangle that
    squares the first line; ``leveling`` takes dimensions away for heights, which are shown once ``heights`` says
    that they are known; ``digging`` shows how holes came out that were logged; ``proof`` is drawn over the
    plan, and ``tape`` from point to point. ``underlays`` lie under the sheet; ``pictures`` has what they show, and
    ``came`` tells how many of those there were when the scene was set.
    """

    plan: Plan
    layout: Layout | None
    bearings: Bearings
    camera: Camera
    theme: Theme
    lettering: Lettering
    area: QRectF
    sharpness: float = 1.0
    columns: bool = True
    numbers: bool = True
    selected: frozenset[str] = frozenset()
    bay: str | None = None
    squaring: bool = False
    leveling: bool = False
    heights: bool = False
    digging: bool = False
    proof: Proof | None = None
    tape: tuple[str, str] | None = None
    underlays: tuple[Underlay, ...] = ()
    pictures: Pictures | None = None
    came: int = 0

    def length(self, mm: float) -> str:
        """Return a length as the screen shows it, in the plan's units."""
        return _shown(mm, self.plan.units, self.plan.rounding)

    def height(self, mm: float) -> str:
        """Return an elevation as the screen shows it, with its sign."""
        shown, nothing = self.length(abs(mm)), self.length(0.0)
        return shown if shown == nothing else f"{'−' if mm < 0 else '+'}{shown}"


@lru_cache(maxsize=4096)
def _shown(mm: float, units: Units, rounding: float) -> str:
    return format_length(mm, units, rounding, pretty=True)
