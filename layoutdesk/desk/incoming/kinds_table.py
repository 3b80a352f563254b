"""The layers of the drawing and the kinds of things on each, with what becomes of them to be chosen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any, Final

from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QAction, QColor, QFont, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QMenu, QStyle, QStyleOptionViewItem, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.incoming.swatch import paint_swatch
from layoutdesk.desk.incoming.words import LETTERS, WHAT, mixture
from layoutdesk.desk.notebook.table import Column, Index, RowPainter, RowTable
from layoutdesk.importers.proposal import BECOMES, Becomes, Group
from layoutdesk.session.incoming import Arrival, Incoming

MOST_SHOWN: Final = 40
_LAYER, _GROUP = "layer:", "group:"
_SWATCH: Final = 20


class KindPainter(RowPainter):
    """Paints layers in bold, their kinds indented, and a mark and an angle where one may choose."""

    def __init__(self, dress: Dress, parent: QWidget) -> None:
        super().__init__(dress, parent)
        self._theme_of = dress

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        table: Any = self.parent()
        rows: Any = index.model()
        opt: Any = option
        theme, rect = self._theme_of.theme, QRect(opt.rect)
        row_id: str = rows.ids[index.row()]
        layer = row_id.startswith(_LAYER)
        chosen = bool(opt.state & QStyle.StateFlag.State_Selected)
        painter.fillRect(rect, QColor(theme.glow if chosen else theme.panel if layer else theme.field))
        painter.setPen(QPen(QColor(theme.edge), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if chosen and index.column() == 0:
            painter.fillRect(QRect(rect.left(), rect.top(), 4, rect.height()), QColor(theme.work))
        font = QFont(opt.font)
        font.setWeight(QFont.Weight.Bold if layer else QFont.Weight.Medium)
        painter.setFont(font)
        text = rows.columns[index.column()].text(index.row())
        count: Counter[Becomes] = table.count_of(row_id)
        nothing = not (count.total() - count["nothing"])
        painter.setPen(QColor(theme.soft if nothing else theme.ink))
        side = Qt.AlignmentFlag.AlignLeft
        room = rect.adjusted(9 + (0 if layer else 10), 0, -2, 0)
        if index.column() == 1:
            side, room = Qt.AlignmentFlag.AlignRight, rect.adjusted(2, 0, -9, 0)
        elif index.column() == 2:
            room = rect.adjusted(_SWATCH + 6, 0, -18, 0)
            kinds = [k for k, n in count.items() if n]
            box = QRectF(rect.left() + 4, rect.center().y() - 8, _SWATCH - 3, 17)
            paint_swatch(painter, box, kinds[0] if len(kinds) == 1 else None, theme)
            self._angle(painter, rect)
            painter.setPen(QColor(theme.soft if nothing else theme.ink))
        text = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, text)

    def _angle(self, painter: QPainter, rect: QRect) -> None:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self._theme_of.theme.ink), 1.5, c=Qt.PenCapStyle.RoundCap))
        x, y = rect.right() - 10.0, rect.center().y() + 0.5
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])
        painter.restore()


class KindsTable(RowTable):
    """The table; picking a row picks its things on the drawing, and the choice at its right says what they become.

    Signals:
        chosen: what a row's things are to become: what, the key of the group or None, the layer or None.
    """

    chosen = Signal(object, object, object)

    def __init__(self, incoming: Incoming, dress: Dress) -> None:
        super().__init__("Layers and kinds, and what becomes of them", dress, most_rows=MOST_SHOWN, many=False)
        self._incoming = incoming
        self._arrival: Arrival | None = None
        self._order_for: tuple[Group, ...] | None = None
        self._order: list[tuple[str, list[str]]] = []
        self._texts: dict[str, tuple[str, str, str]] = {}
        self._counts: dict[str, Counter[Becomes]] = {}
        self.setItemDelegate(KindPainter(dress, self))
        self.picked.connect(self._on_picked)

    def _spread(self) -> None:
        """Give counts and choices what they need, and the names the rest."""
        room, metrics = self.viewport().width(), QFontMetrics(self.font())
        if room <= 0 or not self._texts:
            return
        count = max(metrics.horizontalAdvance(text[1]) for text in self._texts.values()) + 18
        count = max(count, metrics.horizontalAdvance("count") + 16)
        choice = max(metrics.horizontalAdvance(text[2]) for text in self._texts.values()) + _SWATCH + 34
        choice = min(choice, round(room * 0.42))
        for column, wide in enumerate((room - count - choice, count, choice)):
            self.setColumnWidth(column, wide)

    def show_arrival(self, arrival: Arrival) -> None:
        """Show the layers and kinds of a drawing."""
        if self._arrival is not None and self._arrival.proposal is arrival.proposal:
            self._light()
            return
        self._arrival = arrival
        self._fill(arrival)
        ids = tuple(self._texts)
        titles = ("layer and kind", "count", "becomes")

        def texts(column: int) -> Column:
            return Column(titles[column], lambda row: self._texts[ids[row]][column], right=column == 1)

        self.show_rows(ids, (texts(0), texts(1), texts(2)))
        self._light()

    def count_of(self, row_id: str) -> Counter[Becomes]:
        """Return how many things of a row become what."""
        return self._counts.get(row_id, Counter())

    def _fill(self, arrival: Arrival) -> None:
        if self._order_for is not arrival.proposal.groups:
            # Once, and not at every choice: a row must not run away from the hand that chose on it.
            self._order_for, self._order = arrival.proposal.groups, self._ordered(arrival)
        self._texts, self._counts = {}, {}
        what = {g.key: g.what for g in arrival.proposal.groups}
        for layer, keys in self._order:
            of_layer = sum((arrival.counts[k] for k in keys), Counter[Becomes]())
            if of_layer.total():
                self._add(f"{_LAYER}{layer}", layer or "no layer", of_layer)
                for key in keys:
                    if arrival.counts[key].total():
                        self._add(f"{_GROUP}{key}", what[key], arrival.counts[key])

    def _ordered(self, arrival: Arrival) -> list[tuple[str, list[str]]]:
        """Return the layers with the keys of their groups, what becomes something first."""
        layers: dict[str, list[str]] = {}
        for group in arrival.proposal.groups:
            layers.setdefault(group.layer, []).append(group.key)
        of_layer = {
            layer: sum((arrival.counts[k] for k in keys), Counter[Becomes]()) for layer, keys in layers.items()
        }

        def worth(counts: Counter[Becomes]) -> tuple[bool, int]:
            return not (counts.total() - counts["nothing"]), -counts.total()

        # What becomes something comes first; a drawing may have a hundred layers of furniture.
        names = sorted(layers, key=lambda name: worth(of_layer[name]))
        return [(name, sorted(layers[name], key=lambda k: worth(arrival.counts[k]))) for name in names]

    def _add(self, row_id: str, name: str, count: Counter[Becomes]) -> None:
        self._texts[row_id] = (name, f"{count.total():,}", mixture(count))
        self._counts[row_id] = count

    def _light(self) -> None:
        """Light the rows whose things are picked, all of them."""
        picked, arrival = self._incoming.picked, self._arrival
        if arrival is None or not picked:
            self.light(())
            return
        groups = {arrival.proposal.candidates[i].group for i in picked}
        if len(groups) == 1:
            self.light([f"{_GROUP}{next(iter(groups))}"])
            return
        layers = {arrival.proposal.candidates[i].layer for i in picked}
        self.light([f"{_LAYER}{next(iter(layers))}"] if len(layers) == 1 else ())

    def _on_picked(self, ids: Iterable[str]) -> None:
        if self._arrival is None:
            return
        members = [i for row_id in ids for key in self._keys(row_id) for i in self._arrival.members.get(key, ())]
        self._incoming.pick(members)

    def _keys(self, row_id: str) -> list[str]:
        if row_id.startswith(_GROUP) or self._arrival is None:
            return [row_id.removeprefix(_GROUP)]
        layer = row_id.removeprefix(_LAYER)
        return [g.key for g in self._arrival.proposal.groups if g.layer == layer]

    def choose(self, row_id: str, becomes: Becomes) -> None:
        """Have the things of a row become this."""
        if row_id.startswith(_LAYER):
            self.chosen.emit(becomes, None, row_id.removeprefix(_LAYER))
        else:
            self.chosen.emit(becomes, row_id.removeprefix(_GROUP), None)

    def possible(self, row_id: str) -> frozenset[Becomes]:
        """Return what some thing of a row can become."""
        if self._arrival is None:
            return frozenset()
        candidates = self._arrival.proposal.candidates
        found: set[Becomes] = set()
        for key in self._keys(row_id):
            for index in self._arrival.members.get(key, ()):
                found.update(candidates[index].can_become)
                if len(found) == len(BECOMES):
                    return frozenset(found)
        return frozenset(found)

    # ---- choosing by mouse and keys

    def open_menu(self, row: int) -> None:
        """Offer what the things of a row may become, under its choice."""
        cell = self.visualRect(self.model().index(row, 2))
        self.menu_of(row).popup(self.viewport().mapToGlobal(cell.bottomLeft()))

    def menu_of(self, row: int) -> QMenu:
        """Return the menu of what the things of a row may become."""
        row_id = self.rows.ids[row]
        can, now = self.possible(row_id), self.count_of(row_id)
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for kind in BECOMES:
            action = QAction(f"{WHAT[kind].capitalize()}\t{LETTERS[kind]}", menu)
            action.setData((row_id, kind))
            action.setCheckable(True)
            action.setChecked(now[kind] == now.total())
            action.setEnabled(kind in can)
            menu.addAction(action)
        menu.triggered.connect(self._on_menu)
        return menu

    def _on_menu(self, action: QAction) -> None:
        row_id, kind = action.data()
        self.choose(row_id, kind)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Open the choice where its column was pressed."""
        super().mouseReleaseEvent(event)
        at = self.indexAt(event.position().toPoint())
        if at.isValid() and at.column() == 2 and event.button() == Qt.MouseButton.LeftButton:
            self.open_menu(at.row())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the choice on Enter or Space; a letter chooses at once."""
        row = self.currentIndex().row()
        kinds = {letter: kind for kind, letter in LETTERS.items()}
        letter = event.text().upper()
        if row >= 0 and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.open_menu(row)
        elif row >= 0 and letter in kinds and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.choose(self.rows.ids[row], kinds[letter])
        else:
            super().keyPressEvent(event)
