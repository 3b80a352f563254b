"""Row of piers: a beam line with its piers, at equal or listed spacings."""

from __future__ import annotations

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import plus
from layoutdesk.gestures.gesture import Field, Ghost, Outcome
from layoutdesk.gestures.ground import at_house, attachment_at
from layoutdesk.gestures.runs import Runs
from layoutdesk.plan import edits
from layoutdesk.units import LIST_EXAMPLE


class RowGesture(Runs):
    """Draws a row of piers and its beam line."""

    name = "Row of piers"

    @property
    def doing(self) -> str:
        """Return what is asked for."""
        if self._start is None:
            return "Row from"
        return "Row toward" if self._end is None else "Row of"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if self._start is None:
            return "Click an attachment, a wall or the first pier's place"
        if self._end is None:
            return "Click where it ends, or type length and angle"
        measured = "from the house" if self._from_house else "from the first pier"
        return f"Gaps {measured}, as {LIST_EXAMPLE[self._plan.units]}"

    def _own_fields(self) -> tuple[Field, ...]:
        return (*self._run_fields(), *self._detail_fields()) if self._end is not None else ()

    def _take(self) -> Outcome | None:
        if self._start is None:
            self._next(self._at)
            return None
        if self._end is None:
            self._begin_numbers()
            return None
        start, toward, gaps, detail = self._start, plus(self._start, self._way), self._gaps(), self._detail
        toward = self._end if self._length_to(self._end) > SAME_MM else toward
        found = attachment_at(self._plan, start)
        attachment = None if found is None else found.id
        edits.add_row(self._plan, start, toward, gaps, detail=detail, attachment=attachment)
        self._restart()
        return Outcome(
            f"Set row of {len(gaps)} piers",
            lambda plan: edits.add_row(plan, start, toward, gaps, detail=detail, attachment=attachment),
            select_new=True,
        )

    def _ghosts(self) -> tuple[Ghost, ...]:
        if self._start is None:
            return (self._pier_ghost((self._at,)),) if self._shows and not at_house(self._plan, self._at) else ()
        if self._end is None:
            return (Ghost("line", (self._start, self._at)),)
        places = self._places(self._start)
        return (Ghost("line", (self._start, places[-1])), self._pier_ghost(places))
