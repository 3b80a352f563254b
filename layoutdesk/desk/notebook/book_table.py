"""The level book: setup, point, back, line, fore, elevation, typed as on paper."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QResizeEvent

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.book_rows import (
    DRAFT,
    BookLine,
    Draft,
    book_lines,
    next_setup,
    other_reading,
    readings_of,
    row_above,
    setup_of,
)
from layoutdesk.desk.notebook.height_words import height
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column
from layoutdesk.desk.notebook.typed_table import Cell, TypedColumn, TypedTable
from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.edits.levels_names import BookedNames
from layoutdesk.plan.heights import Reading, ReadingKind
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import parse_length

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import LevelBook

SETUP, POINT, BACK, LINE, FORE, ELEVATION = range(6)
MOST_SHOWN: Final = 44
_ROOMY: Final = 378
"""From this width on all six columns have room (logical pixels)."""
_KINDS: Final[dict[int, ReadingKind]] = {BACK: "back", FORE: "fore"}


class BookTable(TypedTable):
    """The table; its last row waits for the next reading of the same setup.

    Tab goes from point to back to fore, Enter to the next row. A number typed beside another one in a row is the
    second reading of a turning point, as on paper.
    """

    def __init__(self, document: Document, dress: Dress, *, say: Callable[[str], None]) -> None:
        super().__init__("Level book", dress, self._write, say=say, most_rows=MOST_SHOWN)
        self._document = document
        self._draft: Draft | None = None
        self._turned = False
        self._book: LevelBook | None = None
        self._of = document.plan
        self._labels: Mapping[str, str] = {}
        self._spans: dict[int, int] = {}
        self.lines: tuple[BookLine, ...] = ()
        self.sign_column, self.first_typed = POINT, POINT
        self.short_columns = frozenset({SETUP, POINT})
        self.waiting = frozenset({DRAFT})
        self.after = self._after
        self.strike = self._strike

    # ---- showing

    @property
    def draft(self) -> Draft:
        """Return what waits to be typed."""
        plan = self._document.plan
        return self._draft or Draft(next_setup(plan))

    def show_book(self, plan: Plan, book: LevelBook | None, of: Plan) -> None:
        """Show a book, which was worked out ``of`` a plan; what is being typed stays."""
        self._book, self._of = book, of
        text = LengthText.of(plan)
        self._labels = {pier.id: pier.label for pier in plan.piers if pier.label != pier.id}
        lines = self.lines = book_lines(plan, book, of, self.draft)
        wrong = (x.key for x in lines if (x.row and x.row.trouble) or (x.loop and not x.loop.closes))
        self.signed = frozenset(wrong)
        draft = self.draft

        def setup(r: int) -> str:
            line = lines[r]
            return str(line.reading.setup) if line.reading else str(draft.setup) if line.kind == "draft" else ""

        def point(r: int) -> str:
            line = lines[r]
            if line.kind == "draft":
                return draft.point
            if line.kind == "sums":
                return "sums"
            return _loop_words(line, text) if line.loop else self.called(line)

        def value(r: int, kind: ReadingKind) -> str:
            line = lines[r]
            if line.kind == "sums" and book is not None:
                return text(book.back_sum if kind == "back" else book.fore_sum)
            return text(line.reading.reading) if line.reading and line.reading.kind == kind else ""

        def exact(r: int, kind: ReadingKind) -> str | None:
            line = lines[r]
            if line.kind == "draft":
                return ""
            if line.reading is None:
                return None
            return text.exact(line.reading.reading) if line.reading.kind == kind else ""

        def level_line(r: int) -> str:
            row = lines[r].row
            return height(row.height_of_line, text) if row and row.height_of_line is not None else ""

        def elevation(r: int) -> str:
            line = lines[r]
            if line.loop is not None:
                return height(line.loop.misclosure, text)
            return height(line.row.adjusted, text) if line.row else ""

        self.show_rows(
            [x.key for x in lines],
            (
                TypedColumn("at", setup, tone="soft", exact=lambda r: setup(r) or None),
                TypedColumn("point", point, bold=True, exact=lambda r: _typed(lines[r], point(r))),
                TypedColumn("back", lambda r: value(r, "back"), right=True, exact=lambda r: exact(r, "back")),
                Column("line", level_line, right=True, tone="soft"),
                TypedColumn("fore", lambda r: value(r, "fore"), right=True, exact=lambda r: exact(r, "fore")),
                Column("elevation", elevation, right=True, bold=True),
            ),
        )
        spans = {r: ELEVATION - POINT if x.kind == "loop" else 1 for r, x in enumerate(lines) if x.kind == "loop"}
        if spans != self._spans:
            self.clearSpans()
            for r, wide in spans.items():
                self.setSpan(r, POINT, 1, wide)
            self._spans = spans

    def called(self, line: BookLine) -> str:
        """Return what the point of a row is called."""
        if line.row is not None:
            return line.row.label
        assert line.reading is not None
        return self._labels.get(line.reading.point, line.reading.point)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the column of the lines out where there is no room for it: the heading of the setup tells it."""
        self.setColumnHidden(LINE, self.viewport().width() < _ROOMY * self._dress.scale)
        super().resizeEvent(event)

    # ---- typing

    def first_column(self, row: int) -> int:
        """Return where typing in a picked row goes: into its number, and in the row that waits into the point."""
        line = self.lines[row]
        if line.reading is not None:
            return FORE if line.reading.kind == "fore" else BACK
        return BACK if self.draft.point else POINT

    def begin(self) -> None:
        """Open the box of the next point."""
        self.type_into((DRAFT, POINT))

    def insert_below(self) -> None:
        """Have the next reading booked under the picked row."""
        picked = readings_of(self.lines, self.picked_keys)
        if picked:
            place = picked[-1] + 1
            here = self._document.plan.levels.readings[picked[-1]]
            self._draft = Draft(here.setup, "", place if place < len(self._document.plan.levels.readings) else None)
            self._show_again()
        self.begin()

    def _show_again(self) -> None:
        self.show_book(self._document.plan, self._book, self._of)

    def _write(self, cell: Cell, typed: str) -> str:
        """Take what was typed; return the sentence of what went wrong, or nothing."""
        line = next((x for x in self.lines if x.key == cell[0]), None)
        if line is None:
            return ""
        try:
            if line.kind == "draft":
                self._write_draft(cell[1], typed)
            elif line.index is not None:
                self._write_reading(line.index, cell[1], typed)
        except LayoutdeskError as error:
            return str(error)
        return ""

    def _write_draft(self, column: int, typed: str) -> None:
        plan, draft = self._document.plan, self.draft
        if column == SETUP:
            self._draft = Draft(_setup(typed), draft.point, draft.before)
            self._show_again()
        elif column == POINT:
            point = BookedNames(plan).id_of(typed)
            # A row that is emptied waits again as at first: the setup it was for may be gone.
            self._draft = Draft(draft.setup, point, draft.before) if point else None
            self._show_again()
        elif typed.strip():
            value = _reading(typed, plan)
            if not draft.point:
                raise EditError("Say first at which point the rod stood: type its name in the column “point”")
            kind = _KINDS[column]
            setup = setup_of(plan, draft, kind)
            reading = Reading(setup=setup, point=draft.point, kind=kind, reading=value)
            after = None if draft.before is None else draft.before + 1
            # Before the plan is shown anew the row must be empty again, or it would be shown twice.
            kept, self._draft = self._draft, None if after is None else Draft(setup, "", after)
            try:
                self._document.apply(
                    f"Book {draft.point}", lambda p: edits.add_reading(p, reading, index=draft.before)
                )
            except LayoutdeskError:
                self._draft = kept
                raise

    def _write_reading(self, index: int, column: int, typed: str) -> None:
        plan = self._document.plan
        here = plan.levels.readings[index]
        name = f"Reading of {here.point}"
        if column == SETUP:
            setup = _setup(typed)
            self._document.apply(name, lambda p: edits.replace_reading(p, index, _with(p, index, setup=setup)))
        elif column == POINT:
            point = BookedNames(plan).id_of(typed)
            if not point:
                raise EditError("A reading needs a point; press Delete on its row to strike it out")
            self._document.apply(name, lambda p: edits.replace_reading(p, index, _with(p, index, point=point)))
        elif not typed.strip():
            if here.kind == _KINDS[column]:
                raise EditError("A reading needs a number; press Delete on its row to strike it out")
        else:
            value, kind = _reading(typed, plan), _KINDS[column]
            if kind == here.kind:
                self._document.apply(
                    name, lambda p: edits.replace_reading(p, index, _with(p, index, reading=value))
                )
                return
            other = other_reading(plan, index, kind, value)
            if isinstance(other, str):
                raise EditError(other)
            place, added = other
            self._turned = True
            self._document.apply(f"Book {here.point}", lambda p: edits.add_reading(p, added, index=place))

    def _after(self, cell: Cell, step: int, taken: bool) -> Cell | None:  # noqa: FBT001 - the table's own order
        """Return where to type next: after a number the point of the next row, as the eye goes on paper."""
        key, column = cell
        turned, self._turned = self._turned, False
        if turned and taken:
            return DRAFT, POINT
        if taken and column in _KINDS and step >= 0:
            if key == DRAFT:
                return DRAFT, POINT
            return self._below(key, column) if step == 0 else self._point_below(key)
        if taken and column in _KINDS and key == DRAFT:
            # The number was booked and its row is the one above now.
            booked = row_above(self.lines)
            return None if booked is None else (booked, BACK if column == FORE else POINT)
        if step == 0 and key == DRAFT:
            return (DRAFT, BACK if column == POINT else POINT) if taken else None
        if step == 1 and column == FORE:
            return self._point_below(key)
        return None

    def _below(self, key: str, column: int) -> Cell | None:
        """Return the same column of the next row; in the row that waits a point comes first."""
        cell = self.below((key, column))
        return (DRAFT, POINT) if cell is not None and cell[0] == DRAFT and not self.draft.point else cell

    def _point_below(self, key: str) -> Cell | None:
        return self.below((key, POINT)) or (DRAFT, POINT)

    def _strike(self, keys: object) -> None:
        gone = readings_of(self.lines, tuple(keys))  # type: ignore[arg-type]
        if gone:
            self._document.apply("Strike out readings", lambda p: edits.remove_readings(p, gone))
        elif self._draft is not None:
            self._draft = None
            self._show_again()


def _typed(line: BookLine, shown: str) -> str | None:
    if line.kind not in ("reading", "draft"):
        return None
    return line.reading.point if line.reading and shown == line.reading.point else shown


def _loop_words(line: BookLine, text: LengthText) -> str:
    assert line.loop is not None
    loop = line.loop
    ends = f"loop at {loop.start}" if loop.start == loop.end else f"{loop.start} to {loop.end}"
    return f"{ends}, may be {text.small(loop.allowable)}"


def _setup(typed: str) -> int:
    """Return the number of a setup.

    Raises:
        EditError: when it is no whole number from 1.
    """
    clean = typed.strip()
    if not clean.isascii() or not clean.isdigit() or not 0 < int(clean) < 10_000:
        raise EditError(f"“{clean[:20]}” is no setup; type its number, such as 2")
    return int(clean)


def _reading(typed: str, plan: Plan) -> float:
    return parse_length(typed, plan.units)


def _with(plan: Plan, index: int, **fields: object) -> Reading:
    from dataclasses import replace

    return replace(plan.levels.readings[index], **fields)  # type: ignore[arg-type]
