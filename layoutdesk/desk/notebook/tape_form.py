"""The picked tape: its class, and behind More what corrects it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import Form, button_row, link
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.rows import TextRow
from layoutdesk.desk.notebook.tape_rows import TapeRow
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import TAKEN_CLASSES, Plan, TakenClass, Tape
from layoutdesk.session.document import Document
from layoutdesk.units import parse_angle, parse_length

_CLASSES: Final[dict[TakenClass, str]] = {
    "I": "I, the finest",
    "II": "II, the usual",
    "III": "III, coarse",
    "H44": "Handbook 44, metal",
    "own": "own errors",
}


class MeasureForm(Form):
    """The rows of one measure.

    Signals:
        strike_wanted: the picked measures are to be struck out.
        opened: it has more rows now.
    """

    strike_wanted = Signal()
    opened = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._index: int | None = None
        self.kind = self.choice_row("Class of tape", self._set_class)
        self.more = link("More: slope, temperature, pull")
        self.more.clicked.connect(self._on_more)
        self.add(self.more)
        self.own = self.text_row("Own error, a + b a metre", self._set_own)
        self.rise = self.text_row("Rise from end to end", self._set_rise)
        self.slope = self.text_row("Slope, degrees", self._number("slope", parse_angle))
        self.temperature = self.text_row("Temperature, °C", self._number("temperature", _plain))
        self.pull = self.text_row("Pull, newtons", self._number("pull", _plain))
        self.section = self.text_row("Cross-section, mm²", self._number("section", _plain))
        self.note = sentence(
            "Slope: the tape lay on the ground. Temperature and pull matter for a steel tape only; it is right at "
            "20 °C and the pull written on it."
        )
        self.add(self.note)
        self.strike = QPushButton("Strike out")
        self.strike.setToolTip("Take this measure out of the list")
        self.strike.clicked.connect(self.strike_wanted)
        self.add(button_row(self.strike))
        self._behind = (self.rise, self.slope, self.temperature, self.pull, self.section, self.note)
        self._open = False

    def fill(self, plan: Plan, row: TapeRow) -> None:
        """Show a measure that was taken."""
        tape = row.tape
        if tape is None or row.index is None:
            return
        if row.index != self._index:
            self._index = row.index
        text = LengthText.of(plan)
        self.kind.show_choice([(c, _CLASSES[c]) for c in TAKEN_CLASSES], tape.tape_class)
        self.own.setVisible(tape.tape_class == "own")
        self.own.show_text("" if tape.own is None else f"{tape.own[0]:g} + {tape.own[1]:g}")
        self.rise.show_text("" if tape.rise is None else text.exact(tape.rise))
        for shown, value in (
            (self.slope, tape.slope),
            (self.temperature, tape.temperature),
            (self.pull, tape.pull),
            (self.section, tape.section),
        ):
            shown.show_text("" if value is None else f"{value:g}")
        more = self._open or any(v is not None for v in (tape.rise, tape.slope, tape.temperature, tape.pull))
        for w in self._behind:
            w.setVisible(more)
        self.more.setVisible(not more)

    def _on_more(self) -> None:
        self._open = True
        for w in self._behind:
            w.setVisible(True)
        self.more.hide()
        self.opened.emit()

    def _change(self, label: str, **fields: Any) -> None:
        index = self._index
        if index is None:
            return

        def edit(plan: Plan) -> Plan:
            tape: Tape = replace(plan.tapes[index], **fields)
            return edits.replace_tape(plan, index, tape)

        self.do(label, edit)

    def _set_class(self, key: object) -> None:
        kind = cast("TakenClass", key)
        index = self._index
        own = None
        if kind == "own" and index is not None:
            own = self.document.plan.tapes[index].own or (1.0, 0.2)
        self._change("Class of tape", tape_class=kind, own=own)

    def _set_own(self, typed: str) -> None:
        parts = typed.replace("+", " ").split()
        if len(parts) != 2:
            raise EditError("The own error is two numbers: millimetres, and millimetres a metre, such as 1 + 0.2")
        self._change("Own error of the tape", own=(_plain(parts[0]), _plain(parts[1])))

    def _set_rise(self, typed: str) -> None:
        value = parse_length(typed, self.document.plan.units) if typed else None
        self._change("Slope of the tape", rise=value, slope=None if value is not None else self._now("slope"))

    def _now(self, field: str) -> Any:
        return None if self._index is None else getattr(self.document.plan.tapes[self._index], field)

    def _number(self, field: str, read: Callable[[str], float]) -> Callable[[str], None]:
        def commit(typed: str) -> None:
            fields: dict[str, Any] = {field: read(typed) if typed else None}
            if field == "slope" and typed:
                fields["rise"] = None
            self._change(f"{field.capitalize()} of the tape", **fields)

        return commit

    @property
    def boxes(self) -> tuple[TextRow, ...]:
        """Return the rows that are typed in."""
        return (self.own, self.rise, self.slope, self.temperature, self.pull, self.section)


def _plain(typed: str) -> float:
    """Return a plain number.

    Raises:
        EditError: when it is none.
    """
    try:
        return float(typed.replace(",", "."))
    except ValueError as error:
        raise EditError(f"“{typed[:20]}” is no number; type for example 12.5") from error
