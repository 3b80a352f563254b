"""What the ground does, in sentences with the plan's units."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.engine.levels.ground_plane import Fit
from layoutdesk.engine.reasons import shown_small
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, dot
from layoutdesk.plan.model import Plan
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, format_slope

LEVEL: Final = 5e-4
"""A slope below this is called level: half a millimetre in a metre."""
_ONE_WAY: Final = math.sin(math.radians(15))
"""A fall is called straight away from the house, or straight along, when it is within 15 degrees of that."""


def slope_in_words(slope: float, plan: Plan) -> str:
    """Return a slope as builders say it, with its share in hundred."""
    share = format_slope(slope, "m")
    if plan.units != "ft-in":
        return share
    step = MM_PER_INCH / 16 / MM_PER_FOOT
    said = format_slope(slope, "ft-in") if slope >= step / 2 else f"less than {format_slope(step, 'ft-in')}"
    return f"{said} ({share})"


def way_in_words(way: Vector, frame: Frame | None) -> str:
    """Return a direction (1 mm long) as seen from the house, or in the drawing's own axes without a baseline."""
    if frame is None:
        parts = [(way[1], "up the sheet", "down the sheet"), (way[0], "to the right", "to the left")]
    else:
        parts = [
            (dot(way, frame.away), "away from the house", "toward the house"),
            (dot(way, frame.along), "along the baseline", "back along the baseline"),
        ]
    return " and ".join(more if part > 0 else less for part, more, less in parts if abs(part) >= _ONE_WAY)


def plane_says(fit: Fit, most_off: float, plan: Plan, frame: Frame | None) -> str:
    """Return what the fitted plane says, in one sentence or two; ``most_off`` is the farthest spot off it, mm."""
    u, v = fit.gradient.tolist()
    slope = math.hypot(u, v)
    if slope < LEVEL:
        text = "The ground is level"
    else:
        text = f"The ground falls {slope_in_words(slope, plan)} {way_in_words((-u / slope, -v / slope), frame)}"
    if fit.line is not None:
        return (
            f"{text} along the one line that all spots lie in; square to it nothing is known and level is taken:"
            " take the height of a spot beside that line."
        )
    if fit.free == 0:
        return f"{text}; three spots fix this plane and do not check it."
    return f"{text}; the spots lie up to {shown_small(most_off, plan)} off that plane."
