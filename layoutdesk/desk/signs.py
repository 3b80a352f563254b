"""The sign of each severity: a shape of its own, so that colour is never alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from layoutdesk.desk.theme import Theme

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Severity


def draw_sign(p: QPainter, box: QRectF, severity: Severity, theme: Theme) -> None:
    """Draw a cross in a circle for an error, a triangle for a warning, an i in a circle for a note."""
    p.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink = QColor({"error": theme.wrong, "warning": theme.look, "note": theme.check}[severity])
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(QPen(ink, 1.7, j=Qt.PenJoinStyle.RoundJoin, c=Qt.PenCapStyle.RoundCap))
    m, top, low = box.center(), box.top() + 1, box.bottom() - 1
    if severity == "warning":
        p.drawPolygon(QPolygonF([QPointF(m.x(), top), QPointF(box.right() - 1, low), QPointF(box.left() + 1, low)]))
        return
    p.drawEllipse(box.adjusted(1, 1, -1, -1))
    r = box.width() * 0.19
    if severity == "error":
        p.drawLine(m + QPointF(-r, -r), m + QPointF(r, r))
        p.drawLine(m + QPointF(-r, r), m + QPointF(r, -r))
    else:
        p.drawLine(m + QPointF(0, -r * 0.2), m + QPointF(0, r * 1.3))
        p.drawPoint(m + QPointF(0, -r * 1.3))
