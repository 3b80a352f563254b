"""The menus: every command of the desk under a word, with its keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QWidget

from layoutdesk.desk.rail import STAGES
from layoutdesk.gestures.catalogue import CATALOGUE


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a menu: the name it is known by, its words, its keys; ``data`` is what it chooses."""

    name: str
    text: str
    keys: tuple[str, ...] = ()
    data: object = None


BAR: Final = None
"""A line between entries."""

FILE: Final = (
    Entry("new", "New", ("Ctrl+N",)),
    Entry("open", "Open …", ("Ctrl+O",)),
    Entry("recent", "Open recent"),
    BAR,
    Entry("save", "Save", ("Ctrl+S",)),
    Entry("save_as", "Save as …", ("Ctrl+Shift+S",)),
    BAR,
    Entry("pdf", "Field sheets (PDF) …", ("Ctrl+P",)),
    Entry("dxf", "Drawing (DXF) …", ("Ctrl+E",)),
    Entry("csv", "Table of points (CSV) …"),
    Entry("png", "Picture of the sheet (PNG) …"),
    BAR,
    Entry("quit", "Quit", ("Ctrl+Q",)),
)
EDIT: Final = (
    Entry("undo", "Undo", ("Ctrl+Z",)),
    Entry("redo", "Redo", ("Ctrl+Shift+Z", "Ctrl+Y")),
    BAR,
    Entry("select_all", "Select all", ("Ctrl+A",)),
    Entry("copy", "Copy", ("Ctrl+C",)),
    Entry("mirror", "Mirror", ("Ctrl+M",)),
    Entry("turn", "Turn …", ("Ctrl+R",)),
    Entry("delete", "Delete"),
    BAR,
    Entry("same_station", "Same station"),
    Entry("same_offset", "Same offset"),
    Entry("space_equally", "Space equally"),
    BAR,
    Entry("rename", "Rename …", ("F2",)),
)
VIEW: Final = (
    Entry("fit", "Whole plan", ("Ctrl+0",)),
    Entry("nearer", "Nearer", ("Ctrl++", "Ctrl+=")),
    Entry("farther", "Farther", ("Ctrl+-",)),
    BAR,
    *(Entry(f"page_{s.page}", f"{s.name} page", (f"Ctrl+{k}",), s.page) for k, s in enumerate(STAGES, 1)),
    BAR,
    Entry("dress_light", "Light", data="light"),
    Entry("dress_dark", "Dark", data="dark"),
    Entry("dress_system", "Light or dark as the system", data="system"),
    BAR,
    Entry("text_larger", "Larger text", ("Ctrl+Shift+.",)),
    Entry("text_smaller", "Smaller text", ("Ctrl+Shift+,",)),
    Entry("text_usual", "Usual size of text"),
)
HELP: Final = (
    Entry("help_page", "Help on this page", ("F1",)),
    Entry("help_first", "A first porch in ten minutes"),
    Entry("help_keys", "Keys", ("Shift+F1",)),
    BAR,
    Entry("samples", "Open a sample"),
    BAR,
    Entry("about", "About layoutdesk"),
)
MENUS: Final = (("&File", FILE), ("&Edit", EDIT), ("&View", VIEW), ("&Help", HELP))


class Menus:
    """Builds the menus on a window and keeps their actions by name."""

    def __init__(self, window: QMainWindow, does: Mapping[str, Callable[[], object]]) -> None:
        self.actions: dict[str, QAction] = {}
        self.menus: dict[str, QMenu] = {}
        for title, entries in MENUS:
            menu = window.menuBar().addMenu(title)
            for entry in entries:
                if entry is None:
                    menu.addSeparator()
                elif entry.name in does or entry.data is not None:
                    self._add(menu, entry, does.get(entry.name), window)
                else:
                    self.menus[entry.name] = menu.addMenu(entry.text)
        self.dresses = self._one_of("dress_", window)
        self.pages = self._one_of("page_", window)

    def _add(self, menu: QMenu, entry: Entry, do: Callable[[], object] | None, window: QMainWindow) -> None:
        action = QAction(entry.text, window)
        action.setShortcuts([QKeySequence(k) for k in entry.keys])
        action.setData(entry.data)
        if do is not None:
            action.triggered.connect(do)
        menu.addAction(action)
        self.actions[entry.name] = action

    def _one_of(self, prefix: str, window: QMainWindow) -> QActionGroup:
        """Return a group of the actions whose names begin so: one of them holds, and their data says which."""
        group = QActionGroup(window)
        for name, action in self.actions.items():
            if name.startswith(prefix):
                action.setCheckable(True)
                group.addAction(action)
        return group


def gesture_actions(sheet: QWidget) -> dict[str, QAction]:
    """Return an action for every gesture by name, one of which holds.

    Its letter works on the sheet only, so that boxes to type in keep their letters; its data is its kind.
    """
    group, made = QActionGroup(sheet), {}
    for kind in CATALOGUE:
        action = QAction(kind.name, sheet)
        action.setToolTip(f"{kind.tip} ({kind.key})" if kind.key else kind.tip)
        action.setCheckable(True)
        action.setData(kind)
        action.setShortcut(QKeySequence(kind.key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        sheet.addAction(action)
        group.addAction(action)
        made[kind.name] = action
    return made
