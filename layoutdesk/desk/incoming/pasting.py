"""Points pasted from a spreadsheet: they come in as a table in a file would."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import QTemporaryDir
from PySide6.QtGui import QGuiApplication

NAME: Final = "pasted points.csv"
_MOST_CHARS: Final = 16_000_000
"""More text than any table of points has is not put into a file."""


class Pasting:
    """Puts the text of the clipboard into a file of its own, for the second process to read.

    The files go when the desk goes.
    """

    def __init__(self, came_in: Callable[[Path, str, bool], object], refuse: Callable[[str], object]) -> None:
        self._came_in, self._refuse = came_in, refuse
        self._folder: QTemporaryDir | None = None

    def paste(self) -> None:
        """Take in the table that the clipboard holds."""
        text = QGuiApplication.clipboard().text()
        if not text.strip():
            self._refuse("The clipboard holds no text: copy the cells with the points first, their headings too.")
            return
        if len(text) > _MOST_CHARS:
            self._refuse("The clipboard holds more than a table of points: copy only the cells with the points.")
            return
        if self._folder is None:
            self._folder = QTemporaryDir()
        path = Path(self._folder.path()) / NAME
        try:
            path.write_text(text, encoding="utf-8")
        except OSError as error:
            self._refuse(
                f"The points could not be pasted: {error.strerror or error}; save them as a CSV and open that."
            )
            return
        self._came_in(path, "points", True)  # noqa: FBT003 - the slot's own order
