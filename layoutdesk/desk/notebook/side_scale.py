"""How a side view lies in its drawing: the scales, and which numbers stand under it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import SidePier, SideView

_LEAST_MM: Final = 300.0
"""A view of less height than this is drawn as if it had so much."""


@dataclass(frozen=True, slots=True)
class SideScale:
    """Running and elevation to pixels: ``across`` and ``up`` are pixels a millimetre, along and in height."""

    left: float
    right: float
    low: float
    high: float
    across: float
    up: float
    x0: float
    y0: float

    def x(self, running: float) -> float:
        """Return the pixel of a running length."""
        return self.x0 + (running - self.left) * self.across

    def y(self, elevation: float) -> float:
        """Return the pixel of an elevation."""
        return self.y0 + (self.high - elevation) * self.up

    @property
    def tall(self) -> float:
        """Return how many pixels the whole height takes."""
        return (self.high - self.low) * self.up


def fitted(view: SideView, exaggeration: float, *, x0: float, y0: float, wide: float, tallest: float) -> SideScale:
    """Return the scale at which a view fills ``wide`` pixels, or less where it would be taller than ``tallest``."""
    runs, heights = list(_runs(view)), list(_heights(view)) or [0.0]
    left, right = min(runs), max(runs)
    low, high = min(heights), max(heights)
    if high - low < _LEAST_MM:
        low -= (_LEAST_MM - (high - low)) / 2
        high = low + _LEAST_MM
    right = max(right, left + 1.0)
    across = min(wide / (right - left), tallest / ((high - low) * exaggeration))
    spare = wide - (right - left) * across
    return SideScale(left, right, low, high, across, across * exaggeration, x0 + spare / 2, y0)


def _runs(view: SideView) -> Iterator[float]:
    yield from (view.start, view.end)
    if view.house is not None:
        yield view.house
    for part in view.ground:
        yield from (x for x, _ in part)
    for x, _ in view.string or ():
        yield x
    for pier in view.piers:
        half = max((d for _, d in pier.profile), default=pier.column) / 2
        yield from (pier.running - half, pier.running + half)


def _heights(view: SideView) -> Iterator[float]:
    for part in view.ground:
        yield from (y for _, y in part)
    for pair in (view.string, view.beam):
        yield from (y for _, y in pair or ())
    for pier in view.piers:
        yield from _of_pier(pier)


def _of_pier(pier: SidePier) -> Iterator[float]:
    for value in (pier.ground, pier.top, pier.bottom, pier.foot, pier.head, pier.support):
        if value is not None:
            yield value
