"""The right triangle that squares the first line, on the sheet while the Control page is open."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import colour

_MARK_PX = 12.0


def paint_square(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint both legs and the long side in chalk blue, with their lengths and the names of its ends."""
    square = scene.layout.square if scene.squaring and scene.layout is not None else None
    if square is None:
        return
    theme = scene.theme
    corner, along, out = (scene.camera.to_screen(p) for p in (square.corner, square.on_line, square.out))
    painter.setBrush(colour(theme.check, 0.07))
    painter.setPen(pen(theme.check, 1.8))
    painter.drawPolygon(QPolygonF([corner, along, out]))
    _right_angle(painter, scene, corner, along, out)
    fill(painter, theme.check)
    for at in (along, out):
        painter.drawEllipse(at, 3.5, 3.5)
    for name, at in (("a", along), ("b", out)):
        writer.beside(at, 7.0, name, theme.check)
    sides = ((corner, along, square.leg_along), (corner, out, square.leg_out), (along, out, square.hypotenuse))
    for start, end, length in sides:
        spots = [start + (end - start) * share for share in (0.5, 0.4, 0.6, 0.3, 0.7)]
        writer.pill(spots, scene.length(length), edge=theme.check, ink=theme.check, pixels=12)


def _right_angle(painter: QPainter, scene: Scene, corner: QPointF, along: QPointF, out: QPointF) -> None:
    """Paint the small square that marks a right angle."""
    one, two = QLineF(corner, along), QLineF(corner, out)
    if min(one.length(), two.length()) < 2 * _MARK_PX:
        return
    a, b = (along - corner) * (_MARK_PX / one.length()), (out - corner) * (_MARK_PX / two.length())
    stroke(painter, pen(scene.theme.check, 1.3))
    painter.drawPolyline([corner + a, corner + a + b, corner + b])
