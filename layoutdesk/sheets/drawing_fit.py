"""How a plan goes on its sheet of paper: turned with the house at the top, at the largest scale that fits."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, left, times, turned
from layoutdesk.plan.model import Paper, places_of
from layoutdesk.sheets.drawing_dimensions import placed_dimensions
from layoutdesk.sheets.drawing_marks import SMALL_TEXT_MM, TEXT_MM, Measured
from layoutdesk.sheets.drawing_sheet import Frame, frame
from layoutdesk.sheets.scales import Scale, standard_scales

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from layoutdesk.engine.layout import Layout

LARGEST_RATIO: Final = 20.0
"""A lone pier is drawn no larger than 1 to this."""
MARGIN_MM: Final = 9.0
"""Room round all that is drawn, for names and symbols, on paper."""


_CROWDED: Final = 0.5
"""The share of dimensions without room for their texts from which on all are written small."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How the plan goes on its sheet.

    ``centre`` is the place of the plan in the middle of the sheet; ``low`` and ``high`` are the corners of the
    upright rectangle of the plan round all that is drawn.
    """

    scale: Scale
    frame: Frame
    dimensions: tuple[Measured, ...]
    centre: Vector
    low: Vector
    high: Vector


def page_turn(layout: Layout) -> float:
    """Return the direction in the plan that lies to the right on the page, in degrees.

    Offsets grow down the page, so that the house is at the top; without a baseline nothing is turned.
    """
    if layout.frame is None:
        return 0.0
    up = times(layout.frame.away, -1.0)
    right = times(left(up), -1.0)
    # A baseline along an axis must not tilt the page by the last digit of its direction.
    return round(math.degrees(math.atan2(right[1], right[0])), 9) + 0.0


def fit(layout: Layout, turn: float, paper: Paper) -> Fit:
    """Return the largest standard scale at which plan and dimensions fit the sheet, standing or lying.

    A plan that is too large for every standard scale gets a power of ten.
    """
    import numpy as np

    plan = layout.plan
    bare = np.array(list(_places(layout)) or [(0.0, 0.0)])
    onto_page = _onto_page(turn)
    frames = (frame(paper, across=False), frame(paper, across=True))
    wide, high = np.ptp(bare @ onto_page, axis=0)
    need = max(LARGEST_RATIO, min(max(wide / f.window[2], high / f.window[3]) for f in frames))
    for scale in _scales(need, standard_scales(plan.units)):
        dimensions = _dimensions(layout, scale.ratio, turn)
        places = _with_dimensions(bare, dimensions)
        on_page = places @ onto_page
        wide, high = np.ptp(on_page, axis=0) / scale.ratio + 2 * MARGIN_MM
        fitting = [f for f in frames if wide <= f.window[2] and high <= f.window[3]]
        if fitting:
            break
    chosen = min(fitting, key=lambda f: abs(math.log(wide / high) - math.log(f.window[2] / f.window[3])))
    x, y = (on_page.min(axis=0) + on_page.max(axis=0)) / 2
    margin = MARGIN_MM * scale.ratio
    x_min, y_min = places.min(axis=0) - margin
    x_max, y_max = places.max(axis=0) + margin
    return Fit(
        scale,
        chosen,
        dimensions,
        turned((float(x), float(y)), turn),
        (float(x_min), float(y_min)),
        (float(x_max), float(y_max)),
    )


def _dimensions(layout: Layout, ratio: float, turn: float) -> tuple[Measured, ...]:
    """Return the dimensions at a scale, in small type where too many have no room for their texts."""
    plan = layout.plan
    for text_mm in (TEXT_MM, SMALL_TEXT_MM):
        dimensions = placed_dimensions(
            layout.dimensions,
            ratio=ratio,
            page_turn=turn,
            units=plan.units,
            rounding=plan.rounding,
            text_mm=text_mm,
        )
        if sum(m.moved for m in dimensions) <= _CROWDED * len(dimensions):
            break
    return dimensions


def _scales(need: float, standard: tuple[Scale, ...]) -> Iterator[Scale]:
    """Yield the scales to try, from the largest that could do: without end, so that something fits."""
    yield from (scale for scale in standard if scale.ratio >= need)
    power = max(10.0 ** math.ceil(math.log10(need)), standard[-1].ratio)
    while True:
        power *= 10.0
        yield Scale(f"1:{power:.0f}", power)


def _onto_page(turn: float) -> NDArray[np.float64]:
    """Return the matrix that takes rows of places of the plan to page axes."""
    import numpy as np

    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return np.array([[c, -s], [s, c]])


def _with_dimensions(bare: NDArray[np.float64], dimensions: tuple[Measured, ...]) -> NDArray[np.float64]:
    """Return the places with those of the dimensions."""
    import numpy as np

    if not dimensions:
        return bare
    return np.vstack([bare, [p for m in dimensions for p in (m.line_start, m.line_end, m.text_at)]])


def _places(layout: Layout) -> Iterator[Vector]:
    """Yield the places that must lie on the sheet."""
    plan = layout.plan
    for piece in plan.pieces():
        yield from places_of(piece)
    for outline in layout.house.outlines:
        yield from outline
    widest = {d.id: max((diameter for _, diameter in d.profile), default=0.0) / 2 for d in plan.details}
    for pier in plan.piers:
        r = widest.get(pier.detail or "", 0.0)
        yield from ((pier.at[0] - r, pier.at[1] - r), (pier.at[0] + r, pier.at[1] + r))
    if layout.frame and plan.baseline:
        yield from (plan.baseline.origin, plan.baseline.toward)
