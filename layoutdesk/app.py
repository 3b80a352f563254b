"""The program with its window: the one place that builds the parts and joins them."""

from __future__ import annotations

import sys
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QStandardPaths
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from layoutdesk.desk.asks import Asks
from layoutdesk.desk.dialogs.answers import Dialogs
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.theme import load_type
from layoutdesk.desk.window import DeskWindow
from layoutdesk.places import RESOURCES
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


def run(path: Path | None = None) -> int:
    """Open the desk, first empty and then with a file, and return the exit code when it is closed.

    Only Qt is loaded before the window stands; all else comes in after its first painting.
    """
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(["layoutdesk"])
    window = build(app, Dialogs())
    opening = Opening(window, path)
    window.painted.connect(opening.begin)
    sys.excepthook = Mishaps(window).report
    window.show()
    return app.exec()


def build(app: QApplication, asks: Asks) -> DeskWindow:
    """Return the desk with all its parts, not yet shown."""
    app.setApplicationName("layoutdesk")
    app.setApplicationDisplayName("Layoutdesk")
    app.setStyle("Fusion")
    app.setWindowIcon(QIcon(str(RESOURCES / "icons" / "layoutdesk.png")))
    load_type()
    places = QStandardPaths.StandardLocation
    settings = Settings(Path(QStandardPaths.writableLocation(places.AppConfigLocation)))
    recovery = Path(QStandardPaths.writableLocation(places.AppLocalDataLocation)) / "recovery"
    dress = Dress(app, settings.dress, settings.text_scale)
    return DeskWindow(Document(), ViewState(), dress=dress, asks=asks, settings=settings, recovery=recovery)


class Opening:
    """What happens once the window stands."""

    def __init__(self, window: DeskWindow, path: Path | None) -> None:
        self._window, self._path = window, path

    def begin(self) -> None:
        """Begin the work."""
        self._window.begin(self._path)


class Mishaps:
    """Says in a sentence what went wrong inside, keeps a copy of the plan, and keeps the desk up."""

    def __init__(self, window: DeskWindow) -> None:
        self._window = window
        self._busy = False

    def report(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Take an exception that nothing else took."""
        traceback.print_exception(kind, error, trace)
        if issubclass(kind, KeyboardInterrupt):
            QApplication.exit(130)
            return
        if self._busy:
            return
        self._busy = True
        try:
            self._window.keeper.write_now()
            self._window.slip.warn(
                f"A fault of the program, not of your plan: {kind.__name__}: {error}. A copy of the plan is kept; "
                "save it, and undo the last step if something looks wrong."
            )
        finally:
            self._busy = False
