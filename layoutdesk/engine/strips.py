"""Where the bays are: quadrilaterals in the strips between neighbouring rows, also of unequal counts.

Between two rows one walks along both at once. A step on both rows is a bay; a step on one row alone is a
triangle, which is no bay and is left out. Of all ways to walk, the one whose bays are squarest is taken.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from layoutdesk.engine.columns import NO_BAYS, Floats, Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import Family, RowTable
from layoutdesk.geometry.vector import Vector

LEAST_CORNER_DEG: Final = 25.0
"""A corner sharper than this, or flatter than its complement, makes no bay worth taping."""
_SURE_CORNER_DEG: Final = 64.0
"""Rows of equal count whose every bay is at least so square need no search."""
_BLOCK: Final = 400
"""Rows with more points than this are searched in blocks of so many."""


def find_bays(points: PointTable, rows: RowTable) -> tuple[Indices, Indices]:
    """Return the corners of the bays between rows, and of the outlines of families of rows; each (m, 4).

    Corners go round each bay: a point of the first row, its partner in the second, that one's next, and the
    next of the first.
    """
    found = [_family_bays(points, rows, family) for family in rows.families]
    bays = np.concatenate([NO_BAYS, *found])
    outlines = [_outline(points, rows, family) for family in rows.families]
    rings = np.concatenate([NO_BAYS, *outlines])
    known = {frozenset(bay) for bay in bays.tolist()} if len(rings) else set()
    fresh = [frozenset(ring) not in known for ring in rings.tolist()]
    return bays, rings[np.array(fresh, dtype=np.bool_)]


def _family_bays(points: PointTable, rows: RowTable, family: Family) -> Indices:
    """Return the bays of one family; where a row has two neighbours on one side, overlapping ones are dropped."""
    pairs = [
        (rows.points(pair.first, family.way), rows.points(pair.second, family.way)) for pair in family.neighbours
    ]
    strips = [strip_bays(points.xy, a, b, family.way) for a, b in pairs if min(len(a), len(b)) >= 2]
    bays = np.concatenate([NO_BAYS, *strips])
    firsts = [pair.first for pair in family.neighbours]
    seconds = [pair.second for pair in family.neighbours]
    if len(set(firsts)) == len(firsts) and len(set(seconds)) == len(seconds):
        return bays
    return _without_overlaps(points.xy, bays)


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
        if (squareness(xy, straight) >= math.sin(math.radians(_SURE_CORNER_DEG))).all():
            return straight
    if max(len(first), len(second)) > _BLOCK:
        return _in_blocks(xy, first, second, way)
    return _walk(xy, first, second)


def squareness(xy: Floats, corners: Indices) -> Floats:
    """Return the sine of the least square corner of each quadrilateral, (m,); negative or 0 when not convex."""
    p = xy[corners]
    side = np.roll(p, -1, axis=-2) - p
    size = np.sqrt(np.einsum("...k,...k->...", side, side))
    before, before_size = np.roll(side, 1, axis=-2), np.roll(size, 1, axis=-1)
    turn = before[..., 0] * side[..., 1] - before[..., 1] * side[..., 0]
    sine = turn / np.maximum(before_size * size, 1e-300)
    return np.maximum(sine.min(axis=-1), -sine.max(axis=-1))


def _walk(xy: Floats, first: Indices, second: Indices) -> Indices:
    """Return the bays of the walk along two rows whose squareness adds up to the most.

    ``best[i, j]`` is the most that can be had up to the i-th point of the first row and the j-th of the second.
    The fourth power of the sine prefers a few square bays to many leaning ones.
    """
    m, n = len(first), len(second)
    i, j = np.meshgrid(np.arange(m - 1), np.arange(n - 1), indexing="ij")
    corners = np.stack((first[i], second[j], second[j + 1], first[i + 1]), axis=-1)
    sine = squareness(xy, corners)
    worth = np.where(sine >= math.sin(math.radians(LEAST_CORNER_DEG)), sine**4, -np.inf)
    best = np.zeros((m, n))
    for row in range(1, m):
        both = np.full(n, -np.inf)
        both[1:] = best[row - 1, :-1] + worth[row - 1]
        best[row] = np.maximum.accumulate(np.maximum(best[row - 1], both))
    bays: list[tuple[int, int]] = []
    row, column = m - 1, n - 1
    while row > 0 and column > 0:
        here = best[row, column]
        if (
            np.isfinite(worth[row - 1, column - 1])
            and here == best[row - 1, column - 1] + worth[row - 1, column - 1]
        ):
            row, column = row - 1, column - 1
            bays.append((row, column))
        elif here == best[row - 1, column]:
            row -= 1
        else:
            column -= 1
    if not bays:
        return NO_BAYS
    at, beside = np.array(bays[::-1]).T
    return corners[at, beside]


def _in_blocks(xy: Floats, first: Indices, second: Indices, way: Vector) -> Indices:
    """Return the bays of two long rows, searched block by block; blocks share the points at their ends."""
    if len(first) < len(second):
        flipped = _in_blocks(xy, second, first, way)
        return flipped[:, [1, 0, 3, 2]]
    along = xy @ np.array(way)
    cuts = np.arange(0, len(first), _BLOCK - 1)
    cuts = np.append(cuts[: max(1, len(cuts))], len(first) - 1)
    beside = np.searchsorted(along[second], along[first[cuts]])
    beside = np.clip(beside, 0, len(second) - 1)
    beside[0], beside[-1] = 0, len(second) - 1
    strips = [
        _walk(xy, first[a : b + 1], second[c : d + 1])
        for a, b, c, d in zip(cuts[:-1], cuts[1:], beside[:-1], beside[1:], strict=True)
        if b > a and d > c
    ]
    return np.concatenate([NO_BAYS, *strips])


def _outline(points: PointTable, rows: RowTable, family: Family) -> Indices:
    """Return the ends of the first and the last row of a family as one bay, (1, 4), or none."""
    long_rows = [r for i in family.rows if len(r := rows.points(i, family.way)) >= 2]
    if len(long_rows) >= 2:
        a, b = long_rows[0], long_rows[-1]
        ring = np.array([[a[0], b[0], b[-1], a[-1]]], dtype=np.intp)
        if squareness(points.xy, ring)[0] >= math.sin(math.radians(LEAST_CORNER_DEG)):
            return ring
    return NO_BAYS


def _without_overlaps(xy: Floats, bays: Indices) -> Indices:
    """Return the bays in order, those left out that overlap one before them."""
    import shapely

    shapes = shapely.polygons(xy[bays])
    areas = shapely.area(shapes)
    tree = shapely.STRtree(shapes)
    one, other = tree.query(shapes, predicate="intersects")
    later = one > other
    common = shapely.area(shapely.intersection(shapes[one[later]], shapes[other[later]]))
    clash = common > 1e-6 * np.minimum(areas[one[later]], areas[other[later]])
    kept = np.ones(len(bays), dtype=np.bool_)
    for index, before in sorted(zip(one[later][clash].tolist(), other[later][clash].tolist(), strict=True)):
        if kept[before]:
            kept[index] = False
    return bays[kept]
