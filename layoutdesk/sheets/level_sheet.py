"""The level sheet: the book as it was read, blanks for what is still to read, and every pier's heights."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Layout, PierHeight
from layoutdesk.engine.levels.entries import BookRow
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import BEFORE_DIGGING, BODY, caution_box, caution_height
from layoutdesk.sheets.cells import elevation_cell, length_cell
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.numbers import parts, said, said_elevation
from layoutdesk.sheets.table import Column, Figure, Row, fit_table

SECTION: Final = "Levels"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_BOOK: Final[tuple[Column, ...]] = (
    Column("setup", "start", weight="regular"),
    Column("point", "start", weight="black"),
    Column("back"),
    Column("level line", weight="semibold"),
    Column("fore"),
    Column("elevation"),
)
_BLANK: Final[tuple[Column, ...]] = (
    Column("setup", blank=True, least=14.0),
    Column("point", "start", weight="black", least=42.0),
    Column("back", blank=True, least=28.0),
    Column("level line", blank=True, least=28.0),
    Column("fore", blank=True, least=28.0),
    Column("elevation", blank=True, least=28.0),
)
_HEIGHTS: Final[tuple[Column, ...]] = (
    Column("pier", "start", weight="black"),
    Column("ground"),
    Column("known by", "start", weight="regular", scale=0.7),
    Column("pier top"),
    Column("hole bottom"),
    Column("dig"),
    Column("seat"),
    Column("top as built", blank=True, least=22.0),
)
_HEADING: Final = 7.5
_LEAST_BLANKS: Final = 4
"""A table of blanks is not begun at the foot of a page with fewer rows than this."""
_MORE: Final = 2
"""Rows without a name after those that are asked for, for turning points."""
_HOW: Final = {
    "reading": "read",
    "typed": "typed",
    "surface": "between spots",
    "beyond the spots": "beyond spots!",
    "none": "not known",
}
_HOW_TO: Final = (
    "**How to read:** the first reading of a setup is **back**, on a point whose elevation is known. Its elevation"
    " and the reading make the **level line**. Every other reading is **fore**: the level line less the reading is"
    " that point's elevation. Read the benchmark **again** at the end; it must come out as at the start."
)


def level_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the level sheet; nothing for a plan that says nothing of heights."""
    plan = layout.plan
    if not layout.has_heights or not plan.piers:
        return []
    flow = Flow(SECTION, size)
    for text in _opening(layout):
        flow.text(text, after=1.2)
    flow.gap(2.0)
    rows = [_height_row(plan, height) for height in layout.heights]
    table = fit_table(_HEIGHTS, rows, flow.width, sizes=_SIZES, row_share=0.6)
    flow.table("Heights of the piers", table, rows)
    flow.block(
        caution_height((BEFORE_DIGGING,), flow.width),
        lambda box: caution_box((BEFORE_DIGGING,), box.left, box.top, box.width),
        after=5.0,
    )
    book = _book_rows(layout)
    if book:
        flow.table(
            "The level book",
            fit_table(_BOOK, book, flow.width, sizes=_SIZES, row_share=0.56),
            book,
            whole=False,
            least=_LEAST_BLANKS,
        )
        for text in _closing(layout):
            flow.text(text, after=1.2)
        flow.gap(3.0)
    asked = _to_read(layout)
    if asked:
        table = fit_table(
            _BLANK, [row for _, rows in asked for row in rows], flow.width, sizes=_SIZES, row_share=0.66
        )
        flow.keep(paragraph_height(_HOW_TO, BODY, flow.width) + _HEADING + table.height(_LEAST_BLANKS))
        flow.text(_HOW_TO, after=4.0)
        for heading, rows in asked:
            flow.table(heading, table, rows, whole=False, least=_LEAST_BLANKS)
    return flow.drafts(by="read by")


def _opening(layout: Layout) -> list[str]:
    """Return what is zero, how the ground falls, how deep it freezes."""
    plan = layout.plan
    levels, plane = plan.levels, layout.ground.plane
    marks = [f"**{mark.id}** is {said_elevation(plan, mark.elevation)}" for mark in levels.benchmarks]
    lines = [
        f"Benchmark: {', '.join(marks)}. All elevations are above (+) or below (−) the zero of the job."
        if marks
        else "No benchmark is named: all elevations are above (+) or below (−) the same zero."
    ]
    if plane is not None:
        lines.append(plane.says)
    frost = levels.settings.frost
    lines.append(
        "How deep the ground freezes is **not given**: ask the local building department before anything is dug."
        if frost is None
        else f"The ground freezes {said(plan, frost)} deep, as the local building department said."
        if frost > 0
        else "The ground is taken not to freeze."
    )
    return lines


