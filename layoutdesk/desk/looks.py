"""What the View menu says about the look: light or dark, larger or smaller text, and remembered."""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from layoutdesk.desk.dress import STEP, Dress
from layoutdesk.desk.settings import Settings


class Looks(QObject):
    """Changes the dress as the person wishes, and remembers the wish."""

    def __init__(self, dress: Dress, settings: Settings, parent: QObject) -> None:
        super().__init__(parent)
        self._dress, self._settings = dress, settings

    def choose(self, action: QAction) -> None:
        """Wear what the action's data say."""
        self._settings.dress = action.data()
        self._dress.choose(self._settings.dress)

    def larger(self) -> None:
        """Show text one step larger."""
        self._size(self._dress.scale + STEP)

    def smaller(self) -> None:
        """Show text one step smaller."""
        self._size(self._dress.scale - STEP)

    def usual(self) -> None:
        """Show text in its usual size."""
        self._size(1.0)

    def _size(self, scale: float) -> None:
        self._dress.resize(scale)
        self._settings.text_scale = self._dress.scale
