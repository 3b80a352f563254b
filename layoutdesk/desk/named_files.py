"""The two menus of files by name: those opened lately, and the samples."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from layoutdesk.desk.files import Files
from layoutdesk.desk.settings import Settings
from layoutdesk.places import SAMPLES


class NamedFiles(QObject):
    """Fills the menus, and opens what is chosen there."""

    def __init__(self, recent: QMenu, samples: QMenu, *, files: Files, settings: Settings, parent: QObject) -> None:
        super().__init__(parent)
        self._recent, self._files, self._settings = recent, files, settings
        recent.aboutToShow.connect(self._list_recent)
        recent.triggered.connect(self._on_chosen)
        for sample in sorted(SAMPLES.glob("*.layout.json")):
            name = sample.name.removesuffix(".layout.json").replace("-", " ").capitalize()
            samples.addAction(name).setData(str(sample))
        samples.triggered.connect(self._on_chosen)

    def _list_recent(self) -> None:
        self._recent.clear()
        for path in self._settings.recent:
            self._recent.addAction(path.name).setData(str(path))
            self._recent.actions()[-1].setToolTip(str(path))
        if self._recent.isEmpty():
            self._recent.addAction("No files yet").setEnabled(False)

    def _on_chosen(self, action: QAction) -> None:
        if action.data():
            self._files.open(Path(action.data()))
