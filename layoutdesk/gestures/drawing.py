"""What the gestures that draw have in common: steps that ask for a place, a way from a place, or numbers.

A step's place follows the pointer as far as typed values leave it free: with the station typed it stays on that
station, with the length typed it stays on that circle, with the angle typed on that ray. Everything can be
typed, so that a plan is drawn without a pointer too.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, unit
from layoutdesk.gestures.bearings import Bearings, bearings_of
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Preview, Snap, Value
from layoutdesk.gestures.guides import ON, Guide
from layoutdesk.gestures.typed import checked
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.gestures.snapping import Snapper


class Drawing:
    """A gesture in steps.

    A gesture built on this says in ``_start`` where its present way begins (None: the step asks for a place,
    as station and offset), in ``_asks_place`` whether the step asks for a place at all, in ``_own_fields``
    what else it asks for, and in ``_take`` what completing the step does.
    """

    name: ClassVar[str] = ""

    def __init__(self, document: Document, view: ViewState) -> None:
        self._view = view
        self._plan: Plan = document.plan
        self._pointer: Pointer | None = None
        self._snap: Snap | None = None
        self._at: Vector = (0.0, 0.0)
        self._start: Vector | None = None
        self._typed: dict[str, Value] = {}
        self._chosen: dict[str, str] = {}
        self._snapper: Snapper | None = None
        self._place_anew()

    # ---- what a gesture built on this says about itself

    @property
    def doing(self) -> str:
        """Return what the present step draws."""
        return self.name

    @property
    def hint(self) -> str:
        """Return what to do next."""
        return "Click, or type and press Enter"

    @property
    def _asks_place(self) -> bool:
        return True

    def _own_fields(self) -> tuple[Field, ...]:
        """Return the fields of the present step besides those of its place."""
        return ()

    def _ghosts(self) -> tuple[Ghost, ...]:
        """Return what the step would draw, as it stands."""
        return ()

    def _take(self) -> Outcome | None:
        """Complete the present step with the place as it stands, and begin the next."""
        raise NotImplementedError

    def _back(self) -> bool:
        """Go a step back; return False from the first."""
        return False

    def _default_angle(self) -> float:
        """Return which way a typed length goes while there is no pointer: into the yard."""
        return self._bearings.angle(self._bearings.down)

    def _typed_angle(self) -> float | None:
        """Return the angle that was typed, in degrees from the baseline."""
        angle = self._typed.get("angle")
        return None if angle is None else float(angle)  # type: ignore[arg-type]

    # ---- the fields

    @property
    def _bearings(self) -> Bearings:
        return bearings_of(self._plan)

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the boxes of the present step: its place first, then what else it asks for."""
        return (*self._place_fields(), *self._own_fields()) if self._asks_place else self._own_fields()

    def _place_fields(self) -> tuple[Field, ...]:
        if self._start is None:
            read = self._bearings.read(self._at)
            return tuple(
                self._field(name, "length", value) for name, value in zip(self._bearings.names, read, strict=True)
            )
        return (self._field("length", "length", self._length), self._field("angle", "angle", self._angle))

    def _field(self, name: str, kind: str, live: Value, options: tuple[str, ...] = ()) -> Field:
        """Return a field with what was typed into it, or else its live value."""
        return Field(name, kind, self._typed.get(name, live), typed=name in self._typed, options=options)  # type: ignore[arg-type]

    def _choice(self, name: str, options: tuple[str, ...], first: str) -> Field:
        """Return a field that offers a few words; what was chosen stays chosen for the next stroke."""
        value = self._chosen.get(name, first)
        return Field(name, "choice", value if value in options else options[0], options=options)

    @property
    def _length(self) -> float:
        return 0.0 if self._start is None else distance(self._start, self._at)

    @property
    def _angle(self) -> float:
        if self._start is None or self._length <= SAME_MM:
            typed = self._typed_angle()
            return self._default_angle() if typed is None else typed
        # A hair of floating point must not show as -0 or turn 180 into -180.
        angle = round(self._bearings.angle(minus(self._at, self._start)), 9) + 0.0
        return 180.0 if angle == -180.0 else angle

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix a field to what was typed, or free it with None."""
        fields = self.fields
        if not 0 <= index < len(fields):
            raise EditError("There is nothing to type into here")
        field = fields[index]
        if value is None:
            self._typed.pop(field.name, None)
        elif field.kind == "choice":
            self._choose(field.name, str(checked(field, value)))
        else:
            fixed = checked(field, value)
            self._refuse_nonsense(field, fixed)
            self._typed[field.name] = fixed
        self._place_anew()

    def _choose(self, name: str, value: str) -> None:
        """Remember what was chosen, for this stroke and those after it."""
        self._chosen[name] = value

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        """Refuse a typed value that makes no sense in this step.

        Raises:
            EditError: with one sentence.
        """
        if field.name == "length" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("The length must be more than nothing; turn the angle to go the other way")

    # ---- the place

    def _place_anew(self) -> None:
        """Find the place of the present step from the pointer and what is typed."""
        self._snap = None
        if not self._asks_place:
            return
        self._at = self._way_end(self._start) if self._start is not None else self._place()

    def _place(self) -> Vector:
        bearings = self._bearings
        typed = [self._typed.get(name) for name in bearings.names]
        first, second = (None if t is None else float(t) for t in typed)  # type: ignore[arg-type]
        if first is not None and second is not None:
            return bearings.place(first, second)
        if self._pointer is None:
            return bearings.place(first or 0.0, second or 0.0)
        if first is not None:
            return self._caught(track=Guide(bearings.place(first, 0.0), bearings.aside, "", ON))
        if second is not None:
            return self._caught(track=Guide(bearings.place(0.0, second), bearings.ahead, "", ON))
        return self._caught()

    def _way_end(self, start: Vector) -> Vector:
        length, angle = self._typed.get("length"), self._typed_angle()
        size = None if length is None else float(length)  # type: ignore[arg-type]
        if angle is None and self._pointer is None:
            angle = self._default_angle()
        if angle is not None:
            way = self._bearings.direction(angle)
            if size is not None:
                return plus(start, times(way, size))
            if self._pointer is None:
                return start
            return self._caught(track=Guide(start, way, "", ON, low=0.0))
        end = self._caught()
        if size is None:
            return end
        self._snap = None
        if distance(start, end) <= SAME_MM:
            return plus(start, times(self._bearings.direction(self._default_angle()), size))
        return plus(start, times(unit(minus(end, start)), size))

    def _caught(self, *, track: Guide | None = None) -> Vector:
        """Return the pointer's place, as snapped."""
        pointer = self._pointer
        if pointer is None:
            return self._at
        at, self._snap = self._catcher().catch(pointer, start=self._start, track=track)
        return at

    def _catcher(self) -> Snapper:
        if self._snapper is None:
            from layoutdesk.gestures.snapping import Snapper

            self._snapper = Snapper(self._plan, traced=self._view.traced)
        return self._snapper

    # ---- pointer and keys

    @property
    def preview(self) -> Preview:
        """Return the strokes so far and as they would be."""
        return Preview(self._ghosts(), self._snap if self._asks_place else None)

    @property
    def _shows(self) -> bool:
        """Return whether there is anything to show: a pointer on the sheet, a typed value or a stroke begun."""
        return self._pointer is not None or bool(self._typed) or self._start is not None

    def moved(self, pointer: Pointer) -> None:
        """Follow the pointer."""
        self._view.hover(None)
        self._pointer = pointer
        self._place_anew()

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Complete the step where the pointer is."""
        self.moved(pointer)
        outcome = self._take()
        self._place_anew()
        return outcome

    def released(self, pointer: Pointer) -> Outcome | None:  # noqa: ARG002 - strokes are clicked, not dragged
        """Do nothing: strokes are clicked, not dragged."""
        return None

    def commit(self) -> Outcome | None:
        """Complete the step with the values as they stand; from here the pointer counts only when it moves."""
        outcome = self._take()
        self._pointer = None
        self._place_anew()
        return outcome

    def cancel(self) -> bool:
        """Drop what is typed, or else go a step back."""
        if self._typed:
            self._typed.clear()
            self._place_anew()
            return True
        back = self._back()
        self._place_anew()
        return back

    def letter(self, key: str) -> bool:  # noqa: ARG002 - most gestures have no use for letters
        """Take no letter."""
        return False

    def put_down(self) -> Outcome | None:
        """Keep nothing: most strokes are whole only when they are complete."""
        return None

    def plan_changed(self, plan: Plan) -> None:
        """Go on with the new plan."""
        self._plan, self._snapper = plan, None
        self._place_anew()

    def _next(self, start: Vector | None) -> None:
        """Begin the next step, whose way begins at ``start``."""
        self._start = start
        self._typed.clear()
