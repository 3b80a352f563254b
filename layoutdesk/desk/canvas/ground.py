"""What lies on the ground already: existing concrete, and what must not be crossed."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QPainter, QPen, QPixmap, QPolygonF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dot_tile, fill, pen, stroke, tiled
from layoutdesk.desk.theme import colour
from layoutdesk.plan.model import Keepout


@lru_cache(maxsize=8)
def _tile(name: str, sharpness: float) -> QPixmap:
    return dot_tile(name, sharpness)


def paint_slabs(painter: QPainter, scene: Scene) -> None:
    """Paint existing concrete: grey and dotted."""
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


def keepout_colours(scene: Scene, keepout: Keepout) -> tuple[str, str]:
    """Return ground and edge of a keep-out by what it is."""
    theme = scene.theme
    return (theme.growth, theme.holds) if keepout.kind == "tree" else (theme.look_wash, theme.look)


def _glow(painter: QPainter, scene: Scene, shape: QPolygonF) -> None:
    stroke(painter, QPen(colour(scene.theme.glow), 10.0))
    painter.drawPolygon(shape)
