"""A drawing brought to the desk, and the hand on its page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.incoming.drawing_view import DrawingView
from layoutdesk.desk.incoming.frame import DrawingFrame
from layoutdesk.desk.incoming.leaf import IncomingLeaf
from layoutdesk.desk.incoming.taking import Asked
from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import Linework
from layoutdesk.session.incoming_tasks import IncomingTasks

WAIT_MS = 60_000
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
Read = tuple[Linework, dict[str, Any], bytes]


def arrived(desk: Desk, qtbot: QtBot, path: Path, *, onto_plan: bool = False) -> Desk:
    """Have a file brought to the desk, and wait until it lies on its page."""
    assert desk.files.bring(path, onto_plan=onto_plan)
    qtbot.waitUntil(lambda: desk.incoming.waits.waiting, timeout=WAIT_MS)
    frame_of(desk).view.repaint()
    return desk


def read(path: Path) -> Read:
    """Read a file as the second process does, in this one."""
    tasks = IncomingTasks()
    order = {"path": str(path), "page": 1, "layout": "", "scale": None, "points": False}
    linework = tasks._linework(order, lambda _: None)
    return linework, *tasks._propose(order, lambda _: None)


def lay_out(desk: Desk, path: Path, came: Read) -> Desk:
    """Lay a drawing on its page that was read already."""
    linework, about, work = came
    desk.incoming.taking._show(Asked(path, "own sheet", linework=linework), about, work)
    frame_of(desk).view.repaint()
    return desk


def frame_of(desk: Desk) -> DrawingFrame:
    assert desk.incoming.frame is not None
    return desk.incoming.frame


def leaf_of(desk: Desk) -> IncomingLeaf:
    assert desk.incoming.leaf is not None
    return desk.incoming.leaf


def becomes(desk: Desk, kind: str) -> int:
    arrival = desk.incoming.waits.arrival
    assert arrival is not None
    return sum(c.becomes == kind for c in arrival.proposal.candidates)


def mouse(view: DrawingView, kind: QEvent.Type, at: QPointF, keys: Qt.KeyboardModifier) -> None:
    button = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else LEFT
    QApplication.sendEvent(view, QMouseEvent(kind, at, view.mapToGlobal(at), button, button, keys))


def press(desk: Desk, place: Vector, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """Press at a place of the ground, as a hand would."""
    view = frame_of(desk).view
    at = view.camera.to_screen(place)
    for kind in (QEvent.Type.MouseMove, QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
        mouse(view, kind, at, keys)


def drag(desk: Desk, start: Vector, end: Vector) -> None:
    view, keys = frame_of(desk).view, Qt.KeyboardModifier.NoModifier
    a, b = view.camera.to_screen(start), view.camera.to_screen(end)
    mouse(view, QEvent.Type.MouseButtonPress, a, keys)
    for share in (0.3, 0.6, 1.0):
        mouse(view, QEvent.Type.MouseMove, a + (b - a) * share, keys)
    mouse(view, QEvent.Type.MouseButtonRelease, b, keys)


def take_in(desk: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(leaf_of(desk).take, LEFT)
    qtbot.waitUntil(lambda: not desk.incoming.waits.waiting, timeout=WAIT_MS)
