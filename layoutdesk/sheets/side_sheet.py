"""The side views: every beam line to scale, with its ground, string, holes, piers, columns and beam.

Below each are its heights, and blanks for what was built: the record that an inspector sees.
"""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Layout, SideView, StringRun
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.cells import elevation_cell, length_cell
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.side_picture import picture_height, side_marks
from layoutdesk.sheets.table import Column, Row, fit_table

SECTION: Final = "Side views"
_GAP: Final = 4.0
_MOST: Final = 0.62
_LEAST: Final = 0.33
"""How much of a page one drawing takes at most, and at least if that is wanted."""
_HEADINGS: Final = 15.0
"""Two headings over tables, and what is free below tables, in millimetres."""
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
_RECORD: Final[tuple[Column, ...]] = (
    Column("pier", "start", weight="black", least=20.0),
    Column("bottom as dug", blank=True),
    Column("cage and hole seen by", blank=True, least=36.0),
    Column("pier top as built", blank=True),
    Column("column as cut", blank=True),
    Column("seat as set", blank=True),
)
_BLANKS: Final = len(_RECORD) - 1


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
        f" others are lengths. {taller} In the pictures a figure under the beam is the seat, one on the string is"
        " how far that hangs above the pier's top, and a broken line is the upper edge of the side supports.",
        after=3.0,
    )
    rows = {view.line: _rows(layout, view, runs[view.line]) for view in views}
    table = fit_table(
        _COLUMNS, [row for of in rows.values() for row in of], flow.width, sizes=_SIZES, row_share=0.6
    )
    record = fit_table(_RECORD, [], flow.width, sizes=_SIZES, row_share=0.62)
    for view in views:
        count = len(view.piers)
        below = table.height(count) + _HEADINGS + record.height(count)
        _draw(flow, plan, view, runs[view.line], below=below + 2 * _GAP + _HEADINGS, page=body(size).height)
        flow.table(f"Heights along {view.label}", table, rows[view.line])
        flow.table(f"As built along {view.label}", record, [(pier.label, *[None] * _BLANKS) for pier in view.piers])
    return flow.drafts(by="seen by")


def _draw(flow: Flow, plan: Plan, view: SideView, run: StringRun, *, below: float, page: float) -> None:
    """Lay the drawing of one beam line, on a page with the tables ``below`` it if it can be.

    It is drawn over the whole width, smaller where tables would not have room under it, but never under a share of
    the page.
    """
    times = plan.levels.settings.exaggeration
    wanted = picture_height(view, flow.width, times=times)
    room = flow.free if flow.free - below >= min(wanted, page * _LEAST) else page
    high = min(wanted, page * _MOST, max(room - below, page * _LEAST))

    def drawn(box: Box) -> list[Mark]:
        return side_marks(view, run, plan, box, times=times)

    flow.keep(high + below if high + below <= page else high + _HEADINGS)
    flow.heading(f"Beam line {view.label}", keep=high)
    flow.block(high, drawn, after=_GAP)


def _rows(layout: Layout, view: SideView, run: StringRun) -> list[Row]:
    plan = layout.plan
    cuts = {cut.pier: cut for cut in layout.columns}
    rows: list[Row] = []
    for pier, stop in zip(view.piers, run.stops, strict=True):
        height, cut = layout.height_of(pier.pier), cuts.get(pier.pier)
        rows.append(
            (
                pier.label,
                length_cell(plan, stop.running),
                elevation_cell(plan, height.seat),
                length_cell(plan, cut.length if cut else None),
                elevation_cell(plan, height.top),
                length_cell(plan, stop.above_top),
                elevation_cell(plan, height.ground),
                elevation_cell(plan, height.bottom),
                length_cell(plan, height.dig),
            )
        )
    return rows
