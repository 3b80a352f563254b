"""How far a mason's line hangs through between its boards.

A line of even weight hangs as a catenary, y = a·cosh(x/a) with a = H/w: H its level pull, w its weight per unit of
length. Between two ends at one height, L apart, its middle hangs a·(cosh(L/2a) - 1) below them, which for a tight
line is w·L²/(8·H) (the parabola of the handbooks) with the next term w³·L⁴/(384·H³).
"""

from __future__ import annotations

import math
from typing import Final

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall, m/s² (third CGPM, 1901)."""


def sag(span: float, mass: float, pull: float) -> float:
    """Return how far the middle of a line hangs below the straight one, in mm.

    Args:
        span: the level distance between its ends, mm.
        mass: of the line, grams per metre.
        pull: the level part of the pull in it, N; more than 0.

    ``2·a·sinh²(L/4a)`` is the same as ``a·(cosh(L/2a) - 1)`` and loses no digits for a tight line.
    """
    weight = mass * 1e-3 * GRAVITY  # N per metre
    if weight <= 0 or span <= 0:
        return 0.0
    a = pull / weight * 1e3
    quarter = span / (4 * a)
    return 2 * a * math.sinh(quarter) ** 2 if quarter < _LIMP else math.inf


_LIMP: Final = 300.0
"""A line so slack has no place that a number tells."""
