"""Tape: what was measured on site, taken down by pressing its points and typing the number."""

from __future__ import annotations

from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.plan import edits
from layoutdesk.plan.model import TAPE_KINDS, Attachment, Control, Pier, Plan, TapeKind
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

_ASKED: Final[dict[TapeKind, tuple[str, ...]]] = {
    "distance": ("Tape from", "Tape to"),
    "square": ("Square from the line that starts at", "and goes to", "Measured to"),
    "string": ("String tied at", "and at", "Stake on the string"),
    "right angle": ("Right angle at", "first leg to", "second leg to"),
}
"""What each kind of measure asks for, point by point."""
_NEEDS: Final[dict[TapeKind, str]] = {
    "distance": "distance",
    "square": "distance",
    "string": "beside it",
    "right angle": "first leg",
}
_LEGS: Final = {"ft-in": (914.4, 1219.2), "m": (900.0, 1200.0), "mm": (900.0, 1200.0)}
"""A triangle of 3-4-5 in feet, or in steps of 300 mm."""


class TapeGesture(Drawing):
    """Takes down one measure after the other: its points, then what was read."""

    name = "Tape"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._picks: list[str] = []
        super().__init__(document, view)

    def begin(self, start: str, end: str) -> None:
        """Begin with both points of a distance picked: only its number is asked for."""
        self._typed.clear()
        self._chosen["kind"] = "distance"
        self._picks = [start, end]

    # ---- what is asked for

    @property
    def _kind(self) -> TapeKind:
        chosen = self._chosen.get("kind", TAPE_KINDS[0])
        return next((k for k in TAPE_KINDS if k == chosen), TAPE_KINDS[0])

    @property
    def _complete(self) -> bool:
        return len(self._picks) == len(_ASKED[self._kind])

    @property
    def doing(self) -> str:
        """Return which point is asked for, or from what to what the tape goes."""
        asked = _ASKED[self._kind]
        if not self._complete:
            return asked[len(self._picks)]
        names = [self._label(p) for p in self._picks]
        match self._kind:
            case "square":
                return f"{names[2]} square from {names[0]} to {names[1]}"
            case "string":
                return f"{names[2]} on the string {names[0]} to {names[1]}"
            case "right angle":
                return f"Right angle at {names[0]}, {names[1]} to {names[2]}"
        return f"Tape {names[0]} to {names[1]}"

    @property
    def hint(self) -> str:
        """Return what to do, and what was picked so far."""
        if self._complete:
            return "Type what the tape reads · Enter takes it down"
        so_far = ", ".join(self._label(p) for p in self._picks)
        if so_far:
            return f"{so_far} · then press the next point"
        return "Press a control point, an attachment or a pier, or type what it is called"

    @property
    def _asks_place(self) -> bool:
        return False

    def _own_fields(self) -> tuple[Field, ...]:
        if self._complete:
            return self._number_fields()
        under = self._under(self._pointer)
        point = self._field("point", "text", self._label(under) if under else "")
        return (point,) if self._picks else (point, self._choice("kind", TAPE_KINDS, TAPE_KINDS[0]))

    def _number_fields(self) -> tuple[Field, ...]:
        if self._kind == "right angle":
            first, second = _LEGS[self._plan.units]
            return (self._field("first leg", "length", first), self._field("second leg", "length", second))
        live = 0.0 if self._kind == "string" else self._planned()
        return (self._field(_NEEDS[self._kind], "length", live),)

    def _planned(self) -> float:
        """Return the planned distance, which stands in the box until the tape's is typed."""
        first, second = self._at_of(self._picks[0]), self._at_of(self._picks[-1])
        return distance(first, second) if first and second and self._kind == "distance" else 0.0

    # ---- points

    def _points(self) -> tuple[Control | Attachment | Pier, ...]:
        return (*self._plan.controls, *self._plan.attachments, *self._plan.piers)

    def _label(self, point_id: str) -> str:
        point = next((p for p in self._points() if p.id == point_id), None)
        return point.label if isinstance(point, Pier) else point_id

    def _at_of(self, point_id: str) -> Vector | None:
        return next((p.at for p in self._points() if p.id == point_id), None)

    def _under(self, pointer: Pointer | None) -> str | None:
        """Return the point under the pointer, or None; control points come before attachments on the same spot."""
        if pointer is None:
            return None
        from layoutdesk.gestures.plan_index import index_of

        index = index_of(self._plan)
        heights = {s.id for s in self._plan.spots}
        near = index.near_points(pointer.at, pointer.reach).nonzero()[0].tolist()
        near = [k for k in near if index.spots[k].piece not in heights]
        controls = {c.id for c in self._plan.controls}
        near.sort(
            key=lambda k: (
                distance(tuple(index.points[k]), pointer.at),
                index.spots[k].piece not in controls,
            )
        )
        return index.spots[near[0]].piece if near else None

    def _named(self, text: str) -> str:
        """Return the id of the point that is called so.

        Raises:
            EditError: when nothing is, or it was picked already.
        """
        wanted = text.strip().lower()
        found = next((p.id for p in self._points() if wanted in {p.id.lower(), self._label(p.id).lower()}), None)
        if found is None:
            raise EditError(f"No control point, attachment or pier is called {text.strip() or 'nothing'}")
        if found in self._picks:
            raise EditError(f"{self._label(found)} was picked already; a measure goes to another point")
        return found

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        if field.name == "point":
            self._named(str(value))
        elif field.kind == "length" and self._kind in ("distance", "right angle") and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("A tape reads more than nothing: type for example 12' 6\" or 3.81 m")

    # ---- steps

    def moved(self, pointer: Pointer) -> None:
        """Show which point a press would take."""
        self._pointer = pointer
        self._view.hover(self._under(pointer))

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take the point under the pointer."""
        self.moved(pointer)
        if self._complete:
            return None
        under = self._under(pointer)
        if under is None:
            raise EditError("A tape goes from point to point: press a control point, an attachment or a pier")
        self._pick(self._named(under))
        return None

    def _pick(self, point_id: str) -> None:
        self._picks.append(point_id)
        self._typed.clear()

    def _take(self) -> Outcome | None:
        if not self._complete:
            typed = self._typed.get("point")
            if typed is None:
                raise EditError("Type what the point is called, such as P1, or press it")
            self._pick(self._named(str(typed)))
            return None
        if self._kind in ("distance", "square") and not self._typed:
            raise EditError("Type what the tape reads: it is not known from the drawing")
        return self._take_down()

    def _take_down(self) -> Outcome:
        kind, picks = self._kind, tuple(self._picks)
        values = [float(f.value) for f in self._number_fields()]  # type: ignore[arg-type]
        label = self.doing
        self._picks.clear()
        self._typed.clear()
        if kind == "distance":
            start, end = picks
            return Outcome(label, lambda plan: edits.add_tape(plan, start, end, values[0]))
        if kind == "right angle":
            corner, one, other = picks
            legs = (values[0], values[1])
            return Outcome(
                label, lambda plan: edits.add_tape(plan, corner, one, 90.0, kind=kind, third=other, legs=legs)
            )
        start, third, end = picks
        return Outcome(label, lambda plan: edits.add_tape(plan, start, end, values[0], kind=kind, third=third))

    def _back(self) -> bool:
        if not self._picks:
            return False
        self._picks.pop()
        return True

    def plan_changed(self, plan: Plan) -> None:
        """Go on with the new plan; points that are gone are dropped."""
        super().plan_changed(plan)
        self._picks = [p for p in self._picks if self._at_of(p) is not None]

    def _ghosts(self) -> tuple[Ghost, ...]:
        places = [self._at_of(p) for p in self._picks]
        if not self._complete:
            places.append(self._at_of(self._under(self._pointer) or ""))
        known = tuple(p for p in places if p is not None)
        return (Ghost("line", known),) if len(known) > 1 else tuple(Ghost("handle", (p,)) for p in known)
