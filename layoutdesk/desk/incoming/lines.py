"""The lines of a drawing as columns, so that three hundred thousand of them can be drawn and pointed at."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QByteArray, QDataStream, QIODevice
from PySide6.QtGui import QPainterPath

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Shape

Floats = NDArray[np.float64]
ROUND: Final = 64
"""A circle is drawn with so many corners."""
FARTHEST_PX: Final = 1e6
MANY_CIRCLES: Final = 4000
FEW_CORNERS: Final = 24
"""Where there are very many circles, they get only so many corners each."""
_VERTEX: Final = np.dtype([("kind", ">i4"), ("x", ">f8"), ("y", ">f8")])


@dataclass(frozen=True, eq=False)
class Lines:
    """Runs of points: run ``k`` has the ``count[k]`` points of ``xy`` from ``first[k]`` on.

    ``low`` and ``high`` (n, 2) are the corners of the box round each run.
    """

    xy: Floats
    first: NDArray[np.intp]
    count: NDArray[np.intp]
    low: Floats
    high: Floats

    @classmethod
    def of(cls, runs: Iterable[Sequence[Vector]]) -> Lines:
        """Return the columns of some runs of points, none of them empty."""
        kept = [run or ((math.nan, math.nan),) for run in runs]
        count = np.fromiter(map(len, kept), dtype=np.intp, count=len(kept))
        flat = (value for run in kept for point in run for value in point)
        xy = np.fromiter(flat, dtype=np.float64, count=2 * int(count.sum())).reshape(-1, 2)
        first = np.concatenate(([0], np.cumsum(count)[:-1])).astype(np.intp) if kept else count
        low = np.minimum.reduceat(xy, first, axis=0) if kept else np.empty((0, 2))
        high = np.maximum.reduceat(xy, first, axis=0) if kept else np.empty((0, 2))
        return cls(xy, first, count, low, high)

    @classmethod
    def of_shapes(cls, shapes: Sequence[Shape]) -> Lines:
        """Return the columns of shapes: circles as runs of corners, closed ones back to the first."""
        round_ = np.fromiter((s.is_circle for s in shapes), dtype=bool, count=len(shapes))
        corners = ROUND if int(round_.sum()) <= MANY_CIRCLES else FEW_CORNERS
        straight = [outline(s) for s, is_round in zip(shapes, round_.tolist(), strict=True) if not is_round]
        others = cls.of(straight)
        count = np.full(len(shapes), corners + 1, dtype=np.intp)
        count[~round_] = others.count
        first = (np.cumsum(count) - count).astype(np.intp)
        xy = np.empty((int(count.sum()), 2))
        xy[np.repeat(~round_, count)] = others.xy
        centres = np.array([s.centre for s in shapes if s.is_circle], dtype=np.float64).reshape(-1, 1, 2)
        radii = np.array([s.radius for s in shapes if s.is_circle], dtype=np.float64).reshape(-1, 1, 1)
        turns = np.linspace(0.0, math.tau, corners + 1)
        unit = np.stack([np.cos(turns), np.sin(turns)], axis=1)
        xy[np.repeat(round_, count)] = (centres + radii * unit).reshape(-1, 2)
        low, high = np.empty((len(shapes), 2)), np.empty((len(shapes), 2))
        low[~round_], high[~round_] = others.low, others.high
        low[round_], high[round_] = (centres - radii)[:, 0], (centres + radii)[:, 0]
        return cls(xy, first, count, low, high)

    def placed(self, scale: float, shift: Vector) -> Lines:
        """Return the lines enlarged, then moved."""
        by = np.array(shift)
        return Lines(self.xy * scale + by, self.first, self.count, self.low * scale + by, self.high * scale + by)

    def within(self, low: Vector, high: Vector) -> NDArray[np.bool_]:
        """Return for each run whether its box touches a box."""
        return np.asarray(
            (self.low[:, 0] <= high[0])
            & (self.high[:, 0] >= low[0])
            & (self.low[:, 1] <= high[1])
            & (self.high[:, 1] >= low[1])
        )

    def inside(self, low: Vector, high: Vector) -> NDArray[np.bool_]:
        """Return for each run whether it lies wholly inside a box."""
        return np.asarray(
            (self.low[:, 0] >= low[0])
            & (self.high[:, 0] <= high[0])
            & (self.low[:, 1] >= low[1])
            & (self.high[:, 1] <= high[1])
        )

    def run(self, k: int) -> Floats:
        """Return the points of a run."""
        return self.xy[self.first[k] : self.first[k] + self.count[k]]

    def distance(self, k: int, at: Vector) -> float:
        """Return how far a place is from a run."""
        points = self.run(k) - np.array(at)
        if len(points) == 1:
            return float(np.hypot(*points[0]))
        a, way = points[:-1], np.diff(points, axis=0)
        size = np.maximum((way**2).sum(axis=1), 1e-300)
        share = np.clip(-(a * way).sum(axis=1) / size, 0.0, 1.0)
        return float(np.hypot(*(a + way * share[:, None]).T).min())

    def path(self, chosen: NDArray[np.bool_], x: Floats, y: Floats) -> QPainterPath:
        """Return a path through the chosen runs, whose points are given in pixels as columns x and y."""
        kept = np.repeat(chosen, self.count)
        starts = np.zeros(len(self.xy), dtype=bool)
        starts[self.first] = True
        vertices = np.empty(int(kept.sum()), dtype=_VERTEX)
        vertices["kind"] = np.where(starts[kept], 0, 1)
        # A line to the end of the world is drawn to the end of what a painter can count.
        vertices["x"], vertices["y"] = (np.clip(column[kept], -FARTHEST_PX, FARTHEST_PX) for column in (x, y))
        return _path(vertices)


def _path(vertices: NDArray[np.void]) -> QPainterPath:
    """Return a path of move-to (0) and line-to (1) vertices, in the form that Qt writes paths to a stream."""
    path = QPainterPath()
    if not len(vertices):
        return path
    data = len(vertices).to_bytes(4, "big") + vertices.tobytes() + (0).to_bytes(4, "big") + (0).to_bytes(4, "big")
    held = QByteArray(data)
    QDataStream(held, QIODevice.OpenModeFlag.ReadOnly) >> path
    return path


def outline(shape: Shape) -> Sequence[Vector]:
    """Return the points along a run or an arc, back to the first when it is closed."""
    return (*shape.points, shape.points[0]) if shape.closed and shape.points else shape.points
