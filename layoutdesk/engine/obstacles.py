"""What a tape cannot cross: the house and the keep-outs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.layout import House
from layoutdesk.plan.model import Keepout, Plan

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

TOUCH_MM: Final = 1.0
"""A tape may touch a wall or a keep-out: each is taken this much smaller, and the tape this much shorter."""
THE_HOUSE: Final = "the house"


def keepout_label(keepout: Keepout) -> str:
    """Return what a sentence calls a keep-out: ``tree K1``."""
    return f"{'keep-out' if keepout.kind == 'other' else keepout.kind} {keepout.id}"


class Obstacles:
    """The obstacles of one plan, the house first.

    ``labels`` names them, ``ids`` are the keep-outs' (None for the house), ``shapes`` are true to the plan.
    """

    def __init__(self, plan: Plan, house: House) -> None:
        self.labels: list[str] = []
        self.ids: list[str | None] = []
        self.shapes: list[BaseGeometry] = []
        self._smaller: list[BaseGeometry] = []
        if not house.outlines and not plan.keepouts:
            return
        import shapely

        self._add(THE_HOUSE, None, shapely.union_all([shapely.Polygon(ring) for ring in house.outlines]))
        for keepout in plan.keepouts:
            if len(keepout.outline) >= 3:
                outline = shapely.make_valid(shapely.Polygon(keepout.outline))
                self._add(keepout_label(keepout), keepout.id, outline)

    def _add(self, label: str, piece: str | None, shape: BaseGeometry) -> None:
        """Add an obstacle, unless it is so thin that nothing can be in it."""
        smaller = shape.buffer(-TOUCH_MM, join_style="mitre")
        if not smaller.is_empty:
            self.labels.append(label)
            self.ids.append(piece)
            self.shapes.append(shape)
            self._smaller.append(smaller)

    def blocking(self, start: Floats, end: Floats) -> Indices:
        """Return for each straight way which obstacle is first to stand in it, by its place in ``labels``.

        Args:
            start: where the ways begin, (..., 2) in mm.
            end: where they end; broadcast against ``start``.

        Returns:
            Indices of the broadcast shape without its last axis; -1 for an open way.
        """
        found = np.full(np.broadcast(start, end).shape[:-1], -1, dtype=np.intp)
        if not self._smaller or not found.size:
            return found
        start, end = np.broadcast_arrays(start, end)
        import shapely

        way = end - start
        size = np.hypot(way[..., 0], way[..., 1])
        cut = way * (TOUCH_MM / np.maximum(size, 4 * TOUCH_MM))[..., None]
        a, b = start + cut, end - cut
        low, high = np.minimum(a, b), np.maximum(a, b)
        for i, shape in enumerate(self._smaller):
            x_min, y_min, x_max, y_max = shape.bounds
            near = (
                (found < 0)
                & (low[..., 0] <= x_max)
                & (high[..., 0] >= x_min)
                & (low[..., 1] <= y_max)
                & (high[..., 1] >= y_min)
            )
            if not near.any():
                continue
            shapely.prepare(shape)
            lines = shapely.linestrings(np.stack((a[near], b[near]), axis=1))
            hit = shapely.intersects(shape, lines)
            found[near] = np.where(hit, i, -1)
        return found

    def label(self, index: int) -> str | None:
        """Return what stands in the way by its index from :meth:`blocking`, or None for -1."""
        return self.labels[index] if index >= 0 else None
