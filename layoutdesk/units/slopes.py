"""Slopes: typed text to a ratio and back. A slope of 1/48 is 1/4 in to the foot, about 2 %."""

from __future__ import annotations

import re
from typing import Final

from layoutdesk.errors import LengthError
from layoutdesk.units.system import MM_PER_FOOT, MM_PER_INCH, Units
from layoutdesk.units.typed import NUMBER, parse_length
from layoutdesk.units.written import format_length

SLOPE_EXAMPLE: Final[dict[Units, str]] = {"ft-in": '1/4" per ft', "m": "2 %", "mm": "2 %"}
"""A slope as it is typed in each units."""
_STEP: Final = MM_PER_INCH / 16
_PER_FOOT: Final = re.compile(r"\s*(?:per|/|in\s+a|to\s+the)\s*(?:ft|foot)\.?$", re.IGNORECASE)
_SHARE: Final = re.compile(rf"([-−]?)\s*({NUMBER})\s*%")
_RATIO: Final = re.compile(rf"([-−]?)\s*({NUMBER})\s*(?::|in)\s*({NUMBER})")
_BARE: Final = re.compile(rf"([-−]?)\s*({NUMBER})")
STEEPEST: Final = 1.0


def format_slope(ratio: float, units: Units, *, pretty: bool = True) -> str:
    """Return a slope as it is said on site: inches to the foot, to 1/16 in, or per cent with one decimal."""
    if units != "ft-in":
        return f"{ratio * 100:.1f} %".replace("-", "−" if pretty else "-")
    return f"{format_length(ratio * MM_PER_FOOT, units, _STEP, pretty=pretty)} per ft"


def exact_slope(ratio: float, units: Units) -> str:
    """Return a slope as text that parses back to the same slope, to 1e-15: for entry fields."""
    parts = ratio * 12 * 64
    if units == "ft-in" and abs(parts - round(parts)) < 1e-9:
        return f"{format_length(ratio * MM_PER_FOOT, units, MM_PER_INCH / 64)} per ft"
    for whole in range(1, 401):
        if ratio and abs(1 / ratio - whole) < 1e-9:
            return f"1:{whole}"
    return f"{ratio * 100:.14f}".rstrip("0").rstrip(".") + " %"


def parse_slope(text: str, units: Units) -> float:
    """Return the ratio that a slope says: ``1/4" per ft``, ``2 %`` or ``1:48``.

    A bare number is inches to the foot where the plan is in feet and inches, else per cent.

    Raises:
        LengthError: when it is no slope, or steeper than 1:1.
    """
    clean = text.strip()
    example = SLOPE_EXAMPLE[units]
    if m := _SHARE.fullmatch(clean):
        ratio = float(m[2]) / 100 * (-1 if m[1] else 1)
    elif (m := _RATIO.fullmatch(clean)) and float(m[3]):
        ratio = float(m[2]) / float(m[3]) * (-1 if m[1] else 1)
    elif (per := _PER_FOOT.search(clean)) or units == "ft-in":
        rise = clean[: per.start()] if per else clean
        bare = _BARE.fullmatch(rise)
        try:
            mm = parse_length(f'{rise}"' if bare else rise, "ft-in")
        except LengthError as error:
            raise LengthError(text, "is no slope", example) from error
        ratio = mm / MM_PER_FOOT
    elif m := _BARE.fullmatch(clean):
        ratio = float(m[2]) / 100 * (-1 if m[1] else 1)
    else:
        raise LengthError(text, "is no slope", example)
    if abs(ratio) > STEEPEST:
        raise LengthError(text, "is steeper than 1:1", example)
    return ratio
