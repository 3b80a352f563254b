"""Beam line: the straight line of a row, from the house into the yard or along it."""

from __future__ import annotations

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Ghost, Outcome
from layoutdesk.gestures.ground import attachment_at
from layoutdesk.plan import edits


class BeamLineGesture(Drawing):
    """Draws a beam line; one that begins at an attachment belongs to it."""

    name = "Beam line"

    @property
    def doing(self) -> str:
        """Return which end is asked for."""
        return "Beam line from" if self._start is None else "Beam line to"

    @property
    def hint(self) -> str:
        """Return what to click."""
        if self._start is None:
            return "Click an attachment, a wall or any place · Enter to set"
        return "Click its other end, or type how long it is · 90° is square into the yard"

    def _take(self) -> Outcome | None:
        if self._start is None:
            self._next(self._at)
            return None
        start, end = self._start, self._at
        if self._length <= SAME_MM:
            raise EditError("A beam line needs a length: click its other end or type how long it is")
        found = attachment_at(self._plan, start) or attachment_at(self._plan, end)
        attachment = None if found is None else found.id
        self._next(None)
        return Outcome(
            "Draw beam line", lambda plan: edits.add_line(plan, start, end, attachment=attachment), select_new=True
        )

    def _back(self) -> bool:
        if self._start is None:
            return False
        self._next(None)
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        return () if self._start is None else (Ghost("line", (self._start, self._at)),)
