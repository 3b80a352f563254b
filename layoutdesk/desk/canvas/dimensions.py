"""Dimensions on the sheet, and where each of them can be caught to retype it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QTransform

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke, upright
from layoutdesk.engine.layout import Dimension
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import distance, left, minus, plus, times, unit
from layoutdesk.gestures.kept import Kept

TEXT_PX = 13
_TICK = 4.0
_GAP = 4.0
_MOST = 500


@dataclass(frozen=True, slots=True)
class Placed:
    """A dimension as it lies on the screen: its line, the middle and turn of its text, and the text."""

    dimension: Dimension
    start: QPointF
    end: QPointF
    foot: QPointF
    toe: QPointF
    middle: QPointF
    turn: float
    text: str
    width: float
    height: float

    def holds(self, at: QPointF) -> bool:
        """Return whether a pixel is on the text."""
        turned = QTransform().rotate(-self.turn).map(at - self.middle)
        return abs(turned.x()) <= self.width / 2 + 3 and abs(turned.y()) <= self.height / 2 + 3


def _placed(scene: Scene) -> list[Placed]:
    if scene.layout is None:
        return []
    found: list[Placed] = []
    nearest = 12.0 / scene.camera.scale
    for dimension in scene.layout.dimensions:
        if distance(dimension.start, dimension.end) <= max(SAME_MM, 22.0 / scene.camera.scale):
            continue
        if abs(dimension.shift) > SAME_MM and abs(dimension.shift) < nearest:
            continue
        one = _place(scene, dimension)
        if one is not None:
            found.append(one)
            if len(found) >= _MOST:
                break
    return found


placed_dimensions = Kept(_placed)
"""Return the dimensions that are in the picture and long enough to read, as they lie on the screen."""


def _place(scene: Scene, dimension: Dimension) -> Placed | None:
    camera = scene.camera
    aside = times(left(unit(minus(dimension.end, dimension.start))), dimension.shift)
    start, end = camera.to_screen(plus(dimension.start, aside)), camera.to_screen(plus(dimension.end, aside))
    middle = (start + end) / 2
    line = QLineF(start, end)
    if not scene.area.adjusted(-60, -60, 60, 60).intersects(_box(start, end)):
        return None
    text = scene.length(dimension.value)
    size = scene.lettering.laid_out(text, TEXT_PX, "bold").size()
    turn = upright(math.degrees(math.atan2(line.dy(), line.dx())))
    if size.width() + 2 * _GAP + 8 > line.length():
        lift = QTransform().rotate(turn).map(QPointF(0, -size.height() / 2 - 3))
        middle += lift
        if size.width() > line.length() + 14:
            return None
    return Placed(
        dimension, start, end, camera.to_screen(dimension.start), camera.to_screen(dimension.end),
        middle, turn, text, size.width(), size.height(),
    )  # fmt: skip


def _box(a: QPointF, b: QPointF) -> QRectF:
    return QRectF(a, b).normalized().adjusted(-1, -1, 1, 1)


def paint_dimensions(painter: QPainter, scene: Scene) -> None:
    """Paint every dimension: thin lines out to it, ticks at its ends, and the length in a gap of its line."""
    theme = scene.theme
    lines: list[QLineF] = []
    thin: list[QLineF] = []
    ticks: list[QLineF] = []
    placed = placed_dimensions(scene)
    for one in placed:
        line = QLineF(one.start, one.end)
        x, y = line.dx() / line.length(), line.dy() / line.length()
        lines.append(line)
        for at, comes in ((one.start, one.foot), (one.end, one.toe)):
            out = QLineF(comes, at)
            if out.length() > 14:
                ux, uy = out.dx() / out.length(), out.dy() / out.length()
                thin.append(QLineF(comes + QPointF(ux * 5, uy * 5), at + QPointF(ux * 5, uy * 5)))
            slant = QPointF((x + y) * _TICK, (y - x) * _TICK)
            ticks.append(QLineF(at - slant, at + slant))
    stroke(painter, pen(theme.soft, 1.0, alpha=0.45))
    painter.drawLines(thin)
    stroke(painter, pen(theme.ink, 1.1))
    painter.drawLines(lines)
    stroke(painter, pen(theme.ink, 1.6))
    painter.drawLines(ticks)
    for one in placed:
        painter.save()
        painter.translate(one.middle)
        painter.rotate(one.turn)
        fill(painter, theme.paper)
        painter.drawRect(QRectF(-one.width / 2 - _GAP, -one.height / 2, one.width + 2 * _GAP, one.height))
        scene.lettering.write(painter, QPointF(0, 0), one.text, TEXT_PX, theme.ink, weight="bold", anchor="middle")
        painter.restore()
