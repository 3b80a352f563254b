"""Which openings are sawn as one, and which go on to the slab's edge, so that no weak strip is left standing.

All is reckoned in axes along the cuts. An opening is an upright rectangle there, or a circle that stands alone.
Where less than the limit would be left between two of them they become the rectangle round both; where less would
be left in front of an edge of the slab the rectangle goes on to that edge. Edges that slant by 40° or more against
the side leave a corner there and no strip; they are only gone up to.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.engine.columns import Floats

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_SLACK: Final = 1e-5
"""Lengths in mm below this are nought here: ten times the grid that outlines are put on."""
_ALONG: Final = math.cos(math.radians(40))
_TURNS: Final = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
"""The ways out of the four sides: right, up, left, down."""


@dataclass(frozen=True, slots=True)
class Block:
    """An opening before the slab's outline trims it: least u and v, greatest u and v in mm, and the holes in it.

    ``round`` says that it is the circle within that square.
    """

    u0: float
    v0: float
    u1: float
    v1: float
    holes: tuple[int, ...]
    round: bool = False

    @property
    def radius(self) -> float:
        """Return the radius of a circle, 0 for a rectangle."""
        return (self.u1 - self.u0) / 2 if self.round else 0.0

    def core(self) -> tuple[float, float, float, float]:
        """Return what is left when its radius is taken off all round: the centre of a circle."""
        r = self.radius
        return self.u0 + r, self.v0 + r, self.u1 - r, self.v1 - r


def gap(one: Block, other: Block) -> float:
    """Return how far two openings are apart in mm; below nought where they overlap as circles do."""
    a, b = one.core(), other.core()
    aside = max(0.0, b[0] - a[2], a[0] - b[2]), max(0.0, b[1] - a[3], a[1] - b[3])
    return math.hypot(*aside) - one.radius - other.radius


def together(blocks: Sequence[Block]) -> Block:
    """Return the rectangle round several openings."""
    return Block(
        min(block.u0 for block in blocks),
        min(block.v0 for block in blocks),
        max(block.u1 for block in blocks),
        max(block.v1 for block in blocks),
        tuple(sorted(hole for block in blocks for hole in block.holes)),
    )


def settled(blocks: Sequence[Block], slab: BaseGeometry, *, least: float) -> list[Block]:
    """Return the openings joined and grown until no strip narrower than a limit is left beside any.

    Args:
        blocks: one for each hole.
        slab: in the same axes; its rings keep it on their left.
        least: the limit in mm.
    """
    found = list(blocks)
    edges = _edges(slab)
    fresh = list(range(len(found)))
    while fresh:
        for k in _near_edge([found[k] for k in fresh], slab, least):
            found[fresh[k]] = _grown(found[fresh[k]], edges, least)
        found, fresh = _joined(found, least)
    return found


def _edges(slab: BaseGeometry) -> Floats:
    """Return the edges of a slab, (n, 2, 2): from where to where, the slab on their left."""
    import shapely

    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(slab)))
    sides = [np.stack((xy[:-1], xy[1:]), axis=1) for xy in map(shapely.get_coordinates, rings)]
    every: Floats = np.concatenate(sides)
    long: Floats = every[np.hypot(*(every[:, 1] - every[:, 0]).T) > 0]
    return long


def _near_edge(blocks: Sequence[Block], slab: BaseGeometry, least: float) -> list[int]:
    """Return which openings come so near to the slab's outline that they must look at it."""
    import shapely

    cores = np.array([block.core() for block in blocks])
    radii = np.array([block.radius for block in blocks])
    away = shapely.distance(slab.boundary, shapely.box(*cores.T)) - radii
    # An edge that slants by up to 40 degrees is at most so much farther off square from a side.
    return np.flatnonzero(away < least / _ALONG + _SLACK).tolist()


def _grown(block: Block, edges: Floats, least: float) -> Block:
    """Return an opening that leaves no strip to the slab's outline: as it is, or a rectangle that goes on to it."""
    if block.round:
        centre = np.array(block.core()[:2])
        if _clear(centre, edges) >= block.radius + least - _SLACK:
            return block
        block = replace(block, round=False)
    # Each round goes past an edge or up to a corner; the bound only guards against an outline without sense.
    for _ in range(4 * len(edges) + 8):
        wider = _step(block, edges, least)
        if wider == block:
            break
        block = wider
    return block


def _clear(centre: Floats, edges: Floats) -> float:
    """Return how far a place is from the nearest edge, in mm."""
    return float(np.hypot(*(_nearest(centre, edges) - centre).T).min())


