"""The table of tapes: what was read is typed in its place, and Enter goes to the next row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from PySide6.QtCore import QEvent, QModelIndex, QPoint, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QKeySequence, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QLineEdit, QStyleOptionViewItem, QWidget

from layoutdesk.desk.dress import Dress, sentence_case, set_tone
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column, Index, RowPainter, Rows, RowTable
from layoutdesk.desk.notebook.tape_rows import TapeRow, exact, first_end, measure_words, off, other_end, shown
from layoutdesk.desk.signs import draw_sign

TAPED: Final = 3
"""The column that is typed in."""
MOST_WHOLE: Final = 400
"""Up to so many rows lie on the page one below the other, and only the page scrolls."""
MOST_SHOWN: Final = 16
"""Of more rows the table shows so many, and scrolls by itself."""
_PAD: Final = 5
"""Five columns stand in a narrow notebook."""
_ROOM_FOR_SIGN: Final = "\u2003\u2002"
"""Two wide blanks: there the triangle stands."""
Commit = Callable[[TapeRow, str], str]
"""Takes what was typed into a row; returns the sentence of what went wrong, or nothing."""


class TapeRows(Rows):
    """Rows whose taped column can be typed in."""

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that the taped column takes typing."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if index.column() == TAPED else flags


class TapePainter(RowPainter):
    """Paints a row of tapes, with a sign before what is suspect, and a box to type in that says what is wrong."""

    pad = _PAD

    def __init__(self, dress: Dress, table: TapeTable) -> None:
        super().__init__(dress, table)
        self._theme_of, self._table = dress, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell; a row that waits has an open box, a suspect one a triangle."""
        super().paint(painter, option, index)
        row, theme = self._table.row_at(index.row()), self._theme_of.theme
        opt: Any = option
        rect: QRect = opt.rect
        if index.column() == 0 and row.suspect:
            painter.save()
            side = min(16.0, rect.height() - 6.0)
            box = QRectF(rect.right() - side - 2, rect.center().y() - side / 2 + 1, side, side)
            draw_sign(painter, box, "warning", theme)
            painter.restore()
        elif index.column() == TAPED and row.tape is None:
            painter.save()
            painter.setPen(QPen(QColor(theme.edge), 1, Qt.PenStyle.DashLine))
            painter.drawRect(rect.adjusted(6, 4, -5, -5))
            painter.restore()

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:  # noqa: ARG002
        """Return a box to type what the tape read."""
        row = self._table.row_at(index.row())
        box = QLineEdit(parent)
        box.setProperty("inrow", True)  # noqa: FBT003 - Qt's own signature
        box.setStyleSheet("QLineEdit { padding: 0px 4px; border-radius: 0px; }")
        box.setAlignment(Qt.AlignmentFlag.AlignRight)
        box.setAccessibleName(f"Taped {self._table.called(row.start)} to {self._table.called(row.end)}")
        self._table.editing = row.key
        if self._table.refused and self._table.refused[0] == row.key:
            set_tone(box, "wrong")
            box.setAccessibleDescription(self._table.refused[2])
            box.setToolTip(self._table.refused[2])
        return box

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the exact value, or what was typed and refused; never over what is being typed."""
        assert isinstance(editor, QLineEdit)
        if editor.isModified():
            return
        row, refused = self._table.row_at(index.row()), self._table.refused
        editor.setText(refused[1] if refused and refused[0] == row.key else exact(row, self._table.text))
        editor.selectAll()

    def setModelData(self, editor: QWidget, model: object, index: Index) -> None:  # noqa: ARG002
        """Hand over what was typed."""
        assert isinstance(editor, QLineEdit)
        if editor.isModified():
            editor.setModified(False)
            self._table.take(index.row(), editor.text())

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:  # noqa: ARG002
        """Fill the cell."""
        opt: Any = option
        editor.setGeometry(opt.rect.adjusted(1, 0, -1, -1))


class TapeTable(RowTable):
    """The table; picking a row picks both points of its tape.

    Signals:
        typing_changed: a box was opened or closed.
        typing_at: the middle of the box that was opened, in the table's own pixels, is to be in sight.
    """

    typing_changed = Signal()
    typing_at = Signal(QPoint)
    pad = _PAD
    sample = 60

    def __init__(self, dress: Dress, commit: Commit, *, say: Callable[[str], None]) -> None:
        super().__init__("Tapes: typed as they were read", dress)
        self._commit, self._say = commit, say
        self.shown_rows: tuple[TapeRow, ...] = ()
        self.text = LengthText("mm", 1.0)
        self.labels: Mapping[str, str] = {}
        self.editing: str | None = None
        self.refused: tuple[str, str, str] | None = None
        self.paste: Callable[[], None] = lambda: None
        self.strike: Callable[[], None] = lambda: None
        old, self.rows = self.rows, TapeRows(self)
        self.setModel(self.rows)
        old.deleteLater()
        self.selectionModel().selectionChanged.connect(self._on_selection)
        self.setItemDelegate(TapePainter(dress, self))
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        self.clicked.connect(self._on_clicked)

    def rows_shown(self, count: int) -> int:
        """Return for how many rows the table is high enough: all of them, unless there are very many."""
        return max(1, count) if count <= MOST_WHOLE else MOST_SHOWN

    def row_at(self, row: int) -> TapeRow:
        """Return a row as it is shown."""
        return self.shown_rows[row]

    def called(self, point_id: str) -> str:
        """Return what a point is called."""
        return self.labels.get(point_id, point_id)

    @property
    def picked_rows(self) -> tuple[TapeRow, ...]:
        """Return the rows that are picked, from the top."""
        return tuple(self.shown_rows[i.row()] for i in sorted(self.selectionModel().selectedRows()))

    def show_tapes(self, rows: Sequence[TapeRow], labels: Mapping[str, str], text: LengthText) -> None:
        """Show rows; what is being typed stays."""
        self.shown_rows, self.labels, self.text = tuple(rows), labels, text
        at = self.shown_rows

        def tip(r: int) -> str:
            return measure_words(at[r], self.called)

        def start(r: int) -> str:
            return first_end(at[r], self.called) + (_ROOM_FOR_SIGN if at[r].suspect else "")

        self.show_rows(
            [r.key for r in at],
            (
                Column("from", start, bold=True, tip=tip),
                Column("to", lambda r: other_end(at[r], self.called), bold=True, tip=tip),
                Column("planned", lambda r: shown(at[r].planned, at[r], text), right=True, tone="soft"),
                Column(
                    "taped",
                    lambda r: "" if (tape := at[r].tape) is None else shown(tape.distance, at[r], text),
                    right=True,
                    bold=True,
                ),
                Column("off", lambda r: off(at[r], text), right=True, tone="soft"),
            ),
        )

    def take(self, row: int, typed: str) -> None:
        """Hand over what was typed into a row; what is refused stays in its box, in red."""
        key = self.shown_rows[row].key
        trouble = self._commit(self.shown_rows[row], typed)
        self.refused = (key, typed, trouble) if trouble else None
        self._say(sentence_case(trouble))

    def type_into(self, key: str | None) -> None:
        """Open the box of a row by its key."""
        row = None if key is None else self.rows.row_of(key)
        if row is None:
            return
        index = self.rows.index(row, TAPED)
        self.setCurrentIndex(index)
        self.scrollTo(index)
        self._open(index)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Go to the next row after Enter or Tab; stay where something was refused."""
        key, self.editing = self.editing, None
        self.typing_changed.emit()
        hints = QAbstractItemDelegate.EndEditHint
        super().closeEditor(editor, hints.NoHint)
        if hint == hints.RevertModelCache:
            self.refused = None
            self._say("")
            return
        if self.refused is not None and self.refused[0] == key:
            # After the box is gone: a new one on the same cell would go with it.
            if hint != hints.NoHint:
                QTimer.singleShot(0, self, lambda: self.type_into(key))
            else:
                self.refused = None
            return
        step = {hints.SubmitModelCache: 1, hints.EditNextItem: 1, hints.EditPreviousItem: -1}.get(hint)
        row = None if key is None or step is None else self.rows.row_of(key)
        if row is not None and step is not None and 0 <= row + step < len(self.shown_rows):
            after = self.shown_rows[row + step].key
            QTimer.singleShot(0, self, lambda: self.type_into(after))

    def _on_clicked(self, index: QModelIndex) -> None:
        if index.column() == TAPED:
            self._open(index)

    def _open(self, index: QModelIndex) -> None:
        """Open the box of a cell, if it is not open already."""
        self.edit(index, QAbstractItemView.EditTrigger.AllEditTriggers, None)  # type: ignore[call-overload]
        self.typing_at.emit(self.viewport().mapTo(self, self.visualRect(index).center()))
        self.typing_changed.emit()

    def event(self, event: QEvent) -> bool:
        """Take the key that pastes before the menu does."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            mine = event.matches(QKeySequence.StandardKey.Paste) or event.key() == Qt.Key.Key_Delete
            if mine:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste, strike out, or begin to type what was read, in whatever column the row was picked."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.strike()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.rows.index(self.currentIndex().row(), TAPED))
        elif event.text().strip() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._type_first(event.text())
        else:
            super().keyPressEvent(event)

    def _type_first(self, typed: str) -> None:
        if not self.currentIndex().isValid():
            return
        index = self.rows.index(self.currentIndex().row(), TAPED)
        self.setCurrentIndex(index)
        self._open(index)
        box = self.indexWidget(index) or self.viewport().findChild(QLineEdit)
        if isinstance(box, QLineEdit):
            box.selectAll()
            box.insert(typed)
