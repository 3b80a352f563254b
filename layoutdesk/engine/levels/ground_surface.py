"""The surface between the spots: triangles, each a plane through its three corners.

The triangles are those of Delaunay. Where four places or more lie on one circle, as in any grid, there is more than
one such net; of these the one is taken whose triangles meet at the first of the places, so that a plan that is
moved or turned keeps its heights. Slivers along the hull, which rounding makes of places in one line, are left out.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.once import once

SLIVER_MM: Final = 1e-4
"""A triangle lower than this is none."""
EDGE_MM: Final = 2e-4
"""A place so near to the edge of the surface lies on it: more than a sliver is high."""
ON_CIRCLE: Final = 1e-9
"""Four places lie on one circle when the fourth is nearer to it than this share of the size of the net."""


class Surface:
    """Triangles over places; ``corners`` (m, 3) are indices of places, anticlockwise.

    ``xy`` (n, 2) and ``z`` (n,) are the places in mm. They must not lie in one line, nor two of them at one place.
    """

    def __init__(self, xy: Floats, z: Floats) -> None:
        self.xy, self.z = xy, z
        self._centre = xy.mean(axis=0)
        self.local = xy - self._centre
        """The places from their middle, (n, 2): what is reckoned with, so that no digits are lost far out."""
        self.corners = _net(self.local)

    def from_middle(self, xy: Floats) -> Floats:
        """Return places as they lie from the middle of the surface, as all methods here want them."""
        moved: Floats = xy - self._centre
        return moved

    def in_plan(self, local: Floats) -> Floats:
        """Return places from the middle as places of the plan."""
        moved: Floats = local + self._centre
        return moved

    @once
    def gradients(self) -> Floats:
        """How much every triangle rises along x and y, (m, 2)."""
        p, z = self.local[self.corners], self.z[self.corners]
        u, v = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
        du, dv = z[:, 1] - z[:, 0], z[:, 2] - z[:, 0]
        double = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        rise = np.column_stack((v[:, 1] * du - u[:, 1] * dv, u[:, 0] * dv - v[:, 0] * du))
        slope: Floats = rise / double[:, None]
        return slope

    @once
    def _tree(self) -> object:
        import shapely

        p = self.local[self.corners]
        low, high = p.min(axis=1) - EDGE_MM, p.max(axis=1) + EDGE_MM
        return shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))

    def near(self, low: Floats, high: Floats) -> tuple[Indices, Indices]:
        """Return which upright boxes meet which triangles' boxes, as pairs (box, triangle) in order of the boxes.

        Args:
            low: the lower left corners, (k, 2) from the middle.
            high: the upper right ones.
        """
        import shapely

        boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
        box, triangle = self._tree.query(boxes)  # type: ignore[attr-defined]
        order = np.lexsort((triangle, box))
        return box[order], triangle[order]

    @once
    def _sides(self) -> tuple[Floats, Floats]:
        """The direction inward from every side, (m, 3, 2), 1 mm long, and the side's height along it, (m, 3)."""
        p = self.local[self.corners]
        way = np.roll(p, -1, axis=1) - p
        inward = np.stack((-way[..., 1], way[..., 0]), axis=-1) / np.hypot(way[..., 0], way[..., 1])[..., None]
        return inward, (inward * p).sum(axis=-1)

    def depth(self, place: Floats, triangle: Indices) -> Floats:
        """Return how deep places lie in triangles: the distance to the nearest side, negative outside; (k,)."""
        inward, height = self._sides
        deep = (inward[triangle] * place[:, None]).sum(axis=-1) - height[triangle]
        least: Floats = deep.min(axis=1)
        return least

    def value(self, place: Floats, triangle: Indices) -> Floats:
        """Return the height of triangles' planes at places, (k, 2) and (k,) to (k,)."""
        first = self.corners[triangle, 0]
        z: Floats = self.z[first] + (self.gradients[triangle] * (place - self.local[first])).sum(axis=-1)
        return z

    def find(self, place: Floats) -> Indices:
        """Return the triangle that each place lies in, (k, 2) to (k,); -1 off the surface."""
        import shapely

        found = np.full(len(place), -1, dtype=np.intp)
        k, triangle = self._tree.query(shapely.points(place))  # type: ignore[attr-defined]
        if len(k):
            deep = self.depth(place[k], triangle)
            best = np.lexsort((triangle, -deep, k))
            first = np.flatnonzero(np.diff(k[best], prepend=-1))
            chosen = best[first]
            chosen = chosen[deep[chosen] >= -EDGE_MM]
            found[k[chosen]] = triangle[chosen]
        return found

    def shares(self, place: Floats, triangle: Indices) -> Floats:
        """Return how much each corner of its triangle counts at a place, (k, 3): from 0 to 1, 1 in all."""
        p = self.local[self.corners[triangle]]
        u, v, w = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0], place - p[:, 0]
        double = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        second = (w[:, 0] * v[:, 1] - w[:, 1] * v[:, 0]) / double
        third = (u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / double
        shares = np.clip(np.column_stack((1 - second - third, second, third)), 0.0, 1.0)
        whole: Floats = shares / shares.sum(axis=1, keepdims=True)
        return whole

    @once
    def edges(self) -> tuple[Indices, Indices, Bools]:
        """Every edge once, (e, 2) indices of places, those of every triangle, (m, 3), and which lie on the hull."""
        sides = np.sort(np.stack((self.corners, np.roll(self.corners, -1, axis=1)), axis=-1).reshape(-1, 2), axis=1)
        names = sides[:, 0] * len(self.xy) + sides[:, 1]
        _, first, number, times = np.unique(names, return_index=True, return_inverse=True, return_counts=True)
        return sides[first], number.reshape(-1, 3), times == 1


def _net(xy: Floats) -> Indices:
    """Return the triangles over places, (m, 3), anticlockwise."""
    from scipy.spatial import Delaunay

    scaled = xy / np.abs(xy).max()
    corners: Indices = Delaunay(scaled).simplices.astype(np.intp)
    corners = _anticlockwise(xy, corners)
    return _one_of_many(scaled, corners[_heights(xy, corners) > SLIVER_MM])


def _double_area(xy: Floats, corners: Indices) -> Floats:
    p = xy[corners]
    u, v = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    area: Floats = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    return area


def _heights(xy: Floats, corners: Indices) -> Floats:
    """Return the lowest height of every triangle: twice its area over its longest side."""
    p = xy[corners]
    way = np.roll(p, -1, axis=1) - p
    low: Floats = _double_area(xy, corners) / np.hypot(way[..., 0], way[..., 1]).max(axis=1)
    return low


def _anticlockwise(xy: Floats, corners: Indices) -> Indices:
    turned = corners.copy()
    back = _double_area(xy, corners) < 0
    turned[back] = turned[back][:, [0, 2, 1]]
    return turned


def _one_of_many(xy: Floats, corners: Indices) -> Indices:
    """Return the net with the triangles on one circle put together anew, all at the first of their places."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    pairs, four = _on_one_circle(xy, corners)
    if not len(pairs):
        return corners
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(corners), len(corners)))
    group = connected_components(links, directed=False)[1]
    size = np.bincount(group)
    kept = [corners[size[group] == 1]]
    # Pairs are by far the most, as in a grid: all of them at once. The corners a, d, b, c follow anticlockwise.
    alone = size[group[pairs[:, 0]]] == 2
    a, b, c, d = four[alone].T
    turn = np.minimum(a, b) > np.minimum(c, d)
    kept += [np.column_stack((c, a, np.where(turn, d, b))), np.column_stack((d, b, np.where(turn, c, a)))]
    order, ends = np.argsort(group, kind="stable"), np.cumsum(size)
    for k in np.flatnonzero(size > 2).tolist():
        old = corners[order[ends[k] - size[k] : ends[k]]]
        fan = _fan(xy, np.unique(old))
        kept.append(fan if len(fan) == len(old) and bool((_double_area(xy, fan) > 0).all()) else old)
    net: Indices = np.concatenate(kept)
    return net


def _fan(xy: Floats, places: Indices) -> Indices:
    """Return the triangles from the first of some places on one circle to all others, in order round it."""
    middle = xy[places] - xy[places].mean(axis=0)
    round_it = places[np.argsort(np.arctan2(middle[:, 1], middle[:, 0]))]
    round_it = np.roll(round_it, -int(np.argmin(round_it)))
    fan: Indices = np.column_stack((np.full(len(places) - 2, round_it[0]), round_it[1:-1], round_it[2:]))
    return fan


def _on_one_circle(xy: Floats, corners: Indices) -> tuple[Indices, Indices]:
    """Return pairs of neighbouring triangles whose corners lie on one circle, (k, 2), and these corners, (k, 4).

    The corners are the ends a and b of their common side, as the first goes along it, and the far ones of both.
    """
    sides = np.stack((corners, np.roll(corners, -1, axis=1)), axis=-1).reshape(-1, 2)
    far = np.roll(corners, -2, axis=1).reshape(-1)
    low, high = sides.min(axis=1), sides.max(axis=1)
    order = np.lexsort((high, low))
    same = np.flatnonzero((np.diff(low[order]) == 0) & (np.diff(high[order]) == 0))
    one, other = order[same], order[same + 1]
    first, second = one // 3, other // 3
    centre = _centres(xy, corners)[first]
    radius = np.hypot(*(xy[corners[first, 0]] - centre).T)
    on = np.abs(np.hypot(*(xy[far[other]] - centre).T) - radius) <= ON_CIRCLE
    pairs, four = np.column_stack((first, second)), np.column_stack((sides[one], far[one], far[other]))
    return pairs[on], four[on]


def _centres(xy: Floats, corners: Indices) -> Floats:
    """Return the centres of the circles through the corners of triangles, (m, 2)."""
    p = xy[corners]
    u, v = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    uu, vv = (u * u).sum(axis=1), (v * v).sum(axis=1)
    double = 2 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    way = np.column_stack((v[:, 1] * uu - u[:, 1] * vv, u[:, 0] * vv - v[:, 0] * uu)) / double[:, None]
    centres: Floats = p[:, 0] + way
    return centres
