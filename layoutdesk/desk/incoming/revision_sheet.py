"""The sheet on which a newer issue is held against the plan: the plan as it would be, and what changes on it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter

from layoutdesk.desk.canvas.fit import including
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.sheet_paper import SheetPaper
from layoutdesk.desk.incoming.revision_marks import paint_changes
from layoutdesk.desk.theme import Theme
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.gesture import Preview
from layoutdesk.plan.edits.revising import Change
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.revising import Revising
from layoutdesk.session.viewstate import ViewState

ROOM_MM: Final = 1500.0
"""So much of the ground is shown round a change that is looked at."""
_NEAR_PX: Final = 16.0
_DRAG_PX: Final = 4.0


class RevisionSheet(SheetPaper):
    """Shows what is picked as if it were taken; a drag pans, a press on a change looks at it.

    Signals:
        pressed: the id of a change that was pressed.
    """

    pressed = Signal(str)

    def __init__(self, document: Document, view: ViewState, theme: Theme, revising: Revising) -> None:
        super().__init__(document, view, theme)
        self._revising = revising
        self._pressed_at: QPointF | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Sheet with what the newer issue changes")
        revising.watch(self.update)

    def _preview(self) -> Preview:
        return Preview(plan=self._plan_after())

    def _plan_after(self) -> Plan:
        try:
            return self._revising.after
        except LayoutdeskError:
            return self._document.plan

    def _paint_over(self, painter: QPainter, scene: Scene, preview: Preview) -> None:
        super()._paint_over(painter, scene, preview)
        paint_changes(painter, scene, self._revising)

    def zoom_to_fit(self) -> None:
        """Show the whole plan and all that changes."""
        super().zoom_to_fit()
        places = [p for c in self._revising.changes for p in (*c.before, *c.after)]
        if places:
            self._look(including(self._scene(), places))

    def show_change(self, change: Change) -> None:
        """Bring a change into the middle, with some of the ground round it."""
        places = (*change.before, *change.after)
        if not places:
            self.zoom_to_fit()
            return
        room: list[Vector] = [
            (x + dx, y + dy) for x, y in places for dx in (-ROOM_MM, ROOM_MM) for dy in (-ROOM_MM, ROOM_MM)
        ]
        self._follows = False
        area = self.plan_area()
        self._look(self._camera.fitted(room, area.width(), area.height()))

    def change_at(self, at: QPointF) -> Change | None:
        """Return the change whose place lies nearest to a pixel, None when none is near."""
        here = self._camera.to_plan(at.x(), at.y())
        near = [
            (min(distance(here, p) for p in (*c.before, *c.after)), c.id, c)
            for c in self._revising.changes
            if c.before or c.after
        ]
        far, _, change = min(near, key=lambda found: found[:2], default=(float("inf"), "", None))
        return change if far * self._camera.scale <= _NEAR_PX else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to pan, or to press."""
        self._pressed_at = event.position()
        self._start_pan(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan once the pointer has moved far enough not to be a press."""
        start = self._pressed_at
        if start is not None and (event.position() - start).manhattanLength() < _DRAG_PX:
            return
        self._pressed_at = None
        self._pan_to(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Look at what was pressed."""
        self._end_pan()
        self.unsetCursor()
        start, self._pressed_at = self._pressed_at, None
        if start is not None and (change := self.change_at(event.position())) is not None:
            self.pressed.emit(change.id)
