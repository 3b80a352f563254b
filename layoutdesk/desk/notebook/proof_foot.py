"""The foot of the Proof page, always in sight: what is wrong with what was typed, and the tape that is picked."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout, QWidget

from layoutdesk.desk.dress import label
from layoutdesk.desk.notebook.cards import Heading
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.tape_form import MeasureForm


class ProofFoot(QFrame):
    """Lies over the foot of the page, which makes room for it; hidden while it has nothing to say.

    Signals:
        changed: it has another height, or is hidden or shown.
        offer_taken: what was offered in place of what was typed is to be written.
    """

    changed = Signal()
    offer_taken = Signal()

    def __init__(self, measure: MeasureForm, parent: QWidget) -> None:
        super().__init__(parent)
        self.setProperty("card", "plain")
        self.trouble = label("", "caption", "wrong", wrap=True)
        self.seen_button = QPushButton("Seen")
        self.seen_button.setToolTip("Take this note away")
        self.seen_button.clicked.connect(self._on_seen)
        self._seen_row = button_row(self.seen_button)
        self.offer = label("", "caption", "look", wrap=True)
        self.offer_button, self.leave_button = QPushButton(), QPushButton("Leave it")
        self.offer_button.clicked.connect(self.offer_taken)
        self.leave_button.setToolTip("It was read so")
        self.leave_button.clicked.connect(self.withdraw)
        self._offer_row = button_row(self.offer_button, self.leave_button)
        self.heading = Heading("Picked tape")
        self.measure = measure
        measure.opened.connect(self._follow)
        self._parts = (self.trouble, self._seen_row, self.offer, self._offer_row, self.heading, self.measure)
        box = QVBoxLayout(self)
        box.setContentsMargins(14, 6, 14, 8)
        box.setSpacing(5)
        for w in self._parts:
            box.addWidget(w)
            w.hide()
        self.hide()

    def say(self, text: str) -> None:
        """Show what is wrong with what was typed or pasted, or nothing."""
        self.trouble.setText(text)
        self._seen_row.setVisible("\n" in text)  # one sentence goes with the next number
        self._show(self.trouble, shown=bool(text))

    def _on_seen(self) -> None:
        self.say("")

    def make_offer(self, text: str, button: str) -> None:
        """Offer to write something else in place of what was typed."""
        self.offer.setText(text)
        self.offer_button.setText(button)
        self._show(self.offer, self._offer_row, shown=True)

    def withdraw(self) -> None:
        """Offer nothing any more."""
        self._show(self.offer, self._offer_row, shown=False)

    def show_measure(self, ends: str) -> None:
        """Show the form of the picked tape, which goes between these ends; without any it is hidden."""
        self.heading.set_text("Picked tape", ends)
        self._show(self.heading, self.measure, shown=bool(ends))

    def _show(self, *parts: QWidget, shown: bool) -> None:
        for w in parts:
            w.setVisible(shown)
        self._follow()

    def _follow(self) -> None:
        self.setVisible(any(not w.isHidden() for w in self._parts))
        self.changed.emit()

    def height_for(self, width: int) -> int:
        """Return how high it is at a width; nothing while it is hidden."""
        if self.isHidden():
            return 0
        box = self.layout()
        assert box is not None
        box.activate()
        return box.heightForWidth(width) if box.hasHeightForWidth() else box.sizeHint().height()
