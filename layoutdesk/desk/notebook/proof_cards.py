"""Cards of the proof: what is wrong and what to do about it, each with its buttons."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress, label
from layoutdesk.desk.notebook.cards import Sign, sentence, stacked
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.tape_rows import TapeRow
from layoutdesk.engine.layout import Severity

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, Suspect, TapeNext

MOST = 8
"""So many cards are shown; the rest come when these are mended."""


class AdviceCard(QFrame):
    """A sign, a title, a sentence, and for a measure what can be done about it.

    Signals:
        again_wanted: the place in the plan of the measure that is to be taken again.
        right_wanted: the suspect measure that is to be put right.
    """

    again_wanted = Signal(int)
    right_wanted = Signal(object)

    def __init__(
        self,
        title: str,
        text: str,
        severity: Severity,
        dress: Dress,
        *,
        index: int | None = None,
        suspect: Suspect | None = None,
    ) -> None:
        super().__init__()
        self._index, self._suspect = index, suspect
        self.setProperty("card", {"error": "wrong", "warning": "look", "note": "note"}[severity])
        self.setAccessibleName(title)
        self.setAccessibleDescription(text)
        self.title, self.text = label(title, "number", wrap=True), sentence(text)
        self.again = _button("Take it again", "Go to its row in the table and type what the tape reads now")
        self.again.clicked.connect(self._on_again)
        self.right = _button("Put right", "Write the likely reading in its place; Undo takes it back")
        self.right.clicked.connect(self._on_right)
        self._row = button_row(self.again, self.right)
        box = QHBoxLayout(self)
        box.setContentsMargins(10, 9, 12, 10)
        box.setSpacing(10)
        box.addWidget(Sign(severity, dress), 0, Qt.AlignmentFlag.AlignTop)
        box.addWidget(stacked(self.title, self.text, self._row, spacing=3), 1)
        self._row.setVisible(index is not None)
        # Where several measures are alike nobody knows which to put right: all are taken again.
        # What no plain slip explains has no likely reading either: the number would come from the plan, not a tape.
        plain = suspect is not None and suspect.misreading not in ("other", "wrong end")
        self.right.setVisible(suspect is not None and plain and not suspect.alike)

    def _on_again(self) -> None:
        if self._index is not None:
            self.again_wanted.emit(self._index)

    def _on_right(self) -> None:
        self.right_wanted.emit(self._suspect)


def _button(text: str, tip: str) -> QPushButton:
    made = QPushButton(text)
    made.setToolTip(tip)
    return made


class Advice(QWidget):
    """The cards of a proof: measures that are likely misread or cannot be used, and stakes that are not held.

    Signals:
        again_wanted: the place in the plan of a measure that is to be taken again.
        right_wanted: a measure that is to be put right.
    """

    again_wanted = Signal(int)
    right_wanted = Signal(object)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self._shown: object = None
        self.cards: list[AdviceCard] = []
        self._rest = sentence()
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(7)
        self._box.addWidget(self._rest)
        self.hide()

    def show_proof(
        self,
        proof: Proof | None,
        rows: Mapping[int, TapeRow],
        called: Mapping[str, str],
        *,
        complete: bool = True,
    ) -> None:
        """Show what a proof finds fault with; what is not held yet only once the tapes of the sheet are taken."""
        loose = proof.loose if proof is not None and complete else ()
        seen = None if proof is None else (proof.suspects, proof.trouble, proof.swapped, loose)
        if seen == self._shown:
            return
        self._shown = seen
        for old in self.cards:
            self._box.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.cards = []
        if proof is not None:
            self._make(proof, rows, called, complete=complete)
        over = len(self.cards) - MOST
        for extra in self.cards[MOST:]:
            extra.deleteLater()
        self.cards = self.cards[:MOST]
        for k, card in enumerate(self.cards):
            self._box.insertWidget(k, card)
        self._rest.setText(f"and {over} more, which show when these are mended")
        self._rest.setVisible(over > 0)
        self.setVisible(bool(self.cards))

    def _make(
        self, proof: Proof, rows: Mapping[int, TapeRow], called: Mapping[str, str], *, complete: bool
    ) -> None:
        dress = self._dress
        for suspect in proof.suspects:
            title = f"{_name(rows.get(suspect.index), called)} is likely misread"
            card = AdviceCard(title, suspect.says, "warning", dress, index=suspect.index, suspect=suspect)
            self.cards.append(card)
        for index, says in proof.trouble:
            title = f"{_name(rows.get(index), called)} cannot be used"
            self.cards.append(AdviceCard(title, says, "error", dress, index=index))
        for loose in proof.swapped:
            self.cards.append(AdviceCard("Not where it should be", loose.says, "warning", dress))
        if proof.loose and complete:
            told = "\n".join(loose.says for loose in proof.loose[:MOST])
            self.cards.append(AdviceCard("Not held by the tapes", told, "note", dress))
        for card in self.cards:
            card.again_wanted.connect(self.again_wanted)
            card.right_wanted.connect(self.right_wanted)

    def sizeHint(self) -> QSize:
        """Return the room that the cards want."""
        return self._box.sizeHint()


def _name(row: TapeRow | None, called: Mapping[str, str]) -> str:
    if row is None:
        return "A measure"
    start, end, third = (called.get(i, i) for i in (row.start, row.end, row.third or ""))
    match row.kind:
        case "right angle":
            return f"The right angle at {start}"
        case "string":
            return f"{end} on the string {start} to {third}"
        case "square":
            return f"{end} square from {start} to {third}"
    return f"{start} to {end}"


class NextCard(QFrame):
    """Which measure is worth taking next.

    Signals:
        show_wanted: it is to be shown on the sheet.
        take_wanted: it is to be taken down now.
    """

    show_wanted = Signal()
    take_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("card", "plain")
        self.setAccessibleName("Tape next")
        self.title = label("Tape next", "number", "check", wrap=True)
        self.says = sentence()
        self.show_it = _button("Show it", "Show this tape on the sheet")
        self.show_it.clicked.connect(self._on_show)
        self.take_it = _button("Take it", "Type what this tape reads")
        self.take_it.clicked.connect(self._on_take)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 8, 12, 10)
        box.setSpacing(3)
        box.addWidget(self.title)
        box.addWidget(self.says)
        box.addWidget(button_row(self.show_it, self.take_it))
        self.hide()

    def _on_show(self) -> None:
        self.show_wanted.emit()

    def _on_take(self) -> None:
        self.take_wanted.emit()

    def show_next(
        self, upcoming: TapeNext | None, called: Mapping[str, str], text: LengthText, *, needed: bool = True
    ) -> None:
        """Show the measure, or nothing; one that is not needed is only offered."""
        self.setVisible(upcoming is not None)
        if upcoming is not None:
            start, end = (called.get(i, i) for i in (upcoming.start, upcoming.end))
            what = "Tape next" if needed else "Not needed any more, but surest next"
            self.title.setText(f"{what}: {start} to {end}, {text(upcoming.planned)} as planned")
            self.says.setText(upcoming.says)
            self.setAccessibleDescription(upcoming.says)
