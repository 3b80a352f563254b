"""Grid of piers: rows side by side, a beam line to each."""

from __future__ import annotations

from itertools import accumulate

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import dot, left, minus, plus, times
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Preview, Value
from layoutdesk.gestures.runs import Runs
from layoutdesk.gestures.typed import MOST
from layoutdesk.plan import edits
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


class GridGesture(Runs):
    """Draws rows of piers side by side, a beam line to each: first the piers of one row, then the rows."""

    name = "Grid of piers"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._row: tuple[float, ...] = ()
        self._pointed = 0.0
        super().__init__(document, view)

    @property
    def doing(self) -> str:
        """Return what is asked for."""
        if self._start is None:
            return "Grid from"
        if self._end is None:
            return "Rows toward"
        return "Rows" if self._row else "Each row"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if self._start is None:
            return "Click where the first row begins"
        if self._end is None:
            return "Click where that row ends, or type length and angle"
        if self._row:
            return "Point or type how far apart · Enter or a click sets"
        return "Enter or a click: on to the rows"

    def _own_fields(self) -> tuple[Field, ...]:
        if self._end is None:
            return ()
        if not self._row:
            return self._run_fields()
        gaps = self._row_gaps()
        listed = "gaps" in self._typed
        return (
            Field("rows", "count", len(gaps) + 1, typed="rows" in self._typed),
            self._field("gap", "length", self._gap),
            self._field("gaps", "lengths", gaps if listed else gaps[:40]),
            self._choice("toward", ("right", "left"), "right" if self._leans_right else "left"),
            *self._detail_fields(),
        )

    @property
    def _gap(self) -> float:
        typed = self._typed.get("gap")
        if typed is not None:
            return float(typed)  # type: ignore[arg-type]
        return abs(self._pointed) or self._row[-1]

    def moved(self, pointer: Pointer) -> None:
        """Let the pointer say how far the next row is, and on which side."""
        super().moved(pointer)
        if self._row and self._start is not None:
            at, self._snap = self._catcher().catch(pointer, start=self._start)
            self._pointed = dot(minus(at, self._start), left(self._way))
            if abs(self._pointed) <= SAME_MM:
                self._pointed = 0.0

    @property
    def preview(self) -> Preview:
        """Return the rows as they would stand, and what catches the pointer."""
        return Preview(self._ghosts(), self._snap if self._asks_place or self._row else None)

    def _row_gaps(self) -> tuple[float, ...]:
        """Return the distances from row to row, all positive."""
        listed = self._typed.get("gaps")
        if isinstance(listed, tuple):
            return listed
        rows = int(self._typed.get("rows", 2))  # type: ignore[arg-type]
        return (self._gap,) * (rows - 1)

    def _signed_gaps(self) -> tuple[float, ...]:
        """Return the distances from row to row, positive to the left of the rows' direction."""
        toward = self._chosen.get("toward")
        if toward is None and self._pointed:
            sign = 1.0 if self._pointed > 0 else -1.0
        else:
            sign = 1.0 if self._left_is_right == (toward != "left") else -1.0
        return tuple(sign * gap for gap in self._row_gaps())

    @property
    def _leans_right(self) -> bool:
        """Return whether the rows follow one another to the right of the screen, as the pointer says."""
        return not self._pointed or (self._pointed > 0) == self._left_is_right

    @property
    def _left_is_right(self) -> bool:
        """Return whether the left of the rows' direction is right on the screen; of rows across it, downward."""
        across = left(self._way)
        sideways, downward = dot(across, self._bearings.right), dot(across, self._bearings.down)
        return (sideways if abs(sideways) >= abs(downward) else downward) > 0

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix a field; listed gaps and equal ones exclude each other."""
        name = self.fields[index].name if 0 <= index < len(self.fields) else ""
        super().type_in(index, value)
        if value is None:
            return
        for other in {"gaps": ("gap", "rows"), "gap": ("gaps",), "rows": ("gaps",)}.get(name, ()):
            self._typed.pop(other, None)

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == "gap" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("Rows must be more than nothing apart")
        if field.name == "gaps" and isinstance(value, tuple) and any(v <= 0 for v in value):
            raise EditError("Rows must be more than nothing apart")

    def _take(self) -> Outcome | None:
        if self._start is None:
            self._next(self._at)
            return None
        if self._end is None:
            self._begin_numbers()
            return None
        if not self._row:
            self._row, self._pointed = self._gaps(), 0.0
            self._typed.clear()
            return None
        origin, way, detail = self._start, self._way, self._detail
        spacings, gaps = self._row, self._signed_gaps()
        edits.add_grid(self._plan, origin, way, spacings, gaps, detail=detail)
        self._restart()
        return Outcome(
            f"Set {len(gaps) + 1} rows of {len(spacings)} piers",
            lambda plan: edits.add_grid(plan, origin, way, spacings, gaps, detail=detail),
            select_new=True,
        )

    def _gaps(self) -> tuple[float, ...]:
        return self._row or super()._gaps()

    def _back(self) -> bool:
        if self._row:
            self._row, self._snap = (), None
            return True
        return super()._back()

    def _restart(self) -> None:
        self._row, self._pointed = (), 0.0
        super()._restart()

    def _ghosts(self) -> tuple[Ghost, ...]:
        if self._start is None:
            return (self._pier_ghost((self._at,)),) if self._shows else ()
        if self._end is None:
            return (Ghost("line", (self._start, self._at)),)
        if not self._row:
            places = self._places(self._start)
            return (Ghost("line", (self._start, places[-1])), self._pier_ghost(places))
        across = left(self._way)
        ghosts: list[Ghost] = []
        left_over = MOST
        for gap in accumulate(self._signed_gaps(), initial=0.0):
            begin = plus(self._start, times(across, gap))
            places = self._places(begin)
            left_over -= len(places)
            if left_over < 0:
                break
            ghosts += [Ghost("line", (begin, places[-1])), self._pier_ghost(places)]
        return tuple(ghosts)