def _nearest(place: Floats, edges: Floats) -> Floats:
    """Return the place on every edge that is nearest to one, (n, 2)."""
    way = edges[:, 1] - edges[:, 0]
    share = ((place - edges[:, 0]) * way).sum(axis=1) / (way * way).sum(axis=1)
    near: Floats = edges[:, 0] + np.clip(share, 0.0, 1.0)[:, None] * way
    return near


def _step(block: Block, edges: Floats, least: float) -> Block:
    """Return a rectangle grown once on its sides, or else at its corners."""
    sides = [_side(block, edges, turn, least) for turn in _TURNS]
    right, up, left, down = sides
    wider = replace(block, u0=-left, v0=-down, u1=right, v1=up)
    if wider != block:
        return wider
    for corner in _corners(block):
        place = _corner(*corner, edges, least)
        if place is not None:
            u, v = place
            return replace(
                block, u0=min(block.u0, u), v0=min(block.v0, v), u1=max(block.u1, u), v1=max(block.v1, v)
            )
    return block


def _side(block: Block, edges: Floats, turn: tuple[float, float], least: float) -> float:
    """Return how far a side goes out, along its own way out.

    Turned so that the way out is x, an edge with the slab on its left ends the slab there where it runs up.
    """
    c, s = turn
    turned = np.stack((c * edges[..., 0] + s * edges[..., 1], c * edges[..., 1] - s * edges[..., 0]), axis=-1)
    corners = [(c * u + s * v, c * v - s * u) for u in (block.u0, block.u1) for v in (block.v0, block.v1)]
    out = max(x for x, _ in corners)
    low, high = min(y for _, y in corners) + _SLACK, max(y for _, y in corners) - _SLACK
    start, end = turned[:, 0], turned[:, 1]
    rise = end[:, 1] - start[:, 1]
    seen = (rise > 0) & (start[:, 1] < high) & (end[:, 1] > low)
    start, end, rise = start[seen], end[seen], rise[seen]
    if not len(rise):
        return out
    lean = (end[:, 0] - start[:, 0]) / rise
    at_low = start[:, 0] + lean * (np.maximum(low, start[:, 1]) - start[:, 1])
    at_high = start[:, 0] + lean * (np.minimum(high, end[:, 1]) - start[:, 1])
    near, far = np.minimum(at_low, at_high), np.maximum(at_low, at_high)
    along = rise / np.hypot(rise, end[:, 0] - start[:, 0])
    weak = (far > out + _SLACK) & ((np.maximum(near, out) - out) * along < least - _SLACK)
    reach = np.where(along > _ALONG, far, near)[weak]
    return max(out, float(reach.max())) if len(reach) else out


def _corners(block: Block) -> Iterator[tuple[Floats, Floats]]:
    """Yield the corners of a rectangle, each with the signs of the way out of it."""
    for u, su in ((block.u0, -1.0), (block.u1, 1.0)):
        for v, sv in ((block.v0, -1.0), (block.v1, 1.0)):
            yield np.array((u, v)), np.array((su, sv))


def _corner(corner: Floats, signs: Floats, edges: Floats, least: float) -> Floats | None:
    """Return the place of the slab's outline beyond a corner that only a neck would part from it, or None."""
    near = _nearest(corner, edges)
    out = near - corner
    way = edges[:, 1] - edges[:, 0]
    size = np.hypot(*out.T)
    beyond = (out * signs > -_SLACK).all(axis=1) & (size > _SLACK) & (size < least - _SLACK)
    leaving = out[:, 0] * way[:, 1] - out[:, 1] * way[:, 0] > 0
    found = np.flatnonzero(beyond & leaving)
    if not len(found):
        return None
    place: Floats = near[found[np.argmin(size[found])]]
    return place


def _joined(blocks: Sequence[Block], least: float) -> tuple[list[Block], list[int]]:
    """Return the openings with those joined between which a strip too weak would stand, and which are new."""
    import shapely

    boxes = shapely.box(*np.array([(block.u0, block.v0, block.u1, block.v1) for block in blocks]).T)
    limit = max(least, 2 * _SLACK) - _SLACK
    first, second = shapely.STRtree(boxes).query(boxes, predicate="dwithin", distance=limit)
    parent = list(range(len(blocks)))

    def root(k: int) -> int:
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        if i < j and gap(blocks[i], blocks[j]) < limit:
            a, b = root(i), root(j)
            parent[max(a, b)] = min(a, b)
    groups: dict[int, list[Block]] = {}
    for k, block in enumerate(blocks):
        groups.setdefault(root(k), []).append(block)
    joined = [group[0] if len(group) == 1 else together(group) for group in groups.values()]
    return joined, [k for k, group in enumerate(groups.values()) if len(group) > 1]
