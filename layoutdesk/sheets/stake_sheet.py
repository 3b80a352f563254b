"""The stake sheet: where each pier is, with blanks for what was measured, and two tapes to check it by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.layout import Layout, Stake, TiePair
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.baseline_words import zero_point
from layoutdesk.sheets.blocks import BEFORE_DIGGING, caution_box, caution_height, fitting
from layoutdesk.sheets.blocks import Column as Blocks
from layoutdesk.sheets.camera import fitted_camera, page_right, work_places
from layoutdesk.sheets.cells import UNKNOWN, length_cell
from layoutdesk.sheets.flag_words import SIGN, errors_by_piece, mend_first_text
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.marks import Mark, Paragraph
from layoutdesk.sheets.numbers import counted, parts, within_parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.table import Cell, Column, Figure, Tick, Words, fit_table, table_marks

SECTION: Final = "Stakes"
_STEPS_WIDTH: Final = 50.0
_GAP: Final = 5.0
_PICTURE: Final = (72.0, 105.0)
"""How high the drawing is at least and at most, in millimetres."""
_NOTE: Final = 8.0
_SMALL: Final = 8.5
_SIZES: Final = (16.0, 15.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)


def stake_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the stake sheet: the drawing and the first piers, then as many pages as the others need."""
    room = body(size)
    stakes = list(layout.stakes)
    if not stakes:
        return []
    pairs = {(s.best.first.control, s.best.second.control) for s in stakes if s.best}
    common = next(iter(pairs)) if len(pairs) == 1 else None
    columns = _columns(common)
    errors = errors_by_piece(layout)
    rows = [stake_row(layout.plan, s, named=common is None, wrong=s.id in errors) for s in stakes]
    table = fit_table(columns, rows, room.width, sizes=_SIZES)
    mend = mend_first_text(layout)
    cautions = (mend, BEFORE_DIGGING) if mend else (BEFORE_DIGGING,)
    caution = caution_height(cautions, room.width)
    free = room.height - caution - 2 * _GAP - table.height(len(rows))
    high = max(_PICTURE[0], min(_PICTURE[1], free))
    marks = _top(layout, stakes, Box(room.left, room.top - high, room.right, room.top))
    drafts: list[Draft] = []
    top, done = room.top - high - _GAP, 0
    while done < len(rows):
        count = table.rows_in(top - room.bottom - caution - _GAP)
        page_rows = rows[done : done + count]
        marks += table_marks(table, page_rows, room.left, top)
        end = top - table.height(len(page_rows)) - _GAP
        marks += caution_box(cautions, room.left, end, room.width)
        name = f"{stakes[done].label} to {stakes[done + len(page_rows) - 1].label}"
        drafts.append(Draft(SECTION, name, SECTION, size, tuple(marks)))
        done += len(page_rows)
        marks, top = [], room.top
    if len(drafts) == 1:
        only = drafts[0]
        return [Draft(SECTION, SECTION, SECTION, size, only.marks)]
    return drafts


def _columns(common: tuple[str, str] | None) -> tuple[Column, ...]:
    first, second = (f"from {common[0]}", f"from {common[1]}") if common else ("first tape", "second tape")
    return (
        Column("pier", "start", weight="black"),
        Column("station"),
        Column("read", blank=True, least=17.0),
        Column("offset"),
        Column("read", blank=True, least=17.0),
        Column(first),
        Column(second),
        Column("within", weight="semibold", scale=0.8),
        Column("agrees", "middle"),
    )


def stake_row(plan: Plan, stake: Stake, *, named: bool, wrong: bool) -> tuple[Cell, ...]:
    """Return one row of the stake table.

    ``named`` says in the cell which control point a tape comes from; ``wrong`` sets a sign at the name.
    """
    name = f"{SIGN} {stake.label}" if wrong else stake.label
    barred = stake.square.blocked_by if stake.square else None
    return (
        name,
        length_cell(plan, stake.station),
        None,
        length_cell(plan, stake.offset, caption="barred" if barred else ""),
        None,
        *_tapes(plan, stake, named=named),
        _within(plan, stake),
        Tick(),
    )


