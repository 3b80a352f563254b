"""The side views: every beam line to scale, with its ground, string, holes, piers, columns and beam."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Layout, SideView, StringRun
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.side_picture import picture_height, side_marks
from layoutdesk.sheets.table import Column, Figure, Row, fit_table

SECTION: Final = "Side views"
_GAP: Final = 4.0
_SHARE: Final = 0.62
"""How much of a page one drawing may take."""
_HEADINGS: Final = 15.0
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_COLUMNS: Final[tuple[Column, ...]] = (
    Column("pier", "start", weight="black"),
    Column("from zero"),
    Column("seat"),
    Column("column"),
    Column("pier top"),
    Column("string above it"),
    Column("ground"),
    Column("hole bottom"),
    Column("dig"),
)


def side_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the side views of all beam lines of which any height is known, with their numbers."""
    plan = layout.plan
    if not layout.has_heights:
        return []
    runs = {run.id: run for run in layout.strings}
    views = [view for view in layout.side_views if view.ground or view.beam or view.string]
    if not views:
        return []
    times = plan.levels.settings.exaggeration
    taller = f"Heights are drawn **{times:g} times** taller than lengths." if times != 1 else "Drawn to scale."
    flow = Flow(SECTION, size)
    flow.text(
        "Seat, pier top, ground and hole bottom are elevations, above (+) or below (−) the zero of the job; the"
        f" others are lengths. {taller} A broken line shows the upper edge of the side supports.",
        after=3.0,
    )
    rows = {view.line: _rows(layout, view, runs[view.line]) for view in views}
    table = fit_table(
        _COLUMNS, [row for of in rows.values() for row in of], flow.width, sizes=_SIZES, row_share=0.6
    )
    for view in views:
        _draw(
            flow, plan, view, runs[view.line], below=table.height(len(view.piers)), most=body(size).height * _SHARE
        )
        flow.table(f"Heights along {view.label}", table, rows[view.line])
    return flow.drafts(taped=False)


def _draw(flow: Flow, plan: Plan, view: SideView, run: StringRun, *, below: float, most: float) -> None:
    """Lay the drawing of one beam line, on a page with the table ``below`` it if it can be."""
    times = plan.levels.settings.exaggeration
    high = min(most, picture_height(view, flow.width, times=times))

    def drawn(box: Box) -> list[Mark]:
        return side_marks(view, run, plan, box, times=times)

    flow.keep(high + 2 * _GAP + _HEADINGS + below)
    flow.heading(f"Beam line {view.label}", keep=high)
    flow.block(high, drawn, after=_GAP)


def _rows(layout: Layout, view: SideView, run: StringRun) -> list[Row]:
    plan = layout.plan
    cuts = {cut.pier: cut for cut in layout.columns}

    def length(mm: float | None) -> Figure | None:
        return None if mm is None else Figure(parts(plan, mm))

    def elevation(mm: float | None) -> Figure | None:
        return None if mm is None else Figure(parts(plan, mm), before="+" if mm > 0 else "")

    rows: list[Row] = []
    for pier, stop in zip(view.piers, run.stops, strict=True):
        height, cut = layout.height_of(pier.pier), cuts.get(pier.pier)
        rows.append(
            (
                pier.label,
                length(stop.running),
                elevation(height.seat),
                length(cut.length if cut else None),
                elevation(height.top),
                length(stop.above_top),
                elevation(height.ground),
                elevation(height.bottom),
                length(height.dig),
            )
        )
    return rows
