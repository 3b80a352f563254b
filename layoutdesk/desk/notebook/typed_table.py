"""A table that is typed into as on paper: cell by cell, with Tab and Enter, and nothing that was typed is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from PySide6.QtCore import QEvent, QModelIndex, QPoint, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QKeySequence, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QLineEdit, QStyleOptionViewItem, QWidget

from layoutdesk.desk.dress import Dress, sentence_case, set_tone
from layoutdesk.desk.notebook.table import Column, Index, RowPainter, Rows, RowTable
from layoutdesk.desk.signs import draw_sign

_PAD: Final = 5
Hints = QAbstractItemDelegate.EndEditHint
Cell = tuple[str, int]
"""A cell by the key of its row and the number of its column."""


@dataclass(frozen=True, slots=True)
class TypedColumn(Column):
    """A column that is typed in: ``exact`` is the text to edit in a row, None where the row takes none there."""

    exact: Callable[[int], str | None] = lambda _: None


@dataclass(frozen=True, slots=True)
class Refused:
    """What was typed into a cell and cannot be taken, and why."""

    cell: Cell
    typed: str
    sentence: str


class TypedRows(Rows):
    """Rows some of whose cells can be typed in."""

    def exact(self, row: int, column: int) -> str | None:
        """Return the text to edit of a cell; None where nothing is typed."""
        kind = self.columns[column]
        return kind.exact(row) if isinstance(kind, TypedColumn) else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return which cells take typing."""
        flags = super().flags(index)
        typed = self.exact(index.row(), index.column()) is not None
        return flags | Qt.ItemFlag.ItemIsEditable if typed else flags


class CellBox(QLineEdit):
    """The box of a cell: where it has nothing of its own to take back, Undo and Redo are those of the plan."""

    def event(self, event: QEvent) -> bool:
        """Leave the keys of Undo and Redo to the desk unless something was typed."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            keys = QKeySequence.StandardKey
            back = event.matches(keys.Undo) and not self.isUndoAvailable()
            again = event.matches(keys.Redo) and not self.isRedoAvailable()
            if back or again:
                event.ignore()
                return False
        return super().event(event)


class TypedPainter(RowPainter):
    """Paints cells, a box round those that wait, a triangle where something is wrong with a row."""

    pad = _PAD

    def __init__(self, dress: Dress, table: TypedTable) -> None:
        super().__init__(dress, table)
        self._theme_of, self._table = dress, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        super().paint(painter, option, index)
        table, theme = self._table, self._theme_of.theme
        opt: Any = option
        rect: QRect = opt.rect
        key = table.rows.ids[index.row()]
        if index.column() == table.sign_column and key in table.signed:
            painter.save()
            side = min(15.0, rect.height() - 6.0)
            box = QRectF(rect.right() - side - 1, rect.center().y() - side / 2 + 1, side, side)
            draw_sign(painter, box, "warning", theme)
            painter.restore()
        if (refused := table.refused_at((key, index.column()))) is not None:
            painter.fillRect(rect.adjusted(1, 1, -1, -2), QColor(theme.wrong_wash))
            painter.setPen(QColor(theme.wrong))
            room = rect.adjusted(self.pad, 0, -self.pad, 0)
            text = painter.fontMetrics().elidedText(refused.typed, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
        elif key in table.waiting and table.exact(index.row(), index.column()) == "":
            painter.save()
            painter.setPen(QPen(QColor(theme.edge), 1, Qt.PenStyle.DashLine))
            painter.drawRect(rect.adjusted(4, 4, -4, -5))
            painter.setPen(QColor(theme.soft))
            hint = table.hints.get(index.column(), "")
            painter.drawText(rect.adjusted(9, 0, -9, 0), Qt.AlignmentFlag.AlignVCenter, hint)
            painter.restore()

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:  # noqa: ARG002
        """Return a box to type in."""
        table, cell = self._table, self._table.cell(index)
        box = CellBox(parent)
        box.setProperty("inrow", True)  # noqa: FBT003 - Qt's own signature
        box.setStyleSheet("QLineEdit { padding: 0px 3px; border-radius: 0px; }")
        right = table.rows.columns[index.column()].right
        box.setAlignment(Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft)
        box.setAccessibleName(table.box_name(cell))
        table.editing, table.live = cell, box
        if (refused := table.refused_at(cell)) is not None:
            set_tone(box, "wrong")
            box.setAccessibleDescription(refused.sentence)
            box.setToolTip(refused.sentence)
        return box

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the exact value, or what was typed and refused; never over what is being typed."""
        assert isinstance(editor, QLineEdit)
        if editor.isModified():
            return
        refused = self._table.refused_at(self._table.cell(index))
        editor.setText(refused.typed if refused else self._table.exact(index.row(), index.column()) or "")
        editor.selectAll()

    def setModelData(self, editor: QWidget, model: object, index: Index) -> None:  # noqa: ARG002
        """Hand over what was typed."""
        assert isinstance(editor, QLineEdit)
        if editor.isModified():
            editor.setModified(False)
            self._table.take(self._table.cell(index), editor.text())

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """Fill the cell; a narrow one lends from its neighbour while it is typed in."""
        opt: Any = option
        rect: QRect = opt.rect.adjusted(1, 0, -1, -1)
        wants = editor.fontMetrics().horizontalAdvance("0' 00 00/00\"") + 12
        if rect.width() < wants and index.column() not in self._table.short_columns:
            rect.setLeft(max(0, rect.right() - wants))
        editor.setGeometry(rect)


