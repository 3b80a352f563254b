"""Dimensions kept clear of the rest of the drawing: where extension lines begin, and texts that step aside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, along, distance, minus, plus, times, unit
from layoutdesk.sheets.drawing_dimensions import text_ring, text_width
from layoutdesk.sheets.drawing_marks import CLEAR_MM, GAP_MM, Measured

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_BESIDE_MM: Final = 0.5
"""A line of the drawing nearer than this to an extension line, in plan millimetres, lies under it."""
_SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78)
"""Where along its dimension line a text may stand, the best first."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What is drawn apart from names and dimensions, for those to keep clear of.

    ``lines`` are polylines of the plan, ``rounds`` circles by centre and radius. ``ratio`` is millimetres of ground
    to one of paper; ``turn`` is the direction in the plan that lies to the right on the page, in degrees.
    """

    lines: tuple[tuple[Vector, ...], ...]
    rounds: tuple[tuple[Vector, float], ...]
    ratio: float
    turn: float


def with_clear_extensions(dimensions: Sequence[Measured], scene: Scene) -> tuple[Measured, ...]:
    """Return the dimensions with extension lines that begin beyond what is already drawn there."""
    import numpy as np

    segments = np.array([(a, b) for line in scene.lines for a, b in pairwise(line)]).reshape(-1, 2, 2)
    circles = np.array([(*centre, radius) for centre, radius in scene.rounds]).reshape(-1, 3)
    clear = CLEAR_MM * scene.ratio

    def begin(place: Vector, end: Vector) -> Vector:
        if distance(place, end) <= clear:
            return end
        out = unit(minus(end, place))
        at = _beyond(_covered(segments, circles, place, out), clear)
        return plus(place, times(out, min(at, distance(place, end))))

    return tuple(
        replace(m, from_start=begin(m.start, m.line_start), from_end=begin(m.end, m.line_end)) for m in dimensions
    )


def _covered(
    segments: NDArray[np.float64], circles: NDArray[np.float64], place: Vector, out: Vector
) -> Iterable[tuple[float, float]]:
    """Return the stretches of a ray that lines and circles of the drawing already cover, nearest first."""
    import numpy as np

    way, across = np.array(out), np.array((-out[1], out[0]))
    ends = segments - np.array(place)
    beside = np.abs(ends @ across).max(axis=1, initial=0.0) < _BESIDE_MM
    reach = np.sort(ends[beside] @ way, axis=1)
    centres = circles[:, :2] - np.array(place)
    off = np.abs(centres @ across)
    met = off < circles[:, 2]
    half = np.sqrt(circles[met, 2] ** 2 - off[met] ** 2)
    at = centres[met] @ way
    return sorted([*map(tuple, reach.tolist()), *zip((at - half).tolist(), (at + half).tolist(), strict=True)])


def _beyond(stretches: Iterable[tuple[float, float]], clear: float) -> float:
    """Return where along a ray an extension line begins, clear of the place measured and of what covers the ray."""
    begin = clear
    for low, high in stretches:
        if low < begin + clear and high + clear > begin:
            begin = high + clear
    return begin


def with_clear_texts(dimensions: Sequence[Measured], scene: Scene) -> tuple[Measured, ...]:
    """Return the dimensions with each text moved along its line, where it stood over a line of the drawing."""
    import shapely

    ratio = scene.ratio
    drawn = [shapely.LineString(line) for line in scene.lines]
    if not drawn or not dimensions:
        return tuple(dimensions)
    tree = shapely.STRtree(drawn)
    room = GAP_MM / 2 * ratio

    def clear(m: Measured) -> bool:
        return not len(tree.query(shapely.Polygon(text_ring(m, room)), predicate="intersects"))

    done = []
    for m in dimensions:
        others = () if m.moved or clear(m) else (replace(m, text_at=at, moved=True) for at in _beside(m, ratio))
        done.append(next(filter(clear, others), m))
    return tuple(done)


def _beside(m: Measured, ratio: float) -> Iterable[Vector]:
    """Yield other places for a text between the ends of its own line."""
    span = distance(m.line_start, m.line_end)
    room = text_width(m.text, m.height) / 2 + GAP_MM * ratio
    raised = minus(m.text_at, along(m.line_start, m.line_end, 0.5))
    for share in _SHARES[1:]:
        if room <= share * span <= span - room:
            yield plus(along(m.line_start, m.line_end, share), raised)
