"""A form: rows of captions and boxes that edit one piece, found again by its id at every edit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from layoutdesk.desk.dress import label
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.rows import ChoiceRow, LengthRow, PlaceRow, TextRow
from layoutdesk.engine.layout import Layout
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

Edit = Callable[[Plan], Plan]
FEW: Final = 6
"""So many corners are shown before all are asked for."""


class Form(QWidget):
    """Rows on one piece. Subclasses make their rows once and fill them at every refresh.

    Signals:
        trouble: a sentence about something that could not be done and has no box of its own.
    """

    trouble = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.piece_id = ""
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(6)

    def add(self, widget: QWidget) -> None:
        """Add a widget below the others."""
        self._box.addWidget(widget)

    def text_row(self, caption: str, commit: Callable[[str], None]) -> TextRow:
        """Add a row for a line of text."""
        row = TextRow(caption, commit)
        self.add(row)
        return row

    def length_row(self, caption: str, commit: Callable[[float], None]) -> LengthRow:
        """Add a row for a length."""
        row = LengthRow(caption, commit)
        self.add(row)
        return row

    def choice_row(self, caption: str, commit: Callable[[object], None]) -> ChoiceRow:
        """Add a row for a choice."""
        row = ChoiceRow(caption, commit)
        self.add(row)
        return row

    def do(self, label: str, edit: Edit) -> None:
        """Carry out an edit as one step to undo.

        Raises:
            EditError: from the edit; the row that asked for it shows the sentence.
        """
        self.document.apply(label, edit)

    def try_to(self, label: str, edit: Edit) -> None:
        """Carry out an edit that a button asked for; what cannot be done is told as trouble."""
        try:
            self.document.apply(label, edit)
        except LayoutdeskError as error:
            self.trouble.emit(str(error))


class Places(QWidget):
    """The places of a piece as rows of station and offset, or of x and y while there is no baseline."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self._piece = ""
        self._rows: list[PlaceRow] = []
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(5)
        self._names = (label("", "caption", "soft"), label("", "caption", "soft"))
        self._box.addWidget(_over_boxes(self._names))
        self.all = link("")
        self.all.clicked.connect(self._on_all)
        self._box.addWidget(self.all)
        self._shown: tuple[tuple[str, ...], tuple[Vector, ...], Layout] | None = None
        self._every = False

    def show_places(
        self, piece: str, captions: tuple[str, ...], places: tuple[Vector, ...], layout: Layout
    ) -> None:
        """Show the places of a piece, one row each."""
        if piece != self._piece:
            self._piece, self._every = piece, False
        self._shown = (captions, places, layout)
        few = places if self._every or len(places) <= FEW + 2 else places[:FEW]
        self.all.setText(f"Show all {len(places)} corners")
        self.all.setVisible(len(few) < len(places))
        names = ("station", "offset") if layout.frame else ("x", "y")
        for name, label_ in zip(names, self._names, strict=True):
            label_.setText(name)
        while len(self._rows) < len(few):
            row = PlaceRow("", self._commit(len(self._rows)))
            self._rows.append(row)
            self._box.insertWidget(self._box.count() - 1, row)
        text = LengthText.of(layout.plan)
        for k, row in enumerate(self._rows):
            row.setVisible(k < len(few))
            if k < len(few):
                row.caption.setText(captions[k])
                at = layout.frame.station_offset(few[k]) if layout.frame else few[k]
                row.show_place(at, names, text)

    def _on_all(self) -> None:
        if self._shown is not None:
            self._every = True
            self.show_places(self._piece, *self._shown)

    def _commit(self, index: int) -> Callable[[tuple[float, float]], None]:
        def move(values: tuple[float, float]) -> None:
            from layoutdesk.plan import edits

            frame = self._document.layout.frame
            to = frame.point(*values) if frame else values
            piece = self._piece
            self._document.apply(f"Move {piece}", lambda p: edits.move_place(p, piece, index, to))

        return move


def _over_boxes(names: tuple[QLabel, QLabel]) -> QWidget:
    """Return two names that stand over the two boxes of a PlaceRow."""
    head = QWidget()
    grid = QGridLayout(head)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(10)
    grid.setColumnStretch(0, 26)
    grid.setColumnStretch(1, 74)
    pair = QWidget()
    line = QHBoxLayout(pair)
    line.setContentsMargins(0, 0, 8, 0)
    line.setSpacing(6)
    for name in names:
        name.setAlignment(Qt.AlignmentFlag.AlignRight)
        name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        line.addWidget(name, 1)
    pair.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    spacer = QWidget()
    spacer.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    grid.addWidget(spacer, 0, 0)
    grid.addWidget(pair, 0, 1)
    return head


def button_row(*buttons: QPushButton) -> QWidget:
    """Return buttons next to each other, at the left."""
    row = QWidget()
    box = QHBoxLayout(row)
    box.setContentsMargins(0, 2, 0, 0)
    box.setSpacing(6)
    for button in buttons:
        box.addWidget(button)
    box.addStretch(1)
    return row


def link(text: str, tip: str = "") -> QPushButton:
    """Return a button that is a line of text to press."""
    made = QPushButton(text)
    made.setProperty("kind", "link")
    made.setToolTip(tip)
    return made
