"""The three ways of showing and typing lengths, and what an inch and a foot are."""

from __future__ import annotations

from typing import Final, Literal

Units = Literal["ft-in", "m", "mm"]
UNITS: Final[tuple[Units, ...]] = ("ft-in", "m", "mm")

MM_PER_INCH: Final = 25.4
MM_PER_FOOT: Final = 304.8
KG_PER_POUND: Final = 0.45359237
"""The international pound of 1959."""
LIMIT_MM: Final = 1e7
"""The longest length that is read: 10 km. More is a slip of the keyboard, not a porch."""


def inches(count: float) -> float:
    """Return a number of inches in millimetres, as typing it gives them.

    ``12 * MM_PER_INCH`` is a hair off the 304.8 that a foot is: 25.4 is no exact float, while 127 and 5 are.
    """
    return count * 127 / 5


def default_tape(units: Units) -> float:
    """Return the length of the long tape that usually goes with ``units``, in millimetres: 100 ft or 30 m."""
    return 100 * MM_PER_FOOT if units == "ft-in" else 30_000.0


def default_paper(units: Units) -> Literal["letter", "a4"]:
    """Return the paper that usually goes with ``units``: letter, or A4 (ISO 216) in metric plans."""
    return "letter" if units == "ft-in" else "a4"


def default_step(units: Units) -> float:
    """Return the step of the tape that usually goes with ``units``, in millimetres: 1/16 in or 1 mm."""
    return MM_PER_INCH / 16 if units == "ft-in" else 1.0
