"""The level book on its page: benchmarks, the book, what is wrong with it, and by what each setup was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress, label, set_tone
from layoutdesk.desk.notebook.benchmark_table import BenchmarkTable
from layoutdesk.desk.notebook.book_table import BookTable
from layoutdesk.desk.notebook.cards import Card, Heading, sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.height_form import SetupForm
from layoutdesk.desk.notebook.height_words import ROLES, height
from layoutdesk.desk.notebook.lengths import LengthText, held
from layoutdesk.desk.notebook.section import Section
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import LevelBook

_HOW = (
    "Type point, then back or fore: Tab goes on, Enter goes to the next row. A turning point takes both numbers in "
    "its row, as on paper: the back reading begins the next setup."
)
MOST_TOLD = 5


class BookPart(Section):
    """The section of the book.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the points whose rows were picked.
    """

    trouble = Signal(str)
    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self._document = document
        self._plan = document.plan
        self._of = document.plan
        self._book: LevelBook | None = None
        self.benchmarks = BenchmarkTable(document, dress, say=self._say)
        self.how = sentence(_HOW)
        self.table = BookTable(document, dress, say=self._say)
        self.wrong = label("", "caption", "wrong", wrap=True)
        self.closing = label("", "caption", wrap=True)
        self.row_says = sentence()
        self.below = _button("Row below", "Book a reading under the picked row")
        self.paste_button = _button(
            "Paste a table", "Paste rows copied from a spreadsheet: setup, point, back, fore"
        )
        self.strike = _button("Strike out", "Take the picked readings out of the book")
        self.buttons = button_row(self.below, self.paste_button, self.strike)
        self.setup_heading = Heading("Setup 1")
        self.setup = SetupForm(document)
        self.setup_card = Card(self.setup)
        super().__init__(
            "Level book",
            self.benchmarks,
            self.how,
            self.table,
            self.wrong,
            self.closing,
            self.row_says,
            self.buttons,
            self.setup_heading,
            self.setup_card,
        )
        self.table.paste = self.paste
        self.below.clicked.connect(self.table.insert_below)
        self.paste_button.clicked.connect(self.paste)
        self.strike.clicked.connect(self._on_strike)
        self.table.picked.connect(self._on_picked)
        self.table.selectionModel().selectionChanged.connect(self._show_row)
        self.setup.trouble.connect(self.trouble)
        self._say("")

    # ---- showing

    def show_waiting(self, plan: Plan) -> None:
        """Show the readings of a plan with the heights that are known of them; the others come a moment later."""
        self._show(plan, self._book)

    def show_book(self, plan: Plan, book: LevelBook | None) -> None:
        """Show the book of a plan."""
        self._book, self._of = book, plan
        self._show(plan, book)

    def _show(self, plan: Plan, book: LevelBook | None) -> None:
        self._plan = plan
        text = LengthText.of(plan)
        count = len(plan.levels.readings)
        self.say(f"{count} {'reading' if count == 1 else 'readings'}" if count else "nothing booked yet")
        self.benchmarks.show_benchmarks(plan, text)
        self.table.show_book(plan, book, self._of)
        told = [] if book is None else list(book.troubles)
        closed = [loop.says for loop in book.loops if loop.closes] if book is not None else []
        if told:
            more = len(told) - MOST_TOLD
            shown = told[:MOST_TOLD] + ([f"And {more} more."] if more > 0 else [])
            self.closing.setText("\n".join((*shown, *closed)))
            set_tone(self.closing, "look")
        else:
            self.closing.setText("\n".join(closed))
            set_tone(self.closing, "holds")
        self.closing.setVisible(bool(self.closing.text()))
        self._show_row()

    def _show_row(self) -> None:
        """Show what the picked row is, and by what its setup was read."""
        plan, keys = self._plan, set(self.table.picked_keys)
        lines = [x for x in self.table.lines if x.key in keys and x.reading is not None]
        self.strike.setEnabled(bool(lines))
        line = lines[0] if len(lines) == 1 else None
        text = ""
        if line is not None and line.row is not None and self._book is not None:
            point = self._book.point(line.row.point)
            words = LengthText.of(plan)
            if line.row.trouble:
                text = line.row.trouble
            elif point is not None:
                within = "" if not point.within > 0 else f", ± {held(words.small(point.within))}"
                tied = f" at {held(height(point.elevation, words))}{within}" if point.elevation is not None else ""
                text = f"{point.label} is {ROLES[point.role]}{tied}."
                if line.row.booked is not None and height(line.row.booked, words) != height(
                    line.row.adjusted, words
                ):
                    text += f" As booked it is at {held(height(line.row.booked, words))}."
        self.row_says.setText(text)
        self.row_says.setVisible(bool(text))
        reading = lines[0].reading if lines else None
        setup = reading.setup if reading else self.table.draft.setup
        rows = self._book.rows if self._book is not None else ()
        lines_of = [r.height_of_line for r in rows if r.setup == setup and r.height_of_line is not None]
        sight = f"line at {height(lines_of[0], LengthText.of(plan))}" if lines_of else ""
        self.setup_heading.set_text(f"Setup {setup}", sight)
        self.setup.fill(plan, setup)

    def light(self, points: frozenset[str]) -> None:
        """Pick the rows of points that were picked elsewhere, unless something is being typed."""
        if self.table.editing is None:
            self.table.light(
                [x.key for x in self.table.lines if x.reading is not None and x.reading.point in points]
            )
            self._show_row()

    # ---- doing

    def paste(self) -> None:
        """Take down the readings of a table that was copied elsewhere."""
        text = QGuiApplication.clipboard().text()
        if not text.strip():
            self._say(
                "There is nothing to paste: copy rows of setup, point, back and fore in the spreadsheet first."
            )
            return
        read = edits.readings_from_text(text, self._document.plan)
        if read.readings:
            try:
                self._document.apply("Paste readings", lambda p: edits.add_readings(p, read.readings))
            except LayoutdeskError as error:
                self._say(str(error))
                return
        number = len(read.readings)
        count = f"{number} {'reading was' if number == 1 else 'readings were'} booked. "
        more = len(read.trouble) - MOST_TOLD
        rest = f" And {more} more rows could not be read." if more > 0 else ""
        self._say(f"{count}{' '.join(read.trouble[:MOST_TOLD])}{rest}" if read.trouble else "")

    def _on_strike(self) -> None:
        if self.table.strike is not None:
            self.table.strike(self.table.picked_keys)

    def _on_picked(self, keys: object) -> None:
        chosen = set(keys)  # type: ignore[call-overload]
        points = [x.reading.point for x in self.table.lines if x.key in chosen and x.reading is not None]
        self.picked.emit(tuple(dict.fromkeys(points)))

    def _say(self, text: str) -> None:
        self.wrong.setText(text)
        self.wrong.setVisible(bool(text))


def _button(text: str, tip: str) -> QPushButton:
    made = QPushButton(text)
    made.setToolTip(tip)
    return made
