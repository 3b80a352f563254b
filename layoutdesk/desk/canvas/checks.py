"""Swing ties of the picked pier, and the diagonals of the chosen bay."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPainter

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.piers import radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dotted, pen, stroke
from layoutdesk.engine.layout import BayCheck, Tie

_SHARES = (0.62, 0.5, 0.38, 0.72, 0.28, 0.82)


def _ties(scene: Scene) -> Iterator[tuple[Tie, bool, QPointF, QPointF]]:
    """Yield the tapes to the one picked pier: each with whether it is one of the best two, and its ends."""
    plan, layout = scene.plan, scene.layout
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
        yield tie, tie.control in best and tie.blocked_by is None, scene.camera.to_screen(where[tie.control]), at


def paint_ties(painter: QPainter, scene: Scene) -> None:
    """Paint the tapes from the control points to the one picked pier.

    The two that put the stake most exactly are dotted dark, the others faint; one that cannot be pulled is
    broken, in the colour of a warning.
    """
    theme = scene.theme
    for tie, best, start, end in _ties(scene):
        if tie.blocked_by is not None:
            stroke(painter, pen(theme.look, 1.3, (7, 5)))
        elif best:
            stroke(painter, dotted(theme.ink, 1.5, 4.5))
        else:
            stroke(painter, dotted(theme.soft, 1.2, 5.0, alpha=0.6))
        painter.drawLine(start, end)


def paint_tie_lengths(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Write the lengths of the best two tapes, and what stands in the way of those that cannot be pulled."""
    theme = scene.theme
    for tie, best, start, end in _ties(scene):
        if tie.blocked_by is not None:
            middle = _share(start, end, 0.5)
            stroke(painter, pen(theme.look, 2.0))
            for dy in (-5, 5):
                painter.drawLine(middle + QPointF(-5, dy), middle + QPointF(5, -dy))
            words = f"barred by {tie.blocked_by}"
            spots = [middle + QPointF(scene.lettering.width(words, 11, "bold") / 2 + 22, 0)]
            spots += [_share(start, end, share) for share in (0.62, 0.38, 0.75, 0.25)]
            writer.pill(spots, words, edge=theme.look, ink=theme.look, pixels=11)
        elif best:
            spots = [_share(start, end, share) for share in _SHARES]
            writer.pill(spots, scene.length(tie.distance), edge=theme.soft, ink=theme.ink, pixels=12)


def _share(a: QPointF, b: QPointF, share: float) -> QPointF:
    return QPointF(a.x() + (b.x() - a.x()) * share, a.y() + (b.y() - a.y()) * share)


def shown_bay(scene: Scene) -> BayCheck | None:
    """Return the bay whose diagonals are to be shown, or None."""
    if scene.layout is None or scene.bay is None:
        return None
    return next((bay for bay in scene.layout.bays if bay.id == scene.bay), None)


def paint_bay(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint the two diagonals of the chosen bay in chalk blue, named A and B with their lengths."""
    bay = shown_bay(scene)
    if bay is None:
        return
    theme = scene.theme
    ends = [
        (scene.camera.to_screen(bay.places[i]), scene.camera.to_screen(bay.places[j])) for i, j in ((0, 2), (1, 3))
    ]
    for (start, end), (i, j) in zip(ends, ((0, 2), (1, 3)), strict=True):
        length = QLineF(start, end).length()
        if length < 1:
            continue
        near, far = _clear(scene, bay.corners[i]) / length, _clear(scene, bay.corners[j]) / length
        stroke(painter, pen(theme.check, 1.7, (9, 5)))
        painter.drawLine(_share(start, end, min(near, 0.5)), _share(start, end, max(1 - far, 0.5)))
    for name, (start, end), length in zip("AB", ends, bay.diagonals, strict=True):
        spots = [_share(start, end, share) for share in (0.3, 0.7, 0.22, 0.78, 0.38, 0.62)]
        writer.pill(spots, f"{name}  {scene.length(length)}", edge=theme.check, ink=theme.check, pixels=13)


def _clear(scene: Scene, point_id: str) -> float:
    """Return how far from a corner its diagonal begins, in pixels: outside the pier's circle."""
    pier = next((p for p in scene.plan.piers if p.id == point_id), None)
    return 7.0 if pier is None else max(radii(scene.plan, pier.detail, scene.camera.scale)) + 2
