"""The notebook's leaf for a newer issue: what it changes, by kind, each to be picked or left."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from layoutdesk.desk.dress import label
from layoutdesk.desk.notebook.cards import Heading, sentence
from layoutdesk.plan.edits.revising import WHATS, Change, ChangeKind, What
from layoutdesk.session.revising import Revising

_Index = QModelIndex | QPersistentModelIndex
_BOX_ROOM: Final = 22
_ID: Final = Qt.ItemDataRole.UserRole
_CHECKED, _UNCHECKED = Qt.CheckState.Checked, Qt.CheckState.Unchecked
_MANY: Final[dict[What, str]] = {
    "pier": "Piers",
    "beam line": "Beam lines",
    "wall": "Walls",
    "attachment": "Attachments",
    "slab": "Slabs",
    "keep-out": "Keep-outs",
    "dimensions": "Dimensions",
}
_KINDS: Final[dict[ChangeKind, str]] = {
    "moved": "moved",
    "appeared": "new",
    "vanished": "gone",
    "detail": "of another size",
    "mark": "with another mark",
    "shape": "of another shape",
    "written": "",
}


class _Wrapped(QStyledItemDelegate):
    """Gives a row the height that its sentence needs in the width that it has."""

    def __init__(self, view: QTreeWidget) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        """Return the size of a row."""
        size = super().sizeHint(option, index)
        depth = 2 if index.parent().isValid() else 1
        style = self._view.style()
        box = style.pixelMetric(QStyle.PixelMetric.PM_IndicatorWidth) + _BOX_ROOM
        width = max(60, self._view.viewport().width() - depth * self._view.indentation() - box)
        text = str(index.data() or "")
        wrap = int(Qt.TextFlag.TextWordWrap.value)
        box_of_text = self._view.fontMetrics().boundingRect(QRect(0, 0, width, 10_000), wrap, text)
        return QSize(size.width(), max(size.height(), box_of_text.height() + 5))


class ChangeList(QTreeWidget):
    """The changes with a box each, under one box for all of their kind.

    Signals:
        pressed: the id of a change that is to be looked at.
    """

    pressed = Signal(str)

    def __init__(self, revising: Revising) -> None:
        super().__init__()
        self._revising = revising
        self._filling = False
        self.setHeaderHidden(True)
        self.setWordWrap(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setIndentation(16)
        self.setItemDelegate(_Wrapped(self))
        self.setAccessibleName("What the newer issue changes")
        self._items: dict[str, QTreeWidgetItem] = {}
        self._fill()
        self.itemChanged.connect(self._on_changed)
        self.currentItemChanged.connect(self._on_current)
        self.itemClicked.connect(self._on_current)
        revising.watch(self.show_picked)

    def _fill(self) -> None:
        groups = [(what, kind) for what in WHATS for kind in _KINDS]
        for what, kind in groups:
            changes = [c for c in self._revising.changes if (c.what, c.kind) == (what, kind)]
            if not changes:
                continue
            name = " ".join(part for part in (_MANY[what], _KINDS[kind]) if part)
            top = QTreeWidgetItem(self, [f"{name}: {len(changes)}"])
            top.setFlags(top.flags() | Qt.ItemFlag.ItemIsUserCheckable | Qt.ItemFlag.ItemIsAutoTristate)
            font = top.font(0)
            font.setBold(True)
            top.setFont(0, font)
            for change in changes:
                item = QTreeWidgetItem(top, [change.sentence])
                item.setData(0, _ID, change.id)
                item.setToolTip(0, change.sentence)
                item.setCheckState(0, _CHECKED)
                self._items[change.id] = item
            top.setExpanded(True)

    def items(self) -> Iterator[tuple[str, QTreeWidgetItem]]:
        """Yield every change's id and row."""
        yield from self._items.items()

    def show_picked(self) -> None:
        """Check the boxes of what is picked, and bring what is looked at into sight."""
        self._filling = True
        for change_id, item in self._items.items():
            item.setCheckState(0, _CHECKED if change_id in self._revising.picked else _UNCHECKED)
        looked_at = self._items.get(self._revising.looked_at or "")
        if looked_at is not None and looked_at is not self.currentItem():
            self.setCurrentItem(looked_at)
        self._filling = False

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break the sentences anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _on_changed(self, item: QTreeWidgetItem) -> None:
        change_id = item.data(0, _ID)
        if not self._filling and change_id is not None:
            self._revising.pick([change_id], on=item.checkState(0) == _CHECKED)

    def _on_current(self, item: QTreeWidgetItem | None) -> None:
        change_id = None if item is None else item.data(0, _ID)
        if not self._filling and change_id is not None:
            self.pressed.emit(change_id)


