"""The lines of a drawing that lies under the sheet: what of them is near the pointer.

This file imports numpy and shapely: gestures import it inside their functions.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Final, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from layoutdesk.geometry.projective import Map9
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, unit
from layoutdesk.gestures.guides import ON, Guide
from layoutdesk.plan.model import Underlay
from layoutdesk.session.traced import PageKey, Traced

Floats = NDArray[np.float64]

MOST_CROSSED: Final = 12
"""So many lines nearest to the pointer are looked at for where they cross."""
_MOST_NEAR: Final = 200
_MOST_KEPT: Final = 4


class Spot(NamedTuple):
    """A place of a drawing that catches the pointer: where, why, and by how many reaches it yields to others."""

    at: Vector
    words: str
    burden: float


class TracedIndex:
    """The lines and centres of one page where they lie on the plan, in mm, found by place."""

    def __init__(self, traced: Traced, to_plan: Map9) -> None:
        starts, ahead = _mapped(traced.lines[:, :2], to_plan)
        ends, ahead_too = _mapped(traced.lines[:, 2:], to_plan)
        on_ground = ahead & ahead_too
        self.starts, self.ends = starts[on_ground], ends[on_ground]
        centres, ahead = _mapped(traced.centres, to_plan)
        self.centres = centres[ahead]
        self._tree = shapely.STRtree(shapely.linestrings(np.stack([self.starts, self.ends], axis=1)))
        self._points = shapely.STRtree(shapely.points(self.centres))

    def near(self, at: Vector, reach: float) -> list[int]:
        """Return the lines within reach, nearest first."""
        found = self._tree.query(shapely.Point(at), predicate="dwithin", distance=reach)
        if not len(found):
            return []
        away = self._away(found, at)
        return [int(k) for k in found[np.argsort(away, kind="stable")][:_MOST_NEAR]]

    def _away(self, rows: NDArray[np.intp], at: Vector) -> Floats:
        a, way = self.starts[rows], self.ends[rows] - self.starts[rows]
        size = np.maximum((way * way).sum(axis=1), 1e-12)
        share = np.clip(((np.asarray(at) - a) * way).sum(axis=1) / size, 0.0, 1.0)
        feet = a + way * share[:, None]
        away: Floats = np.hypot(feet[:, 0] - at[0], feet[:, 1] - at[1])
        return away

    def line(self, row: int) -> tuple[Vector, Vector]:
        """Return the ends of a line."""
        return _pair(self.starts[row]), _pair(self.ends[row])

    def spots(self, at: Vector, reach: float) -> Iterator[Spot]:
        """Yield ends, crossings and centres within reach."""
        near = self.near(at, reach)
        for row in near:
            for end in self.line(row):
                if distance(end, at) <= reach:
                    yield Spot(end, "end of a line of the drawing", 0.05)
        guides = [g for g in (self._guide(row) for row in near[:MOST_CROSSED]) if g is not None]
        for one, other in combinations(guides, 2):
            place = one.meets(other)
            if place is not None and distance(place, at) <= reach:
                yield Spot(place, "crossing of two lines of the drawing", 0.06)
        for row in self._points.query(shapely.Point(at), predicate="dwithin", distance=reach):
            yield Spot(_pair(self.centres[int(row)]), "centre of a circle of the drawing", -0.3)

    def guides(self, at: Vector, reach: float) -> Iterator[Guide]:
        """Yield the nearest lines as guides."""
        for row in self.near(at, reach)[:4]:
            if (guide := self._guide(row)) is not None:
                yield guide

    def _guide(self, row: int) -> Guide | None:
        a, b = self.line(row)
        size = distance(a, b)
        if size <= SAME_MM:
            return None
        return Guide(a, unit(minus(b, a)), "on a line of the drawing", ON, low=0.0, high=size)


def nearest_spot(spots: Iterator[Spot], at: Vector, reach: float) -> tuple[float, Spot] | None:
    """Return the spot that pulls most, with how far it is in reaches and burdens."""
    scored = [(distance(spot.at, at) / reach + spot.burden, spot) for spot in spots]
    return min(scored, key=lambda s: s[0]) if scored else None


def indices(underlays: tuple[Underlay, ...], traced: Mapping[PageKey, Traced]) -> Iterator[TracedIndex]:
    """Yield the lines of all shown drawings that have any, where they lie."""
    for one in underlays:
        page = traced.get((one.file, one.page))
        if page is not None and one.shown and one.strength > 0:
            yield index_of_page(page, one.to_plan)


_kept: OrderedDict[tuple[int, Map9], tuple[Traced, TracedIndex]] = OrderedDict()


def index_of_page(traced: Traced, to_plan: Map9) -> TracedIndex:
    """Return the index of a page at its place; the last few are kept."""
    key = (id(traced), to_plan)
    known = _kept.get(key)
    if known is None or known[0] is not traced:
        known = _kept[key] = (traced, TracedIndex(traced, to_plan))
        if len(_kept) > _MOST_KEPT:
            _kept.popitem(last=False)
    else:
        _kept.move_to_end(key)
    return known[1]


def _mapped(points: Floats, m: Map9) -> tuple[Floats, NDArray[np.bool_]]:
    """Return where points lie on the plan, and which of them are on the ground at all."""
    x, y = points[:, 0], points[:, 1]
    z = m[6] * x + m[7] * y + m[8]
    ahead = z > 0
    safe = np.where(ahead, z, 1.0)
    return np.stack([(m[0] * x + m[1] * y + m[2]) / safe, (m[3] * x + m[4] * y + m[5]) / safe], axis=1), ahead


def _pair(row: Floats) -> Vector:
    return float(row[0]), float(row[1])
