"""Figures that cannot be reckoned with, refused in one sentence."""

from __future__ import annotations

import math

from layoutdesk.errors import LayoutdeskError


class ReckoningError(LayoutdeskError, ValueError):
    """A figure from which no hole, order or cage can be reckoned."""


def more_than_nothing(what: str, value: float) -> float:
    """Return a figure that must be above nought.

    Raises:
        ReckoningError: when it is not, or is no number.
    """
    if not (math.isfinite(value) and value > 0):
        raise ReckoningError(f"{what} must be more than nothing, and {value:g} was given.")
    return value


def not_negative(what: str, value: float) -> float:
    """Return a figure that may be nought but not below.

    Raises:
        ReckoningError: when it is below nought, or is no number.
    """
    if not (math.isfinite(value) and value >= 0):
        raise ReckoningError(f"{what} must not be less than nothing, and {value:g} was given.")
    return value
