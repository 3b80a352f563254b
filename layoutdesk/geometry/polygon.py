"""Outlines as polygons, over shapely.

Coordinates are put on a grid as fine as the one tolerance: nothing on a building site is smaller, and numbers
next to nought make the geometry library stumble.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

GRID_MM: Final = 1e-6
"""The grid, in mm."""
DECIMALS: Final = 6


def on_grid(p: Vector) -> Vector:
    """Return a point moved to the grid."""
    return (round(p[0], DECIMALS), round(p[1], DECIMALS))


def area_within(outlines: Sequence[Sequence[Vector]]) -> BaseGeometry:
    """Return all that lies within some outlines, made valid where one crosses itself; it may be empty.

    Args:
        outlines: rings of at least three corners, in mm.
    """
    import shapely

    pieces = [shapely.make_valid(shapely.Polygon([on_grid(p) for p in outline])) for outline in outlines]
    area: BaseGeometry = pieces[0] if len(pieces) == 1 else shapely.union_all(pieces, grid_size=GRID_MM)
    return area
