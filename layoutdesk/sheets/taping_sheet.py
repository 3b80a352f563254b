"""The taping sheet: which distances to tape over the finished stakes, in walking order, with blanks to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import BEFORE_DIGGING, caution_box, caution_height, fitting
from layoutdesk.sheets.blocks import Column as Blocks
from layoutdesk.sheets.camera import fitted_camera, page_right, work_places
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.numbers import counted, parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.table import Column, Figure, Row, Table, fit_table, table_marks
from layoutdesk.sheets.tape_picture import tape_lines, tape_numbers

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import TapingPlan

SECTION: Final = "Taping"
_WORDS: Final = 52.0
_GAP: Final = 5.0
_PICTURE: Final = (80.0, 125.0)
"""How high the drawing is at least and at most, in millimetres."""
_SIZES: Final = (14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_MORE: Final = 6
"""How many empty rows for further tapes stand at the end, where there is room."""
_SMALL: Final = 8.0
_MANY: Final = 120
"""More tapes than this are drawn without their numbers: the table names their ends."""


def taping_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the taping sheet: the drawing and the first tapes, then as many pages as the others need.

    Nothing for a plan without two control points, or one that no set of tapes can prove.
    """
    plan = layout.plan
    if len(plan.controls) < 2 or not plan.piers:
        return []
    taping = layout.taping_plan
    if taping is None or not taping.pulls:
        return []
    return _sheets(layout, taping, size)


def _sheets(layout: Layout, taping: TapingPlan, size: Vector) -> list[Draft]:
    room = body(size)
    rows = _rows(layout, taping)
    table = fit_table(_columns(), rows, room.width, sizes=_SIZES, row_share=0.62)
    caution = caution_height((BEFORE_DIGGING,), room.width)
    free = room.height - caution - 2 * _GAP - table.height(len(rows) + _MORE)
    high = max(_PICTURE[0], min(_PICTURE[1], free))
    marks = _top(layout, taping, Box(room.left, room.top - high, room.right, room.top))
    drafts: list[Draft] = []
    top, done = room.top - high - _GAP, 0
    while done < len(rows):
        count = table.rows_in(top - room.bottom - caution - _GAP)
        here = rows[done : done + count]
        done += len(here)
        if done == len(rows):
            here = [*here, *_empty_rows(min(_MORE, count - len(here)))]
        marks += table_marks(table, here, room.left, top)
        marks += caution_box((BEFORE_DIGGING,), room.left, _end(table, here, top), room.width)
        drafts.append(Draft(SECTION, f"{SECTION}, page {len(drafts) + 1}", SECTION, size, tuple(marks)))
        marks, top = [], room.top
    if len(drafts) == 1:
        return [Draft(SECTION, SECTION, SECTION, size, drafts[0].marks)]
    return drafts


def _end(table: Table, rows: list[Row], top: float) -> float:
    return top - table.height(len(rows)) - _GAP


def _columns() -> tuple[Column, ...]:
    return (
        Column("tape", "start", weight="regular", scale=0.85),
        Column("from", "start", weight="black", least=18.0),
        Column("to", "start", weight="black", least=18.0),
        Column("planned"),
        Column("read", blank=True, least=34.0),
        Column("class", blank=True, least=16.0),
    )


def _rows(layout: Layout, taping: TapingPlan) -> list[Row]:
    labels = labels_of(layout)
    return [
        (str(n), labels[start], labels[end], Figure(parts(layout.plan, planned)), None, None)
        for n, (start, end, planned) in enumerate(taping.pulls, 1)
    ]


def _empty_rows(count: int) -> list[Row]:
    return [("", "", "", None, None, None)] * max(0, count)


def labels_of(layout: Layout) -> dict[str, str]:
    """Return what each point of the stake-out is called, by its id."""
    return dict(zip(layout.points.ids, layout.points.labels, strict=True))


def _top(layout: Layout, taping: TapingPlan, box: Box) -> list[Mark]:
    """Return the drawing with the tapes numbered, and what to do beside it."""
    picture = box.between(box.left, box.right - _WORDS - 6.0)
    inner = Box(picture.left + 6.0, picture.bottom + 5.0, picture.right - 6.0, picture.top - 9.0)
    scene = Scene(layout, fitted_camera(work_places(layout), page_right(layout), inner), picture)
    scene.house()
    scene.keepouts()
    places = dict(zip(layout.points.ids, map(tuple, layout.points.xy.tolist()), strict=True))
    tapes = [(str(n), places[start], places[end]) for n, (start, end, _) in enumerate(taping.pulls, 1)]
    tape_lines(scene, ((a, b) for _, a, b in tapes))
    scene.attachments(names=any(a.id in pull for a in layout.plan.attachments for pull in taping.pulls))
    scene.controls()
    scene.piers()
    scene.names()
    without = len(tapes) if len(tapes) > _MANY else tape_numbers(scene, tapes)
    room = Box(box.right - _WORDS, box.bottom, box.right, box.top - 3.0)
    notes = []
    if without:
        notes.append(f"{counted(without, 'number')} had no room on this drawing; the table has them all.")
    if scene.left_out:
        notes.append(f"{counted(scene.left_out, 'name')} had no room on this drawing.")

    def write(column: Blocks, size: float) -> None:
        column.steps(_steps(layout.plan, len(taping.pulls)), size=size)
        column.gap(1.5)
        for text in (taping.says, *notes):
            column.text(text, size=min(size, _SMALL) if text in notes else size)
            column.gap(1.0)

    words = fitting(room, write, (10.0, 9.0, 8.0, 7.0, 6.0, 5.0))
    return [*scene.marks, *words.marks]


def _steps(plan: Plan, count: int) -> tuple[str, ...]:
    return (
        "Tape **when all stakes are in**, and before anything is dug.",
        f"{counted(count, 'tape')}, from top to bottom of the table: the order to walk them in.",
        "Write **what you read**, not what is planned. Level and tight; both ends at the nail.",
        f"Class {plan.tape_at_hand.tape_class} is planned: write the **class** where the tape is of another.",
        "Empty rows are for more tapes. Type all in **in this order**: so the page Proof lists them.",
    )
