"""The house: hatched, with its walls in ink."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPixmap, QPolygonF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, hatch_tile, pen, stroke, tiled
from layoutdesk.desk.theme import colour

WALL_PX = 3.0


@lru_cache(maxsize=8)
def _tile(name: str, sharpness: float) -> QPixmap:
    return hatch_tile(name, sharpness)


def paint_house(painter: QPainter, scene: Scene) -> None:
    """Paint the ground that the house stands on, hatched, and its name where there is room."""
    if scene.layout is None:
        return
    anchor = scene.camera.to_screen((0.0, 0.0))
    for outline in scene.layout.house.outlines:
        shape = scene.camera.polygon(outline)
        if not shape.boundingRect().intersects(scene.area):
            continue
        fill(painter, scene.theme.house)
        painter.drawPolygon(shape)
        tiled(painter, shape, _tile(scene.theme.hatch, scene.sharpness), anchor, scene.area)
        _name(painter, scene, shape)


def _name(painter: QPainter, scene: Scene, shape: QPolygonF) -> None:
    """Write HOUSE where the outline is widest, on a patch of its own ground."""
    box = _roomiest(shape)
    if box.width() < 130 or box.height() < 34:
        return
    laid = scene.lettering.laid_out("HOUSE", 12, "bold", spacing=3.0).size()
    patch = QRectF(0, 0, laid.width() + 14, laid.height() + 6)
    patch.moveCenter(box.center())
    fill(painter, scene.theme.house)
    painter.drawRoundedRect(patch, 3, 3)
    scene.lettering.write(
        painter,
        patch.center() + QPointF(1.5, 0),
        "HOUSE",
        12,
        scene.theme.soft,
        weight="bold",
        anchor="middle",
        spacing=3.0,
    )


def _roomiest(shape: QPolygonF) -> QRectF:
    """Return the largest of the upright rectangles between the corners that lies inside the outline."""
    corners = [shape.at(k) for k in range(shape.size())]
    xs = sorted({round(p.x(), 1) for p in corners})
    ys = sorted({round(p.y(), 1) for p in corners})
    best = QRectF()
    if len(xs) > 12 or len(ys) > 12:
        return best
    for left in range(len(xs) - 1):
        for right in range(left + 1, len(xs)):
            for top in range(len(ys) - 1):
                for bottom in range(top + 1, len(ys)):
                    box = QRectF(QPointF(xs[left], ys[top]), QPointF(xs[right], ys[bottom]))
                    if box.width() * box.height() <= best.width() * best.height():
                        continue
                    inner = box.adjusted(2, 2, -2, -2)
                    probes = (inner.topLeft(), inner.topRight(), inner.bottomLeft(), inner.bottomRight())
                    if all(shape.containsPoint(p, Qt.FillRule.OddEvenFill) for p in (*probes, inner.center())):
                        best = box
    return best


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