def _tapes(plan: Plan, stake: Stake, *, named: bool) -> tuple[Cell, Cell]:
    best = stake.best
    if best is None:
        return Words(no_tapes(stake), columns=2), None
    first, second = (
        Figure(parts(plan, tie.distance), caption=f"from {tie.control}" if named else "")
        for tie in (best.first, best.second)
    )
    return first, second


def no_tapes(stake: Stake) -> str:
    """Return why a pier has no pair of tapes, in a few words."""
    barred = [f"{tie.control} by {tie.blocked_by}" for tie in stake.ties if tie.blocked_by]
    if len(stake.ties) < 2:
        return "No two tapes: the plan needs two control points."
    if barred:
        return f"No two open tapes cross here; barred: {', '.join(barred[:3])}."
    return "No two tapes cross here at a useful angle within the tape's length."


def _within(plan: Plan, stake: Stake) -> Cell:
    expected = expected_within(stake)
    if expected is None:
        return UNKNOWN
    return Figure(within_parts(plan, expected), caption=stake.method, before="± ")


def expected_within(stake: Stake) -> float | None:
    """Return the expected error of the way that was chosen for a pier, in millimetres; None without a way."""
    if stake.method == "square" and stake.square:
        return stake.square.within
    pair: TiePair | None = stake.best
    return pair.within if stake.method == "two tapes" and pair else None


def _top(layout: Layout, stakes: Sequence[Stake], box: Box) -> list[Mark]:
    """Return the drawing, and the steps beside it."""
    picture = box.between(box.left, box.right - _STEPS_WIDTH - 6.0)
    inner = Box(picture.left + 6.0, picture.bottom + 5.0, picture.right - 6.0, picture.top - 9.0)
    scene = Scene(layout, fitted_camera(work_places(layout), page_right(layout), inner), picture)
    scene.house()
    scene.keepouts()
    scene.beam_lines()
    scene.baseline()
    scene.controls()
    scene.piers()
    scene.names()
    marks = scene.marks
    room = Box(box.right - _STEPS_WIDTH, box.bottom + _NOTE, box.right, box.top - 3.0)
    blocks = fitting(room, lambda column, size: column.steps(_steps(layout), size=size), (10.0, 9.0, 8.0, 7.0, 6.0))
    _say_barred(stakes, blocks)
    marks += blocks.marks
    if scene.left_out:
        note = f"{counted(scene.left_out, 'name')} had no room on this drawing; the table has them all."
        marks.append(Paragraph((blocks.room.left, box.bottom + _NOTE), _STEPS_WIDTH, note, 7.5))
    return marks


def _steps(layout: Layout) -> tuple[str, ...]:
    """Return how a stake is set, for a plan with a baseline or without one."""
    write = "Write what you read. **Tick** when both ways agree within what the row says."
    if layout.frame is None:
        return (
            "This plan has **no baseline**, so there are no stations and offsets.",
            "Swing **two tapes** from the control points named: they cross at the stake.",
            write,
        )
    zero = zero_point(layout)
    start = zero.label if zero else "station 0"
    return (
        f"Hook the tape at **{start}**, pull along the baseline: that is the **station**.",
        "Go square out into the yard: that is the **offset**.",
        "Check with **two tapes** from the control points named: they cross at the stake.",
        write,
    )


def _say_barred(stakes: Sequence[Stake], blocks: Blocks) -> None:
    """Say below the steps what stops the square way, by what is in the way, when there is room."""
    behind: dict[str, list[str]] = {}
    for stake in stakes:
        if stake.square and stake.square.blocked_by:
            behind.setdefault(stake.square.blocked_by, []).append(stake.label)
    if not behind:
        return
    one_by_one = " ".join(f"Square to **{', '.join(who)}** is barred by {what}." for what, who in behind.items())
    for text in (f"{one_by_one} Use the tapes.", "Where it says **barred**, something bars the square way."):
        if blocks.y - paragraph_height(text, _SMALL, _STEPS_WIDTH) >= blocks.room.bottom + 1.0:
            blocks.gap(1.0)
            blocks.text(text, size=_SMALL)
            return
