"""The straight strokes of a drawing, to be found by place: for texts that look for their dimension lines."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.dimensioned import FARTHEST
from layoutdesk.importers.linework import Linework, Shape

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ARROW_POINTS: Final = (3, 4)
"""An arrowhead is a closed outline of three points, or of four with a notch."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """All strokes from ``a`` to ``b`` (rows of x, y), and the marks that end dimension lines.

    ``tips`` are the sharp ends of arrowheads and the middles of dots (rows of x, y), ``sizes`` how large each mark
    is. The outlines of marks are not among the strokes.
    """

    a: NDArray[np.float64]
    b: NDArray[np.float64]
    tips: NDArray[np.float64]
    sizes: NDArray[np.float64]

    def index(self) -> StrokeIndex:
        """Return a way to find strokes and marks by place."""
        import numpy as np
        import shapely

        lines = shapely.linestrings(np.stack([self.a, self.b], axis=1)) if len(self.a) else []
        points = shapely.points(self.tips) if len(self.tips) else []
        return StrokeIndex(self, shapely.STRtree(lines), shapely.STRtree(points))


@dataclass(frozen=True, slots=True)
class StrokeIndex:
    """Strokes and marks with trees over them."""

    strokes: Strokes
    lines: object
    marks: object

    def near(self, low: Vector, high: Vector) -> NDArray[np.int64]:
        """Return the strokes whose boxes touch a box."""
        import shapely

        found: NDArray[np.int64] = self.lines.query(shapely.box(*low, *high))  # type: ignore[attr-defined]
        return found

    def across(self, start: Vector, end: Vector, reach: float) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Return the strokes and the marks that come within ``reach`` of the straight line from start to end."""
        import shapely

        line = shapely.LineString([start, end])
        strokes = self.lines.query(line, predicate="dwithin", distance=reach)  # type: ignore[attr-defined]
        marks = self.marks.query(line, predicate="dwithin", distance=reach)  # type: ignore[attr-defined]
        return strokes, marks


def strokes_of(linework: Linework, largest_mark: float) -> Strokes:
    """Return the strokes of all layers that are shown; marks are at most ``largest_mark`` in size."""
    import numpy as np

    frozen = frozenset(linework.frozen)
    a: list[Vector] = []
    b: list[Vector] = []
    tips: list[tuple[float, float, float]] = []
    for shape in linework.shapes:
        if shape.layer in frozen:
            continue
        mark = _mark(shape, largest_mark)
        if mark is not None:
            tips.append(mark)
        elif shape.centre is None and len(shape.points) > 1:
            a += shape.points[:-1]
            b += shape.points[1:]
            if shape.closed and len(shape.points) > 2:
                a.append(shape.points[-1])
                b.append(shape.points[0])
    ends = np.array(tips, dtype=float).reshape(-1, 3)
    ends = ends[(np.abs(ends) < FARTHEST).all(axis=1)]
    lines = np.hstack([np.array(a, dtype=float).reshape(-1, 2), np.array(b, dtype=float).reshape(-1, 2)])
    lines = lines[(np.abs(lines) < FARTHEST).all(axis=1)]
    return Strokes(lines[:, :2], lines[:, 2:], ends[:, :2], ends[:, 2])


def _mark(shape: Shape, largest: float) -> tuple[float, float, float] | None:
    """Return the place and size of an arrowhead or a dot, None when a shape is neither."""
    if shape.is_circle:
        assert shape.centre is not None
        return (*shape.centre, 2 * shape.radius) if 2 * shape.radius <= largest else None
    if not shape.closed or len(shape.points) not in ARROW_POINTS or shape.centre is not None:
        return None
    xs, ys = [p[0] for p in shape.points], [p[1] for p in shape.points]
    if max(xs) - min(xs) > 2 * largest or max(ys) - min(ys) > 2 * largest:
        return None
    return _tip(shape.points)


def _tip(points: tuple[Vector, ...]) -> tuple[float, float, float] | None:
    """Return the sharp end of an arrowhead, and its length; None for a box."""
    n = len(points)
    best: tuple[float, Vector, float] | None = None
    for k, p in enumerate(points):
        q, r = points[k - 1], points[(k + 1) % n]
        u, v = (q[0] - p[0], q[1] - p[1]), (r[0] - p[0], r[1] - p[1])
        angle = degrees(abs(atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])))
        if best is None or angle < best[0]:
            best = (angle, p, max(hypot(*u), hypot(*v)))
    assert best is not None
    return (*best[1], best[2]) if 2 < best[0] < 75 else None
