"""The details: the section of each kind of pier to scale with all its numbers, and the schedule of its bars."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.holes.schedule import schedule
from layoutdesk.engine.layout import Layout, Section
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Detail
from layoutdesk.sheets.blocks import HEADING, caution_box, caution_height
from layoutdesk.sheets.cage_picture import cage_marks
from layoutdesk.sheets.cells import length_cell, name_cells
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.lettering import paragraph_height, text_width
from layoutdesk.sheets.marks import Mark, Paragraph
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.plan_sheet import pretty_scale
from layoutdesk.sheets.section_picture import section_marks, section_scale
from layoutdesk.sheets.table import Column, Row, fit_table
from layoutdesk.units import format_mass

SECTION: Final = "Details"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_SHARE: Final = 0.46
"""How much of a page a section takes that has one to share it with."""
_LARGE: Final = 125.0
_FEW: Final = 6
"""Of so many details those with steel are drawn large, a page each."""
_WORDS: Final = 9.0
_CAGE: Final = 34.0
"""How wide a cage is drawn from above, with its caption under it, in millimetres."""
_MOST_LETTERS: Final = 500
_LETTERS: Final = 70
"""How many letters of the names of piers one row holds."""
_CODE: Final = (
    (
        "Local code and the licensed designer decide on depth, frost, width, steel and its cover; a section only"
        " shows what the plan says."
    ),
    "**Open holes:** cover every one, mark the cover, keep children and animals away; nobody climbs into a hole.",
    "**Bar ends** pierce: cap or bend every one that stands up. Gloves; lift a cage with two people.",
)
_SCHEDULE: Final[tuple[Column, ...]] = (
    Column("piece", "start", weight="black"),
    Column("size", "start"),
    Column("to a pier"),
    Column("in all"),
    Column("cut to"),
    Column("over all"),
    Column("mass"),
    Column("for", "start", weight="regular", grows=True, scale=0.75),
)


def detail_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the details that have a profile, in plan order, two to a page where they have room."""
    plan = layout.plan
    details = {detail.id: detail for detail in plan.details}
    sections = [section for section in layout.sections if section.parts and section.detail in details]
    if not sections:
        return []
    flow = Flow(SECTION, size)
    page = body(size).height
    high = caution_height(_CODE, flow.width, size=_WORDS)
    for section in sections:
        last = high + 1.0 if section is sections[-1] else 0.0
        _detail(flow, layout, section, details[section.detail], page=page - last)
    flow.block(high, lambda box: caution_box(_CODE, box.left, box.top, box.width, size=_WORDS))
    return flow.drafts(by="seen by")


def _detail(flow: Flow, layout: Layout, section: Section, detail: Detail, *, page: float) -> None:
    """Lay one detail: its section, what is to be said of it, and the schedule of its bars."""
    plan = layout.plan
    rows = _rows(layout, section)
    table = fit_table(_SCHEDULE, rows, flow.width, sizes=_SIZES, row_share=0.62)
    says = [*_says(section, layout), *((f"**{section.trouble}**",) if section.trouble else ())]
    beside = flow.width - _CAGE - 4.0 if section.bars else flow.width
    words = sum(paragraph_height(text, _WORDS, beside) + 1.0 for text in says)
    if section.bars:
        words = max(words, _CAGE) + 2.0
    below = words + (table.height(len(rows)) + 14.0 if rows else 0.0)
    half = page * _SHARE - 10.0
    large = bool(rows) and len(plan.details) <= _FEW
    high = max(min(_LARGE, page - below - 14.0) if large else half - below, half * 0.62)
    scale = section_scale(section, plan, flow.width, high)
    labels = [pier.label for pier in plan.piers if pier.detail == detail.id]
    which = f": {', '.join(labels)}" if labels else ", of no pier"
    at = f", at {pretty_scale(scale)}" if scale.name else ""

    def drawn(box: Box) -> list[Mark]:
        return section_marks(section, detail, plan, box, scale)

    heading = f"Detail {detail.id}{at}"
    told = text_width(heading + which, HEADING, "bold") <= flow.width
    first, *more = name_cells(labels, _MOST_LETTERS) or [""]
    for_all = f"For {first} {'and others of this detail' if more else ''}".rstrip(" ,") + "."
    line = 0.0 if told else paragraph_height(for_all, _WORDS, flow.width) + 1.0
    flow.keep(min(page, high + below + line + 9.0))
    flow.heading(heading + which if told else heading, keep=min(high + line, page / 2))
    if not told:
        flow.text(for_all, size=_WORDS, after=1.0)
    flow.block(high, drawn, after=2.0)
    if section.bars:
        flow.block(words, lambda box: _cage_and_words(section, detail, says, box), after=1.0)
    else:
        for text in says:
            flow.text(text, size=_WORDS, after=1.0)
    if rows:
        flow.table(f"Bars of detail {detail.id}", table, rows)
    flow.gap(4.0)


def _says(section: Section, layout: Layout) -> list[str]:
    """Return the sentences about a section; what its schedule says is not said twice."""
    pieces = () if schedule(layout.steel, section) else section.pieces_say
    return [*section.says, *section.steel_says, *pieces]


def _cage_and_words(section: Section, detail: Detail, says: Sequence[str], box: Box) -> list[Mark]:
    """Return the cage from above, and what is to be said beside it."""
    left = box.left + _CAGE + 4.0
    marks = cage_marks(section, detail, Box(box.left, box.top - _CAGE, box.left + _CAGE, box.top))
    y = box.top
    for text in says:
        marks.append(Paragraph((left, y), box.right - left, text, _WORDS))
        y -= paragraph_height(text, _WORDS, box.right - left) + 1.0
    return marks


def _rows(layout: Layout, section: Section) -> list[Row]:
    plan = layout.plan
    rows: list[Row] = []
    for row in schedule(layout.steel, section):
        first, *more = name_cells(row.piers, _LETTERS)
        numbers = (length_cell(plan, row.cut), length_cell(plan, row.bent))
        mass = format_mass(row.mass, plan.units, decimals=1)
        rows.append((row.what, row.size, str(row.each), str(row.count), *numbers, mass, first))
        rows += [("", "", "", "", "", "", "", names) for names in more]
    return rows
