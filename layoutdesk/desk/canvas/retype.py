"""The editor that opens on a dimension to retype it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from layoutdesk.desk.theme import FAMILY, Theme
from layoutdesk.engine.layout import Dimension
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.session.document import Document
from layoutdesk.units import format_exact, format_length, parse_length


class DimensionEditor(QLineEdit):
    """A box over a dimension's text: Enter sets the length, Esc or a click elsewhere leaves it.

    A length that cannot be set is refused in a sentence under the box.
    """

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self._document = document
        self._dimension: Dimension | None = None
        self._theme: Theme | None = None
        self._sentence = QLabel(parent)
        self._sentence.setWordWrap(True)
        self._sentence.hide()
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setAccessibleName("Length of the dimension")
        self.textEdited.connect(self._on_edited)
        self.hide()

    def open(self, dimension: Dimension, middle: QPoint, theme: Theme) -> None:
        """Show the box over the middle of a dimension's text."""
        plan = self._document.plan
        self._dimension, self._theme = dimension, theme
        text = format_length(dimension.value, plan.units, plan.rounding)
        if parse_length(text, plan.units) != dimension.value:
            exact = format_exact(dimension.value, plan.units)
            text = text if len(exact) > 18 else exact
        self.setText(text)
        self._dress(wrong=False)
        self.resize(max(118, self.fontMetrics().horizontalAdvance(text) + 40), 30)
        self.move(middle - QPoint(self.width() // 2, self.height() // 2))
        self._sentence.hide()
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.selectAll()

    def close_quietly(self) -> None:
        """Take the box away and leave the dimension as it is."""
        if self._dimension is None:
            return
        self._dimension = None
        self._sentence.hide()
        had = self.hasFocus()
        self.hide()
        parent = self.parentWidget()
        if had and parent is not None:
            parent.setFocus(Qt.FocusReason.OtherFocusReason)

    def _dress(self, *, wrong: bool) -> None:
        theme = self._theme
        if theme is None:
            return
        edge = theme.wrong if wrong else theme.work
        self.setStyleSheet(
            f"QLineEdit {{ background: {theme.field}; color: {theme.ink}; border: 2px solid {edge};"
            f" border-radius: 5px; padding: 0 6px; font-family: {FAMILY}; font-size: 14px; font-weight: 700;"
            f" selection-background-color: {theme.work}; selection-color: {theme.work_ink}; }}"
        )
        self._sentence.setStyleSheet(
            f"QLabel {{ background: {theme.wrong_wash}; color: {theme.wrong}; border: 1px solid {theme.wrong};"
            f" border-radius: 4px; padding: 4px 8px; font-family: {FAMILY}; font-size: 13px; }}"
        )

    def _on_edited(self) -> None:
        self._sentence.hide()
        self._dress(wrong=False)

    def _set(self) -> None:
        """Set the dimension to what is typed, or say why not."""
        dimension = self._dimension
        if dimension is None:
            return
        try:
            value = parse_length(self.text(), self._document.plan.units)
            self._document.apply(
                f"Set {self.text().strip()}",
                lambda plan: edits.set_distance(
                    plan,
                    dimension.first,
                    dimension.second,
                    value,
                    sets=dimension.sets,
                    places=(dimension.start, dimension.end),
                ),
            )
        except LayoutdeskError as error:
            self._refuse(str(error))
            return
        self.close_quietly()

    def _refuse(self, sentence: str) -> None:
        self._dress(wrong=True)
        self._sentence.setText(f"✕  {sentence}")
        self._sentence.setFixedWidth(260)
        self._sentence.adjustSize()
        parent = self.parentWidget()
        below = self.y() + self.height() + 4
        if parent is not None and below + self._sentence.height() > parent.height() - 4:
            below = self.y() - self._sentence.height() - 4
        self._sentence.move(self.x(), below)
        self._sentence.show()
        self._sentence.raise_()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Set on Enter, leave on Esc."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._set()
        elif event.key() == Qt.Key.Key_Escape:
            self.close_quietly()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leave when the person goes elsewhere."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.close_quietly()
