"""The editor that opens on a dimension to retype it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from layoutdesk.desk.theme import FAMILY, Theme
from layoutdesk.engine.layout import Dimension
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import format_exact, format_length, parse_length


class DimensionEditor(QLineEdit):
    """A box over a dimension's text: Enter sets the length, Esc or a click elsewhere leaves it.

    A length that cannot be set is refused in a sentence under the box. For equal dimensions that are said
    once, the box holds the length of one, says how many it sets, and sets each of them in one step.
    """

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self._document = document
        self._group: tuple[Dimension, ...] = ()
        self._theme: Theme | None = None
        self._sentence = QLabel(parent)
        self._sentence.setWordWrap(True)
        self._sentence.hide()
        self._each = QLabel(self)
        self._each.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setAccessibleName("Length of the dimension")
        self.textEdited.connect(self._on_edited)
        self.hide()

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """Return what the box would set: none when it is not open."""
        return self._group

    def open(self, dimensions: tuple[Dimension, ...], middle: QPoint, theme: Theme) -> None:
        """Show the box over the middle of a text that stands for one dimension, or for several equal ones."""
        plan = self._document.plan
        self._group, self._theme = dimensions, theme
        dimension = dimensions[0]
        text = format_length(dimension.value, plan.units, plan.rounding)
        if parse_length(text, plan.units) != dimension.value:
            exact = format_exact(dimension.value, plan.units)
            text = text if len(exact) > 18 else exact
        self.setText(text)
        self._dress(wrong=False)
        each = f"each of {len(dimensions)}" if len(dimensions) > 1 else ""
        self._each.setText(each)
        self._each.adjustSize()
        beside = self._each.width() + 10 if each else 0
        self.setTextMargins(0, 0, beside, 0)
        self.setAccessibleDescription(f"Sets {each}" if each else "")
        self.resize(max(118, self.fontMetrics().horizontalAdvance(text) + 40) + beside, 30)
        self._each.move(self.width() - self._each.width() - 10, (self.height() - self._each.height()) // 2)
        self._each.setVisible(bool(each))
        self.move(middle - QPoint(self.width() // 2, self.height() // 2))
        self._sentence.hide()
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.selectAll()

    def close_quietly(self) -> None:
        """Take the box away and leave the dimension as it is."""
        if not self._group:
            return
        self._group = ()
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
        self._each.setStyleSheet(
            f"QLabel {{ color: {theme.soft}; font-family: {FAMILY}; font-size: 13px; font-weight: 400; }}"
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
        if not self._group:
            return
        try:
            value = parse_length(self.text(), self._document.plan.units)
            each = f" each of {len(self._group)}" if len(self._group) > 1 else ""
            self._document.apply(f"Set{each} {self.text().strip()}", self._edit(value))
        except LayoutdeskError as error:
            self._refuse(str(error))
            return
        self.close_quietly()

    def _edit(self, value: float) -> Callable[[Plan], Plan]:
        """Return the edit that makes what the box stands for so long."""
        group = self._group
        only, last = group[0], group[-1]
        if len(group) == 1:
            places = (only.start, only.end)
            return lambda plan: edits.set_distance(
                plan, only.first, only.second, value, sets=only.sets, places=places
            )
        ends = [(one.first, one.second) for one in group]
        if only.sets != "row":
            return lambda plan: edits.set_equal_distances(plan, ends, value, sets="spacing")
        rows = {d.first: d.second for d in self._document.layout.dimensions if d.sets == "row"}
        beyond: list[str] = []
        row = rows.get(last.second)
        while row is not None and row not in beyond:
            beyond.append(row)
            row = rows.get(row)
        measured = [(one.start, one.end) for one in group]
        return lambda plan: edits.set_equal_distances(plan, ends, value, sets="row", places=measured, beyond=beyond)

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
