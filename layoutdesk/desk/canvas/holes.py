"""What is sawn out of existing concrete, and on the page of the piers how every hole that was dug came out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from layoutdesk.desk.canvas.piers import piers_in_picture, radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.signs import draw_sign
from layoutdesk.desk.theme import colour

if TYPE_CHECKING:
    from layoutdesk.engine.holes.entries import HoleRow

MOST_PIERS: Final = 600
"""With more piers than this openings are drawn only while the page of the piers is open."""
_SIDE: Final = 15.0
_TICK: Final = ((0.22, 0.52), (0.43, 0.73), (0.79, 0.28))


def paint_openings(painter: QPainter, scene: Scene) -> None:
    """Paint openings in slabs as bare ground with the cuts of the saw round it, and dashed those between pieces."""
    layout = scene.layout
    if layout is None or not scene.plan.slabs or not (scene.numbers or scene.digging):
        return
    if len(scene.plan.piers) > MOST_PIERS and not scene.digging:
        return
    theme = scene.theme
    for opening in layout.openings:
        shape = scene.camera.polygon(opening.outline)
        if not shape.boundingRect().intersects(scene.area):
            continue
        picked = not scene.selected.isdisjoint(opening.pier_ids)
        fill(painter, theme.paper)
        painter.drawPolygon(shape)
        ink = theme.work if picked else theme.ink
        stroke(painter, pen(ink, 1.8))
        for cut in opening.cuts:
            painter.drawPolyline(scene.camera.polygon(cut.points))
        stroke(painter, pen(ink, 1.1, (5, 3)))
        for cut in opening.inner:
            painter.drawPolyline(scene.camera.polygon(cut.points))


def paint_hole_marks(painter: QPainter, scene: Scene) -> None:
    """Paint beside every pier whose hole was logged what becomes of it, and where its hole really is."""
    layout = scene.layout
    if layout is None or not scene.digging or not scene.plan.holes.log:
        return
    rows = {row.pier: row for row in layout.holes if row.verdict != "not logged"}
    for at, pier in piers_in_picture(scene):
        row = rows.get(pier.id)
        if row is None:
            continue
        _as_dug(painter, scene, at, row)
        out = 0.72 * max(radii(scene.plan, pier.detail, scene.camera.scale)) + 2
        # At the upper left: its mark is written at the right.
        _mark(painter, scene, QRectF(at.x() - out - _SIDE, at.y() - out - _SIDE, _SIDE, _SIDE), row)


def _as_dug(painter: QPainter, scene: Scene, at: QPointF, row: HoleRow) -> None:
    """Paint the hole's edge at the ground where it was dug off its place."""
    frame = scene.layout.frame if scene.layout is not None else None
    if frame is None or not row.top or not (row.along or row.away):
        return
    here, there = frame.point(0.0, 0.0), frame.point(row.along or 0.0, row.away or 0.0)
    off = scene.camera.to_screen(there) - scene.camera.to_screen(here)
    r = row.top / 2 * scene.camera.scale
    stroke(painter, pen(scene.theme.look if row.verdict == "to mend" else scene.theme.soft, 1.2, (4, 3)))
    painter.drawEllipse(at + off, r, r)


def _mark(painter: QPainter, scene: Scene, box: QRectF, row: HoleRow) -> None:
    """Paint a triangle for a hole that is mended first, a tick for one that may be poured, a disc once it is."""
    theme = scene.theme
    if row.verdict == "to mend" and not row.poured:
        draw_sign(painter, box, "warning", theme)
        return
    painter.setBrush(colour(theme.holds if row.poured else theme.paper))
    painter.setPen(pen(theme.holds, 1.6))
    painter.drawEllipse(box)
    made = QPen(colour(theme.paper if row.poured else theme.holds), 2.0)
    made.setCapStyle(Qt.PenCapStyle.RoundCap)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    stroke(painter, made)
    painter.drawPolyline([QPointF(box.left() + x * _SIDE, box.top() + y * _SIDE) for x, y in _TICK])
