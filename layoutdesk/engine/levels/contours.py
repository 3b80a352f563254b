"""Contours: lines of equal height on the triangles.

A corner at the very height of a contour counts as above it. So every edge that a contour crosses has one end
below and one not below, every triangle has two such edges or none, and the lines never break or branch: not at a
spot whose height they run through, nor where the ground is flat.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.entries import Contour
from layoutdesk.engine.levels.ground_surface import Surface
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units

MOST: Final = 10
"""A fitting step gives so many contours at most."""
TOO_MANY: Final = 200
"""A chosen step that gives more contours than this is doubled until it gives fewer: nobody could read them."""
_INCHES: Final = (1, 2, 3, 6, 12)


def fitting_interval(low: float, high: float, units: Units) -> float:
    """Return the step of contours that suits ground from ``low`` to ``high``, mm.

    In feet and inches 1, 2, 3, 6 or 12 in, then 1, 2, 5, 10 … ft; in metres and millimetres 10, 20, 50, 100 … mm.
    """
    least = (high - low) / MOST
    if units == "ft-in":
        for inches in _INCHES:
            if inches * MM_PER_INCH >= least:
                return inches * MM_PER_INCH
        return _one_two_five(least / MM_PER_FOOT) * MM_PER_FOOT
    return max(10.0, _one_two_five(least))


def _one_two_five(least: float) -> float:
    """Return the first of 1, 2, 5, 10, 20 … and their tenths that is not under ``least``."""
    if least <= 0:
        return 1.0
    ten = 10.0 ** math.floor(math.log10(least))
    return next(k * ten for k in (1, 2, 5, 10) if k * ten >= least * (1 - 1e-12))


def interval_of(low: float, high: float, units: Units, chosen: float | None) -> float:
    """Return the step of contours: the chosen one, unless it gave more than anybody could read."""
    step = chosen if chosen is not None and chosen > 0 else fitting_interval(low, high, units)
    if (high - low) / step > TOO_MANY:
        step *= 2.0 ** math.ceil(math.log2((high - low) / step / TOO_MANY))
    return step


def contours_of(surface: Surface, interval: float) -> tuple[Contour, ...]:
    """Return the contours at whole multiples of a step, from the lowest up."""
    corners = surface.z[surface.corners]
    found: list[Contour] = []
    for k in range(math.ceil(float(corners.min()) / interval), math.floor(float(corners.max()) / interval) + 1):
        found += (Contour(k * interval, line) for line in _lines(surface, k * interval))
    return tuple(found)


def _lines(surface: Surface, level: float) -> Iterator[tuple[Vector, ...]]:
    """Yield the lines at one height; the first point of a closed one is its last as well."""
    edges, of_triangle, _ = surface.edges
    below = surface.z[edges] < level
    crossed = below[:, 0] != below[:, 1]
    hit = crossed[of_triangle]
    pairs = of_triangle[hit.sum(axis=1) == 2]
    pairs = pairs[crossed[pairs]].reshape(-1, 2)
    if not len(pairs):
        return
    places = _places(surface, edges, level, crossed)
    for chain in _chained(pairs):
        line = tuple(_apart([(x, y) for x, y in places[chain].tolist()]))
        if len(line) > 1:
            yield line


def _places(surface: Surface, edges: Indices, level: float, crossed: Indices) -> Floats:
    """Return where edges cross a height, in the plan, (e, 2); NaN where they do not."""
    places = np.full((len(edges), 2), np.nan)
    a, b = edges[crossed].T
    low, high = surface.z[a], surface.z[b]
    share = ((level - low) / (high - low))[:, None]
    places[crossed] = surface.in_plan(surface.local[a] * (1 - share) + surface.local[b] * share)
    return places


def _chained(pairs: Indices) -> Iterator[Indices]:
    """Yield pairs of edges joined end to end. They are joined by name, so lines that only touch stay two."""
    from shapely import MultiLineString
    from shapely.ops import linemerge

    merged = linemerge(MultiLineString([((float(a), 0.0), (float(b), 0.0)) for a, b in pairs.tolist()]))
    for line in getattr(merged, "geoms", [merged]):
        yield np.rint(np.asarray(line.coords)[:, 0]).astype(np.intp)


def _apart(points: list[Vector]) -> Iterator[Vector]:
    """Yield points without those at the place of the one before: a line through a spot meets many edges there."""
    last = None
    for point in points:
        if last is None or distance(point, last) > SAME_MM:
            yield point
            last = point
