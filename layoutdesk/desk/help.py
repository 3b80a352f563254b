"""The help: short pages shipped with the program, shown beside the work."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QTextBrowser, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.places import RESOURCES
from layoutdesk.session.viewstate import Page, ViewState

FOLDER: Final = RESOURCES / "help"
FIRST: Final = "first-porch"
KEYS: Final = "keyboard"


@dataclass(frozen=True, slots=True)
class Topic:
    """One page of help: its file and its title."""

    name: str
    title: str

    @property
    def file(self) -> Path:
        """Return the file it is read from."""
        return FOLDER / f"{self.name}.md"


TOPICS: Final = (
    Topic(FIRST, "A first porch in ten minutes"),
    Topic("stations", "Stations and offsets"),
    Topic("two-tapes", "Two tapes"),
    Topic("squareness", "Is it square?"),
    Topic("levels", "Levels"),
    Topic("proof", "The proof"),
    Topic("incoming", "A drawing comes in"),
    Topic("under-the-sheet", "A drawing under the sheet"),
    Topic("lengths", "Lengths you can type"),
    Topic("flags", "What the flags mean"),
    Topic("piers", "Holes and steel"),
    Topic("buy", "What to buy"),
    Topic("sheets", "Pages to print"),
    Topic("cautions", "Cautions"),
    Topic(KEYS, "Keys"),
)
OF_PAGE: Final[dict[Page, str]] = {
    "plan": FIRST,
    "control": "stations",
    "stakes": "two-tapes",
    "levels": "levels",
    "piers": "piers",
    "proof": "proof",
    "buy": "buy",
    "sheets": "sheets",
    "incoming": "incoming",
}
"""Which topic F1 opens on which page of the notebook."""


class HelpWindow(QDialog):
    """All topics at the left, one of them at the right; it may stay open beside the work."""

    def __init__(self, dress: Dress, parent: QWidget) -> None:
        super().__init__(parent)
        self._dress = dress
        self.setWindowTitle("Help")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
        self.list = QListWidget()
        self.list.setAccessibleName("Topics")
        # Dressed first: the heights of the rows are taken when they are laid out.
        self.list.ensurePolished()
        self.list.addItems([t.title for t in TOPICS])
        self.list.currentRowChanged.connect(self._on_row)
        self.text = QTextBrowser()
        self.text.setAccessibleName("Help text")
        self.text.setOpenLinks(False)
        self.text.anchorClicked.connect(self._on_link)
        box = QHBoxLayout(self)
        box.setContentsMargins(12, 12, 12, 12)
        box.setSpacing(12)
        box.addWidget(self.list)
        box.addWidget(self.text, 1)
        dress.changed.connect(self._fit)
        self._fit()
        self.resize(880, 640)

    def show_topic(self, name: str) -> None:
        """Open a topic by the name of its file."""
        row = next((k for k, t in enumerate(TOPICS) if t.name == name), 0)
        self.list.setCurrentRow(row)
        self.show()
        self.raise_()
        self.activateWindow()

    def _on_row(self, row: int) -> None:
        if 0 <= row < len(TOPICS):
            self.text.setMarkdown(TOPICS[row].file.read_text(encoding="utf-8"))
            self.setWindowTitle(f"Help: {TOPICS[row].title}")

    def _on_link(self, url: object) -> None:
        target = url.toString() if hasattr(url, "toString") else ""
        self.show_topic(target.removesuffix(".md"))

    def _fit(self) -> None:
        """Give the list the width of its titles, and the text the colours of the dress."""
        metrics = self.list.fontMetrics()
        self.list.setFixedWidth(max(metrics.horizontalAdvance(t.title) for t in TOPICS) + 56)
        self.list.doItemsLayout()
        palette = self.text.palette()
        for role in (QPalette.ColorRole.Link, QPalette.ColorRole.LinkVisited):
            palette.setColor(role, self._dress.theme.check)
        self.text.setPalette(palette)
        if self.list.currentRow() >= 0:
            self._on_row(self.list.currentRow())


class HelpAtHand(QObject):
    """Opens the help where it is asked for, in one window that is made when it is first needed."""

    def __init__(self, dress: Dress, view: ViewState, over: QWidget) -> None:
        super().__init__(over)
        self._dress, self._view, self._over = dress, view, over
        self.window: HelpWindow | None = None

    def on_page(self) -> None:
        """Open the topic of the page of the notebook that is open."""
        self._show(OF_PAGE[self._view.page])

    def first(self) -> None:
        """Open the first porch."""
        self._show(FIRST)

    def keys(self) -> None:
        """Open the list of keys."""
        self._show(KEYS)

    def close(self) -> None:
        """Close the window, if there is one."""
        if self.window is not None:
            self.window.close()

    def _show(self, topic: str) -> None:
        if self.window is None:
            self.window = HelpWindow(self._dress, self._over)
        self.window.show_topic(topic)
