"""A beam line seen from its side, to scale: ground, string, holes, piers, columns, beam, and their numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.side_scale import SideScale, fitted

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import SidePier, SideView

TALLEST: Final = 420.0
_TOP: Final = 30.0
_EDGE: Final = 10.0
_BEAM_PX: Final = 13.0
"""The beam is drawn so high: only its underside is known."""
_SMALL: Final = 0.84


Stand = Literal["in line", "in turn", "upright"]


@dataclass(frozen=True, slots=True)
class NumberRow:
    """A row of numbers under the view: what they are, and the number of each pier by its id."""

    caption: str
    number: Callable[[str], str]
    strong: bool = False


class SideDrawing(QWidget):
    """The drawing of one beam line."""

    def __init__(self, dress: Dress, *, tallest: float = TALLEST) -> None:
        super().__init__()
        self._dress, self._tallest = dress, tallest
        self._view: SideView | None = None
        self._factor = 1.0
        self._rows: Sequence[NumberRow] = ()
        self._says = ""
        self.picked: frozenset[str] = frozenset()
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        dress.changed.connect(self._fit)

    def show_view(
        self, view: SideView | None, rows: Sequence[NumberRow], *, exaggeration: float, picked: frozenset[str]
    ) -> None:
        """Draw a view with rows of numbers under it."""
        self._view, self._rows, self._factor, self.picked = view, rows, exaggeration, picked
        self.setVisible(view is not None)
        if view is not None:
            names = ", ".join(p.label for p in view.piers)
            self._says = "to scale" if exaggeration == 1 else f"heights {exaggeration:g} times larger"
            self.setAccessibleName(f"Side view of {view.label}, {self._says}: {names}")
        self._fit()
        self.update()

    # ---- room

    def _font(self, *, strong: bool = False) -> QFont:
        f = QFont(self.font())
        f.setPointSizeF(self._dress.points(_SMALL))
        f.setWeight(QFont.Weight.Bold if strong else QFont.Weight.Medium)
        return f

    def _gutter(self, metrics: QFontMetricsF) -> float:
        return max((metrics.horizontalAdvance(r.caption) for r in self._rows), default=0.0) + 2 * _EDGE

    def _scale(self, metrics: QFontMetricsF) -> SideScale | None:
        if self._view is None:
            return None
        gutter = self._gutter(metrics)
        wide = max(60.0, self.width() - gutter - 22)
        y0 = _TOP + metrics.height() + _BEAM_PX
        return fitted(self._view, self._factor, x0=gutter, y0=y0, wide=wide, tallest=self._tallest)

    def _fit(self) -> None:
        metrics = QFontMetricsF(self._font())
        scale = self._scale(metrics)
        if scale is not None:
            self.setFixedHeight(round(scale.y0 + scale.tall + 12 + self._band_height(scale, metrics) + _EDGE))

    def _band_height(self, scale: SideScale, metrics: QFontMetricsF) -> float:
        return sum(self._row_height(row, scale, metrics) for row in self._rows)

    def _row_height(self, row: NumberRow, scale: SideScale, metrics: QFontMetricsF) -> float:
        stands = self._stands(row, scale, metrics)
        if stands == "upright":
            return self._widest(row, metrics) + 8
        return metrics.height() * (2 if stands == "in turn" else 1) + 3

    def _widest(self, row: NumberRow, metrics: QFontMetricsF) -> float:
        return max((metrics.horizontalAdvance(row.number(p.pier)) for p in self._piers), default=0.0)

    def _stands(self, row: NumberRow, scale: SideScale, metrics: QFontMetricsF) -> Stand:
        """Return how the numbers of a row stand: where one row is in turn, all are that could be in line."""
        mine = self._room_for(row, scale, metrics)
        if mine == "in line" and any(self._room_for(r, scale, metrics) == "in turn" for r in self._rows):
            return "in turn"
        return mine

    def _room_for(self, row: NumberRow, scale: SideScale, metrics: QFontMetricsF) -> Stand:
        """Return how the numbers of a row have room: in one line, in turn in two lines, or upright."""
        places = sorted(scale.x(p.running) for p in self._piers)
        wide = self._widest(row, metrics) + 6
        if min((b - a for a, b in pairwise(places)), default=1e9) >= wide:
            return "in line"
        if min((c - a for a, c in zip(places, places[2:], strict=False)), default=1e9) >= wide:
            return "in turn"
        return "upright"

    @property
    def _piers(self) -> tuple[SidePier, ...]:
        return self._view.piers if self._view is not None else ()

    def sizeHint(self) -> QSize:
        """Return a comfortable width and the height that the drawing takes."""
        return QSize(360, self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height of the new scale."""
        super().resizeEvent(event)
        self._fit()

    # ---- painting

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the view."""
        view = self._view
        if view is None:
            return
        p = QPainter(self)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = self._dress.theme
        p.setPen(QPen(QColor(theme.edge), 1))
        p.setBrush(QColor(theme.field))
        p.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 6, 6)
        p.setFont(self._font())
        metrics = QFontMetricsF(self._font())
        scale = self._scale(metrics)
        assert scale is not None
        foot = scale.y0 + scale.tall + 8
        self._ground(p, view, scale, foot)
        self._house(p, view, scale, foot)
        for pier in view.piers:
            self._pier(p, pier, scale)
        self._beam(p, view, scale)
        self._string(p, view, scale)
        for pier in view.piers:
            self._support(p, pier, scale)
        self._names(p, view, scale, metrics)
        self._band(p, scale, metrics, foot + 4)

    def _ground(self, p: QPainter, view: SideView, scale: SideScale, foot: float) -> None:
        theme = self._dress.theme
        for part in view.ground:
            line = [QPointF(scale.x(x), scale.y(y)) for x, y in part]
            if len(line) < 2:
                continue
            soil = QPolygonF([QPointF(line[0].x(), foot), *line, QPointF(line[-1].x(), foot)])
            p.setPen(Qt.PenStyle.NoPen)
            p.setBrush(QColor(theme.house))
            p.drawPolygon(soil)
            p.setPen(QPen(QColor(theme.ink), 1.6))
            p.drawPolyline(QPolygonF(line))

    def _house(self, p: QPainter, view: SideView, scale: SideScale, foot: float) -> None:
        if view.house is None:
            return
        theme, x = self._dress.theme, scale.x(view.house)
        side = -1 if view.house <= view.start + 1 else 1
        wall = QRectF(QPointF(x + side * 9, _TOP - 4), QPointF(x, foot)).normalized()
        p.fillRect(wall, QColor(theme.hatch))
        p.setPen(QPen(QColor(theme.ink), 1.6))
        p.drawLine(QLineF(x, _TOP - 4, x, foot))

    def _pier(self, p: QPainter, pier: SidePier, scale: SideScale) -> None:
        """Draw hole and concrete, and the column on it."""
        theme, x = self._dress.theme, scale.x(pier.running)
        picked = pier.pier in self.picked
        edge = QPen(QColor(theme.work if picked else theme.ink), 2.0 if picked else 1.2)
        edge.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if pier.ground is not None and pier.profile:
            sides = [(pier.ground - depth, d / 2 * scale.across) for depth, d in pier.profile]
            if pier.bottom is not None and pier.bottom < sides[-1][0]:
                sides.append((pier.bottom, sides[-1][1]))
            if pier.top is not None:
                sides = [(pier.top, sides[0][1]), *((y, r) for y, r in sides[1:] if y < pier.top)]
            shape = [QPointF(x - r, scale.y(y)) for y, r in sides]
            shape += [QPointF(x + r, scale.y(y)) for y, r in reversed(sides)]
            p.setPen(edge if pier.top is not None else QPen(edge.color(), edge.widthF(), Qt.PenStyle.DashLine))
            p.setBrush(QColor(theme.slab if not theme.dark else theme.hatch))
            p.drawPolygon(QPolygonF(shape))
        if pier.foot is not None and pier.head is not None and pier.head > pier.foot:
            half = max(pier.column * scale.across / 2, 1.5)
            box = QRectF(QPointF(x - half, scale.y(pier.head)), QPointF(x + half, scale.y(pier.foot)))
            p.setPen(edge)
            p.setBrush(QColor(theme.paper))
            p.drawRect(box)

    def _support(self, p: QPainter, pier: SidePier, scale: SideScale) -> None:
        if pier.support is None:
            return
        x, y = scale.x(pier.running), scale.y(pier.support)
        half = max([d / 2 * scale.across for _, d in pier.profile] or [8.0]) + 5
        p.setPen(QPen(QColor(self._dress.theme.check), 1.6, Qt.PenStyle.DotLine))
        p.drawLine(QLineF(x - half, y, x + half, y))

    def _beam(self, p: QPainter, view: SideView, scale: SideScale) -> None:
        if view.beam is None:
            return
        theme = self._dress.theme
        a, b = (QPointF(scale.x(x), scale.y(y)) for x, y in view.beam)
        up = QPointF(0, -_BEAM_PX)
        p.setPen(Qt.PenStyle.NoPen)
        p.setBrush(QColor(theme.hatch))
        p.drawPolygon(QPolygonF([a, b, b + up, a + up]))
        p.setPen(QPen(QColor(theme.ink), 1.8))
        p.drawLine(a, b)

    def _string(self, p: QPainter, view: SideView, scale: SideScale) -> None:
        if view.string is None:
            return
        a, b = (QPointF(scale.x(x), scale.y(y)) for x, y in view.string)
        theme = self._dress.theme
        p.setPen(QPen(QColor(theme.work), 1.8, Qt.PenStyle.DashLine))
        p.drawLine(a, b)
        p.setPen(QPen(QColor(theme.work), 2.4))
        for end in (a, b):
            p.drawLine(end + QPointF(0, -4), end + QPointF(0, 4))

    def _names(self, p: QPainter, view: SideView, scale: SideScale, metrics: QFontMetricsF) -> None:
        """Write the piers' marks at the top, and what the lines are where there is room."""
        theme = self._dress.theme
        p.setFont(self._font(strong=True))
        strong = QFontMetricsF(self._font(strong=True))
        last = -1e9
        for pier in view.piers:
            wide = strong.horizontalAdvance(pier.label)
            x = scale.x(pier.running) - wide / 2
            if x - last < 4:
                continue
            last = x + wide
            p.setPen(QColor(theme.work if pier.pier in self.picked else theme.ink))
            p.drawText(QPointF(x, _TOP - 10 + metrics.ascent() * 0.4), pier.label)
        p.setFont(self._font())
        room = QRectF(_EDGE, _TOP - 24, self._gutter(metrics) - _EDGE, metrics.height() * 3.2)
        p.setPen(QColor(theme.soft))
        p.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap, self._says)
        marks = []
        if view.string is not None:
            marks.append((scale.y(view.string[0][1]), "string", theme.work))
        if view.beam is not None:
            marks.append((scale.y(view.beam[0][1]), "beam", theme.ink))
        supports = [p.support for p in view.piers if p.support is not None]
        if supports:
            marks.append((scale.y(supports[0]), "supports", theme.check))
        if view.ground and view.ground[0]:
            marks.append((scale.y(view.ground[0][0][1]), "ground", theme.soft))
        marks.sort()
        floor = scale.y0 + scale.tall + 8
        tops = words_apart([y for y, _, _ in marks], metrics.height(), room.bottom(), floor)
        for top, (_, word, ink) in zip(tops, marks, strict=True):
            p.setPen(QColor(ink))
            p.drawText(QRectF(_EDGE, top, 90, metrics.height()), Qt.AlignmentFlag.AlignVCenter, word)

    def _band(self, p: QPainter, scale: SideScale, metrics: QFontMetricsF, top: float) -> None:
        """Write the rows of numbers, each number under its pier."""
        theme, y = self._dress.theme, top
        for row in self._rows:
            stands = self._stands(row, scale, metrics)
            high = self._row_height(row, scale, metrics)
            p.setPen(QPen(QColor(theme.edge), 1))
            p.drawLine(QLineF(_EDGE, y, self.width() - _EDGE, y))
            p.setFont(self._font())
            p.setPen(QColor(theme.soft))
            p.drawText(QRectF(_EDGE, y, 200, high), Qt.AlignmentFlag.AlignVCenter, row.caption)
            p.setFont(self._font(strong=row.strong))
            last = -1e9
            for k, pier in enumerate(self._piers):
                x = scale.x(pier.running)
                if stands == "upright" and x - last < metrics.height() * 0.9:
                    continue
                last = x
                p.setPen(QColor(theme.work if pier.pier in self.picked else theme.ink))
                at, room = (y, high) if stands != "in turn" else (y + (k % 2) * (high - 3) / 2, high / 2)
                _write(p, x, at, room, row.number(pier.pier), turned=stands == "upright")
            y += high


def words_apart(ys: Sequence[float], high: float, ceiling: float, floor: float) -> list[float]:
    """Return the tops of words beside heights, from the highest down: none on another, all above the floor."""
    tops: list[float] = []
    for y in ys:
        tops.append(max(y - high / 2, tops[-1] + high if tops else ceiling))
    for k in reversed(range(len(tops))):
        tops[k] = min(tops[k], floor - high * (len(tops) - k))
    return tops


def _write(p: QPainter, x: float, y: float, high: float, text: str, *, turned: bool) -> None:
    middle = Qt.AlignmentFlag.AlignCenter
    if not turned:
        p.drawText(QRectF(x - 100, y, 200, high), middle, text)
        return
    p.save()
    p.translate(x, y + high / 2)
    p.rotate(-90)
    p.drawText(QRectF(-high / 2, -20, high, 40), middle, text)
    p.restore()
