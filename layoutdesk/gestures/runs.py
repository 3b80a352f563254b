"""Piers along a way, at equal or listed spacings: what a row and a grid have in common."""

from __future__ import annotations

from itertools import accumulate
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, unit
from layoutdesk.gestures.gesture import Field, Pointer, Value
from layoutdesk.gestures.ground import at_house
from layoutdesk.gestures.pier import PierDrawing
from layoutdesk.gestures.typed import MOST
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

USUAL_COUNT: Final = 3
"""How many piers a row is proposed with."""


class Runs(PierDrawing):
    """A gesture that spaces piers along a way: a start, a way, then how many and how far apart.

    Where the row begins at the house the first spacing is measured from there; elsewhere the first pier stands
    at the start itself, unless another distance is typed for it.
    """

    def __init__(self, document: Document, view: ViewState) -> None:
        self._end: Vector | None = None
        super().__init__(document, view)

    @property
    def _asks_place(self) -> bool:
        return self._end is None

    @property
    def _way(self) -> Vector:
        """Return the direction of the row; into the yard while it has none."""
        end = self._end if self._end is not None else self._at
        if self._start is None or self._length_to(end) <= SAME_MM:
            return self._bearings.direction(self._default_angle())
        return unit(minus(end, self._start))

    def _length_to(self, end: Vector) -> float:
        return distance(end, self._start or end)

    @property
    def _count(self) -> int:
        return int(self._typed.get("count", USUAL_COUNT))  # type: ignore[arg-type]

    @property
    def _from_house(self) -> bool:
        return self._start is not None and at_house(self._plan, self._start)

    @property
    def _spacing(self) -> float:
        """Return the equal spacing: as typed, else what fills the way that was drawn."""
        typed = self._typed.get("spacing")
        if typed is not None:
            return float(typed)  # type: ignore[arg-type]
        whole = self._length_to(self._end) if self._end is not None else 0.0
        first = self._typed.get("first")
        if first is not None:
            return max(whole - float(first), 0.0) / max(self._count - 1, 1)  # type: ignore[arg-type]
        return whole / (self._count if self._from_house else max(self._count - 1, 1))

    def _gaps(self) -> tuple[float, ...]:
        """Return the running gaps, the first from the start of the row to its first pier."""
        first, listed = self._typed.get("first"), self._typed.get("spacings")
        if isinstance(listed, tuple):
            if first is not None:
                return (float(first), *listed)  # type: ignore[arg-type]
            return listed if self._from_house or listed[0] == 0 else (0.0, *listed)
        lead = self._spacing if self._from_house else 0.0
        lead = lead if first is None else float(first)  # type: ignore[arg-type]
        return (lead, *([self._spacing] * (self._count - 1)))

    def _places(self, start: Vector) -> tuple[Vector, ...]:
        """Return where the piers of one row would stand."""
        return tuple(plus(start, times(self._way, run)) for run in accumulate(self._gaps()))

    def _run_fields(self) -> tuple[Field, ...]:
        listed = self._typed.get("spacings")
        gaps = self._gaps()
        shown = gaps if isinstance(listed, tuple) else gaps[: min(len(gaps), 40)]
        return (
            Field("count", "count", len(gaps), typed="count" in self._typed),
            self._field("spacing", "length", self._spacing),
            self._field("first", "length", gaps[0]),
            self._field("spacings", "lengths", shown),
        )

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix a field; a list of spacings and an equal spacing exclude each other."""
        name = self.fields[index].name if 0 <= index < len(self.fields) else ""
        super().type_in(index, value)
        if value is None:
            return
        for other in {"spacings": ("spacing", "count"), "spacing": ("spacings",), "count": ("spacings",)}.get(
            name, ()
        ):
            self._typed.pop(other, None)

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == "spacing" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("The spacing must be more than nothing")
        if field.name == "first" and float(value) < 0:  # type: ignore[arg-type]
            raise EditError("The first pier cannot stand before the start of the row")
        if field.name == "spacings" and isinstance(value, tuple):
            if value[0] < 0 or any(v <= 0 for v in value[1:]):
                raise EditError("Spacings must be more than nothing; only the first may be 0")
            if len(value) >= MOST:
                raise EditError(f"A row has fewer than {MOST} piers")

    def moved(self, pointer: Pointer) -> None:
        """Follow the pointer while a place is asked for; numbers do not follow it."""
        if self._asks_place:
            super().moved(pointer)
        else:
            self._view.hover(None)

    def _begin_numbers(self) -> None:
        """Go on from the way to the numbers."""
        self._end = self._at if self._length > SAME_MM else plus(self._start or (0.0, 0.0), self._way)
        self._typed.clear()
        self._snap = None

    def _back(self) -> bool:
        if self._end is not None:
            self._end = None
            return True
        if self._start is None:
            return False
        self._next(None)
        return True

    def _restart(self) -> None:
        self._end = None
        self._next(None)
