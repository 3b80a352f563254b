"""The slip: one sentence that lies on the sheet for a while, or work under way that can be cancelled."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QPushButton, QSizePolicy, QWidget

from layoutdesk.desk.dress import label, sentence_case

STAYS_MS: Final = 9000
PATIENCE_MS: Final = 200
"""Work that takes longer shows that it is under way."""


class Slip(QFrame):
    """A slip of paper over the foot of ``over``, with a sentence and at most one button."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.setObjectName("slip")
        self._over = over
        self._press: Callable[[], object] | None = None
        self._cancel: Callable[[], None] | None = None
        self.text = label("", wrap=True)
        self.text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.bar = QProgressBar()
        self.bar.setRange(0, 0)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(110)
        self.bar.setAccessibleName("Work under way")
        self.button = QPushButton()
        self.button.clicked.connect(self._on_button)
        self.close_button = QPushButton("Close")
        self.close_button.clicked.connect(self.put_away)
        box = self._box = QHBoxLayout(self)
        box.setContentsMargins(14, 9, 10, 9)
        box.setSpacing(10)
        for w in (self.text, self.bar, self.button, self.close_button):
            box.addWidget(w, 1 if w is self.text else 0)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._on_time)
        self._working = ""
        self._stays = False
        over.installEventFilter(self)
        self.hide()

    def say(
        self, sentence: str, *, button: str = "", press: Callable[[], object] | None = None, stays: bool = False
    ) -> None:
        """Show a sentence with a button for what may be done about it.

        It leaves after a while; one that ``stays`` leaves when it is closed or the person goes on.
        """
        self._cancel, self._working = None, ""
        self._press, self._stays = press, stays
        self._show(sentence_case(sentence), button)
        if stays:
            self._timer.stop()
        else:
            self._timer.start(STAYS_MS)

    def warn(self, sentence: str) -> None:
        """Show a sentence about trouble, which stays."""
        self.say(sentence, stays=True)

    def next_action(self) -> None:
        """Leave if it was to stay until now: the person has gone on."""
        if self._stays:
            self.put_away()

    def work(self, sentence: str, cancel: Callable[[], None]) -> None:
        """Say that work is under way, once it takes long enough to be noticed."""
        self._cancel, self._working = cancel, sentence
        self.bar.setRange(0, 0)
        self._timer.start(PATIENCE_MS)

    def show_progress(self, done: float) -> None:
        """Say how much of the work under way is done, from 0 to 1; 0 says that nobody knows."""
        if self._cancel:
            self.bar.setRange(0, 1000 if done > 0 else 0)
            self.bar.setValue(round(1000 * done))

    def work_done(self) -> None:
        """Put away what :meth:`work` showed."""
        if self._cancel:
            self.put_away()

    def put_away(self) -> None:
        """Take the slip off the sheet."""
        self._timer.stop()
        self._cancel = self._press = None
        self._working, self._stays = "", False
        self.hide()

    def _on_time(self) -> None:
        if self._cancel:
            self._show(self._working, "Cancel")
        elif self.isVisible() and (self.underMouse() or self.button.hasFocus() or self.close_button.hasFocus()):
            self._timer.start(STAYS_MS)
        else:
            self.put_away()

    def _on_button(self) -> None:
        act = self._cancel or self._press
        self.put_away()
        if act:
            act()

    def _show(self, sentence: str, button: str) -> None:
        self.text.setText(sentence)
        self.setAccessibleName(sentence)
        self.button.setText(button)
        self.button.setVisible(bool(button))
        self.bar.setVisible(self._cancel is not None)
        self.close_button.setVisible(self._cancel is None)
        self.show()
        self._place()
        self.raise_()
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def _place(self) -> None:
        room = self._over.rect()
        wide = min(720, max(260, room.width() - 60))
        natural = self._box.sizeHint().width() if len(self.text.text()) < 60 else wide
        wide = min(wide, max(natural, 260))
        high = max(self.heightForWidth(wide), self.minimumSizeHint().height())
        self.setGeometry(room.left() + (room.width() - wide) // 2, room.bottom() - high - 18, wide, high)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay at the foot when the room changes its size."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._place()
        return super().eventFilter(watched, event)


def open_outside(path: str) -> None:
    """Have the machine open a file with whatever it uses for such files."""
    from PySide6.QtCore import QUrl
    from PySide6.QtGui import QDesktopServices

    QDesktopServices.openUrl(QUrl.fromLocalFile(path))
