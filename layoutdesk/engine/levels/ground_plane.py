"""The plane that fits the spots best, and how far the ground is from being one.

Least squares of the heights, about the middle of the places, so that no digits are lost far from the origin. What a
place off the spots is known to follows from the same fit: with s² the mean square off the plane and h the leverage
of the place, h = x'(X'X)⁻¹x, the plane itself is known to s²h there (any book on linear regression; from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.entries import SURE_95
from layoutdesk.engine.levels.ground_points import GroundPlaces
from layoutdesk.geometry.vector import Vector

IN_LINE: Final = 0.01
"""Places lie in one line when none is farther off it than this share of its length: they say nothing of the slope
square to it. Common practice, no source."""
USUAL_ROUGHNESS_MM: Final = 12.7
"""How rough a yard is taken to be, one standard deviation off its plane, before enough spots say it: half an inch.
Common practice, no source. It counts as much as two spots beyond those that fix the plane."""
USUAL_COUNTS: Final = 2
SAME_WAY: Final = 0.1
"""Two directions are taken for one when the sine between them is no more than this. Common practice, no source."""
ACROSS: Final = 0.05
"""One standard deviation of a slope that nothing was measured of: 5 in 100. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The fitted plane, z = elevation + gradient · (place - centre); lengths in mm.

    ``line`` is the direction (1 mm long) of spots that all lie in one line, else None: the plane is then level
    square to it. ``spread`` is the (2, 2) inverse of the sums of squares of the places, ``count`` their number,
    ``free`` how many more there are than the plane needs, ``deviation`` the root mean square off it (NaN when none
    are more). ``reading`` is the root mean square of the standard deviations of the spots themselves.
    """

    centre: Floats
    elevation: float
    gradient: Floats
    line: Floats | None
    spread: Floats
    count: int
    free: int
    deviation: float
    reading: float

    @property
    def rough(self) -> float:
        """Return how rough the ground is, one standard deviation off the plane without the errors of readings."""
        off = self.free * (self.deviation**2 - self.reading**2) if self.free else 0.0
        mean = (off + USUAL_COUNTS * USUAL_ROUGHNESS_MM**2) / (self.free + USUAL_COUNTS)
        return math.sqrt(max(0.0, mean))

    def tells(self, way: Vector) -> bool:
        """Return whether the spots tell the slope in a direction (1 mm long): those in one line only their own."""
        if self.line is None:
            return True
        u, v = self.line.tolist()
        return bool(abs(u * way[1] - v * way[0]) <= SAME_WAY)

    def heights(self, xy: Floats) -> Floats:
        """Return the elevation of the plane at places, (n, 2) to (n,)."""
        z: Floats = self.elevation + (xy - self.centre) @ self.gradient
        return z

    def within(self, xy: Floats) -> Floats:
        """Return how well the ground is known at places off the spots, (n, 2) to (n,): 1.96 standard deviations.

        It is told of ground that goes on as between the spots: of a bank or a wall beyond them nothing is known.
        """
        away = xy - self.centre
        leverage = 1 / self.count + np.einsum("ni,ij,nj->n", away, self.spread, away)
        variance = self.rough**2 + (self.rough**2 + self.reading**2) * leverage
        if self.line is not None:
            variance += (ACROSS * (away[:, 1] * self.line[0] - away[:, 0] * self.line[1])) ** 2
        known: Floats = SURE_95 * np.sqrt(variance)
        return known


def fit_plane(places: GroundPlaces) -> Fit | None:
    """Return the plane of least squares through two places or more; None for fewer."""
    count = len(places)
    if count < 2:
        return None
    centre, elevation = places.xy.mean(axis=0), float(places.z.mean())
    away, z = places.xy - centre, places.z - elevation
    line = _line(away)
    columns = away if line is None else (away @ line)[:, None]
    slope = np.linalg.lstsq(columns, z, rcond=None)[0]
    free = count - 1 - columns.shape[1]
    off = z - columns @ slope
    squares = np.linalg.inv(columns.T @ columns)
    return Fit(
        centre=centre,
        elevation=elevation,
        gradient=slope if line is None else slope[0] * line,
        line=line,
        spread=squares if line is None else squares[0, 0] * np.outer(line, line),
        count=count,
        free=free,
        deviation=math.sqrt(float(off @ off) / free) if free else math.nan,
        reading=math.sqrt(float(np.mean((places.within / SURE_95) ** 2))),
    )


def _line(away: Floats) -> Floats | None:
    """Return the direction of places that lie in one line, from their middle; None when they do not."""
    _, _, ways = np.linalg.svd(away, full_matrices=False)
    along, across = away @ ways[0], away @ ways[1]
    if float(np.abs(across).max()) > IN_LINE * float(np.ptp(along)):
        return None
    way: Floats = ways[0]
    # One sense for both: from the first place on, so that a copy of the plan that was turned says the same.
    return way if float(along[-1] - along[0]) >= 0 else -way
