"""Millimetres to text that is read back as the very same float: for entry fields."""

from __future__ import annotations

import math

from layoutdesk.errors import LengthError
from layoutdesk.units.system import MM_PER_INCH, Units
from layoutdesk.units.typed import parse_length
from layoutdesk.units.written import format_length


def format_exact(mm: float, units: Units) -> str:
    """Return a length as text that parses back to the very same float: for entry fields.

    Feet and inches are used when the value is a whole number of 1/64 in, metres when nine decimals tell it all;
    otherwise millimetres with all their digits, down to 20 decimals.

    Raises:
        ValueError: when ``mm`` is not finite.
    """
    mm += 0.0  # which makes a negative zero a plain one
    if units == "ft-in":
        text = format_length(mm, units, MM_PER_INCH / 64)
        if _reads_as(text, mm):
            return text
    elif units == "m":
        text = f"{mm / 1000:.9f}".rstrip("0").rstrip(".") + " m"
        if _reads_as(text, mm):
            return text
    if not math.isfinite(mm):
        raise ValueError(f"cannot write the length {mm}")
    text = repr(float(mm)).removesuffix(".0")
    if "e" in text:
        text = f"{mm:.20f}".rstrip("0").rstrip(".")
    return f"{text} mm"


def _reads_as(text: str, mm: float) -> bool:
    """Return whether a text that carries its units is read as exactly ``mm``."""
    try:
        return parse_length(text, "mm") == mm
    except LengthError:  # farther than 10 km: such lengths can be shown, and not typed
        return False
