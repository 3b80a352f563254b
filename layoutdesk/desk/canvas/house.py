"""The house: hatched, with its walls in ink."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPen, QPixmap

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, hatch_tile, pen, stroke, tiled
from layoutdesk.desk.theme import colour

WALL_PX = 3.0
THROUGH = 0.3
"""How strongly the house is painted while something lies under the sheet."""


@lru_cache(maxsize=8)
def _tile(name: str, sharpness: float) -> QPixmap:
    return hatch_tile(name, sharpness)


def paint_house(painter: QPainter, scene: Scene) -> None:
    """Paint the ground that the house stands on, hatched."""
    if scene.layout is None:
        return
    anchor = scene.camera.to_screen((0.0, 0.0))
    # The wall of a drawing under the sheet is what it is laid by: it must be seen through the house.
    alpha = THROUGH if any(u.shown for u in scene.underlays) else 1.0
    for outline in scene.layout.house.outlines:
        shape = scene.camera.polygon(outline)
        if not shape.boundingRect().intersects(scene.area):
            continue
        fill(painter, scene.theme.house, alpha=alpha)
        painter.drawPolygon(shape)
        tiled(painter, shape, _tile(scene.theme.hatch, scene.sharpness), anchor, scene.area)


def paint_walls(painter: QPainter, scene: Scene) -> None:
    """Paint every wall as the edge that is measured from; a picked one glows."""
    for wall in scene.plan.walls:
        shape = scene.camera.polygon(wall.points)
        picked = wall.id in scene.selected
        if picked:
            glow = QPen(colour(scene.theme.glow), 13.0)
            glow.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            glow.setCapStyle(Qt.PenCapStyle.RoundCap)
            stroke(painter, glow)
            painter.drawPolyline(shape)
        edge = pen(scene.theme.work if picked else scene.theme.ink, WALL_PX)
        edge.setCapStyle(Qt.PenCapStyle.SquareCap)
        stroke(painter, edge)
        painter.drawPolyline(shape)
