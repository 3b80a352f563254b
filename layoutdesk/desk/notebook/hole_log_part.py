"""The hole log: every hole as it was dug against the plan, and whether concrete may go in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress, label, sentence_case
from layoutdesk.desk.notebook.cards import Card, Heading, ValueRow, sentence
from layoutdesk.desk.notebook.form import Form, button_row
from layoutdesk.desk.notebook.hole_table import HoleTable, verdict_word
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.tick import Tick
from layoutdesk.engine.holes.entries import HoleRow
from layoutdesk.engine.layout import Layout
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import format_volume

_HOW: Final = (
    "Measure each hole before concrete goes in: depth below the ground beside it, width at the top and at the "
    "bottom. Tab goes on, Enter goes down."
)
_PLANNED: Final = " In brackets stands what is planned."
_HOLD: Final = "Hold point: no concrete before the inspector has seen the holes and the steel."
MOST_TOLD: Final = 5


class HoleForm(Form):
    """What the table has no room for: how far the centre is off, water, date, who, and whether it is poured."""

    def __init__(self, document: Document, table: HoleTable) -> None:
        super().__init__(document)
        self._table = table
        self.along = self.length_row("Centre off along the baseline", self._length("along"))
        self.away = self.length_row("Centre off away from the house", self._length("away"))
        self.water = self.length_row("Water in it", self._length("water"))
        self.date = self.text_row("Measured on", self._word("date"))
        self.by = self.text_row("Measured by", self._word("by"))
        self.poured = Tick("Poured: it is full of concrete")
        self.poured.clicked.connect(self._on_poured)
        self.add(self.poured)

    def fill(self, row: HoleRow, text: LengthText) -> None:
        """Show a hole that was logged."""
        self.piece_id = row.pier
        self.along.show_length(row.along, text)
        self.away.show_length(row.away, text)
        self.water.show_length(row.water, text)
        self.date.show_text(row.date)
        self.by.show_text(row.by)
        self.poured.setChecked(row.poured)

    def _length(self, field: str) -> Callable[[float], None]:
        return lambda value: self._table.set_field(self.piece_id, field, value)

    def _word(self, field: str) -> Callable[[str], None]:
        def put(typed: str) -> None:
            log = self.document.plan.holes.of_pier(self.piece_id)
            if log is not None:
                changed = replace(log, **{field: typed})  # type: ignore[arg-type]
                self.do("Who measured, and when", lambda p: edits.log_hole(p, changed))

        return put

    def _on_poured(self) -> None:
        pier, poured = self.piece_id, self.poured.isChecked()
        self.try_to("Poured" if poured else "Not poured", lambda p: edits.set_poured(p, [pier], poured))


class HoleLogPart(Section):
    """The section of the hole log.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the piers whose rows were picked.
    """

    trouble = Signal(str)
    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self._document = document
        self._plan = document.plan
        self.how = sentence(_HOW)
        self.table = HoleTable(document, dress, say=self._say)
        self.wrong = label("", "caption", "wrong", wrap=True)
        self.poured = _button("Poured", "Say that the picked holes are full of concrete")
        self.paste_button = _button(
            "Paste a table", "Paste rows copied from a spreadsheet: pier, depth, top, bottom, along, away, water"
        )
        self.strike = _button("Strike out", "Take what was measured of the picked holes out of the log")
        self.heading = Heading("Hole")
        self.values = tuple(ValueRow() for _ in range(4))
        self.says = sentence()
        self.form = HoleForm(document, self.table)
        self.card = Card(*self.values, self.says)
        self.form_card = Card(self.form)
        self.hold = sentence(_HOLD)
        super().__init__(
            "Holes as dug",
            self.how,
            self.table,
            self.wrong,
            button_row(self.poured, self.paste_button, self.strike),
            self.heading,
            self.card,
            self.form_card,
            self.hold,
        )
        self.table.paste = self.paste
        self.table.picked.connect(self._on_picked)
        self.table.selectionModel().selectionChanged.connect(self._show_row)
        self.table.typing_ended.connect(self._show_row)
        self.poured.clicked.connect(self._on_poured)
        self.paste_button.clicked.connect(self.paste)
        self.strike.clicked.connect(self._on_strike)
        self.form.trouble.connect(self.trouble)
        self._say("")

    # ---- showing

    def fill(self, plan: Plan, layout: Layout) -> None:
        """Show the holes of a plan."""
        self._plan = plan
        self.setVisible(bool(plan.piers))
        holes = layout.holes
        logged = [row for row in holes if row.verdict != "not logged"]
        mend = sum(row.verdict == "to mend" and not row.poured for row in logged)
        aside = f"{len(logged):,} of {len(holes):,} logged" if logged else "none logged yet"
        self.say(f"{aside}, {mend} to mend" if mend else aside, "look" if mend else "soft")
        planned = any(row.planned_depth is not None for row in holes)
        self.how.setText(_HOW + (_PLANNED if planned else ""))
        self.table.show_holes(plan, holes)
        self._show_row()

    def light(self, picked: Sequence[str]) -> None:
        """Pick the rows of piers that were picked elsewhere, unless something is being typed."""
        if self.table.editing is None:
            self.table.light(picked)
            self._show_row()

    def _show_row(self) -> None:
        """Show the hole of the picked row, with what was planned beside what was dug."""
        keys = set(self.table.picked_keys)
        rows = [row for row in self.table.holes if row.pier in keys] if keys else []
        logged = [row for row in rows if row.verdict != "not logged"]
        self.strike.setEnabled(bool(logged) or any(self.table.begun(row.pier) for row in rows))
        full = bool(logged) and all(row.poured for row in logged)
        self.poured.setText("Not poured" if full else "Poured")
        self.poured.setEnabled(bool(logged) and len(logged) == len(rows))
        row = rows[0] if len(rows) == 1 else None
        for w in (self.heading, self.card):
            w.setVisible(row is not None)
        self.form_card.setVisible(row is not None and bool(logged))
        if row is not None:
            self._show_hole(row)

    def _show_hole(self, row: HoleRow) -> None:
        text = LengthText.of(self._plan)
        missing = self.table.begun(row.pier)
        word = "not dug or not measured yet" if row.verdict == "not logged" else verdict_word(row)
        self.heading.set_text(f"Hole {row.label}", "being logged" if missing else word)
        shown = (
            ("Depth", row.planned_depth, row.depth),
            ("Width at the top", row.planned_top, row.top),
            ("Width at the bottom", row.planned_bottom, row.bottom),
        )
        for value, (name, planned, dug) in zip(self.values[:3], shown, strict=True):
            written = text(planned) if dug is None else text(dug)
            value.set_values(
                name if dug is None else f"{name}, planned {text.held(planned)}" if planned is not None else name,
                written,
            )
        takes = row.extra_m3
        self.values[3].setVisible(takes is not None)
        if takes is not None:
            more = "more" if takes >= 0 else "less"
            self.values[3].set_values(
                f"Concrete {more} than planned", format_volume(abs(takes), self._plan.units, small=True)
            )
        waits = f"Type the {' and the '.join(missing)} too, then the hole is logged." if missing else row.says
        self.says.setText(waits)
        self.says.setVisible(bool(waits))
        if row.verdict != "not logged":
            self.form.fill(row, text)

    # ---- doing

    def paste(self) -> None:
        """Take down the holes of a table that was copied elsewhere."""
        copied = QGuiApplication.clipboard().text()
        if not copied.strip():
            self._say(
                "There is nothing to paste: copy rows of pier, depth, top and bottom in the spreadsheet first."
            )
            return
        read = edits.holes_from_text(self._document.plan, copied)
        if read.log:
            try:
                self._document.apply("Paste holes", lambda p: edits.log_holes(p, read.log))
            except LayoutdeskError as error:
                self._say(str(error))
                return
        number = len(read.log)
        count = f"{number} {'hole was' if number == 1 else 'holes were'} logged. "
        told = " ".join(f"{sentence_case(one)}." for one in read.trouble[:MOST_TOLD])
        more = len(read.trouble) - MOST_TOLD
        rest = f" And {more} more rows could not be read." if more > 0 else ""
        self._say(f"{count}{told}{rest}" if read.trouble or not number else "")

    def _on_poured(self) -> None:
        piers, poured = list(self.table.picked_keys), self.poured.text() == "Poured"
        try:
            self._document.apply("Poured" if poured else "Not poured", lambda p: edits.set_poured(p, piers, poured))
        except LayoutdeskError as error:
            self._say(str(error))

    def _on_strike(self) -> None:
        if self.table.strike is not None:
            self.table.strike(self.table.picked_keys)
            self._show_row()

    def _on_picked(self, keys: object) -> None:
        self.picked.emit(keys)

    def _say(self, text: str) -> None:
        self.wrong.setText(text)
        self.wrong.setVisible(bool(text))


def _button(text: str, tip: str) -> QPushButton:
    made = QPushButton(text)
    made.setToolTip(tip)
    return made