class TypedTable(RowTable):
    """The table. ``commit`` takes what was typed into a cell; it returns the sentence of what is wrong, or nothing.

    ``waiting`` are the keys of rows that wait for something to be typed, ``signed`` those with something wrong;
    ``hints`` stand in the empty cells of waiting rows, by column. ``short_columns`` hold a word or a number that is
    never wider than its cell. ``after`` may name the cell that is typed in next after one that was left by Enter,
    Tab or Shift+Tab.

    Signals:
        typing_at: the box of a cell was opened; this table, whose :meth:`typed_at` says where.
        typing_ended: the box of a cell was closed; another one may open at once.
    """

    typing_at = Signal(object)
    typing_ended = Signal()
    pad = _PAD
    sample = 60

    def __init__(
        self,
        name: str,
        dress: Dress,
        commit: Callable[[Cell, str], str],
        *,
        say: Callable[[str], None],
        most_rows: int,
    ) -> None:
        super().__init__(name, dress, most_rows=most_rows)
        self._commit, self._say = commit, say
        self.editing: Cell | None = None
        self.live: QLineEdit | None = None
        self.waiting: frozenset[str] = frozenset()
        self.signed: frozenset[str] = frozenset()
        self.sign_column = 0
        self.short_columns: frozenset[int] = frozenset()
        self.first_typed = 0
        self.hints: dict[int, str] = {}
        self._refused: Refused | None = None
        self._taken: Cell | None = None
        self._taking = False
        self.paste: Callable[[], None] | None = None
        self.strike: Callable[[Sequence[str]], None] | None = None
        self.after: Callable[[Cell, int, bool], Cell | None] | None = None
        old, self.rows = self.rows, TypedRows(self)
        self.setModel(self.rows)
        old.deleteLater()
        self.selectionModel().selectionChanged.connect(self._on_selection)
        self.setItemDelegate(TypedPainter(dress, self))
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        self.clicked.connect(self._on_clicked)

    def show_rows(self, ids: Sequence[str], columns: tuple[Column, ...]) -> None:
        """Show rows; what is being typed goes on in its cell, even when there are other rows now."""
        if list(ids) == list(self.rows.ids):
            super().show_rows(ids, columns)
            return
        cell, box = self.editing, self._box()
        typed = box.text() if box is not None and box.isModified() else None
        self.live = None
        super().show_rows(ids, columns)
        if box is None or self._taking:
            return
        self.editing = None
        self.type_into(cell)
        again = self._box()
        if again is not None and typed is not None:
            again.setText(typed)
            again.setModified(True)

    def _box(self) -> QLineEdit | None:
        """Return the box that is being typed in, or None."""
        return self.live if self.editing is not None else None

    # ---- cells

    def cell(self, index: Index) -> Cell:
        """Return a cell by its index."""
        return self.rows.ids[index.row()], index.column()

    def exact(self, row: int, column: int) -> str | None:
        """Return the text to edit of a cell; None where nothing is typed."""
        assert isinstance(self.rows, TypedRows)
        return self.rows.exact(row, column)

    def refused_at(self, cell: Cell) -> Refused | None:
        """Return what was refused in a cell, or None."""
        return self._refused if self._refused is not None and self._refused.cell == cell else None

    @property
    def picked_keys(self) -> tuple[str, ...]:
        """Return the keys of the rows that are picked, from the top."""
        return tuple(self.rows.ids[i] for i in sorted(i.row() for i in self.selectionModel().selectedRows()))

    def box_name(self, cell: Cell) -> str:
        """Return what the box of a cell is called, for those who hear it."""
        return f"{self.rows.columns[cell[1]].title}, row {(self.rows.row_of(cell[0]) or 0) + 1}"

    def take(self, cell: Cell, typed: str) -> None:
        """Hand over what was typed into a cell; what is refused stays in its box, in red."""
        self._taking = True
        trouble = self._commit(cell, typed)
        self._taking = False
        self._refused = Refused(cell, typed, sentence_case(trouble)) if trouble else None
        self._taken = None if trouble else cell
        self._say(sentence_case(trouble))

    def type_into(self, cell: Cell | None) -> None:
        """Open the box of a cell."""
        row = None if cell is None else self.rows.row_of(cell[0])
        if row is None or cell is None:
            return
        index = self.rows.index(row, cell[1])
        self.setCurrentIndex(index)
        self.scrollTo(index)
        self._open(index)

    def typed_at(self, over: QWidget) -> QPoint | None:
        """Return where the middle of the box that is typed in lies on a widget that holds this table, or None."""
        row = None if self.editing is None else self.rows.row_of(self.editing[0])
        if row is None or self.editing is None:
            return None
        cell = self.visualRect(self.rows.index(row, self.editing[1]))
        return self.viewport().mapTo(over, cell.center())

    def next_cell(self, cell: Cell, step: int) -> Cell | None:
        """Return the next cell that takes typing, row by row; None at the end."""
        row = self.rows.row_of(cell[0])
        if row is None:
            return None
        wide = len(self.rows.columns)
        place = row * wide + cell[1] + step
        while 0 <= place < wide * len(self.rows.ids):
            r, c = divmod(place, wide)
            if self.exact(r, c) is not None:
                return self.rows.ids[r], c
            place += step
        return None

    def below(self, cell: Cell) -> Cell | None:
        """Return the next cell of the same column that takes typing, or None."""
        row = self.rows.row_of(cell[0])
        if row is None:
            return None
        rows = range(row + 1, len(self.rows.ids))
        return next(((self.rows.ids[r], cell[1]) for r in rows if self.exact(r, cell[1]) is not None), None)

    def commitData(self, editor: QWidget) -> None:
        """Take what was typed; a box that went with its rows was taken already, and Enter comes a moment after."""
        if editor is self.live:
            super().commitData(editor)

    def closeEditor(self, editor: QWidget, hint: Hints) -> None:
        """Go to the next cell after Tab, to the next row after Enter; stay where something was refused."""
        cell, self.editing, self.live = self.editing, None, None
        taken, self._taken = self._taken, None
        super().closeEditor(editor, Hints.NoHint)
        self.typing_ended.emit()
        if hint == Hints.RevertModelCache:
            self._refused = None
            self._say("")
            return
        if cell is not None and self.refused_at(cell) is not None:
            # After the box is gone: a new one on the same cell would go with it.
            if hint != Hints.NoHint:
                QTimer.singleShot(0, self, lambda: self.type_into(cell))
            return
        step = {Hints.SubmitModelCache: 0, Hints.EditNextItem: 1, Hints.EditPreviousItem: -1}.get(hint)
        if cell is None or step is None:
            return
        after = self.after(cell, step, taken == cell) if self.after is not None else None
        if after is None:
            after = self.next_cell(cell, step) if step else self.below(cell)
        # At once: a key that was pressed already must find the box.
        self.type_into(after)

    # ---- mouse and keys

    def _on_clicked(self, index: QModelIndex) -> None:
        if self.exact(index.row(), index.column()) is not None:
            self._open(index)

    def _open(self, index: QModelIndex) -> None:
        """Open the box of a cell, if it is not open already."""
        self.edit(index, QAbstractItemView.EditTrigger.AllEditTriggers, None)  # type: ignore[call-overload]
        self.typing_at.emit(self)

    def event(self, event: QEvent) -> bool:
        """Take the keys that paste and strike out before the menu does."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            pastes = self.paste is not None and event.matches(QKeySequence.StandardKey.Paste)
            if pastes or (self.strike is not None and event.key() == Qt.Key.Key_Delete):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste, strike out, or begin to type in the row that is picked."""
        if self.paste is not None and event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif self.strike is not None and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.strike(self.picked_keys)
        elif event.key() == Qt.Key.Key_Escape and self._refused is not None:
            self._refused = None
            self._say("")
            self.viewport().update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            # The key of an open box comes here too.
            if self.editing is None:
                self.type_into(self._typed_cell())
        elif event.text().strip() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._type_first(event.text())
        else:
            super().keyPressEvent(event)

    def _typed_cell(self) -> Cell | None:
        """Return the cell of the picked row that typing goes into; without one that of the first row that waits."""
        row = self.currentIndex().row()
        if row < 0 or not self.selectionModel().isRowSelected(row):
            waits = (r for r, key in enumerate(self.rows.ids) if key in self.waiting)
            row = next(waits, -1)
        if row < 0:
            return None
        columns: Iterable[int] = (self.first_column(row), *range(len(self.rows.columns)))
        found = next((c for c in columns if self.exact(row, c) is not None), None)
        return None if found is None else (self.rows.ids[row], found)

    def first_column(self, row: int) -> int:  # noqa: ARG002 - other tables begin elsewhere in other rows
        """Return the column that typing in a picked row goes into."""
        return self.first_typed

    def _type_first(self, typed: str) -> None:
        cell = self._typed_cell()
        if cell is None:
            return
        self.type_into(cell)
        box = self._box()
        if box is not None:
            box.selectAll()
            box.insert(typed)
