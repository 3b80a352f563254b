"""Tables of many rows: texts are made when a row is painted, so ten thousand piers cost what thirty do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from layoutdesk.desk.dress import Dress, Tone

Index = QModelIndex | QPersistentModelIndex
MOST_ROWS: Final = 40
"""A table grows to so many rows before it scrolls by itself."""
_SAMPLE: Final = 8
_PAD: Final = 9


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its title, the text of a row, and how it is written. Numbers go right.

    ``tip`` is what is told of a row when the pointer rests on it; without one that is the text of the cell.
    """

    title: str
    text: Callable[[int], str]
    right: bool = False
    bold: bool = False
    tone: Tone = "plain"
    tip: Callable[[int], str] | None = None


class Rows(QAbstractTableModel):
    """Rows known by id, whose texts are asked for one by one."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.ids: Sequence[str] = ()
        self.columns: tuple[Column, ...] = ()
        self._row_of: dict[str, int] | None = None

    def show_rows(self, ids: Sequence[str], columns: tuple[Column, ...]) -> bool:
        """Show other rows; return whether they are other pieces, and not only other numbers."""
        same = list(ids) == list(self.ids) and [c.title for c in columns] == [c.title for c in self.columns]
        if same:
            self.ids, self.columns = ids, columns
            if ids:
                self.dataChanged.emit(self.index(0, 0), self.index(len(ids) - 1, len(columns) - 1))
            return False
        self.beginResetModel()
        self.ids, self.columns, self._row_of = ids, columns, None
        self.endResetModel()
        return True

    def row_of(self, piece_id: str) -> int | None:
        """Return the row of a piece, or None."""
        if self._row_of is None:
            self._row_of = {piece: row for row, piece in enumerate(self.ids)}
        return self._row_of.get(piece_id)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self.ids)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the text of a cell."""
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            column = self.columns[index.column()]
            told = column.tip if role == Qt.ItemDataRole.ToolTipRole and column.tip else column.text
            return told(index.row())
        if role == Qt.ItemDataRole.TextAlignmentRole and self.columns[index.column()].right:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the title of a column."""
        if orientation == Qt.Orientation.Vertical:
            return self.ids[section] if role == Qt.ItemDataRole.DisplayRole else None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].title
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if self.columns[section].right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None


class RowPainter(QStyledItemDelegate):
    """Paints a row as a strip of paper; the picked one glows and has a bar at its left."""

    pad = _PAD
    """How far text stays from the edges of its cell, in pixels."""

    def __init__(self, dress: Dress, parent: QWidget) -> None:
        super().__init__(parent)
        self._dress = dress

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        rows: Any = index.model()
        column: Column = rows.columns[index.column()]
        theme, opt = self._dress.theme, _fields(option)
        rect, chosen = opt.rect, bool(opt.state & QStyle.StateFlag.State_Selected)
        painter.fillRect(rect, QColor(theme.glow if chosen else theme.field))
        painter.setPen(QPen(QColor(theme.edge), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if chosen and index.column() == 0:
            painter.fillRect(QRect(rect.left(), rect.top(), 4, rect.height()), QColor(theme.work))
        f = QFont(opt.font)
        f.setWeight(QFont.Weight.Bold if column.bold else QFont.Weight.Medium)
        painter.setFont(f)
        tones = {"plain": theme.ink, "soft": theme.soft}
        painter.setPen(QColor(tones.get(column.tone) or getattr(theme, column.tone)))
        room = rect.adjusted(self.pad + (3 if index.column() == 0 else 0), 0, -self.pad, 0)
        side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
        text = painter.fontMetrics().elidedText(column.text(index.row()), Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, text)


def _fields(option: QStyleOptionViewItem) -> Any:
    """Return the option with its fields, which the stubs of the class do not name."""
    return option


class RowTable(QTableView):
    """A table of pieces that is as high as its rows, up to a limit, and never scrolls sideways.

    Signals:
        picked: the ids of the rows that the person picked.
    """

    picked = Signal(object)
    pad = _PAD
    sample = _SAMPLE
    """So many rows are looked at for the widths of the columns."""

    def __init__(self, name: str, dress: Dress, *, most_rows: int = MOST_ROWS, many: bool = True) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._dress, self._most = dress, most_rows
        self._lighting = False
        self._spread_for: object = None
        self.rows = Rows(self)
        self.setModel(self.rows)
        self.setItemDelegate(RowPainter(dress, self))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(False)
        modes = QAbstractItemView.SelectionMode
        self.setSelectionMode(modes.ExtendedSelection if many else modes.SingleSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header.setHighlightSections(False)
        header.setSectionsClickable(False)
        header.setMinimumSectionSize(20)
        self.selectionModel().selectionChanged.connect(self._on_selection)
        dress.changed.connect(self._fit)

    def show_rows(self, ids: Sequence[str], columns: tuple[Column, ...]) -> None:
        """Show rows by their pieces' ids."""
        self._lighting = True
        self.rows.show_rows(ids, columns)
        self._lighting = False
        self._fit()

    def light(self, ids: Iterable[str]) -> None:
        """Pick the rows of these pieces, without saying so, and bring the first into sight."""
        found = sorted(row for i in ids if (row := self.rows.row_of(i)) is not None)
        model = self.selectionModel()
        if [i.row() for i in model.selectedRows()] == found:
            return
        chosen, last = QItemSelection(), self.rows.columnCount() - 1
        start = 0
        for k, row in enumerate(found):
            if k + 1 == len(found) or found[k + 1] != row + 1:
                chosen.select(self.rows.index(found[start], 0), self.rows.index(row, last))
                start = k + 1
        self._lighting = True
        flags = QItemSelectionModel.SelectionFlag
        model.select(chosen, flags.ClearAndSelect)
        if found:
            first = self.rows.index(found[0], 0)
            model.setCurrentIndex(first, flags.NoUpdate)
            self.scrollTo(first)
        self._lighting = False

    def rows_shown(self, count: int) -> int:
        """Return for how many of its rows the table is high enough."""
        return min(max(1, count), self._most)

    def _on_selection(self) -> None:
        if not self._lighting:
            rows = sorted(i.row() for i in self.selectionModel().selectedRows())
            self.picked.emit(tuple(self.rows.ids[r] for r in rows))

    def _fit(self) -> None:
        """Give the table the height of its rows, and its columns the widths of their texts."""
        high = round(self.fontMetrics().height() * 1.75)
        self.verticalHeader().setDefaultSectionSize(high)
        shown = self.rows_shown(self.rows.rowCount())
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + shown * high + 2)
        self._spread()

    def _spread(self) -> None:
        """Share the width between the columns, if what stands in them or the width has changed."""
        columns = self.rows.columns
        # Numbers of one column are much alike: a few rows from top to bottom tell how wide they are.
        sample = range(0, len(self.rows.ids), max(1, len(self.rows.ids) // self.sample))
        texts = tuple((c.title, *(c.text(r) for r in sample)) for c in columns)
        room = self.viewport().width()
        shown = [not self.isColumnHidden(k) for k in range(len(columns))]
        key = (room, self._dress.scale, texts, shown)
        if not columns or key == self._spread_for:
            return
        self._spread_for = key
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.Bold)
        metrics = QFontMetrics(bold)
        want = [
            max(map(metrics.horizontalAdvance, column)) + 2 * self.pad + 4 if seen else 0
            for column, seen in zip(texts, shown, strict=True)
        ]
        spare = room - sum(want)
        if spare < 0:
            # The widest column of words gives way: numbers must not be cut.
            words = [k for k, c in enumerate(columns) if not c.right]
            widest = max(words, key=want.__getitem__, default=0)
            want[widest] = max(40, want[widest] + spare)
        else:
            want = [w + spare // sum(shown) if seen else 0 for w, seen in zip(want, shown, strict=True)]
            want[-1] += room - sum(want)
        for k, w in enumerate(want):
            self.setColumnWidth(k, w)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Spread the columns over the new width."""
        super().resizeEvent(event)
        self._spread()

    def minimumSizeHint(self) -> QSize:
        """Return a small width: the columns give way."""
        return QSize(120, self.height())


class NumbersTable(RowTable):
    """A table of many numbers in a narrow notebook: its cells stand closer."""

    pad = 5
    sample = 60

    def __init__(self, name: str, dress: Dress, *, most_rows: int = MOST_ROWS, many: bool = True) -> None:
        super().__init__(name, dress, most_rows=most_rows, many=many)
        painter = RowPainter(dress, self)
        painter.pad = self.pad
        self.setItemDelegate(painter)
