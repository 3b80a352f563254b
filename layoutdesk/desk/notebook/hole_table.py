"""The table of holes as dug: depth and widths typed hole by hole, with what becomes of each beside them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QPainter, QResizeEvent
from PySide6.QtWidgets import QStyleOptionViewItem, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column, Index
from layoutdesk.desk.notebook.typed_table import Cell, TypedColumn, TypedPainter, TypedTable
from layoutdesk.engine.holes.entries import HoleRow
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import HoleLog, Plan
from layoutdesk.session.document import Document
from layoutdesk.units import parse_length

PIER, DEPTH, TOP, BOTTOM, ALONG, AWAY, WATER, VERDICT = range(8)
FIELDS: Final[Mapping[int, str]] = {
    DEPTH: "depth",
    TOP: "top",
    BOTTOM: "bottom",
    ALONG: "along",
    AWAY: "away",
    WATER: "water",
}
"""The columns that are typed in, and the fields of the log that they hold."""
NEEDED: Final = ("depth", "top", "bottom")
"""A hole is logged once these are known."""
NAMES: Final[Mapping[str, str]] = {"depth": "depth", "top": "width at the top", "bottom": "width at the bottom"}
MOST_SHOWN: Final = 24
_ROOMY: Final = 560
"""From this width on all columns have room (logical pixels)."""
_SMALL: Final = 0.86
"""The size of what is planned, beside that of what was dug."""
_ROOM_FOR_SIGN: Final = "\u2003\u2002"
"""Two wide blanks: there the triangle stands."""


class HolePainter(TypedPainter):
    """Paints what is planned in brackets where nothing was measured yet."""

    def __init__(self, dress: Dress, table: HoleTable) -> None:
        super().__init__(dress, table)
        self._theme_of, self._holes = dress, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        super().paint(painter, option, index)
        table = self._holes
        planned = table.planned(index.row(), index.column())
        if not planned or table.exact(index.row(), index.column()) or table.refused_at(table.cell(index)):
            return
        opt: Any = option
        painter.save()
        small = QFont(opt.font)
        small.setPointSizeF(self._theme_of.points(_SMALL))
        painter.setFont(small)
        painter.setPen(QColor(self._theme_of.theme.soft))
        room = opt.rect.adjusted(1, 0, -self.pad, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, f"({planned})")
        painter.restore()

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """Fill the cell; the box of the depth lends from its right, so that the pier stays to be read."""
        super().updateEditorGeometry(editor, option, index)
        if index.column() == DEPTH:
            opt: Any = option
            editor.move(opt.rect.left() + 1, editor.y())


class HoleTable(TypedTable):
    """The table, one row a pier. What is typed of a hole waits until depth and both widths are known."""

    def __init__(self, document: Document, dress: Dress, *, say: Callable[[str], None]) -> None:
        super().__init__("Holes as dug", dress, self._write, say=say, most_rows=MOST_SHOWN)
        self._document = document
        self._begun: dict[str, dict[str, float]] = {}
        self.holes: tuple[HoleRow, ...] = ()
        self.sign_column, self.first_typed = PIER, DEPTH
        self.short_columns = frozenset({PIER, VERDICT})
        self.strike = self._strike
        self.setItemDelegate(HolePainter(dress, self))

    def planned(self, row: int, column: int) -> str:
        """Return what is planned of a cell; nothing where nothing is."""
        field = FIELDS.get(column)
        if field not in NEEDED:
            return ""
        mm: float | None = getattr(self.holes[row], f"planned_{field}")
        return "" if mm is None else LengthText.of(self._document.plan)(mm)

    def show_holes(self, plan: Plan, holes: tuple[HoleRow, ...]) -> None:
        """Show the holes of a plan; what is being typed stays."""
        self.holes = at = holes
        text = LengthText.of(plan)
        known = {pier.id for pier in plan.piers}
        logged = {hole.pier for hole in plan.holes.log}
        self._begun = {p: some for p, some in self._begun.items() if p in known and p not in logged}
        begun = self._begun
        self.waiting = frozenset(begun)
        self.signed = frozenset(row.pier for row in at if row.verdict == "to mend")

        def value(r: int, field: str) -> float | None:
            found: float | None = getattr(at[r], field)
            return begun.get(at[r].pier, {}).get(field) if found is None else found

        def shown(field: str) -> Callable[[int], str]:
            return lambda r: "" if (v := value(r, field)) is None else text(v)

        def exact(field: str) -> Callable[[int], str]:
            return lambda r: "" if (v := value(r, field)) is None else text.exact(v)

        def name(r: int) -> str:
            return at[r].label + (_ROOM_FOR_SIGN if at[r].pier in self.signed else "")

        titles = (*NEEDED, "along", "away", "water")
        self.show_rows(
            [row.pier for row in at],
            (
                Column("pier", name, bold=True, tip=lambda r: at[r].says),
                *(TypedColumn(t, shown(t), right=True, bold=t in NEEDED, exact=exact(t)) for t in titles),
                Column("", lambda r: verdict_word(at[r], begun=at[r].pier in begun), tip=lambda r: at[r].says),
            ),
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what the card of the picked hole has, where there is no room for it."""
        narrow = self.viewport().width() < _ROOMY * self._dress.scale
        for column in (ALONG, AWAY, WATER):
            self.setColumnHidden(column, narrow)
        super().resizeEvent(event)

    def box_name(self, cell: Cell) -> str:
        """Return what the box of a cell is called, for those who hear it."""
        label = next((row.label for row in self.holes if row.pier == cell[0]), "")
        return f"{self.rows.columns[cell[1]].title.capitalize()} of the hole of {label}"

    def next_cell(self, cell: Cell, step: int) -> Cell | None:
        """Return the next cell that takes typing and is seen."""
        after = super().next_cell(cell, step)
        while after is not None and self.isColumnHidden(after[1]):
            after = super().next_cell(after, step)
        return after

    def begun(self, pier: str) -> tuple[str, ...]:
        """Return what is still to be typed of a hole that was begun; nothing for all others."""
        some = self._begun.get(pier)
        return () if some is None else tuple(NAMES[field] for field in NEEDED if field not in some)

    def set_field(self, pier: str, field: str, value: float) -> None:
        """Take down one measure of a hole.

        Raises:
            LayoutdeskError: when it cannot be.
        """
        log = self._document.plan.holes.of_pier(pier)
        label = next((row.label for row in self.holes if row.pier == pier), pier)
        if log is None:
            some = self._begun.get(pier, {}) | {field: value}
            if any(name not in some for name in NEEDED):
                # What cannot be is refused where it is typed, not when the last number comes.
                edits.log_hole(self._document.plan, _hole(pier, _STAND_IN | some))
                self._begun[pier] = some
                self.show_holes(self._document.plan, self.holes)
                return
            log = _hole(pier, some)
        else:
            log = replace(log, **{field: value})  # type: ignore[arg-type]
        self._document.apply(f"Hole of {label}", lambda p: edits.log_hole(p, log))
        self._begun.pop(pier, None)

    def _write(self, cell: Cell, typed: str) -> str:
        """Take what was typed; return the sentence of what went wrong, or nothing."""
        field = FIELDS[cell[1]]
        if not typed.strip():
            if cell[0] in self._begun:
                self._begun[cell[0]].pop(field, None)
                if not self._begun[cell[0]]:
                    del self._begun[cell[0]]
                self.show_holes(self._document.plan, self.holes)
                return ""
            logged = self._document.plan.holes.of_pier(cell[0]) is not None
            return "A logged hole keeps its numbers; press Delete on its row to strike it out" if logged else ""
        try:
            self.set_field(cell[0], field, parse_length(typed, self._document.plan.units))
        except LayoutdeskError as error:
            return str(error)
        return ""

    def _strike(self, keys: object) -> None:
        picked = set(keys)  # type: ignore[call-overload]
        logged = [hole.pier for hole in self._document.plan.holes.log if hole.pier in picked]
        begun = picked & set(self._begun)
        for pier in begun:
            del self._begun[pier]
        if logged:
            self._document.apply("Strike out holes", lambda p: edits.unlog_hole(p, logged))
        elif begun:
            self.show_holes(self._document.plan, self.holes)


_STAND_IN: Final = {"depth": 1000.0, "top": 300.0, "bottom": 300.0}
"""A hole that can be: with its other numbers what was typed is tried."""


def _hole(pier: str, measures: Mapping[str, float]) -> HoleLog:
    fields: dict[str, Any] = dict(measures)
    return HoleLog(pier=pier, **fields)


def verdict_word(row: HoleRow, *, begun: bool = False) -> str:
    """Return what becomes of a hole in a word or two."""
    if row.verdict == "not logged":
        return "begun" if begun else "–"
    if row.poured:
        return "poured"
    return "mend first" if row.verdict == "to mend" else row.verdict
