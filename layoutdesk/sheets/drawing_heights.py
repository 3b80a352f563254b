"""Heights on the plan drawing: spots with their elevations, contours, strings and the boards that hold them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import distance, left, minus, plus, times, unit
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.drawing_labels import Wish
from layoutdesk.sheets.drawing_marks import SMALL_TEXT_MM, Label, Placed, Stroke, Symbol
from layoutdesk.sheets.drawing_names import Page, round_places
from layoutdesk.sheets.numbers import plus_before
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.layout import GroundSpot, Layout

SPOT: Final = "SPOT"
SPOT_MM: Final = 0.9
"""Half the cross that marks a spot, on paper."""
_BOARD_MM: Final = 3.0
"""Half a board, on paper, where it is drawn as a stroke."""
_RUNGS_MM: Final = (0.0, 2.0, 4.0)


def elevation_text(plan: Plan, mm: float) -> str:
    """Return an elevation with its sign, as a drawing writes it."""
    return plus_before(plan, mm) + format_length(mm, plan.units, plan.rounding)


def height_strokes(layout: Layout, ratio: float) -> Iterator[Stroke]:
    """Yield contours, strings and boards; nothing of a plan that says nothing of heights."""
    if not layout.has_heights:
        return
    for contour in layout.ground.contours:
        closed = len(contour.points) > 3 and contour.points[0] == contour.points[-1]
        points = contour.points[:-1] if closed else contour.points
        if len(points) > 1:
            yield Stroke(points, "contour", closed=closed)
    for run in layout.strings:
        near, far = run.boards
        if distance(near.at, far.at) <= 0:
            continue
        yield Stroke((near.at, far.at), "string")
        across = times(left(unit(minus(far.at, near.at))), _BOARD_MM * ratio)
        for board in run.boards:
            if board.held_by == "board":
                yield Stroke((minus(board.at, across), plus(board.at, across)), "board")


def plain_spots(layout: Layout) -> tuple[GroundSpot, ...]:
    """Return the spots that are no piers: those have symbols of their own."""
    if not layout.has_heights:
        return ()
    piers = {pier.id for pier in layout.plan.piers}
    return tuple(spot for spot in layout.ground.spots if spot.id not in piers)


def spot_symbol(ratio: float) -> Symbol:
    """Return the upright cross that marks a spot; its elevation is shown, its name carried."""
    h = SPOT_MM * ratio
    cross = (Stroke(((-h, 0.0), (h, 0.0)), "spot"), Stroke(((0.0, -h), (0.0, h)), "spot"))
    return Symbol(SPOT, "spot", cross, (("ELEVATION", "Elevation", True), ("MARK", "Mark", False)))


def spot_names(layout: Layout, page: Page) -> tuple[Wish, ...]:
    """Return the elevations of the spots and where they would like to stand."""
    plan, height = layout.plan, SMALL_TEXT_MM * page.ratio
    return tuple(
        Wish(
            elevation_text(plan, spot.elevation),
            height,
            round_places(page, spot.at, height, SPOT_MM * page.ratio, _RUNGS_MM),
        )
        for spot in plain_spots(layout)
    )


def spot_places(layout: Layout, names: tuple[Label, ...]) -> Iterator[Placed]:
    """Yield every spot at its place with its elevation where its name found room."""
    for spot, name in zip(plain_spots(layout), names, strict=True):
        values = (("ELEVATION", name.text), ("MARK", spot.label))
        yield Placed(SPOT, spot.at, values, name.at, name.height, name.anchor, name.turn)


def pier_values(layout: Layout) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return what every pier carries of its heights, by its id; nothing without heights."""
    if not layout.has_heights:
        return {}
    plan = layout.plan
    cuts = {cut.pier: format_length(cut.length, plan.units, plan.rounding) for cut in layout.columns}

    def shown(mm: float | None) -> str:
        return "" if mm is None else elevation_text(plan, mm)

    return {
        height.id: (
            ("GROUND", shown(height.ground)),
            ("TOP", shown(height.top)),
            ("BOTTOM", shown(height.bottom)),
            ("COLUMN", cuts.get(height.id, "")),
        )
        for height in layout.heights
    }
