"""Scale by two points: two points of a picture or page and the distance that is written between them."""

from __future__ import annotations

from typing import ClassVar, Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.projective import Map9, composed
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.gesture import Field, Ghost, Value
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.plan.model import Underlay
from layoutdesk.units import format_length

WRITTEN: Final = "written distance"


class ScaleUnderlay(OnUnderlay):
    """Gives a picture its scale; the first point stays where it is."""

    name = "Scale by two points"
    verb = "Scale"
    needed = 2
    _missing: ClassVar[str] = "Type the distance that is written between the two points"

    @property
    def _press_hint(self) -> str:
        if self._marks:
            return "Press the other end of the distance · the farther apart, the more exact"
        return "Press one end of a distance that is written in the drawing · it stays where it is"

    @property
    def _last_hint(self) -> str:
        return "Type the distance that is written between them · Enter to set · Esc goes a step back"

    def _last_fields(self) -> tuple[Field, ...]:
        one = self._underlay
        live = 0.0 if one is None else distance(*self._points(one.to_plan))
        return (self._field(WRITTEN, "length", live),)

    def _ghosts(self) -> tuple[Ghost, ...]:
        ghosts, one = super()._ghosts(), self._underlay
        if self._pressing or one is None:
            return ghosts
        points = self._points(self._safely_placed() or one.to_plan)
        text = format_length(distance(*points), self._plan.units, self._plan.rounding, pretty=True)
        return (*ghosts, Ghost("guide", points, label=text))

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == WRITTEN and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("A distance between two points must be more than nothing")

    def _placed(self, one: Underlay) -> Map9 | None:
        typed = self._typed.get(WRITTEN)
        if typed is None:
            return None
        first, second = self._points(one.to_plan)
        return composed(one.to_plan, grown(float(typed) / distance(first, second), first))  # type: ignore[arg-type]


def grown(factor: float, about: Vector) -> Map9:
    """Return the map that makes everything so many times larger about a place."""
    x, y = about
    return (factor, 0.0, x - factor * x, 0.0, factor, y - factor * y, 0.0, 0.0, 1.0)
