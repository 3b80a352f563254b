"""Where the bays are: in the strips between neighbouring rows, also of unequal counts.

Between two rows one walks along both at once. A step on both rows is a bay; a step on one row alone is a
triangle, which is no bay and is left out. Of all ways to walk, the one whose bays are squarest is taken.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

import numpy as np

from layoutdesk.engine.columns import NO_BAYS, Floats, Indices, chunks
from layoutdesk.engine.families import Family, families_of
from layoutdesk.engine.once import once
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, length, minus

LEAST_CORNER_DEG: Final = 25.0
"""A bay with a corner sharper than this, or flatter than its supplement, proves too little to be offered."""
_SURE_CORNER_DEG: Final = 64.0
"""Rows of equal count whose every bay is at least so square need no search."""
_BLOCK: Final = 400
"""Rows with more points than this are searched in blocks of so many."""

_ROUND: Final = np.array((0, 1, 2, 3, 0, 1))
"""Once round a quadrilateral and on to its second corner."""
_LEAST: Final = math.sin(math.radians(LEAST_CORNER_DEG)) ** 2
_SURE: Final = math.sin(math.radians(_SURE_CORNER_DEG)) ** 2


class Strips:
    """The strips between neighbouring rows, and the bays in them; found when first asked for."""

    def __init__(self, points: PointTable, rows: RowTable) -> None:
        self._points = points
        self._rows = rows

    @once
    def families(self) -> tuple[Family, ...]:
        """Which rows run side by side."""
        return families_of(self._points, self._rows)

    @once
    def bays(self) -> tuple[Indices, Indices]:
        """The corners of the bays between rows, and of the outlines of families of rows; each (m, 4).

        Corners go round each bay: a point of the first row, its partner in the second, that one's next, and
        the next of the first.
        """
        return _find_bays(self._points, self._rows, self.families)


def _find_bays(points: PointTable, rows: RowTable, families: tuple[Family, ...]) -> tuple[Indices, Indices]:
    found = [strips for family in families if len(strips := _family_bays(points, rows, family))]
    bays = np.concatenate((NO_BAYS, *found))
    if len(found) > 1 or not all(family.clear for family in families):
        bays = _without_overlaps(points.xy, bays)
    rings = [ring for family in families if (ring := _outline(points, rows, family)) is not None]
    outlines = np.array(rings, dtype=np.intp).reshape(-1, 4)
    if len(bays) <= len(outlines):
        known = bays.tolist()
        outlines = outlines[[ring not in known for ring in outlines.tolist()]]
    return bays, outlines


def _family_bays(points: PointTable, rows: RowTable, family: Family) -> Indices:
    """Return the bays of one family, strip after strip."""
    counts = rows.counts
    pairs = [pair for pair in family.neighbours if counts[pair[0]] >= 2 and counts[pair[1]] >= 2]
    if not pairs:
        return NO_BAYS
    point = _points_along(rows, family)
    count = counts[pairs[0][0]]
    if all(counts[i] == counts[j] == count for i, j in pairs):
        starts = rows.stops.first[np.array(pairs).T]
        near, far = point.take(starts[:, :, None] + np.arange(count))
        straight = np.stack((near[:, :-1], far[:, :-1], far[:, 1:], near[:, 1:])).reshape(4, -1).T
        if squareness(points.x, points.y, straight).min() >= _SURE:
            return straight
    parts = [rows.stops.of(i) for i in range(len(rows))]
    strips = [strip_bays(points, point[parts[i]], point[parts[j]], family.way) for i, j in pairs]
    return np.concatenate((NO_BAYS, *strips))


def _points_along(rows: RowTable, family: Family) -> Indices:
    """Return the points of all rows, each row of the family in order along it."""
    stops = rows.stops
    if not family.against:
        return stops.point
    point = stops.point.copy()
    for i in family.against:
        point[stops.of(i)] = stops.point[stops.of(i)][::-1]
    return point


def strip_bays(points: PointTable, first: Indices, second: Indices, way: Vector) -> Indices:
    """Return the bays between two rows as (m, 4) corners.

    Args:
        points: all points.
        first: those of one row in order along ``way``.
        second: those of the other.
        way: the direction of the rows.
    """
    if len(first) == len(second):
        straight = np.stack((first[:-1], second[:-1], second[1:], first[1:]), axis=1)
        if (squareness(points.x, points.y, straight) >= _SURE).all():
            return straight
    if max(len(first), len(second)) > _BLOCK:
        return _in_blocks(points, first, second, way)
    return _walk(points, first, second)


def squareness(x: Floats, y: Floats, corners: Indices) -> Floats:
    """Return the squared sine of the least square corner of each quadrilateral; 0 or less when it is not convex.

    Args:
        x: the places of all points along x, (n,) in mm.
        y: the same along y.
        corners: indices of points, (m, 4), in order round each.
    """
    found = np.empty(len(corners))
    for part in chunks(len(corners)):
        around = corners[part].T[_ROUND]
        px, py = x[around], y[around]
        u, v = px[1:] - px[:-1], py[1:] - py[:-1]
        turn = u[:-1] * v[1:] - v[:-1] * u[1:]
        size = u * u + v * v
        turn *= np.abs(turn)
        turn /= np.maximum(size[:-1] * size[1:], 1e-300)
        np.maximum(turn.min(axis=0), -turn.max(axis=0), out=found[part])
    return found


def _walk(points: PointTable, first: Indices, second: Indices) -> Indices:
    """Return the bays of the walk along two rows whose squareness adds up to the most.

    ``best[i, j]`` is the most that can be had up to the i-th point of the first row and the j-th of the second.
    The fourth power of the sine prefers a few square bays to many leaning ones.
    """
    m, n = len(first), len(second)
    i, j = np.meshgrid(np.arange(m - 1), np.arange(n - 1), indexing="ij")
    corners = np.stack((first[i], second[j], second[j + 1], first[i + 1]), axis=-1)
    sine = squareness(points.x, points.y, corners.reshape(-1, 4)).reshape(m - 1, n - 1)
    worth = np.where(sine >= _LEAST, sine * sine, -np.inf)
    best = np.zeros((m, n))
    for row in range(1, m):
        both = np.full(n, -np.inf)
        both[1:] = best[row - 1, :-1] + worth[row - 1]
        best[row] = np.maximum.accumulate(np.maximum(best[row - 1], both))
    bays: list[tuple[int, int]] = []
    row, column = m - 1, n - 1
    while row > 0 and column > 0:
        if best[row, column] == best[row - 1, column - 1] + worth[row - 1, column - 1]:
            row, column = row - 1, column - 1
            bays.append((row, column))
        elif best[row, column] == best[row - 1, column]:
            row -= 1
        else:
            column -= 1
    at = np.array(bays[::-1], dtype=np.intp).reshape(-1, 2)
    return corners[at[:, 0], at[:, 1]]


def _in_blocks(points: PointTable, first: Indices, second: Indices, way: Vector) -> Indices:
    """Return the bays of two long rows, searched block by block; blocks share the points at their ends."""
    if len(first) < len(second):
        return _in_blocks(points, second, first, way)[:, [1, 0, 3, 2]]
    along = points.xy @ np.array(way)
    cuts = np.append(np.arange(0, len(first) - 1, _BLOCK), len(first) - 1)
    beside = np.searchsorted(along[second], along[first[cuts]])
    beside[0], beside[-1] = 0, len(second) - 1
    blocks = zip(cuts[:-1], cuts[1:], beside[:-1], beside[1:], strict=True)
    strips = [_walk(points, first[a : b + 1], second[c : d + 1]) for a, b, c, d in blocks if d > c]
    return np.concatenate((NO_BAYS, *strips))


def _outline(points: PointTable, rows: RowTable, family: Family) -> tuple[int, int, int, int] | None:
    """Return the ends of the first and the last row of a family as one bay, or None when it has no such."""
    long = [i for i in family.rows if rows.counts[i] >= 2]
    if len(long) < 2:
        return None
    (a, d), (b, c) = (rows.points(i, family.way)[[0, -1]].tolist() for i in (long[0], long[-1]))
    ring = [points.place(i) for i in (a, b, c, d)]
    sides = [minus(q, p) for p, q in pairwise((*ring, ring[0], ring[1]))]
    sizes = [length(side) for side in sides]
    if min(sizes) <= SAME_MM:
        return None
    sines = [cross(sides[k], sides[k + 1]) / (sizes[k] * sizes[k + 1]) for k in range(4)]
    return (a, b, c, d) if max(min(sines), -max(sines)) ** 2 >= _LEAST and min(sines) * max(sines) > 0 else None


def _without_overlaps(xy: Floats, bays: Indices) -> Indices:
    """Return the bays in order, those left out that overlap one before them."""
    import shapely

    shapes = shapely.polygons(xy[bays])
    areas = shapely.area(shapes)
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    one, other = one[one > other], other[one > other]
    common = shapely.area(shapely.intersection(shapes[one], shapes[other]))
    clash = common > 1e-6 * np.minimum(areas[one], areas[other])
    kept = np.ones(len(bays), dtype=np.bool_)
    for index, before in sorted(zip(one[clash].tolist(), other[clash].tolist(), strict=True)):
        if kept[before]:
            kept[index] = False
    return bays[kept]
