"""The chance of running short for every count of bags, drawn: read with the mouse or with the arrow keys."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.units import format_share

if TYPE_CHECKING:
    from layoutdesk.engine.concrete.shortage import CountChance

_HIGH: Final = 232
_MOST_DOTS: Final = 60
"""With more counts than this the curve is a line without dots."""
_SHARES: Final = (0.0, 0.25, 0.5, 0.75, 1.0)


class ChanceCurve(QWidget):
    """The curve of one product; the count that is ordered stands out, and the one that is pointed at is told."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self._points: tuple[CountChance, ...] = ()
        self._ordered = 0
        self._chance = 0.05
        self._at: int | None = None
        self.setMinimumHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName("Chance of running short for every count of bags")
        self.hide()
        dress.changed.connect(self._on_dress)

    def show_curve(self, points: Sequence[CountChance], *, ordered: int, chance: float) -> None:
        """Draw a curve.

        Args:
            points: the chance for every count that matters, rising counts.
            ordered: the count that is ordered.
            chance: of running short that is borne.
        """
        fresh = tuple(points)
        if (fresh, ordered, chance) == (self._points, self._ordered, self._chance):
            return  # most edits leave the order as it is
        if fresh != self._points:
            self._at = None
        self._points, self._ordered, self._chance = fresh, ordered, chance
        self.setVisible(bool(points))
        self._tell()

    @property
    def told(self) -> str:
        """Return what is told of the count that is pointed at, or of the one that is ordered."""
        point = self._shown()
        if point is None:
            return ""
        bags = "1 bag" if point.count == 1 else f"{point.count:,} bags"
        ordered = " ordered" if point.count == self._ordered else ""
        return f"{bags}{ordered}: short in {format_share(point.chance, tenths=True)} of jobs"

    def _shown(self) -> CountChance | None:
        if self._at is not None:
            return self._points[self._at]
        return next((p for p in self._points if p.count == self._ordered), None)

    def _tell(self) -> None:
        self.setAccessibleDescription(self.told)
        self.update()

    def _on_dress(self) -> None:
        self.setMinimumHeight(round(_HIGH * self._dress.scale))
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for a curve that is easy to read."""
        return QSize(380, round(_HIGH * self._dress.scale))

    # ---- reading

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Tell of the count under the mouse."""
        if self._points:
            first, last = self._span()
            plot = self._plot()
            wanted = first + (event.position().x() - plot.left()) / plot.width() * (last - first)
            self._at = min(range(len(self._points)), key=lambda k: abs(self._points[k].count - wanted))
            self._tell()

    def leaveEvent(self, event: QEvent) -> None:
        """Tell of the count that is ordered again, unless the keyboard reads."""
        super().leaveEvent(event)
        if not self.hasFocus():
            self._at = None
            self._tell()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from count to count."""
        keys, last = Qt.Key, len(self._points) - 1
        here = self._at
        if here is None:
            here = next((k for k, p in enumerate(self._points) if p.count == self._ordered), 0)
        page = max(1, len(self._points) // 10)
        where = {
            keys.Key_Left: here - 1,
            keys.Key_Right: here + 1,
            keys.Key_PageDown: here + page,
            keys.Key_PageUp: here - page,
            keys.Key_Home: 0,
            keys.Key_End: last,
        }.get(Qt.Key(event.key()))
        if where is not None and self._points:
            self._at = min(max(where, 0), last)
            self._tell()
        elif event.key() == keys.Key_Escape and self._at is not None:
            self._at = None
            self._tell()
        else:
            super().keyPressEvent(event)

    # ---- drawing

    def _plot(self) -> QRectF:
        scale = self._dress.scale
        return QRectF(self.rect()).adjusted(52 * scale, 40 * scale, -18, -42 * scale)

    def _span(self) -> tuple[int, int]:
        first, last = self._points[0].count, self._points[-1].count
        return first, max(last, first + 1)

    def _places(self, plot: QRectF) -> list[QPointF]:
        """Return where the points of the curve lie."""
        first, last = self._span()
        left, bottom, high, each = plot.left(), plot.bottom(), plot.height(), plot.width() / (last - first)
        return [QPointF(left + (p.count - first) * each, bottom - p.chance * high) for p in self._points]

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the axes, the curve, what is borne, what is ordered, and what is pointed at."""
        if not self._points:
            return
        p, theme = QPainter(self), self._dress.theme
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        focus = self.hasFocus()
        p.setPen(QPen(QColor(theme.work if focus else theme.edge), 2 if focus else 1))
        p.setBrush(QColor(theme.field))
        p.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 6, 6)
        self._draw_axes(p)
        plot = self._plot()
        places = self._places(plot)
        borne = plot.bottom() - self._chance * plot.height()
        p.setPen(QPen(QColor(theme.holds), 1.4, Qt.PenStyle.DashLine))
        p.drawLine(QLineF(plot.left(), borne, plot.right(), borne))
        p.setPen(QPen(QColor(theme.check), 2, j=Qt.PenJoinStyle.RoundJoin))
        p.drawPolyline(QPolygonF(places))
        if len(places) <= _MOST_DOTS:
            p.setBrush(QColor(theme.check))
            p.setPen(Qt.PenStyle.NoPen)
            for place in places:
                p.drawEllipse(place, 2.4, 2.4)
        for point, place in zip(self._points, places, strict=True):
            if point.count == self._ordered:
                self._draw_mark(p, place, theme.work)
        if self._at is not None and self._points[self._at].count != self._ordered:
            self._draw_mark(p, places[self._at], theme.ink)
        p.setFont(self._font(1.0, QFont.Weight.Bold))
        p.setPen(QColor(theme.ink))
        head = QRectF(12, 6, self.width() - 24, plot.top() - 12)
        told = p.fontMetrics().elidedText(self.told, Qt.TextElideMode.ElideRight, int(head.width()))
        p.drawText(head, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), told)

    def _draw_mark(self, p: QPainter, place: QPointF, name: str) -> None:
        plot = self._plot()
        p.setPen(QPen(QColor(name), 1.6))
        p.drawLine(QLineF(place.x(), plot.bottom(), place.x(), place.y()))
        p.setBrush(QColor(name))
        p.setPen(QPen(QColor(self._dress.theme.field), 1.5))
        p.drawEllipse(place, 6, 6)

    def _draw_axes(self, p: QPainter) -> None:
        theme, plot = self._dress.theme, self._plot()
        p.setFont(self._font(0.86))
        high = p.fontMetrics().height()
        right, middle = Qt.AlignmentFlag.AlignRight, Qt.AlignmentFlag.AlignVCenter
        for share in _SHARES:
            y = plot.bottom() - share * plot.height()
            p.setPen(QPen(QColor(theme.faint), 1))
            p.drawLine(QLineF(plot.left(), y, plot.right(), y))
            p.setPen(QColor(theme.soft))
            p.drawText(QRectF(0, y - high / 2, plot.left() - 7, high), int(right | middle), f"{share:.0%}")
        first, last = self._span()
        step = _nice(max(1.0, (last - first) / 6))
        for count in range(math.ceil(first / step) * step, last + 1, step):
            x = plot.left() + (count - first) / (last - first) * plot.width()
            p.setPen(QPen(QColor(theme.edge), 1))
            p.drawLine(QLineF(x, plot.bottom(), x, plot.bottom() + 4))
            p.setPen(QColor(theme.soft))
            room = QRectF(x - 40, plot.bottom() + 5, 80, high)
            p.drawText(room, int(Qt.AlignmentFlag.AlignHCenter), f"{count:,}")
        words = QRectF(plot.left(), plot.bottom() + 4 + high, plot.width(), high + 2)
        p.drawText(words, int(Qt.AlignmentFlag.AlignHCenter), "bags bought, and how often they run short")

    def _font(self, share: float, weight: QFont.Weight = QFont.Weight.Medium) -> QFont:
        f = QFont(self.font())
        f.setPointSizeF(self._dress.points(share))
        f.setWeight(weight)
        return f


def _nice(least: float) -> int:
    """Return the smallest of 1, 2, 5, 10, 20 … that is no less than ``least``."""
    size = 10 ** math.floor(math.log10(least))
    return int(next(size * k for k in (1, 2, 5, 10) if size * k >= least - 1e-9))
