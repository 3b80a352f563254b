"""The program with its window: the one place that builds the parts and joins them."""

from __future__ import annotations

import gc
import sys
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.theme import FIRST_WEIGHTS, OTHER_WEIGHTS, load_type
from layoutdesk.desk.window import DeskWindow
from layoutdesk.places import RESOURCES

if TYPE_CHECKING:
    from layoutdesk.desk.asks import Asks
    from layoutdesk.desk.desk import Desk


def run(path: Path | None = None) -> int:
    """Open the window, then build the desk on it, then open a file; return the exit code when it is closed.

    Only Qt is loaded before the window stands; all else comes in after its first painting.
    """
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(["layoutdesk"])
    opening = Opening(app, path)
    opening.window.show()
    return app.exec()


def build(app: QApplication, asks: Asks) -> Desk:
    """Return the whole desk on its window, which is not shown yet."""
    return Opening(app, None).furnish(asks)


class Opening(QObject):
    """How the program comes up, step by step, the window first."""

    def __init__(self, app: QApplication, path: Path | None) -> None:
        super().__init__(app)
        app.setApplicationName("layoutdesk")
        app.setApplicationDisplayName("Layoutdesk")
        app.setStyle("Fusion")
        load_type(FIRST_WEIGHTS)
        config = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppConfigLocation)
        self._path = path
        self._desk: Desk | None = None
        self._settings = Settings(Path(config))
        self._dress = Dress(app, self._settings.dress, self._settings.text_scale)
        self.window = DeskWindow(self._dress, self._settings)
        self.window.painted.connect(self._on_painted)

    def furnish(self, asks: Asks) -> Desk:
        """Build everything that works on the window."""
        from layoutdesk.desk.desk import Desk

        self.window.painted.disconnect(self._on_painted)
        load_type(OTHER_WEIGHTS)
        self.window.setWindowIcon(QIcon(str(RESOURCES / "icons" / "layoutdesk.png")))
        data = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
        return Desk(
            self.window, dress=self._dress, asks=asks, settings=self._settings, recovery=Path(data) / "recovery"
        )

    def _on_painted(self) -> None:
        from layoutdesk.desk.dialogs.answers import Dialogs

        self._desk = self.furnish(Dialogs())
        sys.excepthook = Mishaps(self._desk).report
        QTimer.singleShot(0, self._open)

    def _open(self) -> None:
        gc.enable()  # the command put it off for the start
        if self._desk is not None:
            self._desk.begin(self._path)


class Mishaps:
    """Says in a sentence what went wrong inside, keeps a copy of the plan, and keeps the desk up."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._busy = False

    def report(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Take an exception that nothing else took."""
        import traceback

        traceback.print_exception(kind, error, trace)
        if issubclass(kind, KeyboardInterrupt):
            QApplication.exit(130)
            return
        if self._busy:
            return
        self._busy = True
        try:
            self._desk.keeper.write_now()
            self._desk.slip.warn(
                f"A fault of the program, not of your plan: {kind.__name__}: {error}. A copy of the plan is kept; "
                "save it, and undo the last step if something looks wrong."
            )
        finally:
            self._busy = False
