"""A pier's section, drawn to scale: the ground, the hole, the reveal, with depths and diameters written on it."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.plan.model import Detail

_HIGH = 230


class SectionDrawing(QWidget):
    """The section of one detail."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self._detail: Detail | None = None
        self._text = LengthText("mm", 1.0)
        self.setMinimumHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_detail(self, detail: Detail | None, text: LengthText) -> None:
        """Draw a detail."""
        self._detail, self._text = detail, text
        self.setVisible(detail is not None)
        if detail is not None:
            depth, wide = detail.profile[-1][0], max(d for _, d in detail.profile)
            self.setAccessibleName(f"Section of {detail.id}: {text(depth)} deep, {text(wide)} across at its widest")
        self.update()

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw ground, hole, reveal and their dimensions."""
        if self._detail is None:
            return
        p = QPainter(self)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, profile, reveal = self._dress.theme, self._detail.profile, max(0.0, self._detail.reveal)
        depth = max(profile[-1][0], 1.0)
        widest = max(1.0, *(d for _, d in profile))
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        p.setPen(QPen(QColor(theme.edge), 1))
        p.setBrush(QColor(theme.field))
        p.drawRoundedRect(box, 6, 6)
        margin = 26.0
        scale = min((box.height() - 2 * margin) / (depth + reveal), (box.width() - 190) / widest)
        middle = box.center().x() - 10
        ground = box.top() + margin + reveal * scale
        left = [QPointF(middle - d / 2 * scale, ground + z * scale) for z, d in profile]
        right = [QPointF(middle + d / 2 * scale, ground + z * scale) for z, d in reversed(profile)]
        top = profile[0][1] / 2 * scale
        shape = QPolygonF(
            [
                QPointF(middle + top, ground - reveal * scale),
                QPointF(middle - top, ground - reveal * scale),
                *left,
                *right,
            ]
        )
        soil = QRectF(box.left() + 1, ground, box.width() - 2, box.bottom() - ground - 1)
        p.fillRect(soil, QColor(theme.house))
        p.setPen(QPen(QColor(theme.ink), 1.6))
        p.drawLine(QLineF(box.left() + 1, ground, box.right() - 1, ground))
        p.setBrush(QColor(theme.slab if not theme.dark else theme.hatch))
        p.setPen(QPen(QColor(theme.work), 2, j=Qt.PenJoinStyle.RoundJoin))
        p.drawPolygon(shape)
        p.setPen(QPen(QColor(theme.soft), 1, Qt.PenStyle.DashLine))
        p.drawLine(QLineF(middle, ground - reveal * scale - 8, middle, ground + depth * scale + 8))
        self._write(p, middle + widest / 2 * scale, ground, scale, box)

    def _write(self, p: QPainter, right: float, ground: float, scale: float, box: QRectF) -> None:
        """Write depths at the left, diameters at the right; those that would lie on each other give way."""
        detail, theme = self._detail, self._dress.theme
        if detail is None:
            return
        f = QFont(self.font())
        f.setPointSizeF(self._dress.points(0.86))
        f.setWeight(QFont.Weight.DemiBold)
        p.setFont(f)
        p.setPen(QColor(theme.ink))
        high = p.fontMetrics().height()
        last_left = last_right = -1e9
        vertical = Qt.AlignmentFlag.AlignVCenter
        if detail.reveal > 0:
            y = ground - detail.reveal * scale
            p.drawText(QRectF(box.left() + 8, y - high, 90, high), vertical, f"↑ {self._text(detail.reveal)}")
            last_left = y - high / 2
        for z, d in detail.profile:
            y = ground + z * scale
            if z > 0 and y - last_left >= high:
                p.drawText(QRectF(box.left() + 8, y - high / 2, 90, high), vertical, f"↓ {self._text(z)}")
                last_left = y
            at = y + high * 0.6 if z == 0 else y - high * 0.6
            if at - last_right >= high:
                room = QRectF(right + 10, at - high / 2, box.right() - right - 16, high)
                p.drawText(room, vertical, f"Ø {self._text(d)}")
                last_right = at
