"""Standard scales of drawings, and the largest at which a plan fits its paper.

Plans in feet and inches are drawn at an architect's scale, and beyond 1/16" = 1'-0" at one of whole feet to
the inch; metric plans at a scale of ISO 5455:1979 (1, 2 and 5 times a power of ten).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.units import MM_PER_FOOT, Units, format_length


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale by its name on the page and by its ratio: one millimetre of paper is ``ratio`` of ground."""

    name: str
    ratio: float

    def on_paper(self, ground_mm: float) -> float:
        """Return how long a length of the ground is on paper, both in millimetres."""
        return ground_mm / self.ratio

    def on_ground(self, paper_mm: float) -> float:
        """Return what a length of paper stands for on the ground, both in millimetres."""
        return paper_mm * self.ratio


_INCHES_TO_THE_FOOT: Final = (
    ("3", 4), ("1 1/2", 8), ("1", 12), ("3/4", 16), ("1/2", 24), ("3/8", 32),
    ("1/4", 48), ("3/16", 64), ("1/8", 96), ("3/32", 128), ("1/16", 192),
)  # fmt: skip
_FEET_TO_THE_INCH: Final = (20, 30, 40, 50, 60, 100, 200, 500, 1000)
_ISO_5455: Final = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000)

FOOT_SCALES: Final[tuple[Scale, ...]] = (
    *(Scale(f'{inches}" = 1\'-0"', float(ratio)) for inches, ratio in _INCHES_TO_THE_FOOT),
    *(Scale(f'1" = {feet}\'-0"', 12.0 * feet) for feet in _FEET_TO_THE_INCH),
)
"""Scales for feet and inches, largest first."""

METRIC_SCALES: Final[tuple[Scale, ...]] = tuple(Scale(f"1:{ratio}", float(ratio)) for ratio in _ISO_5455)
"""Reductions of ISO 5455, largest first."""


def standard_scales(units: Units) -> tuple[Scale, ...]:
    """Return the standard scales of a plan in these units, largest first."""
    return FOOT_SCALES if units == "ft-in" else METRIC_SCALES


def largest_that_fits(
    width_mm: float, height_mm: float, paper_w: float, paper_h: float, units: Units, *, no_larger: float = 10.0
) -> Scale | None:
    """Return the largest standard scale at which a piece of ground fits a piece of paper, not turned.

    Args:
        width_mm: how wide the ground is, in millimetres.
        height_mm: how high it is.
        paper_w: how wide the free paper is, in millimetres.
        paper_h: how high it is.
        units: the plan's units, which say which family of scales is used.
        no_larger: the least ratio wanted, so that a lone pier is not drawn to fill the page.

    Returns:
        None when even the smallest scale is too large, or when there is no paper.
    """
    if paper_w <= 0 or paper_h <= 0:
        return None
    need = max(width_mm / paper_w, height_mm / paper_h, no_larger) * (1 - 1e-9)
    return next((scale for scale in standard_scales(units) if scale.ratio >= need), None)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar to read lengths from: ``count`` steps of ``step`` millimetres of ground, and the mark of each end.

    ``labels`` has ``count + 1`` texts, the last one with its unit.
    """

    step: float
    count: int
    labels: tuple[str, ...]


def scale_bar(ratio: float, units: Units, *, paper_mm: float = 80.0, least_step: float = 12.0) -> Bar:
    """Return a bar of whole plan units: the shortest step that is ``least_step`` of paper, as many as fit.

    Args:
        ratio: ground over paper.
        units: the plan's units; steps are 1, 2 or 5 times a power of ten of feet, or of metres.
        paper_mm: how long the bar may be on paper; it has at least one step and at most five.
        least_step: how long a step must be on paper.
    """
    whole = MM_PER_FOOT if units == "ft-in" else 1000.0
    least = least_step * ratio / whole
    power = 1.0 if units == "ft-in" else 0.1
    while power * 10 < least:
        power *= 10
    step = next(power * n for n in (1, 2, 5, 10) if power * n >= least * (1 - 1e-9)) * whole
    count = max(1, min(5, int(paper_mm * ratio / step + 1e-9)))
    return Bar(step, count, tuple(_bar_label(i * step, units, last=i == count) for i in range(count + 1)))


def _bar_label(ground_mm: float, units: Units, *, last: bool) -> str:
    if units == "ft-in":
        return f"{round(ground_mm / MM_PER_FOOT)}'" if ground_mm else "0"
    tenths = units == "m" and round(ground_mm) % 1000 != 0
    return format_length(ground_mm, units, 1.0 if units == "mm" else 100.0 if tenths else 1000.0, unit=last)
