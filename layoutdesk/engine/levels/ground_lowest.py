"""The lowest ground within a circle, exactly.

Each triangle is a plane. A plane is lowest over the common part of a circle and a triangle at one of its extreme
places: where the circle is farthest down the slope, at a corner of the triangle within the circle, or where a side
of it crosses the circle. Beyond the hull the ground is the fitted plane, lowest where the circle is farthest down
its slope, or else where the hull crosses the circle. It is so at no corner of the hull: more than half of all ways
from there lead out, and one of these leads down.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.levels.ground_plane import Fit
from layoutdesk.engine.levels.ground_surface import Surface
from layoutdesk.geometry.tolerance import SAME_MM


def lowest_on_surface(surface: Surface, centre: Floats, radius: Floats) -> Floats:
    """Return the lowest of the surface in circles, (k, 2) from its middle and (k,) to (k,); infinite beside it."""
    least = np.full(len(centre), np.inf)
    reach = radius[:, None]
    disk, triangle = surface.near(centre - reach, centre + reach)
    if not len(disk):
        return least
    c, r = centre[disk], radius[disk]
    gradient = surface.gradients[triangle]
    down = c - _downhill(gradient, r)
    inside = surface.depth(down, triangle) >= -SAME_MM
    np.minimum.at(least, disk[inside], surface.value(down[inside], triangle[inside]))
    corners = surface.corners[triangle]
    p = surface.local[corners]
    for k in range(3):
        held = np.hypot(*(p[:, k] - c).T) <= r
        np.minimum.at(least, disk[held], surface.z[corners[held, k]])
        a, b = p[:, k], p[:, (k + 1) % 3]
        for place, on in _crossings(a, b, c, r):
            np.minimum.at(least, disk[on], surface.value(place[on], triangle[on]))
    return least


def lowest_beyond(surface: Surface, fit: Fit, centre: Floats, radius: Floats) -> Floats:
    """Return the lowest of the fitted plane in what of circles lies beyond the hull, (k,); infinite for nothing.

    Args:
        surface: whose hull it is.
        fit: the plane.
        centre: of the circles, (k, 2) from the middle of the surface.
        radius: of the circles, (k,).
    """
    least = np.full(len(centre), np.inf)

    def plane(place: Floats) -> Floats:
        return fit.heights(surface.in_plan(place))

    down = centre - _downhill(np.broadcast_to(fit.gradient, centre.shape), radius)
    out = surface.find(down) < 0
    least[out] = plane(down[out])
    edges, _, hull = surface.edges
    ends = surface.local[edges[hull]]
    disk, side = _boxes_meet(ends, centre, radius)
    c, r = centre[disk], radius[disk]
    a, b = ends[side, 0], ends[side, 1]
    for place, on in _crossings(a, b, c, r):
        np.minimum.at(least, disk[on], plane(place[on]))
    return least


def _downhill(gradient: Floats, radius: Floats) -> Floats:
    """Return the way from the lowest place of circles on planes up to their centres, (k, 2); none on level ones."""
    steep = np.hypot(gradient[:, 0], gradient[:, 1])
    size = np.divide(radius, steep, out=np.zeros_like(steep), where=steep > 0)
    way: Floats = gradient * size[:, None]
    return way


def _boxes_meet(ends: Floats, centre: Floats, radius: Floats) -> tuple[Indices, Indices]:
    """Return pairs of circles and straight sides, (h, 2, 2), whose upright boxes meet."""
    import shapely

    low, high = ends.min(axis=1), ends.max(axis=1)
    tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    (x, y), (u, v) = (centre - radius[:, None]).T, (centre + radius[:, None]).T
    disk, side = tree.query(shapely.box(x, y, u, v))
    return disk, side


def _crossings(a: Floats, b: Floats, centre: Floats, radius: Floats) -> Iterator[tuple[Floats, Bools]]:
    """Yield where straight sides cross circles, both ways, and which of the places there are, (k, 2) and (k,)."""
    way, out = b - a, a - centre
    size = (way * way).sum(axis=1)
    half = (way * out).sum(axis=1)
    root = half * half - size * ((out * out).sum(axis=1) - radius * radius)
    real = (root >= 0) & (size > 0)
    for sign in (-1.0, 1.0):
        share = np.divide(
            -half + sign * np.sqrt(np.where(real, root, 0.0)), size, out=np.zeros_like(size), where=real
        )
        yield a + share[:, None] * way, real & (share >= 0) & (share <= 1)
