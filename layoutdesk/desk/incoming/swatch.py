"""The small mark of each kind, as it is drawn on the drawing."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import Theme, colour
from layoutdesk.importers.proposal import Becomes


def paint_swatch(painter: QPainter, box: QRectF, kind: Becomes | None, theme: Theme) -> None:
    """Paint the mark of a kind into a box; two dots where things become this and that."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    m = box.center()
    left, right = QPointF(box.left() + 1, m.y()), QPointF(box.right() - 1, m.y())
    match kind:
        case "pier":
            painter.setBrush(colour(theme.glow))
            painter.setPen(pen(theme.ink, 1.8))
            painter.drawEllipse(m, 5.5, 5.5)
        case "wall":
            stroke(painter, pen(theme.ink, 3.2))
            painter.drawLine(left, right)
        case "beam line":
            stroke(painter, pen(theme.check, 2.2, (5, 3)))
            painter.drawLine(left, right)
        case "slab":
            fill(painter, theme.slab)
            painter.setPen(pen(theme.soft, 1.4, (2, 2)))
            painter.drawRect(QRectF(m.x() - 6, m.y() - 5, 12, 10))
        case "keep-out":
            painter.setBrush(colour(theme.look_wash))
            painter.setPen(pen(theme.look, 1.5, (4, 2)))
            painter.drawEllipse(m, 6, 5.5)
        case "attachment":
            painter.setBrush(colour(theme.paper))
            painter.setPen(pen(theme.work, 2.0))
            painter.drawRect(QRectF(m.x() - 4.5, m.y() - 4.5, 9, 9))
        case "control point":
            fill(painter, theme.ink)
            shape = (QPointF(0, -6), QPointF(5.5, 4.5), QPointF(-5.5, 4.5))
            painter.drawPolygon(QPolygonF([m + corner for corner in shape]))
        case "spot":
            stroke(painter, pen(theme.ink, 1.8))
            for rise in (-4.5, 4.5):
                painter.drawLine(m + QPointF(-4.5, rise), m - QPointF(-4.5, rise))
        case "nothing":
            stroke(painter, pen(theme.soft, 1.4))
            painter.drawLine(m - QPointF(4, 0), m + QPointF(4, 0))
        case None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour(theme.ink))
            painter.drawEllipse(m - QPointF(4, 0), 2.4, 2.4)
            painter.setBrush(colour(theme.soft))
            painter.drawEllipse(m + QPointF(4, 0), 2.4, 2.4)
    painter.restore()
