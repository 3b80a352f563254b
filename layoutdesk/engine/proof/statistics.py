"""What chance allows: the limits of the tests, and the ellipses of the stakes.

The deviations of the tapes are known beforehand, from their classes, so that nothing here is estimated from the
measures themselves. Each measure is tested at 0.1 %, as surveyors do (from memory), the whole at 5 %. Where there
are more than fifty measures each is tested at so much less that a sound job has a suspect no more often than one
time in twenty.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from scipy.special import chdtr, chdtri, ndtri

from layoutdesk.engine.columns import Floats

SURE: Final = 0.95
"""What ellipses and the test of the whole hold."""
SUSPECT_AT: Final = 0.001
"""How often a sound measure is taken for a suspect, each for itself."""
ELLIPSE_SQUARED: Final = -2 * math.log(1 - SURE)
"""The square of the axes of an ellipse in standard deviations: chi-square of two degrees, 5.99."""
LEAST_REDUNDANCY: Final = 1e-4
"""A measure with less than this share of an error showing is not checked by the others."""


def limit_of(count: int) -> float:
    """Return beyond how many of its own standard deviations a residual of so many is suspect: 3.29 up to fifty."""
    return float(ndtri(1 - min(SUSPECT_AT, (1 - SURE) / max(count, 1)) / 2))


def chi_square_limits(degrees: int) -> tuple[float, float]:
    """Return between which limits the weighted sum stays in 95 % of sound jobs; (0, 0) with nothing to spare."""
    if degrees <= 0:
        return 0.0, 0.0
    tail = (1 - SURE) / 2
    return float(chdtri(degrees, 1 - tail)), float(chdtri(degrees, tail))


def chance_of_less(weighted: float, degrees: int) -> float:
    """Return in which share of sound jobs the weighted sum is smaller still."""
    return float(chdtr(degrees, weighted)) if degrees > 0 else 1.0


def in_own_deviations(residual: Floats, deviation: Floats, redundancy: Floats) -> Floats:
    """Return each residual in terms of its own standard deviation, (m,); 0 where no other measure checks it."""
    checked = (redundancy > LEAST_REDUNDANCY) & np.isfinite(residual)
    own = deviation * np.sqrt(np.where(checked, redundancy, 1.0))
    return np.where(checked, residual, 0.0) / own


def ellipses(covariance: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the 95 % ellipses of places.

    Args:
        covariance: (n, 2, 2) in mm², NaN where a place is not determined.

    Returns:
        The longer and the shorter half axes in mm, and the turn of the longer one in degrees anticlockwise from
        x, from 0 to 180; (n,) each.
    """
    xx, yy, xy = covariance[:, 0, 0], covariance[:, 1, 1], covariance[:, 0, 1]
    half, reach = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy)
    longer, shorter = half + reach, np.maximum(half - reach, 0.0)
    turn = np.degrees(0.5 * np.arctan2(2 * xy, xx - yy)) % 180.0
    return np.sqrt(ELLIPSE_SQUARED * longer), np.sqrt(ELLIPSE_SQUARED * shorter), turn


def in_ellipse(way: Floats, covariance: Floats) -> bool:
    """Return whether a way, (2,) in mm, stays inside the 95 % ellipse of a covariance, (2, 2) in mm²."""
    xx, yy, xy = float(covariance[0, 0]), float(covariance[1, 1]), float(covariance[0, 1])
    dx, dy = float(way[0]), float(way[1])
    spread = xx * yy - xy * xy
    return bool(yy * dx * dx - 2 * xy * dx * dy + xx * dy * dy <= ELLIPSE_SQUARED * spread)
