"""What a tape cannot cross: the house and the keep-outs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.house import house_of
from layoutdesk.engine.layout import House
from layoutdesk.engine.once import once
from layoutdesk.geometry.polygon import DECIMALS, area_within
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
    """The obstacles of one plan, the house first; their shapes are made when something comes near."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._shapes: dict[int, BaseGeometry] = {}
        self._smaller: dict[int, BaseGeometry] = {}

    @once
    def house(self) -> House:
        """The house as closed outlines."""
        return house_of(self._plan)

    @once
    def _keepouts(self) -> list[Keepout]:
        return [keepout for keepout in self._plan.keepouts if len(keepout.outline) >= 3]

    @once
    def rings(self) -> list[tuple[Ring, ...]]:
        """The outlines of each obstacle."""
        house = [self.house.outlines] if self.house.outlines else []
        return [*house, *((keepout.outline,) for keepout in self._keepouts)]

    @once
    def labels(self) -> list[str]:
        """What sentences call each obstacle."""
        house = [THE_HOUSE] if self.house.outlines else []
        return [*house, *map(keepout_label, self._keepouts)]

    @once
    def ids(self) -> list[str | None]:
        """The id of each keep-out; None for the house."""
        house: list[str | None] = [None] if self.house.outlines else []
        return [*house, *(keepout.id for keepout in self._keepouts)]

    def shape(self, index: int) -> BaseGeometry:
        """Return an obstacle true to the plan, prepared for many questions."""
        if index not in self._shapes:
            import shapely

            shape = area_within(self.rings[index])
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
        open_ = np.broadcast_to(np.intp(-1), np.broadcast(start, end).shape[:-1])
        reached = self._in_reach(start, end) if open_.size else []
        if not reached:
            return open_
        found = open_.copy()
        for i in reached:
            x_min, y_min, x_max, y_max = self._inner_boxes[i]
            near = _reach(start[..., 0], end[..., 0], x_min, x_max)
            near &= _reach(start[..., 1], end[..., 1], y_min, y_max)
            near &= found < 0
            if near.any():
                found[near] = np.where(self._enter(i, *_shortened(start, end, near)), i, -1)
        return found

    def _in_reach(self, start: Floats, end: Floats) -> list[int]:
        """Return the obstacles that lie in the upright rectangle round all ways."""
        boxes = list(enumerate(self._inner_boxes))
        for axis in (0, 1):
            low, high = _span(start[..., axis], end[..., axis]) if boxes else (0.0, 0.0)
            boxes = [(i, box) for i, box in boxes if low <= box[axis + 2] and high >= box[axis]]
        return [i for i, _ in boxes]

    @once
    def _inner_boxes(self) -> list[tuple[float, float, float, float]]:
        """The upright rectangle that a way must reach to enter each obstacle."""
        boxes = map(self.bounds, range(len(self.rings)))
        return [(x + TOUCH_MM, y + TOUCH_MM, x_max - TOUCH_MM, y_max - TOUCH_MM) for x, y, x_max, y_max in boxes]

    def _enter(self, index: int, start: Floats, end: Floats) -> Bools:
        """Return which straight ways enter an obstacle; two of (n, 2) in mm."""
        import shapely

        lines = shapely.linestrings(np.round(np.stack((start, end), axis=1), DECIMALS))
        hit: Bools = shapely.intersects(self.smaller(index), lines)
        return hit

    def label(self, index: int) -> str | None:
        """Return what stands in the way by its index from :meth:`blocking`, or None for -1."""
        return self.labels[index] if index >= 0 else None


def _span(start: Floats, end: Floats) -> tuple[float, float]:
    """Return the least and the greatest coordinate of all ways along one axis."""
    return min(float(start.min()), float(end.min())), max(float(start.max()), float(end.max()))


def _reach(start: Floats, end: Floats, low: float, high: float) -> Bools:
    """Return which ways reach into a span along one axis."""
    inside: Bools = (np.minimum(start, end) <= high) & (np.maximum(start, end) >= low)
    return inside


def _shortened(start: Floats, end: Floats, chosen: Bools) -> tuple[Floats, Floats]:
    """Return the ends of the chosen ways, each way cut by a touch at both ends; two of (n, 2) in mm."""
    start, end = np.broadcast_arrays(start, end)
    a, b = start[chosen], end[chosen]
    way = b - a
    size = np.maximum(np.hypot(way[:, 0], way[:, 1]), 4 * TOUCH_MM)
    cut = way * (TOUCH_MM / size)[:, None]
    return a + cut, b - cut
