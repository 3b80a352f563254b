"""Swing ties of the picked pier, and the diagonals of the chosen bay."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter

from layoutdesk.desk.canvas.piers import radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dotted, pen, stroke
from layoutdesk.desk.theme import colour
from layoutdesk.engine.layout import BayCheck


def paint_ties(painter: QPainter, scene: Scene) -> None:
    """Paint the tapes from the control points to the one picked pier.

    The two that put the stake most exactly are dotted dark, the others faint; one that cannot be pulled is
    broken, in the colour of a warning, and says what stands in its way.
    """
    plan, layout, theme = scene.plan, scene.layout, scene.theme
    if layout is None or len(scene.selected) != 1:
        return
    pier = next((p for p in plan.piers if p.id in scene.selected), None)
    if pier is None:
        return
    stake = layout.stakes.of(pier.id)
    best = {stake.best.first.control, stake.best.second.control} if stake.best else set()
    at = scene.camera.to_screen(pier.at)
    where = {c.id: c.at for c in plan.controls}
    for tie in stake.ties:
        start = scene.camera.to_screen(where[tie.control])
        if tie.blocked_by is not None:
            stroke(painter, pen(theme.look, 1.3, (7, 5)))
            painter.drawLine(start, at)
            _crossed(painter, scene, start, at, f"blocked by {tie.blocked_by}")
        elif tie.control in best:
            stroke(painter, dotted(theme.ink, 1.5, 4.5))
            painter.drawLine(start, at)
        else:
            stroke(painter, dotted(theme.soft, 1.2, 5.0, alpha=0.6))
            painter.drawLine(start, at)
    for tie in stake.ties:
        if tie.control in best and tie.blocked_by is None:
            start = scene.camera.to_screen(where[tie.control])
            _pill(
                painter, scene, _share(start, at, 0.62), scene.length(tie.distance), edge=theme.soft, ink=theme.ink
            )


def _share(a: QPointF, b: QPointF, share: float) -> QPointF:
    return QPointF(a.x() + (b.x() - a.x()) * share, a.y() + (b.y() - a.y()) * share)


def _crossed(painter: QPainter, scene: Scene, start: QPointF, end: QPointF, words: str) -> None:
    """Mark a tape that cannot be pulled with a cross and the reason."""
    middle = _share(start, end, 0.5)
    stroke(painter, pen(scene.theme.look, 2.0))
    painter.drawLines(
        [
            QLineF(middle + QPointF(-5, -5), middle + QPointF(5, 5)),
            QLineF(middle + QPointF(-5, 5), middle + QPointF(5, -5)),
        ]
    )
    width = scene.lettering.width(words, 11)
    _pill(
        painter,
        scene,
        middle + QPointF(width / 2 + 18, 0),
        words,
        edge=scene.theme.look,
        ink=scene.theme.look,
        size=11,
    )


def _pill(
    painter: QPainter,
    scene: Scene,
    middle: QPointF,
    text: str,
    *,
    edge: str,
    ink: str,
    size: float = 12,
) -> QRectF:
    """Write a text in a rounded box on the paper, and return the box."""
    laid = scene.lettering.laid_out(text, size, "bold").size()
    box = QRectF(0, 0, laid.width() + 18, laid.height() + 4)
    box.moveCenter(middle)
    painter.setBrush(colour(scene.theme.paper))
    painter.setPen(pen(edge, 1.2))
    painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)
    scene.lettering.write(painter, middle, text, size, ink, weight="bold", anchor="middle")
    return box


def shown_bay(scene: Scene) -> BayCheck | None:
    """Return the bay whose diagonals are to be shown, or None."""
    if scene.layout is None or scene.bay is None:
        return None
    return next((bay for bay in scene.layout.bays if bay.id == scene.bay), None)


def paint_bay(painter: QPainter, scene: Scene) -> None:
    """Paint the two diagonals of the chosen bay in chalk blue, named A and B with their lengths."""
    bay = shown_bay(scene)
    if bay is None:
        return
    theme = scene.theme
    taken: list[QRectF] = []
    for name, (i, j), length in zip("AB", ((0, 2), (1, 3)), bay.diagonals, strict=True):
        start, end = scene.camera.to_screen(bay.places[i]), scene.camera.to_screen(bay.places[j])
        line = QLineF(start, end)
        if line.length() < 1:
            continue
        clear = _clear(scene, bay.corners[i]), _clear(scene, bay.corners[j])
        shown = QLineF(
            _share(start, end, min(clear[0] / line.length(), 0.5)),
            _share(start, end, max(1 - clear[1] / line.length(), 0.5)),
        )
        stroke(painter, pen(theme.check, 1.7, (9, 5)))
        painter.drawLine(shown)
        text = f"{name}  {scene.length(length)}"
        spot = _free_spot(scene, start, end, text, taken)
        taken.append(_pill(painter, scene, spot, text, edge=theme.check, ink=theme.check, size=13))


def _clear(scene: Scene, point_id: str) -> float:
    """Return how far from a corner its diagonal begins, in pixels: outside the pier's circle."""
    pier = next((p for p in scene.plan.piers if p.id == point_id), None)
    return 7.0 if pier is None else max(radii(scene.plan, pier.detail, scene.camera.scale)) + 2


def _free_spot(scene: Scene, start: QPointF, end: QPointF, text: str, taken: list[QRectF]) -> QPointF:
    """Return where along a diagonal its label keeps clear of those already placed."""
    laid = scene.lettering.laid_out(text, 13, "bold").size()
    spots = [_share(start, end, share) for share in (0.3, 0.7, 0.2, 0.8)]
    for spot in spots:
        box = QRectF(0, 0, laid.width() + 24, laid.height() + 8)
        box.moveCenter(spot)
        if not any(box.intersects(other) for other in taken):
            return spot
    return spots[0]