class RevisionLeaf(QFrame):
    """The list, and at its foot the two things that can be done with it.

    Signals:
        taken: what is picked is to be taken.
        left: the newer issue is to be left.
    """

    taken = Signal()
    left = Signal()

    def __init__(self, name: str, revising: Revising) -> None:
        super().__init__()
        self._revising = revising
        self.heading = Heading(name, "newer issue", title=True)
        count = len(revising.changes)
        self.total = label(_total(revising.changes), "body", wrap=True)
        self.notes = sentence(" ".join(revising.revision.notes))
        self.notes.setVisible(bool(revising.revision.notes))
        self.how = sentence(
            "Press a change to see it. On the sheet a broken ring is where a pier was, and an arrow leads to its "
            "new place; a plus is new, a cross is gone. Marks, tapes and levels stay with their piers."
        )
        self.all = QPushButton("All")
        self.none = QPushButton("None")
        self.all.setToolTip("Pick every change")
        self.none.setToolTip("Pick no change")
        self.all.clicked.connect(self._on_all)
        self.none.clicked.connect(self._on_none)
        self.list = ChangeList(revising)
        self.list.setVisible(count > 0)
        self.all.setVisible(count > 1)
        self.none.setVisible(count > 1)
        self.take = QPushButton("Take what is picked")
        self.take.setProperty("kind", "main")
        self.take.clicked.connect(self.taken)
        self.leave = QPushButton("Leave it")
        self.leave.clicked.connect(self.left)
        picks = QWidget()
        pick_row = QHBoxLayout(picks)
        pick_row.setContentsMargins(0, 0, 0, 0)
        pick_row.setSpacing(8)
        pick_row.addWidget(self.all)
        pick_row.addWidget(self.none)
        pick_row.addStretch(1)
        upper = QVBoxLayout()
        upper.setContentsMargins(14, 12, 14, 10)
        upper.setSpacing(7)
        for w in (self.heading, self.total, self.notes, self.how, picks):
            upper.addWidget(w)
        upper.addWidget(self.list, 1)
        if not count:
            upper.addStretch(1)
        foot = QFrame()
        foot.setObjectName("entry")
        buttons = QHBoxLayout(foot)
        buttons.setContentsMargins(14, 9, 14, 10)
        buttons.setSpacing(8)
        buttons.addWidget(self.take, 3)
        buttons.addWidget(self.leave, 2)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(upper, 1)
        box.addWidget(foot)
        revising.watch(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show how much is picked."""
        picked, count = len(self._revising.picked), len(self._revising.changes)
        text = "Take what is picked" if picked in {0, count} else f"Take the {picked} picked"
        self.take.setText(text)
        self.take.setEnabled(picked > 0)

    def _on_all(self) -> None:
        self._revising.pick([c.id for c in self._revising.changes], on=True)

    def _on_none(self) -> None:
        self._revising.pick([c.id for c in self._revising.changes], on=False)


def _total(changes: tuple[Change, ...]) -> str:
    if not changes:
        return "The newer issue changes nothing that the plan has."
    return "It changes 1 thing." if len(changes) == 1 else f"It changes {len(changes):,} things."
