"""Beam lines, attachments and control points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import colour
from layoutdesk.plan.model import Attachment, Control

Point = TypeVar("Point", Attachment, Control)

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
    for attachment, at, picked in _in_picture(painter, scene, scene.plan.attachments, glow=13):
        painter.setBrush(colour(theme.paper))
        painter.setPen(pen(theme.work, 2.6 if picked else 2.0))
        box = QRectF(at.x() - HALF, at.y() - HALF, 2 * HALF, 2 * HALF)
        painter.drawRect(box)
        if attachment.kind == "ledger":
            painter.drawLine(QPointF(box.left(), at.y()), QPointF(box.right(), at.y()))
        elif attachment.kind == "side-bolted":
            painter.drawLine(box.bottomLeft(), box.topRight())


def _in_picture(
    painter: QPainter, scene: Scene, points: Sequence[Point], *, glow: float
) -> Iterator[tuple[Point, QPointF, bool]]:
    """Yield points that are in the picture, where, and whether picked; picked ones glow so many pixels round."""
    for point in points:
        at = scene.camera.to_screen(point.at)
        if not scene.area.contains(at):
            continue
        picked = point.id in scene.selected
        if picked:
            fill(painter, scene.theme.glow)
            painter.drawEllipse(at, glow, glow)
        yield point, at, picked


def paint_controls(painter: QPainter, scene: Scene) -> None:
    """Paint the points that are taped from, as solid triangles standing on their point."""
    theme = scene.theme
    for _, at, picked in _in_picture(painter, scene, scene.plan.controls, glow=14):
        fill(painter, theme.work if picked else theme.ink)
        painter.drawPolygon(QPolygonF([at + QPointF(-7, 5), at + QPointF(7, 5), at + QPointF(0, -8)]))
