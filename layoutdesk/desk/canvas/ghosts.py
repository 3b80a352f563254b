"""What a gesture shows over the plan while it is under way, and the slip that says why a snap holds."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dotted, fill, pen, stroke
from layoutdesk.desk.theme import colour
from layoutdesk.gestures.gesture import Ghost, Preview, Snap


def paint_preview(painter: QPainter, scene: Scene, preview: Preview) -> None:
    """Paint guides, then shapes to be, then the ring where a snap holds."""
    for ghost in preview.ghosts:
        _GHOSTS[ghost.kind](painter, scene, ghost)
    if preview.snap is not None:
        for start, end in preview.snap.guides:
            stroke(painter, dotted(scene.theme.check, 1.6, 5.0, alpha=0.85))
            painter.drawLine(scene.camera.to_screen(start), scene.camera.to_screen(end))
        stroke(painter, pen(scene.theme.work, 1.8))
        painter.drawEllipse(scene.camera.to_screen(preview.snap.at), 5.5, 5.5)


def _line(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    width = 3.0 if ghost.kind == "wall" else 1.8
    stroke(painter, pen(scene.theme.work, width, () if ghost.kind == "wall" else (8, 4)))
    painter.drawPolyline(scene.camera.polygon(ghost.points))
    _ends(painter, scene, ghost)
    _label(painter, scene, ghost)


def _outline(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    shape = scene.camera.polygon(ghost.points)
    fill(painter, scene.theme.work, alpha=0.10)
    painter.drawPolygon(shape)
    stroke(painter, pen(scene.theme.work, 1.8, (8, 4)))
    painter.drawPolygon(shape)
    _label(painter, scene, ghost)


def _box(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    shape = scene.camera.polygon(ghost.points)
    fill(painter, scene.theme.check, alpha=0.10)
    painter.drawPolygon(shape)
    stroke(painter, pen(scene.theme.check, 1.2, (4, 3)))
    painter.drawPolygon(shape)


def _guide(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    stroke(painter, dotted(scene.theme.check, 1.6, 5.0, alpha=0.85))
    painter.drawPolyline(scene.camera.polygon(ghost.points))
    _label(painter, scene, ghost)


def _baseline(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    stroke(painter, pen(scene.theme.check, 2.2, (10, 3, 2, 3)))
    painter.drawPolyline(scene.camera.polygon(ghost.points))
    _ends(painter, scene, ghost)
    _label(painter, scene, ghost)


def _pier(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    radius = max(ghost.radius * scene.camera.scale, 5.0)
    for point in ghost.points:
        at = scene.camera.to_screen(point)
        painter.setBrush(colour(scene.theme.work, 0.16))
        painter.setPen(pen(scene.theme.work, 2.2))
        painter.drawEllipse(at, radius, radius)
        arm = min(radius * 0.55, 12)
        painter.drawLine(at - QPointF(arm, 0), at + QPointF(arm, 0))
        painter.drawLine(at - QPointF(0, arm), at + QPointF(0, arm))
    _label(painter, scene, ghost)


def _square(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    for point in ghost.points:
        at = scene.camera.to_screen(point)
        painter.setBrush(colour(scene.theme.work, 0.2))
        painter.setPen(pen(scene.theme.work, 2.0))
        painter.drawRect(QRectF(at.x() - 5, at.y() - 5, 10, 10))
    _label(painter, scene, ghost)


def _handle(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    for point in ghost.points:
        at = scene.camera.to_screen(point)
        painter.setBrush(colour(scene.theme.paper))
        painter.setPen(pen(scene.theme.work, 1.6))
        painter.drawRect(QRectF(at.x() - 4, at.y() - 4, 8, 8))


def _mark(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    """Mark a point that was pressed: a cross that leaves the point itself open, and its number."""
    for point in ghost.points:
        at = scene.camera.to_screen(point)
        for width, name in ((4.0, scene.theme.paper), (1.8, scene.theme.work)):
            stroke(painter, pen(name, width))
            for way in (QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)):
                painter.drawLine(at + way * 4, at + way * 12)
        if ghost.label:
            middle = at + QPointF(15, -15)
            fill(painter, scene.theme.work)
            painter.drawEllipse(middle, 9.5, 9.5)
            scene.lettering.write(
                painter, middle, ghost.label, 12, scene.theme.work_ink, weight="bold", anchor="middle"
            )


def _ends(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    fill(painter, scene.theme.work)
    for point in ghost.points[:400]:
        painter.drawEllipse(scene.camera.to_screen(point), 3.2, 3.2)


def _label(painter: QPainter, scene: Scene, ghost: Ghost) -> None:
    """Write what a shape will be, or how long it is, beside its last point."""
    if not ghost.label or not ghost.points:
        return
    if len(ghost.points) > 1:
        a, b = (scene.camera.to_screen(p) for p in ghost.points[-2:])
        at = (a + b) / 2
    else:
        at = scene.camera.to_screen(ghost.points[0]) - QPointF(0, max(ghost.radius * scene.camera.scale, 5) + 12)
    laid = scene.lettering.laid_out(ghost.label, 13, "bold").size()
    patch = QRectF(0, 0, laid.width() + 12, laid.height() + 2)
    patch.moveCenter(at)
    if scene.area.contains(at):
        patch.moveRight(min(patch.right(), scene.area.right() - 4))
        patch.moveLeft(max(patch.left(), scene.area.left() + 4))
        at = patch.center()
    fill(painter, scene.theme.paper, alpha=0.9)
    painter.drawRoundedRect(patch, 4, 4)
    scene.lettering.write(painter, at, ghost.label, 13, scene.theme.work, weight="bold", anchor="middle")


_GHOSTS = {
    "wall": _line,
    "line": _line,
    "outline": _outline,
    "pier": _pier,
    "attachment": _square,
    "control": _square,
    "baseline": _baseline,
    "guide": _guide,
    "box": _box,
    "handle": _handle,
    "mark": _mark,
    "spot": _mark,
}


def paint_slip(painter: QPainter, scene: Scene, snap: Snap) -> None:
    """Write why the snap holds on a slip beside the pointer, inside the picture."""
    theme, at = scene.theme, scene.camera.to_screen(snap.at)
    laid = scene.lettering.laid_out(snap.reason, 13).size()
    box = QRectF(at.x() + 30, at.y() + 16, laid.width() + 20, laid.height() + 10)
    if box.right() > scene.area.right() - 4:
        box.moveRight(at.x() - 30)
    if box.bottom() > scene.area.bottom() - 4:
        box.moveBottom(at.y() - 16)
    box.moveLeft(max(box.left(), scene.area.left() + 4))
    fill(painter, theme.note, alpha=0.96)
    painter.drawRoundedRect(box, 4, 4)
    middle = QPointF(box.left() + 10, box.center().y())
    scene.lettering.write(painter, middle, snap.reason, 13, theme.note_ink)


def paint_hover(painter: QPainter, scene: Scene, piece_id: str | None) -> None:
    """Ring the piece that lies under the pointer, so that one sees what a click would pick."""
    if piece_id is None or piece_id in scene.selected:
        return
    from layoutdesk.desk.canvas.piers import radii
    from layoutdesk.plan.model import Pier, places_of

    piece = scene.plan.piece(piece_id)
    if piece is None:
        return
    halo = QPen(colour(scene.theme.work, 0.35), 7.0)
    halo.setCapStyle(Qt.PenCapStyle.RoundCap)
    halo.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    places = places_of(piece)
    if len(places) == 1:
        radius = 9.0
        if isinstance(piece, Pier):
            radius = max(*radii(scene.plan, piece.detail, scene.camera.scale), 4.0) + 4
        halo.setWidthF(3.0)
        stroke(painter, halo)
        painter.drawEllipse(scene.camera.to_screen(places[0]), radius, radius)
        return
    stroke(painter, halo)
    if hasattr(piece, "outline"):
        painter.drawPolygon(scene.camera.polygon(places))
    else:
        painter.drawPolyline(scene.camera.polygon(places))
