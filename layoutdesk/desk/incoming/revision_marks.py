"""What a newer issue changes, painted over the sheet: where things were, where they come, what is new and gone.

What is gone is crossed out, what is new has a ring with a plus, what moved has an arrow: no colour is needed to
tell them apart. What is not picked is drawn thin and dotted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPen, QPolygonF

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import dotted, fill, pen, stroke
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits.revising import Change
from layoutdesk.plan.model import Pier
from layoutdesk.session.revising import Revising

MOST_WRITTEN: Final = 60
_RING_PX: Final = 9.0
_HEAD_PX: Final = 9.0
_POINTS: Final = frozenset({"pier", "attachment"})
_CLOSED: Final = frozenset({"slab", "keep-out"})
_WORDS: Final = {"appeared": "new", "vanished": "gone", "detail": "size", "mark": "mark"}


def paint_changes(painter: QPainter, scene: Scene, revising: Revising) -> None:
    """Paint every change, the one that is looked at last."""
    changes = sorted(revising.changes, key=lambda change: change.id == revising.looked_at)
    for change in changes:
        _paint(painter, scene, change, picked=change.id in revising.picked, hot=change.id == revising.looked_at)
    writer = Writer(painter, scene)
    some = changes if len(changes) <= MOST_WRITTEN else [c for c in changes if c.id == revising.looked_at]
    for change in reversed(some):
        _write(writer, scene, change)


def _colour(scene: Scene, change: Change) -> str:
    if change.kind == "appeared":
        return scene.theme.holds
    return scene.theme.wrong if change.kind == "vanished" else scene.theme.look


def _pen(scene: Scene, change: Change, *, picked: bool, width: float = 2.2) -> QPen:
    name = _colour(scene, change)
    return pen(name, width) if picked else dotted(name, 1.6, 4.0, alpha=0.8)


def _radius(scene: Scene, change: Change) -> float:
    """Return the radius of the pier on the screen, and never less than what can be seen."""
    pier = scene.plan.piece(change.piece)
    detail = scene.plan.detail(pier.detail) if isinstance(pier, Pier) else None
    size = max((width for _, width in detail.profile), default=0.0) if detail else 0.0
    return max(_RING_PX, size / 2 * scene.camera.scale)


def _paint(painter: QPainter, scene: Scene, change: Change, *, picked: bool, hot: bool) -> None:
    if change.what in _POINTS:
        _paint_point(painter, scene, change, picked=picked, hot=hot)
    elif change.before or change.after:
        _paint_run(painter, scene, change, picked=picked, hot=hot)


def _paint_point(painter: QPainter, scene: Scene, change: Change, *, picked: bool, hot: bool) -> None:
    radius = _radius(scene, change)
    was = scene.camera.to_screen(change.before[0]) if change.before else None
    now = scene.camera.to_screen(change.after[0]) if change.after else None
    if hot:
        for at in (was, now):
            if at is not None:
                stroke(painter, pen(scene.theme.glow, 9.0))
                painter.drawEllipse(at, radius + 8, radius + 8)
    made = _pen(scene, change, picked=picked)
    if change.kind == "moved" and was is not None and now is not None:
        painter.setPen(pen(_colour(scene, change), 1.8, (5, 3)))
        painter.setBrush(scene.theme.paper if picked else "transparent")
        painter.drawEllipse(was, radius, radius)
        stroke(painter, made)
        if not picked:
            painter.drawEllipse(now, radius, radius)
        _arrow(painter, was, now, made)
    elif change.kind == "vanished" and was is not None:
        stroke(painter, made)
        painter.drawEllipse(was, radius, radius)
        _cross(painter, was, radius + 4, made, turned=True)
    elif change.kind == "appeared" and now is not None:
        stroke(painter, made)
        painter.drawEllipse(now, radius + 5, radius + 5)
        _cross(painter, now, radius + 9, made, turned=False)
    elif now is not None:
        # Another size or mark at the same place: a square on its corner.
        stroke(painter, made)
        reach = radius + 7
        painter.drawPolygon(
            QPolygonF([now + QPointF(*d) for d in ((reach, 0), (0, reach), (-reach, 0), (0, -reach))])
        )


def _paint_run(painter: QPainter, scene: Scene, change: Change, *, picked: bool, hot: bool) -> None:
    closed = change.what in _CLOSED
    if hot:
        stroke(painter, pen(scene.theme.glow, 12.0))
        for run in (change.before, change.after):
            _draw_run(painter, scene, run, closed=closed)
    if change.before:
        stroke(painter, pen(_colour(scene, change), 2.0, (7, 4)))
        _draw_run(painter, scene, change.before, closed=closed)
    made = _pen(scene, change, picked=picked, width=3.0)
    if change.after:
        stroke(painter, made)
        _draw_run(painter, scene, change.after, closed=closed)
    was, now = _middle(scene, change.before), _middle(scene, change.after)
    if change.kind == "moved" and was is not None and now is not None:
        _arrow(painter, was, now, made)
    elif change.kind == "vanished" and was is not None:
        _cross(painter, was, _RING_PX + 4, made, turned=True)
    elif change.kind == "appeared" and now is not None:
        _cross(painter, now, _RING_PX + 4, made, turned=False)


def _draw_run(painter: QPainter, scene: Scene, run: Sequence[Vector], *, closed: bool) -> None:
    shape = scene.camera.polygon(run)
    if closed:
        painter.drawPolygon(shape)
    else:
        painter.drawPolyline(shape)


def _middle(scene: Scene, run: Sequence[Vector]) -> QPointF | None:
    if not run:
        return None
    return scene.camera.to_screen((sum(p[0] for p in run) / len(run), sum(p[1] for p in run) / len(run)))


def _cross(painter: QPainter, at: QPointF, reach: float, made: QPen, *, turned: bool) -> None:
    stroke(painter, made)
    arm = reach * math.sqrt(0.5) if turned else reach
    if turned:
        painter.drawLine(at - QPointF(arm, arm), at + QPointF(arm, arm))
        painter.drawLine(at - QPointF(arm, -arm), at + QPointF(arm, -arm))
    else:
        painter.drawLine(at - QPointF(arm, 0), at + QPointF(arm, 0))
        painter.drawLine(at - QPointF(0, arm), at + QPointF(0, arm))


def _arrow(painter: QPainter, start: QPointF, end: QPointF, made: QPen) -> None:
    way = end - start
    size = math.hypot(way.x(), way.y())
    if size < 4.0:
        return
    along, head = way / size, min(_HEAD_PX, size * 0.6)
    across = QPointF(-along.y(), along.x())
    stroke(painter, made)
    painter.drawLine(start, end - along * head * 0.8)
    fill(painter, made.color().name())
    painter.drawPolygon(
        QPolygonF([end, end - along * head + across * head / 2, end - along * head - across * head / 2])
    )


def _write(writer: Writer, scene: Scene, change: Change) -> None:
    places = change.after or change.before
    if not places:
        return
    text = scene.length(change.by[2]) if change.kind == "moved" else _WORDS.get(change.kind, "")
    if not text:
        return
    at = _middle(scene, places if change.what not in _POINTS else places[:1])
    assert at is not None
    far = _radius(scene, change) + 24
    spots = [at + QPointF(x, y) for x, y in ((far, -far / 2), (-far, -far / 2), (far, far / 2), (-far, far / 2))]
    writer.pill(spots, text, edge=_colour(scene, change), ink=_colour(scene, change), pixels=12)