def _closing(layout: Layout) -> list[str]:
    """Return the check at the foot of the book, every loop's verdict, and what is wrong with it."""
    plan, book = layout.plan, layout.level_book
    if book is None:
        return []
    lines = []
    if book.back_sum is not None and book.fore_sum is not None and book.check_holds is not None:
        verdict = (
            "and the last elevation as booked less the first is the same"
            if book.check_holds
            else "**which the last elevation as booked less the first is not**"
        )
        lines.append(
            f"Check of the arithmetic: back {said(plan, book.back_sum)} less fore {said(plan, book.fore_sum)} is"
            f" {said_elevation(plan, book.back_sum - book.fore_sum)}, {verdict}."
        )
    if any(_spread(row, plan) for row in book.rows):
        lines.append(
            "The elevations above have what the book misses by **spread** over its readings: they may lie that"
            " little off line less reading."
        )
    lines += [loop.says if loop.closes else f"**{loop.says}**" for loop in book.loops]
    lines += [f"**{trouble}**" for trouble in book.troubles]
    return lines


def _spread(row: BookRow, plan: Plan) -> bool:
    """Return whether a row shows another elevation than line less reading."""
    if row.booked is None or row.adjusted is None:
        return False
    return said(plan, row.booked) != said(plan, row.adjusted)


def _height_row(plan: Plan, height: PierHeight) -> Row:
    return (
        height.label,
        elevation_cell(plan, height.ground),
        _HOW[height.ground_from],
        elevation_cell(plan, height.top),
        elevation_cell(plan, height.bottom),
        length_cell(plan, height.dig),
        elevation_cell(plan, height.seat),
        None,
    )


def _book_rows(layout: Layout) -> list[Row]:
    plan, book = layout.plan, layout.level_book
    rows: list[Row] = []
    setup: int | None = None
    for row in book.rows if book is not None else ():
        reading = Figure(parts(plan, row.reading))
        rows.append(
            (
                "" if row.setup == setup else str(row.setup),
                row.label,
                reading if row.kind == "back" else "",
                "" if row.height_of_line is None else elevation_cell(plan, row.height_of_line),
                reading if row.kind == "fore" else "",
                elevation_cell(plan, row.adjusted),
            )
        )
        setup = row.setup
    return rows


def _to_read(layout: Layout) -> list[tuple[str, list[Row]]]:
    """Return the tables of rows to fill in, in the order of the work, each from the benchmark and back to it.

    Supports are asked for only where a column is cut that hangs on them, and none of what was read before.
    """
    plan, book = layout.plan, layout.level_book
    read = {point.id for point in book.points if point.readings} if book is not None else set()
    hung = {cut.pier for cut in layout.columns}
    stages = (
        (
            "To read before digging: the ground at the stakes and at spots",
            [
                *[h.label for h in layout.heights if h.ground_from not in {"reading", "typed"}],
                *[spot.id for spot in plan.spots if spot.elevation is None and spot.id not in read],
            ],
        ),
        (
            "To read before the columns are hung: the upper edge of their side supports",
            [f"{p.label} support" for p in plan.piers if p.id in hung and f"{p.id} support" not in read],
        ),
        (
            "To read after the pour: the finished tops of the piers",
            [f"{p.label} top" for p in plan.piers if f"{p.id} top" not in read],
        ),
    )
    marks = [mark.id for mark in plan.levels.benchmarks]
    nameless: Row = (None, "", None, None, None, None)
    return [
        (
            heading,
            [
                *_blank_rows([*(marks[:1] or ["benchmark"]), *names]),
                *[nameless] * _MORE,
                *_blank_rows([f"{mark} again" for mark in marks or ["benchmark"]]),
            ],
        )
        for heading, names in stages
        if names
    ]


def _blank_rows(names: list[str]) -> list[Row]:
    return [(None, name, None, None, None, None) for name in names]
