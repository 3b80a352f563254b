"""How an opening is sawn: the cuts along its outline, and those that part it into pieces that can be carried."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.geometry.vector import Vector, cross, distance, minus

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

Way = tuple[Vector, ...]
"""The places that a cut passes, in order."""
_ON_EDGE: Final = 1e-3
"""What lies within so many mm of the slab's outline is not sawn: there is nothing on the other side."""
_MOST_TRIED: Final = 12
_MOST_COLUMNS: Final = 200
_MOST_PIECES: Final = 10_000
"""Of more pieces nobody carries one after the other: it is left whole, for a machine."""
_NOISE: Final = 1e-9


def sawn_sides(outline: Sequence[Vector], slab: BaseGeometry | None) -> list[Way]:
    """Return the straight cuts along an outline, in its order; None for a slab that it nowhere touches."""
    import shapely

    sides = list(zip(outline, (*outline[1:], outline[0]), strict=True))
    if slab is not None:
        ends = np.array(sides)
        shares = np.array((0.25, 0.5, 0.75))[:, None, None]
        places = ends[:, 0] + shares * (ends[:, 1] - ends[:, 0])
        inside = (shapely.distance(slab.boundary, shapely.points(places)) > _ON_EDGE).any(axis=0)
        sides = [side for side, sawn in zip(sides, inside.tolist(), strict=True) if sawn]
    cuts: list[Way] = []
    for start, end in sides:
        if cuts and _goes_on(cuts[-1], start, end):
            cuts[-1] = (cuts[-1][0], end)
        else:
            cuts.append((start, end))
    if len(cuts) > 1 and _goes_on(cuts[-1], *cuts[0]):
        cuts[0] = (cuts.pop()[0], cuts[0][1])
    return cuts


def _goes_on(cut: Way, start: Vector, end: Vector) -> bool:
    """Return whether a side goes on straight from the end of a cut."""
    way, more = minus(cut[1], cut[0]), minus(end, start)
    size = math.hypot(*way) * math.hypot(*more)
    return distance(cut[1], start) <= _ON_EDGE and abs(cross(way, more)) <= 1e-7 * size


@dataclass(frozen=True, slots=True)
class Pieces:
    """An opening in pieces: the cuts between them, how many there are, and the largest area among them in mm²."""

    cuts: tuple[Way, ...]
    count: int
    largest: float


def in_pieces(shape: Polygon, *, most: float) -> Pieces:
    """Return an opening cut along both of its axes into pieces of no more than an area, with the least sawing.

    Args:
        shape: in axes along its sides.
        most: the area in mm² that can be carried.
    """
    if shape.area <= most * (1 + _NOISE) or shape.area > most * _MOST_PIECES:
        return Pieces((), 1, shape.area)
    u0, v0, u1, v1 = shape.bounds
    wide, high = u1 - u0, v1 - v0
    whole = abs(shape.area - wide * high) <= 1e-9 * wide * high
    best = min(_sure(wide, high, most), key=lambda n: ((n[0] - 1) * high + (n[1] - 1) * wide, n))
    if whole:
        return _whole(shape.bounds, best)
    # What lies outside of the shape is neither sawn nor carried, so that fewer cuts may do.
    tried = sorted(
        ((nu, nv) for nu in range(1, best[0] + 1) for nv in range(1, best[1] + 1)),
        key=lambda n: ((n[0] - 1) * high + (n[1] - 1) * wide, n),
    )
    for nu, nv in tried[:_MOST_TRIED]:
        if shape.area <= nu * nv * most * (1 + _NOISE):
            found = _clipped(shape, (nu, nv))
            if found.largest <= most * (1 + _NOISE):
                return found
    return _clipped(shape, best)


def _sure(wide: float, high: float, most: float) -> list[tuple[int, int]]:
    """Return the ways of parting a rectangle evenly into pieces of no more than an area: columns and rows."""
    pieces = math.ceil(wide * high / most - _NOISE)
    # Beyond twice the even number of columns more of them never saw less.
    even = math.ceil(math.sqrt(pieces * wide / high)) + 1
    counts = {*range(1, min(pieces, 2 * even, _MOST_COLUMNS) + 1), even}
    return [(nu, math.ceil(wide * high / (nu * most) - _NOISE)) for nu in sorted(counts)]


def _lines(bounds: tuple[float, float, float, float], n: tuple[int, int]) -> list[Way]:
    u0, v0, u1, v1 = bounds
    across = [u0 + (u1 - u0) * k / n[0] for k in range(1, n[0])]
    along = [v0 + (v1 - v0) * k / n[1] for k in range(1, n[1])]
    return [*(((u, v0), (u, v1)) for u in across), *(((u0, v), (u1, v)) for v in along)]


def _whole(bounds: tuple[float, float, float, float], n: tuple[int, int]) -> Pieces:
    u0, v0, u1, v1 = bounds
    return Pieces(tuple(_lines(bounds, n)), n[0] * n[1], (u1 - u0) * (v1 - v0) / (n[0] * n[1]))


def _clipped(shape: Polygon, n: tuple[int, int]) -> Pieces:
    """Return a shape in the cells of a grid over it."""
    import shapely

    u0, v0, u1, v1 = shape.bounds
    u, v = np.linspace(u0, u1, n[0] + 1), np.linspace(v0, v1, n[1] + 1)
    left, low = np.meshgrid(u[:-1], v[:-1])
    right, high = np.meshgrid(u[1:], v[1:])
    cells = shapely.intersection(shape, shapely.box(left.ravel(), low.ravel(), right.ravel(), high.ravel()))
    areas = shapely.area(shapely.get_parts(cells))
    pieces = areas[areas > _ON_EDGE]
    held = shapely.intersection(shape, shapely.linestrings(_lines(shape.bounds, n)))
    cuts = [shapely.get_coordinates(part) for part in shapely.get_parts(held) if part.length > _ON_EDGE]
    ways = tuple(((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))) for a, *_, b in cuts)
    return Pieces(ways, len(pieces), float(pieces.max(initial=0.0)))
