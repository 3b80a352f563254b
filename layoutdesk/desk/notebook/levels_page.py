"""The Levels page: how high everything is, on this slope."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from layoutdesk.desk.dress import Dress, Tone, label, set_tone
from layoutdesk.desk.height_work import HeightWork
from layoutdesk.desk.notebook.benchmark_table import HEIGHT
from layoutdesk.desk.notebook.book_part import BookPart
from layoutdesk.desk.notebook.cards import BigNumber, Card, FlagList, Heading, sentence, side_by_side
from layoutdesk.desk.notebook.column_part import ColumnPart
from layoutdesk.desk.notebook.ground_part import GroundPart
from layoutdesk.desk.notebook.height_settings import HeightSettingsForm
from layoutdesk.desk.notebook.height_words import falls_away
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.line_heights_part import LinePart
from layoutdesk.desk.notebook.page import Page
from layoutdesk.desk.notebook.pier_heights_part import PierHeightsPart
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.typed_table import TypedTable
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import format_slope

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import GroundPlane, LevelBook, LevelLoop

_BEGIN = (
    "1.  Benchmark: something that stays, such as the door threshold. It is zero.\n"
    "2.  Level book: type what the rod reads at the benchmark, then at the stakes of the piers and at spots.\n"
    "3.  Close the loop: read the benchmark again at the end.\n"
    "4.  Beam line: give the underside of the beam its height. Tops, strings and cuts follow."
)
_PICK = "Pick a pier, on the sheet or in a table: its heights are told here, and more of it further down."


class LevelsPage(Page):
    """The answers, the book, the ground, the piers, the beam lines and the columns."""

    def __init__(self, document: Document, view: ViewState, dress: Dress) -> None:
        super().__init__(document, view, dress)
        self.work = HeightWork(self)
        self.work.came.connect(self.plan_changed)
        self.heading = Heading("Levels", title=True)
        self.says = label("", "number", wrap=True)
        self.begin = Card(Heading("From a benchmark to the cuts"), sentence(_BEGIN))
        self.falls, self.closes = BigNumber("The ground falls"), BigNumber("The loop closes within")
        self.numbers = side_by_side(self.falls, self.closes)
        self.picked = sentence(_PICK)
        self.flags = FlagList(dress)
        self.flags.pressed.connect(self._pick)
        self.notes = FlagList(dress)
        self.notes.pressed.connect(self._pick)
        self.book = BookPart(document, dress)
        self.ground = GroundPart(document, dress)
        self.piers = PierHeightsPart(document, dress)
        self.line = LinePart(document, dress)
        self.columns = ColumnPart(document, dress)
        self.settings = HeightSettingsForm(document)
        self.settings.trouble.connect(self.trouble)
        self.how = Section("How heights are judged and drawn", Card(self.settings))
        for part in (self.book, self.ground, self.piers, self.line, self.columns):
            part.trouble.connect(self.trouble)
            part.picked.connect(self._pick)
        self.add(self.heading, self.says, self.begin, self.numbers, self.picked, self.flags, self.book, self.ground)
        self.add(self.piers, self.line, self.columns, column=1)
        self.add(self.how, self.notes)
        for w in (
            self.begin,
            self.numbers,
            self.picked,
            self.ground,
            self.piers,
            self.line,
            self.columns,
            self.how,
        ):
            w.hide()
        self._shown: Layout | None = None
        self._told = ""
        self.typed: tuple[TypedTable, ...] = (self.book.benchmarks, self.book.table, self.ground.spots)
        for table in self.typed:
            table.typing_at.connect(self.show_typing)

    # ---- showing

    def refresh(self, plan: Plan, layout: Layout) -> None:
        """Show the heights of a plan; when only something else is picked, no more than that."""
        table = next((t for t in self.typed if t.editing is not None), None)
        place = table.typed_at(self.viewport()) if table is not None else None
        pressed = next((t for t in self.typed if t.hasFocus()), None)
        y = self.y_of(pressed) if pressed is not None else 0
        self._fill(plan, layout)
        if table is not None and place is not None:
            QTimer.singleShot(0, self, lambda: self._hold(table, place.y()))
        elif pressed is not None:
            # At once: the mouse may still be down on a row, which must not slip away from under it.
            self.keep_at(pressed, y)

    def _hold(self, table: TypedTable, y: int) -> None:
        """Keep the box that is typed in where the eye is, when what stands above it takes more room or less."""
        self.settle()
        place = table.typed_at(self.viewport())
        if place is not None:
            self.scroll_by(place.y() - y)
            self.show_typing(table)

    def _fill(self, plan: Plan, layout: Layout) -> None:
        known = self.work.ask(layout)
        if self.work.trouble and self.work.trouble != self._told:
            self.trouble.emit(self.work.trouble)
        self._told = self.work.trouble
        self.heading.set_text("Levels", "" if known or self.work.trouble else "working it out …")
        self._show_begin(plan)
        if not known:
            # The book goes on taking readings; what follows from them comes a moment later.
            self.book.show_waiting(plan)
            return
        if self._shown is not layout:
            self._shown = layout
            self._show(plan, layout)
        self._light()

    def _show(self, plan: Plan, layout: Layout) -> None:
        book, ground = layout.level_book, layout.ground
        heights, cuts = layout.heights, {cut.pier: cut for cut in layout.columns}
        self._answer(plan, book, ground.plane)
        for part in (self.ground, self.how):
            part.show()
        mine = layout.height_flags
        # Notes wait at the end: they must not push the book off the screen.
        self.flags.show_flags(tuple(f for f in mine if f.severity != "note"))
        self.notes.show_flags(tuple(f for f in mine if f.severity == "note"))
        self.book.show_book(plan, book)
        self.ground.show_ground(plan, layout, ground, book)
        self.piers.setVisible(bool(plan.piers))
        self.picked.setVisible(layout.has_heights and bool(plan.piers))
        self.piers.show_piers(plan, heights, cuts)
        self.line.show_lines(
            plan,
            layout.side_views,
            layout.strings,
            layout.crossings,
            heights={h.id: h for h in heights},
            cuts=cuts,
        )
        self.columns.setVisible(bool(plan.piers))
        self.columns.show_columns(plan, layout.columns, layout.stock)
        self.settings.fill(plan)

    def _show_begin(self, plan: Plan) -> None:
        """Say how to begin, until something is booked; a table that is typed or pressed in must not move by it."""
        if all(table.editing is None and not table.hasFocus() for table in self.typed):
            self.begin.setVisible(not plan.levels.readings and not plan.spots)

    def _answer(self, plan: Plan, book: LevelBook | None, plane: GroundPlane | None) -> None:
        text = LengthText.of(plan)
        loop = _widest(book)
        words, tone = _verdict(plan, book)
        self.says.setText(words)
        self.says.setVisible(bool(words))
        set_tone(self.says, tone)
        self.falls.setVisible(plane is not None)
        if plane is not None:
            words, slope = falls_away(plane)
            self.falls.caption.setText(words)
            self.falls.show_number(format_slope(slope, plan.units))
        self.closes.setVisible(loop is not None)
        if loop is not None:
            self.closes.caption.setText("The loop closes within" if loop.closes else "The loop is off by")
            self.closes.show_number(text.small(abs(loop.misclosure)))
            set_tone(self.closes.number, "plain" if loop.closes else "wrong")
        self.numbers.setVisible(plane is not None or loop is not None)

    def _light(self) -> None:
        """Show what is picked, in every part."""
        picked = self.view.selected
        self.book.light(frozenset(picked))
        self.ground.light(picked)
        self.piers.light(picked)
        self.line.light(picked)
        self.columns.light(picked)
        told = self.piers.told(picked)
        self.picked.setText(told or _PICK)
        set_tone(self.picked, "plain" if told else "soft")

    # ---- doing

    def retype(self, spot: str) -> None:
        """Open the box where the height of a spot is typed: its last reading in the book, or its own height."""
        read = [k for k, r in enumerate(self.document.plan.levels.readings) if r.point == spot]
        if read:
            self.book.open()
            row = self.book.table.rows.row_of(f"r{read[-1]}")
            if row is not None:
                self.book.table.type_into((f"r{read[-1]}", self.book.table.first_column(row)))
        else:
            self.ground.open()
            self.ground.spots.type_into((spot, HEIGHT))

    def _pick(self, ids: Sequence[str]) -> None:
        have = {p.id for p in self.document.plan.pieces()}
        self.view.select(i for i in ids if i in have)


def _widest(book: LevelBook | None) -> LevelLoop | None:
    """Return the loop that misses most, measured by what it may miss."""
    loops = book.loops if book is not None else ()
    return max(
        loops, key=lambda x: abs(x.misclosure) / x.allowable if x.allowable else abs(x.misclosure), default=None
    )


def _verdict(plan: Plan, book: LevelBook | None) -> tuple[str, Tone]:
    """Return what is to be said first of the book."""
    if book is None or not plan.levels.readings:
        return ("Nothing is booked yet." if plan.piers else ""), "plain"
    if not plan.levels.benchmarks:
        return "There is no benchmark yet: nothing has a height.", "look"
    if any(not loop.closes for loop in book.loops):
        return "A loop does not close: find the wrong reading before anything is built on it.", "wrong"
    if book.troubles:
        return "Some readings want a look.", "look"
    if not book.loops:
        return "No loop is closed: a misread rod would not be found. Read the benchmark again at the end.", "look"
    return "The level book closes.", "holds"
