"""The strip over the sheet: the gestures as words, undo and redo, and the one main button."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtGui import QAction, QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMenu, QPushButton, QSizePolicy, QWidget

from layoutdesk.desk.dress import Dress

_GAP: Final = 2
_PADDING: Final = 24
_SPARE: Final = 70
_MORE: Final = "More ▾"


def word_button(text: str) -> QPushButton:
    """Return a button that is a word and nothing else."""
    button = QPushButton(text)
    button.setProperty("kind", "word")
    button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    return button


class GestureWords(QWidget):
    """The gestures in a line; those that do not fit go behind the word More.

    Each button follows its action: its text, its tip and whether it is taken up.
    """

    def __init__(self, words: Sequence[str], dress: Dress) -> None:
        super().__init__()
        self._actions: tuple[QAction, ...] = ()
        self._buttons = tuple(word_button(word) for word in words)
        for button in self._buttons:
            button.setParent(self)
            button.setCheckable(True)
        self._buttons[0].setChecked(True)
        self.more = word_button("More")
        self.more.setParent(self)
        self.more.setCheckable(True)
        self.more.setToolTip("More to draw")
        self.more.clicked.connect(self._open_more)
        self._hidden = self._left_out = 0
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        dress.changed.connect(self._arrange)

    def link(self, actions: Sequence[QAction]) -> None:
        """Have the words do what the actions do."""
        self._actions = tuple(actions)
        for action, button in zip(self._actions, self._buttons, strict=True):
            button.setToolTip(action.toolTip())
            button.clicked.connect(action.trigger)
            action.toggled.connect(button.setChecked)
            button.setChecked(action.isChecked())
            action.toggled.connect(self._name_more)

    def leave_out(self, count: int) -> None:
        """Leave out so many words at the end: there is nothing for them to work on."""
        if count != self._left_out:
            self._left_out = count
            self._arrange()

    @property
    def behind(self) -> tuple[QAction, ...]:
        """Return the gestures whose words did not fit."""
        offered = len(self._buttons) - self._left_out
        return self._actions[offered - self._hidden : offered]

    def sizeHint(self) -> QSize:
        """Return room for all the words."""
        return QSize(sum(b.sizeHint().width() + _GAP for b in self._buttons), self.more.sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Return room for the first word and More."""
        high = self.more.sizeHint().height()
        return QSize(self._buttons[0].sizeHint().width() + self.more.sizeHint().width() + 40, high)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many words as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        offered = self._buttons[: len(self._buttons) - self._left_out]
        wants = [_boldest(b, b.text()) for b in offered]
        room, high = self.width(), self.more.sizeHint().height()
        fits = len(wants)
        if sum(w + _GAP for w in wants) > room:
            # The word More may grow by the name of the gesture that is behind it.
            room -= _boldest(self.more, _MORE) + _SPARE
            fits, used = 0, 0
            for w in wants:
                used += w + _GAP
                if used > room:
                    break
                fits += 1
        x, top = 0, (self.height() - high) // 2
        for k, button in enumerate(self._buttons):
            button.setVisible(k < fits)
            if k < fits:
                button.setGeometry(x, top, wants[k], high)
                x += wants[k] + _GAP
        self._hidden = len(wants) - fits
        self.more.setVisible(self._hidden > 0)
        self.more.setGeometry(x, top, _boldest(self.more, _MORE), high)
        self._name_more()

    def _name_more(self) -> None:
        taken = next((a.text() for a in self.behind if a.isChecked()), None)
        metrics = self.more.fontMetrics()
        room = _boldest(self.more, _MORE) + _SPARE - 40
        name = metrics.elidedText(taken, Qt.TextElideMode.ElideRight, room) if taken else "More"
        self.more.setText(f"{name} ▾")
        self.more.setAccessibleName("More to draw" + (f", now {taken}" if taken else ""))
        self.more.setChecked(taken is not None)
        self.more.resize(_boldest(self.more, self.more.text()), self.more.height())

    def _open_more(self) -> None:
        self._name_more()
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addActions(list(self.behind))
        menu.popup(self.more.mapToGlobal(QPoint(0, self.more.height() + 3)))


def _boldest(button: QPushButton, text: str) -> int:
    """Return the width that a word wants when it is taken up, and bold."""
    bold = QFont(button.font())
    bold.setWeight(QFont.Weight.Bold)
    return QFontMetrics(bold).horizontalAdvance(text) + _PADDING


class ToolStrip(QFrame):
    """The whole strip.

    Signals:
        print_wanted: the main button was pressed.
    """

    print_wanted = Signal()

    def __init__(self, gestures: Sequence[str], dress: Dress) -> None:
        super().__init__()
        self.setObjectName("strip")
        self.words = GestureWords(gestures, dress)
        self.undo, self.redo = word_button("Undo"), word_button("Redo")
        self._links: tuple[tuple[QPushButton, QAction], ...] = ()
        self.undo.setEnabled(False)
        self.redo.setEnabled(False)
        self.print = QPushButton("Print field sheets")
        self.print.setProperty("kind", "main")
        self.print.setToolTip("Save the field sheets as a PDF, ready to print")
        self.print.clicked.connect(self.print_wanted)
        box = QHBoxLayout(self)
        box.setContentsMargins(14, 8, 14, 8)
        box.setSpacing(4)
        box.addWidget(self.words, 1)
        box.addSpacing(10)
        box.addWidget(self.undo)
        box.addWidget(self.redo)
        box.addSpacing(8)
        box.addWidget(self.print, 0, Qt.AlignmentFlag.AlignVCenter)

    def link(self, gestures: Sequence[QAction], undo: QAction, redo: QAction) -> None:
        """Have all words do what the actions do."""
        self.words.link(gestures)
        self._links = ((self.undo, undo), (self.redo, redo))
        for button, action in self._links:
            button.clicked.connect(action.trigger)

    def follow(self) -> None:
        """Show what undo and redo would do."""
        for button, action in self._links:
            button.setEnabled(action.isEnabled())
            button.setToolTip(action.toolTip())
            button.setAccessibleName(action.toolTip())
