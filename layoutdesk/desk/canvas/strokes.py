"""Pens, tiles and small marks that several layers of the sheet share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from layoutdesk.desk.theme import colour


def pen(name: str, width: float, dashes: Sequence[float] = (), *, alpha: float = 1.0) -> QPen:
    """Return a pen of a theme colour; ``dashes`` are in pixels, on and off in turn."""
    made = QPen(colour(name, alpha), width)
    made.setCosmetic(True)
    made.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dashes:
        made.setDashPattern([d / width for d in dashes])
    return made


def dotted(name: str, width: float, gap: float, *, alpha: float = 1.0) -> QPen:
    """Return a pen of round dots ``gap`` pixels apart."""
    made = QPen(colour(name, alpha), width)
    made.setCosmetic(True)
    made.setCapStyle(Qt.PenCapStyle.RoundCap)
    made.setDashPattern([0.01, gap / width])
    return made


def fill(painter: QPainter, name: str, *, alpha: float = 1.0) -> None:
    """Paint what follows without an outline, filled with a theme colour."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(colour(name, alpha)))


def stroke(painter: QPainter, made: QPen) -> None:
    """Paint what follows as an outline only."""
    painter.setPen(made)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def tiled(painter: QPainter, shape: QPolygonF, tile: QPixmap, anchor: QPointF, area: QRectF) -> None:
    """Fill a shape with a tile that stays put on the ground: ``anchor`` is the pixel of one tile's corner."""
    box = shape.boundingRect().intersected(area)
    if box.isEmpty():
        return
    path = QPainterPath()
    path.addPolygon(shape)
    size = tile.deviceIndependentSize()
    shift = QPointF((box.x() - anchor.x()) % size.width(), (box.y() - anchor.y()) % size.height())
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    painter.drawTiledPixmap(box, tile, shift)
    painter.restore()


def hatch_tile(name: str, sharpness: float, *, step: int = 11) -> QPixmap:
    """Return a tile of slanting lines, rising to the right, ``step`` pixels apart."""
    tile = _blank(step, sharpness)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(name), 1.0))
    for shift in (-step, 0, step):
        painter.drawLine(QPointF(shift - 1, step + 1), QPointF(shift + step + 1, -1))
    painter.end()
    return tile


def dot_tile(name: str, sharpness: float, *, step: int = 14) -> QPixmap:
    """Return a tile of dots set in alternate rows, ``step`` pixels apart."""
    tile = _blank(step, sharpness)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    fill(painter, name)
    for x, y in ((step * 0.25, step * 0.25), (step * 0.75, step * 0.75)):
        painter.drawEllipse(QPointF(x, y), 1.0, 1.0)
    painter.end()
    return tile


def _blank(step: int, sharpness: float) -> QPixmap:
    side = math.ceil(step * sharpness)
    tile = QPixmap(side, side)
    tile.setDevicePixelRatio(side / step)
    tile.fill(Qt.GlobalColor.transparent)
    return tile


def upright(degrees: float) -> float:
    """Return the direction of a text along a line, turned so that nobody reads it upside down.

    Degrees clockwise on the screen, from -100 to 80: what is plumb, or within ten degrees of it, reads upward,
    so that the figures of one chain never turn against each other.
    """
    return (degrees + 100) % 180 - 100


@lru_cache(maxsize=8)
def halfway(a: str, b: str) -> str:
    """Return the colour halfway between two: opaque lines are painted several times faster than clear ones."""
    one, two = QColor(a), QColor(b)
    return QColor(
        (one.red() + two.red()) // 2, (one.green() + two.green()) // 2, (one.blue() + two.blue()) // 2
    ).name()
