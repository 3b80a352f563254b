"""The ground along a straight way: straight from break to break."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.ground_plane import Fit
from layoutdesk.engine.levels.ground_row import RowOfSpots
from layoutdesk.engine.levels.ground_surface import Surface
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance

_SAME_SHARE: Final = 1e-12
_NEAR: Final = 1e-9


def profile(fit: Fit, ground: Surface | RowOfSpots | None, a: Vector, b: Vector) -> tuple[Vector, ...]:
    """Return the ground from a to b as (distance from a, elevation), mm, at both ends and at every break.

    Args:
        fit: the plane, which is the ground where the surface is not.
        ground: the surface, or the ground along a line of spots.
        a: where it begins.
        b: where it ends; at least the same place as a.
    """
    start, end = np.array(a, dtype=np.float64), np.array(b, dtype=np.float64)
    long = distance(a, b)
    if ground is None:
        shares = np.empty(0)
    elif isinstance(ground, Surface):
        shares = _crossed(ground, start, end)
    else:
        shares = ground.breaks(start, end)
    shares = np.concatenate(([0.0], np.sort(shares), [1.0]))
    shares = shares[np.concatenate(([True], np.diff(shares) > _SAME_SHARE))]
    if long <= SAME_MM or len(shares) < 2:
        shares = np.array([0.0, 0.0])
    places = start + shares[:, None] * (end - start)
    before, after = _ends(fit, ground, places)
    ends = zip(
        (shares[:-1] * long).tolist(), before.tolist(), (shares[1:] * long).tolist(), after.tolist(), strict=True
    )
    return tuple(_joined((point for x, z, u, w in ends for point in ((x, z), (u, w)))))


def _joined(points: Iterator[Vector]) -> Iterator[Vector]:
    """Yield points without those that say again what the one before said."""
    last: Vector | None = None
    for point in points:
        if last is None or distance(point, last) > SAME_MM:
            yield point
            last = point


def _ends(fit: Fit, ground: Surface | RowOfSpots | None, places: Floats) -> tuple[Floats, Floats]:
    """Return the heights of the ground between places, just behind each but the last and just before the next."""
    middles = (places[:-1] + places[1:]) / 2
    first, last = fit.heights(places[:-1]), fit.heights(places[1:])
    if isinstance(ground, Surface):
        triangle = ground.find(ground.from_middle(middles))
        there = triangle >= 0
        local = ground.from_middle(places)
        first[there] = ground.value(local[:-1][there], triangle[there])
        last[there] = ground.value(local[1:][there], triangle[there])
    elif ground is not None:
        there = ~np.isnan(ground.measured(middles)[0])
        first[there] = ground.heights(ground.clipped(places[:-1][there]))
        last[there] = ground.heights(ground.clipped(places[1:][there]))
    return first, last


def _crossed(surface: Surface, a: Floats, b: Floats) -> Floats:
    """Return at which shares of the way from a to b it crosses sides of triangles, those between 0 and 1."""
    start, way = surface.from_middle(a), b - a
    ends = surface.local[surface.edges[0]]
    out, side = ends[:, 0] - start, ends[:, 1] - ends[:, 0]
    turn = way[0] * side[:, 1] - way[1] * side[:, 0]
    size = np.hypot(*way) * np.hypot(side[:, 0], side[:, 1])
    slanted = np.abs(turn) > _SAME_SHARE * size
    out, side, turn = out[slanted], side[slanted], turn[slanted]
    share = (out[:, 0] * side[:, 1] - out[:, 1] * side[:, 0]) / turn
    on_side = (out[:, 0] * way[1] - out[:, 1] * way[0]) / turn
    # One break too many does no harm; at a spot that the way runs through rounding must not lose the only one.
    met = (on_side >= -_NEAR) & (on_side <= 1 + _NEAR) & (share > 0) & (share < 1)
    shares: Floats = share[met]
    return shares
