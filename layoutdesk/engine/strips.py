"""Where the bays are: in the strips between neighbouring rows, also of unequal counts.

Between two rows one walks along both at once. A step on both rows is a bay; a step on one row alone is a
triangle, which is no bay and is left out. Of all ways to walk, the one whose bays are squarest is taken.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from layoutdesk.engine.columns import NO_BAYS, Floats, Indices
from layoutdesk.engine.families import Family
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector

LEAST_CORNER_DEG: Final = 25.0
"""A bay with a corner sharper than this, or flatter than its supplement, proves too little to be offered."""
_SURE_CORNER_DEG: Final = 64.0
"""Rows of equal count whose every bay is at least so square need no search."""
_BLOCK: Final = 400
"""Rows with more points than this are searched in blocks of so many."""

_LEAST: Final = math.sin(math.radians(LEAST_CORNER_DEG))
_SURE: Final = math.sin(math.radians(_SURE_CORNER_DEG))


def find_bays(points: PointTable, rows: RowTable, families: tuple[Family, ...]) -> tuple[Indices, Indices]:
    """Return the corners of the bays between rows, and of the outlines of families of rows; each (m, 4).

    Corners go round each bay: a point of the first row, its partner in the second, that one's next, and the
    next of the first.
    """
    found = [strips for family in families if len(strips := _family_bays(points, rows, family))]
    bays = np.concatenate((NO_BAYS, *found))
    if len(found) > 1 or not all(family.clear for family in families):
        bays = _without_overlaps(points.xy, bays)
    outlines = [_outline(points, rows, family) for family in families if len(family.rows) > 1]
    fresh = [ring for ring in outlines if len(ring) and not (bays == ring).all(axis=1).any()]
    return bays, np.concatenate((NO_BAYS, *fresh))


def _family_bays(points: PointTable, rows: RowTable, family: Family) -> Indices:
    """Return the bays of one family, strip after strip."""
    pairs, first = family.neighbours, rows.stops.first
    counts = first[pairs + 1] - first[pairs]
    pairs = pairs[counts.min(axis=1) >= 2] if len(pairs) else pairs
    if not len(pairs):
        return NO_BAYS
    point, first = _stops_along(rows, family.way)
    counts = first[pairs + 1] - first[pairs]
    if (counts == counts[0, 0]).all():
        start = first[pairs][:, :, None] + np.arange(counts[0, 0])
        one, two = point[start[:, 0]], point[start[:, 1]]
        straight = np.stack((one[:, :-1], two[:, :-1], two[:, 1:], one[:, 1:]), axis=-1)
        if squareness(points.xy, straight).min() >= _SURE:
            return straight.reshape(-1, 4)
    strips = [
        strip_bays(points.xy, point[first[i] : first[i + 1]], point[first[j] : first[j + 1]], family.way)
        for i, j in pairs.tolist()
    ]
    return np.concatenate((NO_BAYS, *strips))


def _stops_along(rows: RowTable, way: Vector) -> tuple[Indices, Indices]:
    """Return the points of all rows, each in order along ``way``, and where each row begins."""
    stops = rows.stops
    against = np.flatnonzero(rows.way @ np.array(way) < 0)
    point = stops.point.copy() if len(against) else stops.point
    for i in against.tolist():
        point[stops.of(i)] = stops.point[stops.of(i)][::-1]
    return point, stops.first


def strip_bays(xy: Floats, first: Indices, second: Indices, way: Vector) -> Indices:
    """Return the bays between two rows as (m, 4) corners.

    Args:
        xy: all places, (n, 2) in mm.
        first: the points of one row in order along ``way``, indices into ``xy``.
        second: those of the other.
        way: the direction of the rows.
    """
    if len(first) == len(second):
        straight = np.stack((first[:-1], second[:-1], second[1:], first[1:]), axis=1)
        if (squareness(xy, straight) >= _SURE).all():
            return straight
    if max(len(first), len(second)) > _BLOCK:
        return _in_blocks(xy, first, second, way)
    return _walk(xy, first, second)


def squareness(xy: Floats, corners: Indices) -> Floats:
    """Return the sine of the least square corner of each quadrilateral; 0 or less when it is not convex.

    Args:
        xy: all places, (n, 2) in mm.
        corners: indices into ``xy``, (..., 4), in order round each.
    """
    p = xy[np.moveaxis(corners, -1, 0)]
    x, y = p[..., 0], p[..., 1]
    after = [1, 2, 3, 0]
    u, v = x[after] - x, y[after] - y
    turn = u * v[after] - v * u[after]
    size = np.sqrt(u * u + v * v)
    size *= size[after]
    sine = turn / np.maximum(size, 1e-300)
    return np.maximum(sine.min(axis=0), -sine.max(axis=0))


def _walk(xy: Floats, first: Indices, second: Indices) -> Indices:
    """Return the bays of the walk along two rows whose squareness adds up to the most.

    ``best[i, j]`` is the most that can be had up to the i-th point of the first row and the j-th of the second.
    The fourth power of the sine prefers a few square bays to many leaning ones.
    """
    m, n = len(first), len(second)
    i, j = np.meshgrid(np.arange(m - 1), np.arange(n - 1), indexing="ij")
    corners = np.stack((first[i], second[j], second[j + 1], first[i + 1]), axis=-1)
    sine = squareness(xy, corners)
    worth = np.where(sine >= _LEAST, sine**4, -np.inf)
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


def _in_blocks(xy: Floats, first: Indices, second: Indices, way: Vector) -> Indices:
    """Return the bays of two long rows, searched block by block; blocks share the points at their ends."""
    if len(first) < len(second):
        return _in_blocks(xy, second, first, way)[:, [1, 0, 3, 2]]
    along = xy @ np.array(way)
    cuts = np.append(np.arange(0, len(first) - 1, _BLOCK), len(first) - 1)
    beside = np.searchsorted(along[second], along[first[cuts]])
    beside[0], beside[-1] = 0, len(second) - 1
    blocks = zip(cuts[:-1], cuts[1:], beside[:-1], beside[1:], strict=True)
    strips = [_walk(xy, first[a : b + 1], second[c : d + 1]) for a, b, c, d in blocks if d > c]
    return np.concatenate((NO_BAYS, *strips))


def _outline(points: PointTable, rows: RowTable, family: Family) -> Indices:
    """Return the ends of the first and the last row of a family as one bay, (1, 4), or none."""
    first = rows.stops.first
    long = [i for i in family.rows if first[i + 1] - first[i] >= 2]
    if len(long) < 2:
        return NO_BAYS
    a, b = (rows.points(i, family.way) for i in (long[0], long[-1]))
    ring = np.array([[a[0], b[0], b[-1], a[-1]]], dtype=np.intp)
    return ring if squareness(points.xy, ring)[0] >= _LEAST else NO_BAYS


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
