"""The taping sheet: which distances to tape over the finished stakes, in walking order, with blanks to fill in."""

from __future__ import annotations

from dataclasses import dataclass, replace
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
_PICTURE: Final = (72.0, 125.0)
"""How high the drawing is at least and at most, in millimetres."""
_SIZES: Final = (14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_MORE: Final = 6
"""How many empty rows for further tapes stand at the end, where there is room."""
_BETWEEN: Final = 8.0
"""Between two tables beside each other, in millimetres."""
_NARROW_SIZES: Final = (14.0, 13.0, 12.0, 11.0)
_NARROW_ROW: Final = 8.6
"""How high a row is where two tables stand beside each other: room for a reading in large hand."""
_TOO_SMALL: Final = 1.0
"""The size that says that none of the others had room."""
_NAMED: Final = 3
"""The first so many cells of a row are words: number, from, to."""
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
    caution = caution_height((BEFORE_DIGGING,), room.width)
    free = room.height - caution - 2 * _GAP
    grid = _grid(_rows(layout, taping), room.width, free)
    pages, high = grid.pages(free)
    marks = _top(layout, taping, Box(room.left, room.top - high, room.right, room.top), grid.columns)
    drafts: list[Draft] = []
    top = room.top - high - _GAP
    for columns in pages:
        for at, here in enumerate(columns):
            marks += table_marks(grid.table, here, room.left + at * (grid.table.width + _BETWEEN), top)
        bottom = top - grid.table.height(len(columns[0])) - _GAP
        marks += caution_box((BEFORE_DIGGING,), room.left, bottom, room.width)
        drafts.append(Draft(SECTION, f"{SECTION}, page {len(drafts) + 1}", SECTION, size, tuple(marks)))
        marks, top = [], room.top
    if len(drafts) == 1:
        return [Draft(SECTION, SECTION, SECTION, size, drafts[0].marks)]
    return drafts


@dataclass(frozen=True, slots=True)
class _Grid:
    """The rows, and the table that stands once on every page or twice beside itself."""

    rows: list[Row]
    table: Table
    columns: int

    @property
    def _empty(self) -> Row:
        return ["" if i < _NAMED else None for i in range(len(self.table.columns))]

    def rows_in(self, height: float) -> int:
        return self.table.rows_in(height) * self.columns

    def pages(self, room: float) -> tuple[list[list[list[Row]]], float]:
        """Return the rows in every column of every page, and how high the picture on the first page is.

        ``room`` is what a page has for table and picture together. What needs several pages is shared out evenly.
        """
        rows = self.rows
        first, other = max(self.columns, self.rows_in(room - _PICTURE[0])), self.rows_in(room + _GAP)
        further = -(-max(0, len(rows) - first) // other)
        spare = first + further * other - len(rows)
        if further:
            first -= min(spare, int((_PICTURE[1] - _PICTURE[0]) / self.table.row_height) * self.columns)
        else:
            first = min(first, len(rows) + _MORE)
        rest = -(-(len(rows) - first) // further) if further else 0
        pages, done = [], 0
        for wanted in (first, *[rest] * further):
            here = rows[done : done + wanted]
            done += len(here)
            count = min(other, len(here) + _MORE) if further and done == len(rows) else wanted
            deep = -(-count // self.columns)
            here = [*here, *[self._empty] * (deep * self.columns - len(here))]
            pages.append([here[i * deep : (i + 1) * deep] for i in range(self.columns)])
        return pages, min(_PICTURE[1], max(_PICTURE[0], room - self.table.height(len(pages[0][0]))))


def _grid(rows: list[Row], width: float, room: float) -> _Grid:
    """Return how the rows stand on the pages.

    Once across the page, with the largest fields to write in, while one page holds them; else twice beside each
    other, if that leaves the type large enough.
    """
    with_class: list[Row] = [(*row, None) for row in rows]
    wide = _Grid(with_class, fit_table(_columns(), with_class, width, sizes=_SIZES, row_share=0.62), 1)
    if wide.rows_in(room - _PICTURE[0]) >= len(rows):
        return wide
    sizes = (*_NARROW_SIZES, _TOO_SMALL)
    narrow = fit_table(_narrow_columns(), rows, (width - _BETWEEN) / 2, sizes=sizes)
    return wide if narrow.size == _TOO_SMALL else _Grid(rows, replace(narrow, row_height=_NARROW_ROW), 2)


def _columns() -> tuple[Column, ...]:
    return (
        Column("tape", "start", weight="regular", scale=0.85),
        Column("from", "start", weight="black", least=18.0),
        Column("to", "start", weight="black", least=18.0),
        Column("planned"),
        Column("read", blank=True, least=34.0),
        Column("class", blank=True, least=16.0),
    )


def _narrow_columns() -> tuple[Column, ...]:
    return (
        Column("no.", "start", weight="regular", scale=0.8),
        Column("from", "start", weight="black"),
        Column("to", "start", weight="black"),
        Column("planned"),
        Column("read", blank=True, least=24.0),
    )


def _rows(layout: Layout, taping: TapingPlan) -> list[Row]:
    labels = labels_of(layout)
    return [
        (str(n), labels[start], labels[end], Figure(parts(layout.plan, planned)), None)
        for n, (start, end, planned) in enumerate(taping.pulls, 1)
    ]


def labels_of(layout: Layout) -> dict[str, str]:
    """Return what each point of the stake-out is called, by its id."""
    return dict(zip(layout.points.ids, layout.points.labels, strict=True))


def _top(layout: Layout, taping: TapingPlan, box: Box, columns: int) -> list[Mark]:
    """Return the drawing with the tapes numbered, and what to do beside it."""
    picture = box.between(box.left, box.right - _WORDS - 6.0)
    inner = Box(picture.left + 6.0, picture.bottom + 5.0, picture.right - 6.0, picture.top - 9.0)
    scene = Scene(layout, fitted_camera(work_places(layout), page_right(layout), inner), picture)
    scene.house()
    scene.keepouts()
    places = dict(zip(layout.points.ids, map(tuple, layout.points.xy.tolist()), strict=True))
    tapes = [(str(n), places[start], places[end]) for n, (start, end, _) in enumerate(taping.pulls, 1)]
    lie = tape_lines(scene, ((a, b) for _, a, b in tapes))
    scene.attachments(names=any(a.id in pull for a in layout.plan.attachments for pull in taping.pulls))
    scene.controls()
    scene.piers()
    scene.names(shy_of=lie)
    without = len(tapes) if len(tapes) > _MANY else tape_numbers(scene, tapes)
    room = Box(box.right - _WORDS, box.bottom, box.right, box.top - 3.0)
    notes = []
    if without:
        notes.append(f"{counted(without, 'number')} had no room on this drawing; the table has them all.")
    if scene.left_out:
        notes.append(f"{counted(scene.left_out, 'name')} had no room on this drawing.")

    def write(column: Blocks, size: float) -> None:
        column.steps(_steps(layout.plan, len(taping.pulls), columns), size=size)
        column.gap(1.5)
        for text in (taping.says, *notes):
            column.text(text, size=min(size, _SMALL) if text in notes else size)
            column.gap(1.0)

    words = fitting(room, write, (10.0, 9.0, 8.0, 7.0, 6.0, 5.0))
    return [*scene.marks, *words.marks]


def _steps(plan: Plan, count: int, columns: int) -> tuple[str, ...]:
    down = "from top to bottom of the table" if columns == 1 else "down the left table, then the right one"
    where = "write the **class**" if columns == 1 else "write the **class** by the reading"
    return (
        "Tape **when all stakes are in**, and before anything is dug.",
        f"{counted(count, 'tape')}, {down}: the order to walk them in.",
        "Write **what you read**, not what is planned. Level and tight; both ends at the nail.",
        f"Class {plan.tape_at_hand.tape_class} is planned: {where} where the tape is of another.",
        "Empty rows are for more tapes. Type all in **in this order**: so the page Proof lists them.",
    )
