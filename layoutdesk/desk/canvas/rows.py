"""Beam lines, attachments and control points."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import colour

HALF = 5.0
"""Half the side of an attachment's square, in pixels."""


def paint_lines(painter: QPainter, scene: Scene) -> None:
    """Paint beam lines as the mason's string; picked ones glow."""
    theme = scene.theme
    plain: list[QLineF] = []
    for line in scene.plan.lines:
        drawn = QLineF(scene.camera.to_screen(line.start), scene.camera.to_screen(line.end))
        if line.id not in scene.selected:
            plain.append(drawn)
            continue
        glow = QPen(colour(theme.glow), 12.0)
        glow.setCapStyle(Qt.PenCapStyle.RoundCap)
        stroke(painter, glow)
        painter.drawLine(drawn)
        stroke(painter, pen(theme.work, 3.0))
        painter.drawLine(drawn)
    stroke(painter, pen(theme.work, 1.7))
    painter.drawLines(plain)


def paint_attachments(painter: QPainter, scene: Scene) -> None:
    """Paint where beams meet the house: an open square for a post in the wall, barred for what is bolted on."""
    theme = scene.theme
    for attachment in scene.plan.attachments:
        at = scene.camera.to_screen(attachment.at)
        if not scene.area.contains(at):
            continue
        picked = attachment.id in scene.selected
        if picked:
            fill(painter, theme.glow)
            painter.drawEllipse(at, 13, 13)
        painter.setBrush(colour(theme.paper))
        painter.setPen(pen(theme.work, 2.6 if picked else 2.0))
        box = QRectF(at.x() - HALF, at.y() - HALF, 2 * HALF, 2 * HALF)
        painter.drawRect(box)
        if attachment.kind == "ledger":
            painter.drawLine(QPointF(box.left(), at.y()), QPointF(box.right(), at.y()))
        elif attachment.kind == "side-bolted":
            painter.drawLine(box.bottomLeft(), box.topRight())


def paint_controls(painter: QPainter, scene: Scene) -> None:
    """Paint the points that are taped from, as solid triangles standing on their point."""
    theme = scene.theme
    for control in scene.plan.controls:
        at = scene.camera.to_screen(control.at)
        if not scene.area.contains(at):
            continue
        picked = control.id in scene.selected
        if picked:
            fill(painter, theme.glow)
            painter.drawEllipse(at, 14, 14)
        fill(painter, theme.work if picked else theme.ink)
        painter.drawPolygon(QPolygonF([at + QPointF(-7, 5), at + QPointF(7, 5), at + QPointF(0, -8)]))
