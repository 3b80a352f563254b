"""Pier: one footing; and what all gestures that set piers share."""

from __future__ import annotations

from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome
from layoutdesk.gestures.ground import first_detail, line_at, top_radius
from layoutdesk.plan import edits

NO_DETAIL: Final = "none"


class PierDrawing(Drawing):
    """A gesture that sets piers, and asks which detail they get once the plan has details."""

    def _detail_fields(self) -> tuple[Field, ...]:
        details = tuple(d.id for d in self._plan.details)
        if not details:
            return ()
        return (self._choice("detail", (*details, NO_DETAIL), first_detail(self._plan) or NO_DETAIL),)

    @property
    def _detail(self) -> str | None:
        fields = self._detail_fields()
        return None if not fields or fields[0].value == NO_DETAIL else str(fields[0].value)

    def _pier_ghost(self, places: tuple[Vector, ...], label: str = "") -> Ghost:
        return Ghost("pier", places, radius=top_radius(self._plan, self._detail), label=label)


class PierGesture(PierDrawing):
    """Sets one pier; on a beam line it belongs to that line."""

    name = "Pier"

    @property
    def doing(self) -> str:
        """Return what is set."""
        return "Pier at"

    @property
    def hint(self) -> str:
        """Return where to click."""
        line = line_at(self._plan, self._at) if self._shows else None
        return f"On line {line.id} · Enter to set" if line else "Click, or type where its centre is · Enter to set"

    def _own_fields(self) -> tuple[Field, ...]:
        return self._detail_fields()

    def _take(self) -> Outcome:
        at, detail = self._at, self._detail
        line = line_at(self._plan, at)
        line_id = None if line is None else line.id
        self._next(None)
        return Outcome(
            "Set pier", lambda plan: edits.add_pier(plan, at, line=line_id, detail=detail), select_new=True
        )

    def _ghosts(self) -> tuple[Ghost, ...]:
        return (self._pier_ghost((self._at,)),) if self._shows else ()
