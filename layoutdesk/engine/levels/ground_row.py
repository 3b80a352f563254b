"""Ground whose spots all lie in one line: what it does along the line is known, square to it nothing is.

It is taken as level square to the line, and marked as beyond the spots off it.
"""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.levels.ground_plane import Fit
from layoutdesk.engine.levels.ground_points import ONE_PLACE_MM, GroundPlaces
from layoutdesk.engine.levels.ground_surface import EDGE_MM


class RowOfSpots:
    """The ground along a line of spots.

    ``along`` (n,) is how far the spots lie along the line, rising, ``z`` their heights and ``order`` their indices.
    """

    def __init__(self, places: GroundPlaces, fit: Fit) -> None:
        assert fit.line is not None
        self.way, self._centre, self._fit = fit.line, fit.centre, fit
        along, across = self._measured(places.xy)
        self.order = np.argsort(along)
        self.along, self.z = along[self.order], places.z[self.order]
        self._reach = max(ONE_PLACE_MM, float(np.abs(across).max()) + 1e-6)

    def _measured(self, xy: Floats) -> tuple[Floats, Floats]:
        x, y = (xy - self._centre).T
        return x * self.way[0] + y * self.way[1], y * self.way[0] - x * self.way[1]

    def measured(self, xy: Floats) -> tuple[Floats, Bools]:
        """Return how far along the line places lie, NaN before its first spot and after its last, and if on it."""
        along, across = self._measured(xy)
        between = (along >= self.along[0] - EDGE_MM) & (along <= self.along[-1] + EDGE_MM)
        return np.where(between, self.clipped(xy), np.nan), between & (np.abs(across) <= self._reach)

    def clipped(self, xy: Floats) -> Floats:
        """Return how far along the line places lie, not before its first spot nor after its last, (k,)."""
        along: Floats = np.clip(self._measured(xy)[0], self.along[0], self.along[-1])
        return along

    def across(self, xy: Floats) -> Floats:
        """Return how far places lie off the line, to the left positive, (k,)."""
        return self._measured(xy)[1]

    def heights(self, along: Floats) -> Floats:
        """Return the ground so far along the line, (k,); NaN stays NaN."""
        z: Floats = np.interp(along, self.along, self.z)
        return z

    def shares(self, along: Floats) -> tuple[Indices, Indices, Floats]:
        """Return the spots before and after, as indices of places, and how much the one after counts, (k,)."""
        after = np.clip(np.searchsorted(self.along, along, side="right"), 1, len(self.along) - 1)
        gap = self.along[after] - self.along[after - 1]
        # Two spots may lie side by side across the line: there either is as good.
        share = np.divide(along - self.along[after - 1], gap, out=np.full_like(gap, 0.5), where=gap > 0)
        return self.order[after - 1], self.order[after], share

    def lowest(self, xy: Floats, radius: Floats) -> Floats:
        """Return the lowest ground of this line in circles, (k,); beyond its ends it is the plane."""
        along, _ = self._measured(xy)
        first, last = self.along[0], self.along[-1]
        start, end = np.maximum(along - radius, first), np.minimum(along + radius, last)
        least = np.where(start <= end, np.minimum(self.heights(start), self.heights(end)), np.inf)
        low, high = np.searchsorted(self.along, start), np.searchsorted(self.along, end, side="right")
        for k in np.flatnonzero(high > low).tolist():
            least[k] = min(least[k], float(self.z[low[k] : high[k]].min()))
        for out, near, far in (
            (along - radius < first, np.minimum(along + radius, first), along - radius),
            (along + radius > last, np.maximum(along - radius, last), along + radius),
        ):
            plane = np.minimum(self._plane(near), self._plane(far))
            least = np.where(out, np.minimum(least, plane), least)
        return least

    def _plane(self, along: Floats) -> Floats:
        z: Floats = self._fit.elevation + along * float(self._fit.gradient @ self.way)
        return z

    def breaks(self, a: Floats, b: Floats) -> Floats:
        """Return at which shares of the way from a to b the ground breaks, those between 0 and 1."""
        (start, end), _ = self._measured(np.stack((a, b)))
        if abs(end - start) <= 1e-9:
            return np.empty(0)
        shares: Floats = (self.along - start) / (end - start)
        return shares[(shares > 0) & (shares < 1)]
