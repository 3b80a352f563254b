"""Boxes to type and choose in."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget

from layoutdesk.desk.dress import set_tone
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.errors import LayoutdeskError
from layoutdesk.units import parse_length


class Box(QLineEdit):
    """A box for one line that commits on Enter or when it is left, and goes back on Esc.

    While it holds nothing new, undo and redo keys go to the plan and not to the box.

    Signals:
        finished: something new was typed and is to be taken.
        mended: what was refused stands there no more.
    """

    finished = Signal(str)
    mended = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.editingFinished.connect(self._on_finished)
        self.textEdited.connect(self._mend)
        self._rest = ""
        self._edit: str | None = None
        self.bad = False

    def rest(self, shown: str, edit: str | None = None) -> None:
        """Show ``shown``, and ``edit`` in its place while the box is being typed in; typing under way is kept."""
        self._rest, self._edit = shown, edit
        if self.hasFocus() and self.isModified():
            return
        self._mend()
        self.setText((edit if edit is not None and self.hasFocus() else shown) or "")
        if self.hasFocus():
            self.selectAll()

    def refuse(self, sentence: str) -> None:
        """Keep what was typed and mark it as wrong."""
        self.bad = True
        self.setAccessibleDescription(sentence)
        set_tone(self, "wrong")

    def _mend(self) -> None:
        if self.bad:
            self.bad = False
            self.setAccessibleDescription("")
            set_tone(self, "plain")
            self.mended.emit()

    def _on_finished(self) -> None:
        if self.isModified():
            self.setModified(False)
            self.finished.emit(self.text())

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the plan while nothing new is typed."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            keys = QKeySequence.StandardKey
            if not self.isModified() and (event.matches(keys.Undo) or event.matches(keys.Redo)):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go back to what stood there on Esc; pass undo on while nothing new is typed."""
        if event.key() == Qt.Key.Key_Escape and (self.isModified() or self.bad):
            self.setModified(False)
            self.rest(self._rest, self._edit)
            event.accept()
            return
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.selectAll()
            event.accept()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the exact value, ready to be overwritten."""
        super().focusInEvent(event)
        if self._edit is not None and not self.bad:
            self.setText(self._edit)
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take what was typed, then show it as the plan shows lengths."""
        super().focusOutEvent(event)
        if not self.bad and self._edit is not None:
            self.setText(self._rest)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select all at the first press, so that typing replaces."""
        fresh = not self.hasFocus()
        super().mousePressEvent(event)
        if fresh:
            self.selectAll()


class LengthBox(Box):
    """A box for one length, shown as the plan writes it and edited to its exact value.

    Signals:
        entered: another length was typed, in mm.
        refused: the sentence why what was typed is no length.
    """

    entered = Signal(float)
    refused = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.finished.connect(self._on_typed)
        self._way = LengthText("mm", 1.0)
        self._value: float | None = None

    def show_length(self, value: float | None, text: LengthText) -> None:
        """Show a length as the plan writes it; None shows a dash and takes nothing."""
        self._value, self._way = value, text
        self.setEnabled(value is not None)
        self.rest(text(value), None if value is None else text.exact(value))

    def _on_typed(self, typed: str) -> None:
        try:
            value = parse_length(typed, self._way.units)
        except LayoutdeskError as error:
            self.refuse(str(error))
            self.refused.emit(str(error))
            return
        if value == self._value:
            self.show_length(value, self._way)
        else:
            self.entered.emit(value)


class Choice(QComboBox):
    """A list to choose from, which the wheel does not change in passing.

    Signals:
        chosen: the person took another entry; its key.
    """

    chosen = Signal(object)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.setPlaceholderText("choose …")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.activated.connect(self._on_activated)
        self._entries: Callable[[], Sequence[tuple[object, str]]] | None = None
        self._keys: list[object] = []
        self._texts: list[str] = []

    def fill(self, entries: Sequence[tuple[object, str]], current: object) -> None:
        """Offer (key, text) entries, with the one of key ``current`` taken."""
        keys, texts = [k for k, _ in entries], [t for _, t in entries]
        with QSignalBlocker(self):
            if keys != self._keys or texts != self._texts:
                self.clear()
                self.addItems(texts)
                self._keys, self._texts = keys, texts
            self.setCurrentIndex(keys.index(current) if current in keys else -1)

    def offer(self, entries: Callable[[], Sequence[tuple[object, str]]], current: tuple[object, str]) -> None:
        """Show the entry that is taken; the others are asked for only when the list is opened."""
        self._entries = entries
        self.fill([current], current[0])

    def _open_up(self) -> None:
        if self._entries is not None:
            self.fill(self._entries(), self.key)
            self._entries = None

    def showPopup(self) -> None:
        """Open the list."""
        self._open_up()
        super().showPopup()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Have the whole list before keys walk through it."""
        self._open_up()
        super().keyPressEvent(event)

    @property
    def key(self) -> object:
        """Return the key of the entry that is taken, or None."""
        return self._keys[self.currentIndex()] if 0 <= self.currentIndex() < len(self._keys) else None

    def _on_activated(self, index: int) -> None:
        self.chosen.emit(self._keys[index])

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page."""
        event.ignore()

    def sizeHint(self) -> QSize:
        """Return the height of a box to type in."""
        return QSize(super().sizeHint().width(), self.fontMetrics().height() + 13)

    def minimumSizeHint(self) -> QSize:
        """Return the smallest size: the box's height and room for a few letters."""
        return QSize(self.fontMetrics().averageCharWidth() * 9, self.sizeHint().height())

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw a box like the others, with a small angle that says there is a list."""
        p, pal = QPainter(self), self.palette()
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        focus = self.hasFocus()
        width = 2.0 if focus else 1.0
        edge = pal.color(QPalette.ColorRole.Highlight if focus else QPalette.ColorRole.Mid)
        p.setPen(QPen(edge, width))
        p.setBrush(pal.color(QPalette.ColorRole.Base if self.isEnabled() else QPalette.ColorRole.Window))
        inset = width / 2
        p.drawRoundedRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset), 5, 5)
        p.setPen(QPen(pal.color(QPalette.ColorRole.Text), 1.6, c=Qt.PenCapStyle.RoundCap))
        x, y = self.width() - 16.0, self.height() / 2
        p.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])
        room = self.rect().adjusted(9, 0, -28, 0)
        taken = self.currentIndex() >= 0
        if not taken:
            p.setPen(pal.color(QPalette.ColorRole.PlaceholderText))
        text = self.currentText() if taken else self.placeholderText()
        text = self.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        p.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
