"""Chain: the dimensions of a paper plan, typed as they stand there, lay out a wall, rows or points directly."""

from __future__ import annotations

from itertools import accumulate
from math import fsum
from typing import Final, cast

from layoutdesk.errors import EditError, LengthError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, left, minus, plus, times, unit
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.gestures.ground import at_house, attachment_at, house_side_of
from layoutdesk.gestures.pier import PierDrawing
from layoutdesk.plan import edits
from layoutdesk.plan.edits.chains import LAID_OUT, LaidOut
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import CHAIN_EXAMPLE, format_length, format_small, inches, parse_chain

USUAL_ROW_MM: Final = {"ft-in": inches(144), "m": 3600.0, "mm": 3600.0}
"""How long the rows of a chain are proposed to be."""


class ChainGesture(PierDrawing):
    """Asks where a chain begins and which way it goes, then for its numbers and what they lay out."""

    name = "Chain"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._end: Vector | None = None
        super().__init__(document, view)

    @property
    def doing(self) -> str:
        """Return what is asked for, or what the numbers add up to."""
        if self._start is None:
            return "Chain from"
        if self._end is None:
            return "Chain toward"
        parts, _ = self._numbers
        return f"Chain, {self._shown(fsum(parts))}" if parts else "Chain of"

    @property
    def hint(self) -> str:
        """Return what to do next; or whether the chain adds up."""
        if self._start is None:
            return "Click where the first number begins: a corner, an attachment, a point"
        if self._end is None:
            return "Click which way it goes, or type an angle"
        parts, overall = self._numbers
        if not parts:
            return f"Type the numbers as the plan writes them: {CHAIN_EXAMPLE[self._plan.units]}"
        if overall is None:
            return "Put = and the overall after the numbers, and it is checked"
        gap = fsum(parts) - overall
        if abs(gap) <= SAME_MM:
            return f"Adds up to {self._shown(overall)} · Enter lays it out"
        by = format_small(abs(gap), self._plan.units, self._plan.rounding)
        return f"Does not add up: {by} {'more' if gap > 0 else 'less'} than {self._shown(overall)}"

    def _shown(self, mm: float) -> str:
        return format_length(mm, self._plan.units, self._plan.rounding, pretty=True)

    @property
    def _asks_place(self) -> bool:
        return self._end is None

    @property
    def _text(self) -> str:
        return str(self._typed.get("numbers", ""))

    @property
    def _numbers(self) -> tuple[tuple[float, ...], float | None]:
        """Return the parts and the overall as typed; nothing while nothing is typed."""
        return parse_chain(self._text, self._plan.units) if self._text else ((), None)

    @property
    def _makes(self) -> LaidOut:
        return cast("LaidOut", self._chosen.get("lays out", LAID_OUT[0]))

    @property
    def _at_start(self) -> bool:
        """Return whether the start is a place of its own: at the house it is only where measuring begins."""
        return self._start is None or not at_house(self._plan, self._start)

    @property
    def _way(self) -> Vector:
        start, end = self._start or (0.0, 0.0), self._end if self._end is not None else self._at
        if distance(start, end) <= SAME_MM:
            return self._bearings.direction(self._default_angle())
        return unit(minus(end, start))

    @property
    def _aside(self) -> Vector:
        """Return the way and length of each row: square from the chain, into the yard."""
        square = left(self._way)
        square = square if dot(square, self._bearings.down) >= 0 else times(square, -1.0)
        return times(square, float(self._typed.get("rows long", USUAL_ROW_MM[self._plan.units])))  # type: ignore[arg-type]

    def _own_fields(self) -> tuple[Field, ...]:
        if self._end is None:
            return ()
        fields = [self._field("numbers", "chain", ""), self._choice("lays out", LAID_OUT, LAID_OUT[0])]
        if self._makes == "rows":
            length = distance((0.0, 0.0), self._aside)
            fields.append(self._field("rows long", "length", length))
        if self._makes == "row of piers":
            fields.extend(self._detail_fields())
        return tuple(fields)

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.kind == "chain":
            try:
                parse_chain(str(value), self._plan.units)
            except LengthError as error:
                raise EditError(str(error)) from None
        if field.name == "rows long" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("Rows must be longer than nothing")

    def moved(self, pointer: Pointer) -> None:
        """Follow the pointer while a place is asked for; numbers do not follow it."""
        if self._asks_place:
            super().moved(pointer)
        else:
            self._view.hover(None)

    def _take(self) -> Outcome | None:
        if self._start is None:
            self._next(self._at)
            return None
        if self._end is None:
            self._end = self._at if self._length > SAME_MM else plus(self._start, self._way)
            self._typed.clear()
            self._snap = None
            return None
        parts, overall = self._numbers
        if not parts:
            return None
        start, way, makes, text, aside = self._start, self._way, self._makes, self._text, self._aside
        toward = plus(start, way)
        at_start, detail = self._at_start, self._detail
        found = attachment_at(self._plan, start)
        end = plus(start, times(way, fsum(parts)))
        side = house_side_of(self._plan, (start, end), self._bearings)
        on_house = at_house(self._plan, start) and at_house(self._plan, end)
        self._end = None
        self._next(None)
        return Outcome(
            f"Lay out chain of {len(parts)}",
            lambda plan: edits.lay_out_chain(
                plan,
                start,
                toward,
                parts,
                overall=overall,
                makes=makes,
                at_start=at_start,
                aside=aside,
                house_side=side,
                detail=detail,
                attachment=None if found is None else found.id,
                attached="ledger" if on_house else None,
                text=text,
            ),
            select_new=True,
        )

    def _back(self) -> bool:
        if self._end is not None:
            self._end = None
            return True
        if self._start is None:
            return False
        self._next(None)
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        if self._start is None:
            return ()
        if self._end is None:
            return (Ghost("guide", (self._start, self._at)),)
        parts, _ = self._numbers
        if not parts:
            return (Ghost("guide", (self._start, plus(self._start, times(self._way, 1000.0)))),)
        places = tuple(plus(self._start, times(self._way, run)) for run in accumulate(parts, initial=0.0))
        shown = places if self._at_start else places[1:]
        along = Ghost("guide", (places[0], places[-1]))
        match self._makes:
            case "row of piers":
                return (Ghost("line", (places[0], places[-1])), self._pier_ghost(shown))
            case "rows":
                return (along, *(Ghost("line", (at, plus(at, self._aside))) for at in shown))
            case "wall":
                return (Ghost("wall", places),)
            case "attachments":
                return (along, *(Ghost("attachment", (at,)) for at in shown))
            case "control points":
                return (along, *(Ghost("control", (at,)) for at in shown))
            case _:
                return (along,)
