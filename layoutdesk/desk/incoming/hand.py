"""What of a drawing follows the hand: what is picked and pointed at, signs of doubt, points that are measured."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QPainter, QPen

from layoutdesk.desk.canvas.strokes import pen, stroke
from layoutdesk.desk.incoming.painting import View, paint_points, pier_radius
from layoutdesk.desk.incoming.things import POINTS
from layoutdesk.desk.signs import draw_sign
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import Vector, distance, middle
from layoutdesk.session.incoming import Doubt

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Severity

ABOVE_PX: Final = 25.0
"""So far over its place stands the sign of a doubt."""


def paint_picked(painter: QPainter, view: View, indices: Collection[int]) -> None:
    """Paint things again as picked, with a glow under them, lines under points."""
    things, theme = view.things, view.theme
    points = [k for k in sorted(indices) if things.candidates[k].becomes in POINTS]
    lines = [k for k in sorted(indices) if things.candidates[k].becomes not in POINTS]
    for some in (lines, points):
        if some:
            _outlined(painter, view, some, QPen(colour(theme.glow), 11.0), extra=3.0)
            _outlined(painter, view, some, pen(theme.work, 2.6))
            if some is lines:
                paint_points(painter, view)


def paint_pointed(painter: QPainter, view: View, index: int) -> None:
    """Paint the thing under the pointer again."""
    _outlined(painter, view, [index], pen(view.theme.work, 2.6))


def _outlined(painter: QPainter, view: View, indices: list[int], made: QPen, *, extra: float = 0.0) -> None:
    things, camera = view.things, view.camera
    stroke(painter, made)
    for k in indices:
        candidate = things.candidates[k]
        if candidate.run:
            closed = (candidate.run[0],) if candidate.closed else ()
            painter.drawPolyline(camera.polygon((*candidate.run, *closed)))
        elif candidate.becomes == "nothing" or not candidate.size:
            for shape in candidate.shapes:
                painter.drawPolyline(camera.polygon(things.lines.run(shape).tolist()))
        if (candidate.size and not candidate.square) or not (candidate.run or candidate.shapes):
            r = pier_radius(camera, candidate) + extra
            painter.drawEllipse(camera.to_screen(candidate.centre), r, r)


def signs(view: View) -> list[tuple[Doubt, QPointF]]:
    """Return where the sign of each doubt stands, in pixels: over its place, so that the number stays readable."""
    found: list[tuple[Doubt, QPointF]] = []
    for doubt, at in view.things.doubt_places:
        where = view.camera.to_screen(at) + QPointF(0, -ABOVE_PX)
        while any((other - where).manhattanLength() < ABOVE_PX for _, other in found):
            where += QPointF(ABOVE_PX, 0)
        found.append((doubt, where))
    return found


def paint_doubt(painter: QPainter, view: View, where: QPointF, severity: Severity, *, lit: bool) -> None:
    """Paint the sign of something that does not agree."""
    theme = view.theme
    r = 15.0 if lit else 12.0
    painter.setPen(pen(theme.look if severity != "error" else theme.wrong, 2.4 if lit else 1.4))
    painter.setBrush(QBrush(colour(theme.look_wash if severity != "error" else theme.wrong_wash)))
    painter.drawEllipse(where, r, r)
    draw_sign(painter, QRectF(where.x() - 8, where.y() - 9, 16, 15), severity, theme)


def paint_measured(painter: QPainter, view: View, ends: list[Vector], to: Vector | None) -> None:
    """Paint the two points whose distance is being told, and the line between them."""
    places = [*ends, *([to] if to and len(ends) == 1 else [])]
    dots = [view.camera.to_screen(p) for p in places]
    stroke(painter, pen(view.theme.work, 2.2, (7, 4)))
    if len(dots) == 2 and distance(*places[:2]) > 0:
        painter.drawLine(dots[0], dots[1])
        painter.drawEllipse(view.camera.to_screen(middle(*places[:2])), 2, 2)
    for dot in dots:
        painter.setBrush(colour(view.theme.paper))
        painter.setPen(pen(view.theme.work, 2.2))
        painter.drawEllipse(dot, 5, 5)
