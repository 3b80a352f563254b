"""The window itself: rail, words, bare paper and an empty notebook, which stand at once.

Nothing but Qt and light rooms may be imported here: the first frame waits for it. Everything that works is built
on it afterwards, by :class:`layoutdesk.desk.desk.Desk`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import QByteArray, QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QMainWindow

from layoutdesk.desk.desk_frame import DeskFrame
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.rail import Rail
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.tool_strip import ToolStrip
from layoutdesk.gestures.words import PICTURE_WORDS, WORDS

TITLES: Final = ("&File", "&Edit", "&View", "&Help")


class DeskWindow(QMainWindow):
    """The one window, before and while there is a desk on it.

    Signals:
        painted: the window was painted for the first time.
        dropped: a file was dropped on it; its path.
    """

    painted = Signal()
    dropped = Signal(object)

    def __init__(self, dress: Dress, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._was_painted = False
        self.may_close: Callable[[], bool] | None = None
        self.rail = Rail(dress)
        self.titled = tuple(self.menuBar().addMenu(title) for title in TITLES)
        self.strip = ToolStrip([words.name for words in WORDS], dress)
        self.strip.words.leave_out(len(PICTURE_WORDS))
        self.frame = DeskFrame(rail=self.rail, strip=self.strip, dress=dress)
        self.setCentralWidget(self.frame)
        self.setMinimumSize(940, 560)
        self.setWindowTitle("Layoutdesk")
        self._take_place()

    def _take_place(self) -> None:
        """Stand where the window stood last; at first as large as is comfortable on this screen."""
        if self._settings.geometry and self.restoreGeometry(QByteArray(self._settings.geometry)):
            return
        room = self.screen().availableGeometry()
        if room.width() < 1500 or room.height() < 950:
            self.resize(room.width() - 40, room.height() - 60)
            self.setWindowState(Qt.WindowState.WindowMaximized)
        else:
            self.resize(round(room.width() * 0.9), round(room.height() * 0.9))

    def event(self, event: QEvent) -> bool:
        """Notice the first painting."""
        if event.type() == QEvent.Type.Paint and not self._was_painted:
            self._was_painted = True
            QTimer.singleShot(0, self.painted.emit)
        return super().event(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close if the desk agrees, and remember where the window stood."""
        if self.may_close is not None and not self.may_close():
            event.ignore()
            return
        self._settings.geometry = bytes(self.saveGeometry().data())
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take a file that is dropped on the desk."""
        if any(u.isLocalFile() for u in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Announce the first file that was dropped."""
        names = [u.toLocalFile() for u in event.mimeData().urls() if u.isLocalFile()]
        if names:
            event.acceptProposedAction()
            self.dropped.emit(Path(names[0]))
