"""Where the side views of beam lines lie in a drawing, and the sheets of paper that show them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, turned
from layoutdesk.sheets.drawing_marks import DrawingSheet, SideDrawing
from layoutdesk.sheets.drawing_sheet import Frame, frame, sheet_of
from layoutdesk.sheets.drawing_side import side_drawing, side_size
from layoutdesk.sheets.scales import Scale, standard_scales

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout, SideView
    from layoutdesk.plan.model import Paper
    from layoutdesk.sheets.drawing_fit import Fit

NAME: Final = "Side views"
LARGEST_RATIO: Final = 20.0
_APART: Final = 1.1
"""How far the views of two sheets lie apart in the drawing, as a share of a sheet."""


def side_views_of(
    layout: Layout, plan_on: Fit, turn: float, paper: Paper
) -> tuple[tuple[SideDrawing, ...], tuple[DrawingSheet, ...]]:
    """Return the side views of all beam lines of which a height is known, and the sheets that show them.

    They lie below the plan as its sheet shows it, sheet beside sheet, clear of what its window sees.

    Args:
        layout: what follows from the plan.
        plan_on: how the plan goes on its own sheet.
        turn: the direction in the plan that lies to the right on the page, in degrees.
        paper: the paper.
    """
    views = [view for view in layout.side_views if view.ground or view.beam or view.string]
    if not views or not layout.has_heights:
        return (), ()
    scale, on = _fit(views, paper, layout)
    wide, high = on.window[2] * scale.ratio, on.window[3] * scale.ratio
    groups = _groups(views, high, scale.ratio)
    x, y = turned(plan_on.centre, -turn)
    top = y - plan_on.frame.window[3] * plan_on.scale.ratio / 2 - 0.1 * high
    drawings: list[SideDrawing] = []
    sheets: list[DrawingSheet] = []
    for i, group in enumerate(groups):
        left = x - wide / 2 + i * wide * _APART
        down = top - (high - sum(side_size(view, scale.ratio)[1] for view in group)) / 2
        for view in group:
            width, height = side_size(view, scale.ratio)
            down -= height
            corner = (left + (wide - width) / 2, down)
            drawings.append(side_drawing(view, layout.plan, corner=corner, ratio=scale.ratio, turn=turn))
        middle: Vector = (left + wide / 2, top - high / 2)
        sheets.append(
            sheet_of(
                layout.plan,
                on,
                looks_at=turned(middle, turn),
                ratio=scale.ratio,
                scale_name=scale.name,
                name=NAME if len(groups) == 1 else f"{NAME} {i + 1}",
                number=i + 2,
                count=len(groups) + 1,
            )
        )
    return tuple(drawings), tuple(sheets)


def _fit(views: list[SideView], paper: Paper, layout: Layout) -> tuple[Scale, Frame]:
    """Return the largest standard scale at which every view fits a sheet, and that sheet, lying where it can be."""
    for scale in (*standard_scales(layout.plan.units), *_coarser()):
        if scale.ratio < LARGEST_RATIO:
            continue
        sizes = [side_size(view, scale.ratio) for view in views]
        for across in (True, False):
            on = frame(paper, across=across)
            wide, high = on.window[2] * scale.ratio, on.window[3] * scale.ratio
            if all(w <= wide and h <= high for w, h in sizes):
                return scale, on
    raise AssertionError("a scale that is coarse enough")


def _coarser() -> list[Scale]:
    """Return scales for lines that are longer than anything built."""
    return [Scale(f"1:{10**power}", 10.0**power) for power in range(3, 16)]


def _groups(views: list[SideView], high: float, ratio: float) -> list[list[SideView]]:
    """Return the views sheet by sheet, as many one under the other as there is room for."""
    groups: list[list[SideView]] = []
    free = 0.0
    for view in views:
        need = side_size(view, ratio)[1]
        if not groups or need > free:
            groups.append([])
            free = high
        groups[-1].append(view)
        free -= need
    return groups
