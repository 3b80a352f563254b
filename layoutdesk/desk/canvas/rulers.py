"""The rulers: stations along the top, offsets down the side, in steps of the tape."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPolygonF

from layoutdesk.desk.canvas.paper import grid_steps, lines_across
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen
from layoutdesk.units import MM_PER_FOOT, Units, format_length

TOP_PX: Final = 26
SIDE_PX: Final = 46


@lru_cache(maxsize=1024)
def ruler_text(mm: float, units: Units, step: float) -> str:
    """Return a number of the rulers, as short as its step allows: ``5′``, ``5′ 6″``, ``12.5``."""
    if units == "ft-in":
        feet = mm / MM_PER_FOOT
        if step >= MM_PER_FOOT and abs(feet - round(feet)) < 1e-9:
            return f"{round(feet)}′".replace("-", "−")
        return format_length(mm, units, step, pretty=True)
    if units == "mm":
        return f"{round(mm)}".replace("-", "−")
    decimals = 0 if step >= 1000 else (1 if step >= 100 else (2 if step >= 10 else 3))
    return f"{mm / 1000:.{decimals}f}".replace("-", "−")


def paint_rulers(painter: QPainter, scene: Scene, cursor: QPointF | None) -> None:
    """Paint both rulers, from the picture's edges to the plan's area, with a mark where the pointer is."""
    theme, area, units = scene.theme, scene.area, scene.plan.units
    top = QRectF(0, 0, area.right(), area.top())
    side = QRectF(0, area.top(), area.left(), area.height())
    painter.fillRect(top, QColor(theme.paper))
    painter.fillRect(side, QColor(theme.paper))
    painter.fillRect(QRectF(area.left(), area.top() - 1, area.width(), 1), QColor(theme.edge))
    painter.fillRect(QRectF(area.left() - 1, area.top(), 1, area.height()), QColor(theme.edge))
    fine, coarse = grid_steps(scene)
    ticks: list[QLineF] = []
    for step, reach in ((fine, 5.0), (coarse, 10.0)):
        upright, across = lines_across(scene, step)
        ticks += [QLineF(x, area.top() - 1, x, area.top() - reach) for _, x in upright]
        ticks += [QLineF(area.left() - 1, y, area.left() - reach, y) for _, y in across]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.setPen(pen(theme.soft, 1.0))
    painter.drawLines(ticks)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    painter.setFont(scene.lettering.font(12))
    painter.setPen(QColor(theme.soft))
    for k, x in upright:
        laid = scene.lettering.laid_out(ruler_text(k * coarse, units, coarse), 12)
        painter.drawStaticText(QPointF(x + 4, area.top() / 2 - 2 - laid.size().height() / 2), laid)
    for k, y in across:
        if y >= area.top() + 6:
            laid = scene.lettering.laid_out(ruler_text(k * coarse, units, coarse), 12)
            size = laid.size()
            painter.drawStaticText(QPointF(area.left() - 13 - size.width(), y - size.height() / 2), laid)
    _corner(painter, scene)
    if cursor is not None and area.contains(cursor):
        _cursor_marks(painter, scene, cursor)


def _corner(painter: QPainter, scene: Scene) -> None:
    """Write in the corner what the rulers read, where the numbers do not say it themselves."""
    area = scene.area
    corner = QRectF(0, 0, area.left() - 1, area.top() - 1)
    painter.fillRect(corner, QColor(scene.theme.paper))
    words = {"ft-in": "ft", "m": "m", "mm": "mm"}[scene.plan.units]
    if scene.bearings.frame is None:
        words = f"x y  {words}"
    scene.lettering.write(painter, corner.center(), words, 11, scene.theme.soft, anchor="middle")


def _cursor_marks(painter: QPainter, scene: Scene, cursor: QPointF) -> None:
    area = scene.area
    x, y = cursor.x(), cursor.y()
    fill(painter, scene.theme.work)
    top, side = area.top(), area.left()
    painter.drawPolygon(QPolygonF([QPointF(x, top), QPointF(x - 4.5, top - 8), QPointF(x + 4.5, top - 8)]))
    painter.drawPolygon(QPolygonF([QPointF(side, y), QPointF(side - 8, y - 4.5), QPointF(side - 8, y + 4.5)]))
