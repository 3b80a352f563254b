"""The right triangle that squares the first line, on the sheet while the Control page is open."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.crowding import naming_of
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.canvas.triangle_figures import END_PX, LENGTH_PX
from layoutdesk.desk.theme import colour

_MARK_PX = 12.0


def paint_square(painter: QPainter, scene: Scene) -> None:
    """Paint both legs and the long side in chalk blue, with their lengths and the names of its ends."""
    triangle = naming_of(scene).triangle
    if triangle is None:
        return
    theme = scene.theme
    corner, along, out = triangle.sides[0].p1(), triangle.sides[0].p2(), triangle.sides[1].p2()
    painter.setBrush(colour(theme.check, 0.07))
    painter.setPen(pen(theme.check, 1.8))
    painter.drawPolygon(QPolygonF([corner, along, out]))
    _right_angle(painter, scene, corner, along, out)
    fill(painter, theme.check)
    for at in (along, out):
        painter.drawEllipse(at, 3.5, 3.5)
    write = scene.lettering.write
    for box, name in triangle.names:
        write(painter, box.center(), name, END_PX, theme.check, weight="bold", anchor="middle")
    for box, text in triangle.lengths:
        painter.setBrush(colour(theme.paper))
        painter.setPen(pen(theme.check, 1.2))
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)
        write(painter, box.center(), text, LENGTH_PX, theme.check, weight="bold", anchor="middle")


def _right_angle(painter: QPainter, scene: Scene, corner: QPointF, along: QPointF, out: QPointF) -> None:
    """Paint the small square that marks a right angle."""
    one, two = QLineF(corner, along), QLineF(corner, out)
    if min(one.length(), two.length()) < 2 * _MARK_PX:
        return
    a, b = (along - corner) * (_MARK_PX / one.length()), (out - corner) * (_MARK_PX / two.length())
    stroke(painter, pen(scene.theme.check, 1.3))
    painter.drawPolyline([corner + a, corner + a + b, corner + b])
