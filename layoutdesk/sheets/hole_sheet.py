"""The holes: what was planned, what was dug, the hold point before concrete, and the covers over what is open."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from layoutdesk.engine.layout import HoleRow, Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import BEFORE_DIGGING, caution_box, caution_height
from layoutdesk.sheets.cells import UNKNOWN, name_cells
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Line, Mark, Polyline, Text
from layoutdesk.sheets.numbers import day_text, parts, small_parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.table import Cell, Column, Figure, Row, Tick, fit_table

SECTION: Final = "Holes"
_SIZES: Final = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_WORDS: Final = 9.5
_HOLD: Final = 24.0
_SIGN: Final = 30.0
_LETTERS: Final = 100
"""How many letters of the names of piers one row holds."""
_LEAST_ROW: Final = 7.4
"""A row to write in is so high at least, in millimetres."""
_EDGES: Final = (
    "**Open holes:** nobody climbs into one, its sides can fall in; keep barrows, spoil and machines back from the"
    " edge. A **cover** is fixed so that it cannot be pushed aside, and bears whoever steps on it."
)
_WATER: Final = "**Water** in a hole is pumped out, and the bottom looked at again, the day it is poured."
_CAUTIONS: Final = (BEFORE_DIGGING, _WATER, _EDGES)
_LOG: Final[tuple[Column, ...]] = (
    Column("pier", "start", weight="black"),
    Column("depth"),
    Column("as dug", blank=True, least=17.0),
    Column("top"),
    Column("as dug", blank=True, least=17.0),
    Column("bottom"),
    Column("as dug", blank=True, least=17.0),
    Column("off along", blank=True, least=15.0),
    Column("off away", blank=True, least=15.0),
    Column("water", blank=True, least=12.0),
    Column("seen", "middle", least=10.0),
)
_COVERS: Final[tuple[Column, ...]] = (
    Column("covers", "end", weight="black"),
    Column("each", "start"),
    Column("mark", "start"),
    Column("for", "start", weight="regular", scale=0.85, grows=True),
)


def hole_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the sheet of the holes; nothing for a plan in which no hole is planned or logged."""
    plan = layout.plan
    holes = [hole for hole in layout.holes if hole.planned_depth is not None or hole.depth is not None]
    if not holes:
        return []
    flow = Flow(SECTION, size)
    flow.block(_HOLD, _hold, after=4.0)
    rows: list[Row] = [_log_row(plan, hole) for hole in holes]
    table = fit_table(_LOG, rows, flow.width, sizes=_SIZES, row_share=0.74)
    table = replace(table, row_height=max(table.row_height, _LEAST_ROW))
    flow.table("Every hole: as planned, and as dug", table, rows, whole=False)
    flow.text(
        "Depth is below the ground beside the hole; top and bottom are its widths there. The centre is off along"
        " the baseline, + the way stations grow, and away from the house, − toward it.",
        size=9.0,
        after=3.0,
    )
    flow.block(_SIGN, _signatures, after=4.0)
    high = caution_height(_CAUTIONS, flow.width, size=_WORDS, columns=2)
    flow.block(
        high, lambda box: caution_box(_CAUTIONS, box.left, box.top, box.width, size=_WORDS, columns=2), after=5.0
    )
    logged = [hole for hole in holes if hole.depth is not None]
    if logged:
        flow.heading("What the log says", keep=12.0)
        for hole in logged:
            flow.text(_verdict(hole), size=10.0, after=1.5)
        flow.gap(3.0)
    covers = _cover_rows(layout)
    if covers:
        flow.table("Covers to cut", fit_table(_COVERS, covers, flow.width, sizes=_SIZES, row_share=0.66), covers)
    return flow.drafts(by="measured by")


def _hold(box: Box) -> list[Mark]:
    """Return the hold point, large, in a heavy frame."""
    lines = (
        ("HOLD", 34.0, "black"),
        ("No concrete before the inspector has signed.", 17.0, "bold"),
    )
    marks: list[Mark] = [Polyline(box.inset(0.6).corners, width=1.2, ink="wrong", closed=True)]
    left = box.left + 5.0
    word, size, _ = lines[0]
    marks.append(Text((left, box.top - 16.5), word, size, "black", "wrong"))
    x = left + text_width(word, size, "black") + 7.0
    marks.append(Text((x, box.top - 10.5), lines[1][0], lines[1][1], "bold"))
    marks.append(
        Text(
            (x, box.top - 18.0),
            "Every hole is measured, clean, dry and free of loose earth; its steel hangs with cover.",
            10.0,
        )
    )
    return marks


def _signatures(box: Box) -> list[Mark]:
    """Return the lines that are signed before the pour."""
    marks: list[Mark] = [Polyline(box.corners, width=0.5, closed=True)]
    half = box.width / 2
    names = (
        ("holes measured by", 0.0, 0),
        ("on", half, 0),
        ("inspector", 0.0, 1),
        ("on", half, 1),
        ("may be poured: all holes, or those named here", 0.0, 2),
    )
    for text, dx, row in names:
        y = box.top - 8.0 - row * 9.0
        start = box.left + 3.0 + dx
        end = box.right - 3.0 if dx or row == 2 else box.left + half - 3.0
        marks.append(Text((start, y), text, 9.5, "semibold"))
        marks.append(Line((start + text_width(text, 9.5, "semibold") + 2.0, y - 0.5), (end, y - 0.5), 0.25))
    return marks


def _log_row(plan: Plan, hole: HoleRow) -> Row:
    return (
        hole.label,
        _length(plan, hole.planned_depth, UNKNOWN),
        _length(plan, hole.depth),
        _length(plan, hole.planned_top, UNKNOWN),
        _length(plan, hole.top),
        _length(plan, hole.planned_bottom, UNKNOWN),
        _length(plan, hole.bottom),
        _small(plan, hole.along, signed=True),
        _small(plan, hole.away, signed=True),
        _small(plan, hole.water),
        Tick(),
    )


def _length(plan: Plan, mm: float | None, otherwise: str | None = None) -> Cell:
    return otherwise if mm is None else Figure(parts(plan, mm))


def _small(plan: Plan, mm: float | None, *, signed: bool = False) -> Cell:
    """Return a small amount; a blank where it was not measured."""
    if mm is None:
        return None
    before = "+" if signed and mm > 0 and small_parts(plan, mm) != small_parts(plan, 0.0) else ""
    return Figure(small_parts(plan, mm), before=before)


def _verdict(hole: HoleRow) -> str:
    """Return what the log says of a hole: its verdict, what to do, and who measured it."""
    told = ", ".join(text for text in (day_text(hole.date), hole.by) if text)
    verdict = f"{'! ' if hole.verdict == 'to mend' else ''}{hole.verdict}{', poured' if hole.poured else ''}"
    return f"**{hole.label}** · **{verdict}.** {hole.says}{f' ({told})' if told else ''}"


def _cover_rows(layout: Layout) -> list[Row]:
    """Return the covers by size; many piers take several rows."""
    plan = layout.plan
    rows: list[Row] = []
    for cover in layout.covers:
        for k, here in enumerate(name_cells(cover.piers, _LETTERS)):
            if k:
                rows.append(("", "", "", here))
            else:
                square = Figure(parts(plan, cover.size), before="square, ")
                rows.append((str(len(cover.piers)), square, cover.mark, here))
    return rows
