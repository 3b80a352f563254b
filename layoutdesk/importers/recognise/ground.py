"""A drawing on the ground: its shapes as arrays of millimetres, near enough to zero for a plan."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import Linework, Shape
from layoutdesk.units import LIMIT_MM

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]
Bools: TypeAlias = NDArray[np.bool_]

REACH_MM: Final = 0.95 * LIMIT_MM
"""Shapes farther out than this are left where they are: a plan holds nothing so far away."""
_ABSURD: Final = 1e60
_NEAR_MM: Final = 0.5 * LIMIT_MM
"""A drawing whose middle lies farther from zero is shifted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The shapes of a drawing in millimetres on the ground.

    ``points`` holds the points of all shapes in a row, those of shape i from ``first[i]`` to ``first[i + 1]``;
    ``low`` and ``high`` are the corners of the boxes round the shapes. ``live`` are the shapes that may be
    proposed: on a layer that is shown, finite, and within reach. ``layer`` counts in ``layers``; ``use`` is -1
    outside of blocks. ``shift`` was added to all coordinates.
    """

    points: Floats
    first: Ints
    centre: Floats
    radius: Floats
    closed: Bools
    circle: Bools
    arc: Bools
    dashed: Bools
    layer: Ints
    layers: tuple[str, ...]
    use: Ints
    low: Floats
    high: Floats
    live: Bools
    scale: float
    shift: Vector

    def of(self, shape: int) -> Floats:
        """Return the points of a shape."""
        points: Floats = self.points[self.first[shape] : self.first[shape + 1]]
        return points

    def place(self, at: Vector) -> Vector:
        """Return a place of the drawing on the ground."""
        return at[0] * self.scale + self.shift[0], at[1] * self.scale + self.shift[1]


def on_ground(linework: Linework, scale: float) -> Ground:
    """Return the shapes of a drawing at a scale (mm on the ground of one drawing unit)."""
    shapes = linework.shapes
    count = len(shapes)
    sizes = np.fromiter((len(s.points) for s in shapes), np.intp, count)
    first = np.zeros(count + 1, np.intp)
    np.cumsum(sizes, out=first[1:])
    flat = chain.from_iterable(chain.from_iterable(s.points for s in shapes))
    raw = np.fromiter(flat, np.float64, 2 * int(first[-1])).reshape(-1, 2)
    middle = np.full((count, 2), np.nan)
    has = [i for i, s in enumerate(shapes) if s.centre is not None]
    if has:
        middle[has] = [_centre(shapes[i]) for i in has]
    radius = np.fromiter((abs(s.radius) for s in shapes), np.float64, count)
    for numbers in (raw, middle, radius):
        # Numbers that are none spread without a warning, the infinite do not.
        numbers[~(np.abs(numbers) < _ABSURD)] = np.nan
    low, high = _boxes(raw, first, sizes, middle, radius)
    with np.errstate(all="ignore"):
        finite = np.isfinite(low).all(axis=1) & np.isfinite(high).all(axis=1) & np.isfinite(radius)
        origin = _origin((low[finite] + high[finite]) / 2, scale)
        points, centre = (raw - origin) * scale, (middle - origin) * scale
        low, high = (low - origin) * scale, (high - origin) * scale
        reached = finite & (np.abs(low) <= REACH_MM).all(axis=1) & (np.abs(high) <= REACH_MM).all(axis=1)
    low[~reached] = high[~reached] = centre[~reached] = np.nan
    points[np.repeat(~reached, sizes)] = np.nan
    radius[~reached] = 0.0
    names = tuple(dict.fromkeys((*linework.layers, *(s.layer for s in shapes))))
    number = {name: i for i, name in enumerate(names)}
    layer = np.fromiter((number[s.layer] for s in shapes), np.intp, count)
    hidden = np.array([name in set(linework.frozen) for name in names], np.bool_)
    circle = np.isfinite(middle[:, 0]) & (sizes == 0)
    return Ground(
        points=points,
        first=first,
        centre=centre,
        radius=radius * scale,
        closed=np.fromiter((s.closed for s in shapes), np.bool_, count) & (sizes > 2),
        circle=circle,
        arc=np.isfinite(middle[:, 0]) & (sizes > 0),
        dashed=np.fromiter((s.dashed for s in shapes), np.bool_, count),
        layer=layer,
        layers=names,
        use=np.fromiter((-1 if s.use is None else s.use for s in shapes), np.intp, count),
        low=low,
        high=high,
        live=reached & ~hidden[layer] if count else reached,
        scale=scale,
        shift=(float(-origin[0] * scale), float(-origin[1] * scale)),
    )


def _centre(shape: Shape) -> Vector:
    assert shape.centre is not None
    return shape.centre


def _boxes(raw: Floats, first: Ints, sizes: Ints, middle: Floats, radius: Floats) -> tuple[Floats, Floats]:
    """Return the corners of the box round each shape, in drawing units; not finite where it has no place."""
    low, high = middle - radius[:, None], middle + radius[:, None]
    some = np.flatnonzero(sizes)
    if len(some):
        low[some] = np.minimum.reduceat(raw, first[some], axis=0)
        high[some] = np.maximum.reduceat(raw, first[some], axis=0)
    return low, high


def _origin(middles: Floats, scale: float) -> Floats:
    """Return the place of the drawing that becomes zero: its own zero, unless it lies too far away."""
    if not len(middles):
        return np.zeros(2)
    typical = np.median(middles, axis=0)
    if not np.isfinite(typical * scale).all() or (np.abs(typical * scale) <= _NEAR_MM).all():
        return np.zeros(2)
    step = 1000.0 / scale  # whole metres, so that the shift is a number one can say
    whole: Floats = np.round(typical / step) * step
    return whole
