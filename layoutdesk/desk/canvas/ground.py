"""What lies on the ground already: existing concrete, and what must not be crossed."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen, QPixmap, QPolygonF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dot_tile, fill, pen, stroke, tiled
from layoutdesk.desk.theme import colour
from layoutdesk.plan.model import Keepout


@lru_cache(maxsize=8)
def _tile(name: str, sharpness: float) -> QPixmap:
    return dot_tile(name, sharpness)


def paint_slabs(painter: QPainter, scene: Scene) -> None:
    """Paint existing concrete: grey and dotted, with its thickness."""
    theme = scene.theme
    anchor = scene.camera.to_screen((0.0, 0.0))
    for slab in scene.plan.slabs:
        shape = scene.camera.polygon(slab.outline)
        if not shape.boundingRect().intersects(scene.area):
            continue
        picked = slab.id in scene.selected
        fill(painter, theme.slab)
        painter.drawPolygon(shape)
        tiled(painter, shape, _tile(theme.hatch, scene.sharpness), anchor, scene.area)
        if picked:
            _glow(painter, scene, shape)
        stroke(painter, pen(theme.work if picked else theme.soft, 2.0 if picked else 1.2, (2, 3)))
        painter.drawPolygon(shape)
        _words(
            painter,
            scene,
            shape,
            f"existing slab {scene.length(slab.thickness)}",
            ground=theme.slab,
            ink=theme.soft,
        )


def paint_keepouts(painter: QPainter, scene: Scene) -> None:
    """Paint what neither auger nor tape may cross: growth in green, the rest in the colour of a warning."""
    theme = scene.theme
    for keepout in scene.plan.keepouts:
        shape = scene.camera.polygon(keepout.outline)
        if not shape.boundingRect().intersects(scene.area):
            continue
        ground, edge = keepout_colours(scene, keepout)
        fill(painter, ground)
        painter.drawPolygon(shape)
        picked = keepout.id in scene.selected
        if picked:
            _glow(painter, scene, shape)
        stroke(painter, pen(theme.work if picked else edge, 2.0 if picked else 1.3, (5, 4)))
        painter.drawPolygon(shape)
        _words(painter, scene, shape, keepout.kind, ground=ground, ink=edge)


def keepout_colours(scene: Scene, keepout: Keepout) -> tuple[str, str]:
    """Return ground and edge of a keep-out by what it is."""
    theme = scene.theme
    return (theme.growth, theme.holds) if keepout.kind == "tree" else (theme.look_wash, theme.look)


def _glow(painter: QPainter, scene: Scene, shape: QPolygonF) -> None:
    stroke(painter, QPen(colour(scene.theme.glow), 10.0))
    painter.drawPolygon(shape)


def _words(painter: QPainter, scene: Scene, shape: QPolygonF, text: str, *, ground: str, ink: str) -> None:
    """Write what a thing is, in its middle, where it is large enough to hold the words."""
    laid = scene.lettering.laid_out(text, 12).size()
    middle = _middle(shape)
    box = shape.boundingRect()
    if box.width() < laid.width() + 8 or box.height() < laid.height() + 4:
        return
    fill(painter, ground)
    patch = QRectF(0, 0, laid.width() + 10, laid.height() + 2)
    patch.moveCenter(middle)
    painter.drawRoundedRect(patch, 3, 3)
    scene.lettering.write(painter, middle, text, 12, ink, anchor="middle")


def _middle(shape: QPolygonF) -> QPointF:
    """Return the centre of area of an outline; the middle of its box where it has no area."""
    points = [shape.at(k) for k in range(shape.size())]
    area = x = y = 0.0
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        turn = a.x() * b.y() - b.x() * a.y()
        area += turn
        x += (a.x() + b.x()) * turn
        y += (a.y() + b.y()) * turn
    if abs(area) < 1e-6:
        return shape.boundingRect().center()
    return QPointF(x / (3 * area), y / (3 * area))
