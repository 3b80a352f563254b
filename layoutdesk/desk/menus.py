"""The menus: every command of the desk under a word, with its keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from layoutdesk.desk.rail import STAGES
from layoutdesk.gestures.words import WORDS


class Entry(NamedTuple):
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
    Entry("take_in", "Take in a drawing …", ("Ctrl+I",)),
    Entry("lay_under", "Lay a picture under the sheet …", ("Ctrl+U",)),
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
    Entry("paste", "Paste points", ("Ctrl+V",)),
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
    Entry("page_incoming", "Drawing that came in", ("Ctrl+Shift+I",), "incoming"),
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


class Menus:
    """Fills the titled menus of a window with entries that each do something by name.

    ``actions`` and ``menus`` hold them by name; ``pages`` and ``dresses`` are groups of which one entry holds.
    """

    def __init__(
        self, window: QMainWindow, titled: Sequence[QMenu], does: Mapping[str, Callable[[], object]]
    ) -> None:
        self._window = window
        self.actions: dict[str, QAction] = {}
        self.menus: dict[str, QMenu] = {}
        self.pages, self.dresses = QActionGroup(window), QActionGroup(window)
        for menu, entries in zip(titled, (FILE, EDIT, VIEW, HELP), strict=True):
            for entry in entries:
                if entry is None:
                    menu.addSeparator()
                elif entry.name in does or entry.data is not None:
                    self._add(menu, entry, does.get(entry.name))
                else:
                    self.menus[entry.name] = menu.addMenu(entry.text)
        self._one_of("dress_", self.dresses)
        self._one_of("page_", self.pages)

    def _add(self, menu: QMenu, entry: Entry, do: Callable[[], object] | None) -> None:
        action = QAction(entry.text, self._window)
        action.setShortcuts([QKeySequence(k) for k in entry.keys])
        action.setData(entry.data)
        if do is not None:
            action.triggered.connect(do)
        menu.addAction(action)
        self.actions[entry.name] = action

    def _one_of(self, prefix: str, group: QActionGroup) -> None:
        """Put the actions whose names begin so into a group; their data say which is which."""
        for name, action in self.actions.items():
            if name.startswith(prefix):
                action.setCheckable(True)
                group.addAction(action)


def gesture_actions(window: QMainWindow) -> dict[str, QAction]:
    """Return an action for every gesture by name, one of which holds.

    Its letter is to work on the sheet only, so that boxes to type in keep their letters.
    """
    group, made = QActionGroup(window), {}
    for words in WORDS:
        action = QAction(words.name, window)
        action.setToolTip(f"{words.tip} ({words.key})")
        action.setCheckable(True)
        action.setShortcut(QKeySequence(words.key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        group.addAction(action)
        made[words.name] = action
    return made
