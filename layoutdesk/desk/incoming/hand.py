"""What of a drawing follows the hand: what is picked and pointed at, signs of doubt, points that are measured."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QPainter, QPainterPath, QPen

from layoutdesk.desk.canvas.strokes import pen, stroke
from layoutdesk.desk.incoming.painting import MOST_TEXTS, SMOOTH, View, pier_radius
from layoutdesk.desk.signs import draw_sign
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import Vector, distance, middle
from layoutdesk.session.incoming import Doubt

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Severity
    from layoutdesk.importers.proposal import Candidate

ABOVE_PX: Final = 25.0
"""So far over its place stands the sign of a doubt."""


def paint_picked(painter: QPainter, view: View, indices: list[int], *, ink: str, glow: str | None) -> None:
    """Paint things again as picked, with a glow under them, or as pointed at, without."""
    runs, camera = view.things.runs, view.camera
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, len(indices) <= SMOOTH)
    chosen = np.zeros(len(runs.count), dtype=bool)
    chosen[indices] = True
    chosen &= runs.within(*view.box)
    if not chosen.any():
        return
    x, y = camera.columns(runs.xy)
    path = runs.path(chosen & (runs.count > 1), x, y)
    path.addPath(_shapes_of_nothing(view, chosen))
    rounds = [k for k in np.nonzero(chosen)[0].tolist() if _is_round(view.things.candidates[k])]
    strokes = [(QPen(colour(glow), 11.0), 6.0)] if glow else []
    for made, extra in (*strokes, (pen(ink, 2.6), 0.0)):
        stroke(painter, made)
        painter.drawPath(path)
        for k in rounds[:MOST_TEXTS]:
            candidate = view.things.candidates[k]
            if not candidate.square:
                r = pier_radius(camera, candidate) + extra / 2
                painter.drawEllipse(camera.to_screen(candidate.centre), r, r)


def _is_round(candidate: Candidate) -> bool:
    """Return whether a thing is shown by a ring: it has a size, or nothing that could be drawn again."""
    return bool(candidate.size) or not (candidate.run or candidate.shapes)


def _shapes_of_nothing(view: View, chosen: NDArray[np.bool_]) -> QPainterPath:
    """Return the lines of those chosen things that have no run of their own."""
    things = view.things
    bare = chosen & np.array([not c.run for c in things.candidates], dtype=bool)
    if not bare.any() or not len(things.owner):
        return QPainterPath()
    shapes = bare[things.owner] & (things.owner >= 0)
    return things.lines.path(shapes, *view.camera.columns(things.lines.xy))


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
