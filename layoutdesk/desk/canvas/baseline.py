"""The baseline: where stations come from and which way they grow."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.paper import grid_steps
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import distance, plus, times

_LONG, _SHORT = 7.0, 4.0


def paint_baseline(painter: QPainter, scene: Scene) -> None:
    """Paint the baseline with a tick at every step of the rulers, a ring at its origin and a head at its end."""
    frame, base = scene.bearings.frame, scene.plan.baseline
    if frame is None or base is None:
        return
    theme, camera = scene.theme, scene.camera
    span = distance(base.origin, base.toward)
    start, end = camera.to_screen(base.origin), camera.to_screen(base.toward)
    stroke(painter, pen(theme.check, 1.6, (10, 3, 2, 3)))
    painter.drawLine(start, end)
    fine, coarse = grid_steps(scene)
    ticks: list[QLineF] = []
    for k in range(math.floor(span / fine) + 1):
        if k > 2000:
            break
        at = camera.to_screen(plus(base.origin, times(frame.along, k * fine)))
        tall = _LONG if abs(k * fine / coarse - round(k * fine / coarse)) < 1e-9 else _SHORT
        ticks.append(QLineF(at, at + QPointF(0, tall)))
    stroke(painter, pen(theme.check, 1.0))
    painter.drawLines(ticks)
    _head(painter, scene, start, end)
    painter.setBrush(colour(theme.paper))
    painter.setPen(pen(theme.check, 1.8))
    painter.drawEllipse(start, 4.0, 4.0)


def _head(painter: QPainter, scene: Scene, start: QPointF, end: QPointF) -> None:
    """Paint a slender arrow head at the far end."""
    way = QLineF(start, end)
    if way.length() < 30:
        return
    x, y = way.dx() / way.length(), way.dy() / way.length()
    fill(painter, scene.theme.check)
    painter.drawPolygon(
        QPolygonF(
            [
                end,
                QPointF(end.x() - 11 * x - 3.5 * y, end.y() - 11 * y + 3.5 * x),
                QPointF(end.x() - 11 * x + 3.5 * y, end.y() - 11 * y - 3.5 * x),
            ]
        )
    )
