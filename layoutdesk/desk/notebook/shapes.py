"""The usual shapes of a hole: what a profile is, and the profile of a shape in the measures at hand."""

from __future__ import annotations

from typing import Final, Literal

from layoutdesk.plan.model import Detail
from layoutdesk.units import Units, inches

Shape = Literal["straight", "tapered", "belled", "stepped", "own"]
Profile = tuple[tuple[float, float], ...]

SHAPES: Final[dict[Shape, str]] = {
    "straight": "straight",
    "tapered": "tapered",
    "belled": "belled",
    "stepped": "pedestal on a pad",
    "own": "its own",
}


def shape_of(detail: Detail) -> Shape:
    """Return which of the usual shapes a detail has."""
    profile = detail.profile
    widths = [width for _, width in profile]
    if len(set(widths)) == 1:
        return "straight"
    if len(profile) == 2:
        return "tapered"
    if len(profile) == 3 and widths[0] == widths[1] < widths[2]:
        return "belled"
    if len(profile) == 4 and profile[1][0] == profile[2][0] and widths[0] == widths[1] < widths[2] == widths[3]:
        return "stepped"
    return "own"


def profile_of(shape: Shape, detail: Detail, units: Units) -> Profile:
    """Return the profile of a shape, as deep and at its top as wide as a detail is now.

    A bell or pad is half as wide again as the shaft and a quarter of the depth high, in whole inches or in steps
    of 50 mm: a start to be dragged and typed over, not a rule (common practice, no source).
    """
    step = inches(1) if units == "ft-in" else 50.0
    width, depth = detail.profile[0][1], detail.profile[-1][0]
    wide = max(width + step, _steps(width * 1.5, step))
    neck = round(max(0.0, depth - max(step, _steps(depth / 4, step))), 9)
    if shape == "tapered":
        return ((0.0, width), (depth, wide))
    if shape == "belled":
        return ((0.0, width), (neck, width), (depth, wide))
    if shape == "stepped":
        return ((0.0, width), (neck, width), (neck, wide), (depth, wide))
    return detail.profile if shape == "own" else ((0.0, width), (depth, width))


def _steps(value: float, step: float) -> float:
    return round(round(value / step) * step, 9)
