"""How a section lies in its drawing, and where the words beside it stand so that none lies on another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Section

POST_OUT: Final = 0.14
"""How much of the height of a section a post goes on above what it is cast into."""
_SPARE: Final = 24.0
"""A section that does not fill its box stands so many pixels from its top at most."""


@dataclass(frozen=True, slots=True)
class Reach:
    """What a section spans: half its width, its highest depth and its lowest, in mm."""

    half: float
    high: float
    low: float


@dataclass(frozen=True, slots=True)
class SectionScale:
    """Millimetres to pixels: where axis and ground lie, and pixels a millimetre, alike in both directions."""

    middle: float
    ground: float
    scale: float

    def x(self, across: float) -> float:
        """Return the pixel of a distance from the axis, in mm."""
        return self.middle + across * self.scale

    def y(self, depth: float) -> float:
        """Return the pixel of a depth below the ground, in mm."""
        return self.ground + depth * self.scale

    def across(self, x: float) -> float:
        """Return the distance from the axis of a pixel, in mm."""
        return (x - self.middle) / self.scale

    def depth(self, y: float) -> float:
        """Return the depth of a pixel, in mm."""
        return (y - self.ground) / self.scale


def reach_of(section: Section) -> Reach:
    """Return what a section spans with its tube, its steel and what is cast in."""
    wide = max((max(part.upper, part.lower) for part in section.parts), default=0.0)
    high = min(0.0, section.top, *(bar.top for bar in section.bars))
    low = max(section.bottom, section.tube[1] if section.tube else 0.0, 1.0)
    if section.cast_in:
        top, foot, width, kind = section.cast_in
        wide, low = max(wide, width), max(low, foot)
        high = min(high, top)
        if kind == "post":
            high -= (low - high) * POST_OUT
    return Reach(max(wide / 2, 1.0), high, low)


def fitted(reach: Reach, *, x0: float, wide: float, y0: float, tall: float) -> SectionScale:
    """Return the largest scale at which a section lies in a box, in its middle and near its top."""
    scale = max(1e-9, min(wide / (2 * reach.half), tall / (reach.low - reach.high)))
    spare = tall - (reach.low - reach.high) * scale
    return SectionScale(x0 + wide / 2, y0 + min(spare / 2, _SPARE) - reach.high * scale, scale)


def spread(wanted: Sequence[float], apart: float, ceiling: float, floor: float) -> list[float]:
    """Return the middles of words that want to stand at some heights, none nearer to the next than ``apart``.

    They are moved as little as can be (least squares, by pooling neighbours that come too close); the order of
    ``wanted`` is kept where it rises. All lie between ceiling and floor where there is room for them.
    """
    pools: list[tuple[float, int]] = []
    for k, y in enumerate(wanted):
        mean, count = y - k * apart, 1
        while pools and pools[-1][0] > mean:
            before, many = pools.pop()
            mean, count = (before * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    last = max(ceiling, floor - (len(wanted) - 1) * apart)
    levels = [min(max(mean, ceiling), last) for mean, count in pools for _ in range(count)]
    return [level + k * apart for k, level in enumerate(levels)]
