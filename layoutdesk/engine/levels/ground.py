"""The ground: what is known of its height anywhere, from the places where it was taken."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.contours import contours_of, interval_of
from layoutdesk.engine.levels.entries import SURE_95, Contour, GroundFrom, GroundPlane, GroundSpot, LevelBook
from layoutdesk.engine.levels.ground_lowest import lowest_beyond, lowest_on_surface
from layoutdesk.engine.levels.ground_plane import ACROSS, Fit, fit_plane
from layoutdesk.engine.levels.ground_points import (
    ONE_PLACE_MM,
    GroundClash,
    GroundPoint,
    ground_places,
    ground_points,
)
from layoutdesk.engine.levels.ground_profile import profile
from layoutdesk.engine.levels.ground_row import RowOfSpots
from layoutdesk.engine.levels.ground_surface import Surface
from layoutdesk.engine.levels.ground_words import plane_says
from layoutdesk.engine.once import once
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, dot
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from scipy.spatial import KDTree

FROM: Final[tuple[GroundFrom, ...]] = ("none", "beyond the spots", "surface", "typed", "reading")
"""How the ground is known, the less sure first; columns hold the index in this tuple."""
NOT_KNOWN, BEYOND, BETWEEN, TYPED, READ = range(5)


@dataclass(frozen=True, slots=True)
class GroundLook:
    """The ground at many places: ``z`` (k,) its heights in mm, NaN where they are not known.

    ``how`` (k,) are indices in FROM; ``within`` (k,) is 1.96 standard deviations in mm, NaN where nothing is known.
    """

    z: Floats
    how: Indices
    within: Floats


def _rows(look: GroundLook) -> Iterator[tuple[float | None, GroundFrom, float]]:
    for z, how, within in zip(look.z.tolist(), look.how.tolist(), look.within.tolist(), strict=True):
        yield None if math.isnan(z) else z, FROM[how], within


def ground_of(plan: Plan, frame: Frame | None, book: LevelBook | None) -> Ground:
    """Return the ground of a plan: from its spots, and from its piers where the ground was taken."""
    return Ground(plan, frame, ground_points(plan, book))


class Ground:
    """What is known of the ground; elevations in mm above the zero of the job.

    Between the spots it is the surface over them, beyond them the fitted plane. Where both meet, at the hull, the
    ground so has a step as high as the spots lie off the plane.
    """

    def __init__(self, plan: Plan, frame: Frame | None, points: tuple[GroundPoint, ...]) -> None:
        self._plan, self._frame = plan, frame
        self.points = points
        """The places where the ground was taken, spots first."""
        self._places = ground_places(points)

    @property
    def clashes(self) -> tuple[GroundClash, ...]:
        """Points at one place whose heights do not agree; their mean is taken."""
        return self._places.clashes

    @once
    def fit(self) -> Fit | None:
        """The fitted plane with what its errors are; None for fewer than two places."""
        return fit_plane(self._places)

    @once
    def _surface(self) -> Surface | None:
        return Surface(self._places.xy, self._places.z) if self.fit is not None and self.fit.line is None else None

    @once
    def _row(self) -> RowOfSpots | None:
        return RowOfSpots(self._places, self.fit) if self.fit is not None and self.fit.line is not None else None

    @once
    def spots(self) -> tuple[GroundSpot, ...]:
        """Every place where the ground was taken, and how far it lies off the plane."""
        z = np.array([p.elevation for p in self.points])
        at = np.array([p.at for p in self.points]).reshape(-1, 2)
        off = np.full(len(z), np.nan) if self.fit is None else z - self.fit.heights(at)
        return tuple(
            GroundSpot(p.id, p.label, p.at, p.elevation, p.within, d)
            for p, d in zip(self.points, off.tolist(), strict=True)
        )

    @once
    def plane(self) -> GroundPlane | None:
        """The plane that fits best; None while fewer than two places are known."""
        if self.fit is None:
            return None
        (x, y), (u, v) = self.fit.centre.tolist(), self.fit.gradient.tolist()
        slope = math.hypot(u, v)
        fall = (-u / slope, -v / slope) if slope > 0 else (0.0, 0.0)
        frame = self._frame
        most = max(abs(spot.off) for spot in self.spots)
        return GroundPlane(
            centre=(x, y),
            elevation=self.fit.elevation,
            slope=slope,
            fall=fall,
            away=None if frame is None or not self.fit.tells(frame.away) else slope * dot(fall, frame.away),
            along=None if frame is None or not self.fit.tells(frame.along) else slope * dot(fall, frame.along),
            deviation=self.fit.deviation,
            says=plane_says(self.fit, most, self._plan, frame),
        )

    @property
    def triangles(self) -> Indices:
        """The triangles of the surface, (m, 3) indices of :attr:`places`; none without a surface."""
        return np.empty((0, 3), dtype=np.intp) if self._surface is None else self._surface.corners

    @property
    def places(self) -> Floats:
        """The places of the spots, each once, (n, 2) in mm."""
        return self._places.xy

    @once
    def hull(self) -> tuple[Vector, ...]:
        """The outline of all places, anticlockwise; two points for places in one line, one for a single one."""
        if self._surface is None:
            ends = self._places.xy if self._row is None else self._places.xy[self._row.order[[0, -1]]]
            return tuple((x, y) for x, y in ends.tolist())
        from scipy.spatial import ConvexHull

        scaled = self._surface.local / np.abs(self._surface.local).max()
        return tuple((x, y) for x, y in self._places.xy[ConvexHull(scaled).vertices].tolist())

    @once
    def interval(self) -> float:
        """The step of the contours in mm: the plan's, or else a fitting one."""
        z = self._places.z
        low, high = (float(z.min()), float(z.max())) if len(z) else (0.0, 0.0)
        return interval_of(low, high, self._plan.units, self._plan.levels.settings.contour)

    @once
    def contours(self) -> tuple[Contour, ...]:
        """Lines of equal height on the surface; none without one."""
        return () if self._surface is None else contours_of(self._surface, self.interval)

    def at(self, place: Vector) -> tuple[float | None, GroundFrom, float]:
        """Return the elevation at a place, how it is known, and how well (NaN where it is not known)."""
        known = self._at_piers.get(place)
        return next(_rows(self.look(np.array([place], dtype=np.float64)))) if known is None else known

    @once
    def _at_piers(self) -> dict[Vector, tuple[float | None, GroundFrom, float]]:
        """The ground at all piers, looked at together: they are what is asked for, again and again."""
        at = [pier.at for pier in self._plan.piers]
        return dict(zip(at, _rows(self.look(np.array(at, dtype=np.float64).reshape(-1, 2))), strict=True))

    def heights(self, xy: Floats) -> Floats:
        """Return the elevations at many places, (k, 2) to (k,) in mm; NaN where they are not known."""
        return self.look(xy).z

    def look(self, xy: Floats) -> GroundLook:
        """Return the ground at many places, (k, 2) in mm, with how and how well it is known.

        A height from the surface is as good as those of its corners, each by its share λ, and as the ground between
        them is smooth. Of the latter only its roughness off the plane is known, s: at a spot it adds nothing, and
        half of the way to the next spot s²(1 + Σλ²), as if the ground there were as free as at the spots.
        """
        count = len(xy)
        look = GroundLook(np.full(count, np.nan), np.zeros(count, dtype=np.intp), np.full(count, np.nan))
        if not len(self._places) or not count:
            return look
        if self.fit is not None:
            look.z[:], look.how[:], look.within[:] = self.fit.heights(xy), BEYOND, self.fit.within(xy)
            self._between(xy, look)
        self._at_points(xy, look)
        return look

    def _between(self, xy: Floats, look: GroundLook) -> None:
        assert self.fit is not None
        w, across = self._places.within, np.zeros(len(xy))
        if self._surface is not None:
            local = self._surface.from_middle(xy)
            triangle = self._surface.find(local)
            there = triangle >= 0
            corner = self._surface.corners[triangle[there]]
            shares = self._surface.shares(local[there], triangle[there])
            look.z[there] = (shares * self._places.z[corner]).sum(axis=1)
            on = there
            squares: Floats = (shares**2).sum(axis=1)
            spots: Floats = ((shares * w[corner]) ** 2).sum(axis=1)
        else:
            assert self._row is not None
            along, on = self._row.measured(xy)
            there = ~np.isnan(along)
            before, after, share = self._row.shares(along[there])
            look.z[there] = self._row.heights(along[there])
            across[there] = self._row.across(xy[there])
            squares = (1 - share) ** 2 + share**2
            spots = ((1 - share) * w[before]) ** 2 + (share * w[after]) ** 2
        free = np.minimum(1.0, 2 * (1 - squares)) * (1 + squares)
        off_line = np.where(on, 0.0, ACROSS * across)[there]
        rough = (SURE_95 * self.fit.rough) ** 2 * free + (SURE_95 * off_line) ** 2
        look.within[there] = np.sqrt(spots + rough)
        look.how[on] = BETWEEN

    @once
    def _nearest(self) -> KDTree:
        from scipy.spatial import KDTree

        return KDTree(np.array([point.at for point in self.points]))

    def _at_points(self, xy: Floats, look: GroundLook) -> None:
        """Tell the places that are those of known points, each of those that were made one place too."""
        apart, nearest = self._nearest.query(xy)
        here = np.flatnonzero(apart <= (ONE_PLACE_MM if self.fit is None else SAME_MM))
        known = np.full(len(self._places), TYPED)
        read = [
            k for k, p in zip(self._places.of_point.tolist(), self.points, strict=True) if p.known_from == "reading"
        ]
        known[read] = READ
        place = self._places.of_point[nearest[here]]
        look.z[here], look.how[here] = self._places.z[place], known[place]
        look.within[here] = self._places.within[place]

    def lowest(self, place: Vector, radius: float) -> float | None:
        """Return the lowest ground within a circle; None where nothing is known at its centre."""
        z = float(self.lowest_many(np.array([place], dtype=np.float64), np.array([radius], dtype=np.float64))[0])
        return None if math.isnan(z) else z

    def lowest_many(self, xy: Floats, radius: Floats) -> Floats:
        """Return the lowest ground within circles, (k, 2) and (k,) to (k,) in mm; NaN where nothing is known."""
        least = self.heights(xy)
        if self.fit is None or not len(xy):
            return least
        if self._surface is not None:
            local = self._surface.from_middle(xy)
            least = np.minimum(least, lowest_on_surface(self._surface, local, radius))
            return np.minimum(least, lowest_beyond(self._surface, self.fit, local, radius))
        assert self._row is not None
        return np.minimum(least, self._row.lowest(xy, radius))

    def profile(self, a: Vector, b: Vector) -> tuple[tuple[Vector, ...], ...]:
        """Return the ground along the straight way from a to b, as (distance from a, elevation) at every break.

        It is one part, or none while fewer than two places are known. At the hull it may step: two points at one
        distance.
        """
        if self.fit is None:
            return ()
        return (profile(self.fit, self._surface or self._row, a, b),)
