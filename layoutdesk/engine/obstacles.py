"""What a tape cannot cross: the house and the keep-outs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.layout import House
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Keepout, Plan

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

Ring: TypeAlias = tuple[Vector, ...]

TOUCH_MM: Final = 1.0
"""A tape may touch a wall or a keep-out: each is taken this much smaller, and the tape this much shorter."""
THE_HOUSE: Final = "the house"


def keepout_label(keepout: Keepout) -> str:
    """Return what a sentence calls a keep-out: ``tree K1``."""
    return f"{'keep-out' if keepout.kind == 'other' else keepout.kind} {keepout.id}"


class Obstacles:
    """The obstacles of one plan, the house first.

    ``labels`` names them, ``ids`` are the keep-outs' (None for the house), ``rings`` their outlines. The shapes
    themselves are made when something comes near.
    """

    def __init__(self, plan: Plan, house: House) -> None:
        named: list[tuple[str, str | None, tuple[Ring, ...]]] = []
        if house.outlines:
            named.append((THE_HOUSE, None, house.outlines))
        named += [(keepout_label(k), k.id, (k.outline,)) for k in plan.keepouts if len(k.outline) >= 3]
        self.labels = [label for label, _, _ in named]
        self.ids = [piece for _, piece, _ in named]
        self.rings = [rings for _, _, rings in named]
        self._shapes: dict[int, BaseGeometry] = {}
        self._smaller: dict[int, BaseGeometry] = {}

    def shape(self, index: int) -> BaseGeometry:
        """Return an obstacle true to the plan, prepared for many questions."""
        if index not in self._shapes:
            import shapely

            polygons = [shapely.make_valid(shapely.Polygon(ring)) for ring in self.rings[index]]
            shape = polygons[0] if len(polygons) == 1 else shapely.union_all(polygons)
            shapely.prepare(shape)
            self._shapes[index] = shape
        return self._shapes[index]

    def smaller(self, index: int) -> BaseGeometry:
        """Return an obstacle without its outermost millimetre: what a tape must not enter; it may be empty."""
        if index not in self._smaller:
            import shapely

            shape = self.shape(index).buffer(-TOUCH_MM, join_style="mitre")
            shapely.prepare(shape)
            self._smaller[index] = shape
        return self._smaller[index]

    def bounds(self, index: int) -> tuple[float, float, float, float]:
        """Return the upright rectangle round an obstacle: least x and y, greatest x and y, in mm."""
        xs = [x for ring in self.rings[index] for x, _ in ring]
        ys = [y for ring in self.rings[index] for _, y in ring]
        return min(xs), min(ys), max(xs), max(ys)

    def blocking(self, start: Floats, end: Floats) -> Indices:
        """Return for each straight way which obstacle is first to stand in it, by its place in ``labels``.

        Args:
            start: where the ways begin, (..., 2) in mm.
            end: where they end; broadcast against ``start``.

        Returns:
            Indices of the broadcast shape without its last axis; -1 for an open way.
        """
        found = np.full(np.broadcast(start, end).shape[:-1], -1, dtype=np.intp)
        if not self.rings or not found.size:
            return found
        low, high = np.minimum(start, end), np.maximum(start, end)
        for i in range(len(self.rings)):
            x_min, y_min, x_max, y_max = self.bounds(i)
            near = (
                (low[..., 0] <= x_max - TOUCH_MM)
                & (high[..., 0] >= x_min + TOUCH_MM)
                & (low[..., 1] <= y_max - TOUCH_MM)
                & (high[..., 1] >= y_min + TOUCH_MM)
            )
            near &= found < 0
            if near.any():
                found[near] = np.where(self._enter(i, *_shortened(start, end, near)), i, -1)
        return found

    def _enter(self, index: int, start: Floats, end: Floats) -> Bools:
        """Return which straight ways enter an obstacle; two of (n, 2) in mm."""
        import shapely

        lines = shapely.linestrings(np.stack((start, end), axis=1))
        hit: Bools = shapely.intersects(self.smaller(index), lines)
        return hit

    def label(self, index: int) -> str | None:
        """Return what stands in the way by its index from :meth:`blocking`, or None for -1."""
        return self.labels[index] if index >= 0 else None


def _shortened(start: Floats, end: Floats, chosen: Bools) -> tuple[Floats, Floats]:
    """Return the ends of the chosen ways, each way cut by a touch at both ends; two of (n, 2) in mm."""
    start, end = np.broadcast_arrays(start, end)
    a, b = start[chosen], end[chosen]
    way = b - a
    size = np.maximum(np.hypot(way[:, 0], way[:, 1]), 4 * TOUCH_MM)
    cut = way * (TOUCH_MM / size)[:, None]
    return a + cut, b - cut
