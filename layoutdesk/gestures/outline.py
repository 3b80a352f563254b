"""Slab and Keep-out: closed outlines, as a rectangle, corner by corner, or round."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, plus
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.gestures.guides import ON, Guide
from layoutdesk.plan import edits
from layoutdesk.plan.model import KEEPOUT_KINDS, KeepoutKind
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import inches

ROUND_SIDES: Final = 24
"""A round outline has this many straight sides; its corners lie outside the circle, its sides touch it."""
RECTANGLE, CORNERS, ROUND = "rectangle", "corners", "round"


class OutlineGesture(Drawing):
    """Draws a closed outline.

    A rectangle lies square to the baseline, between two of its corners or by its two sizes; corners are set
    one by one, Enter closing the outline; a round one has a centre and a radius.
    """

    shapes: tuple[str, ...] = (RECTANGLE, CORNERS)

    def __init__(self, document: Document, view: ViewState) -> None:
        self._points: list[Vector] = []
        super().__init__(document, view)

    def _finished(self, outline: tuple[Vector, ...]) -> Outcome:
        """Return what draws the outline."""
        raise NotImplementedError

    def _more_fields(self) -> tuple[Field, ...]:
        """Return the fields that say what the outline is."""
        return ()

    @property
    def _shape(self) -> str:
        return self._chosen.get("shape", self.shapes[0])

    @property
    def doing(self) -> str:
        """Return which place is asked for."""
        if not self._points:
            middle = "centre" if self._shape == ROUND else "corner"
            return f"{self.name}, {middle} at"
        return {RECTANGLE: f"{self.name} of", ROUND: f"{self.name}, round"}.get(self._shape, f"{self.name} to")

    @property
    def hint(self) -> str:
        """Return what to do."""
        if not self._points:
            return "Click, or type where it is · Enter to set"
        if self._shape == RECTANGLE:
            return "Click the opposite corner, or type both sizes · Enter to set"
        if self._shape == ROUND:
            return "Click its edge, or type the radius · Enter to set"
        return "Next corner · Enter or a right click closes it"

    # ---- fields

    @property
    def _size_names(self) -> tuple[str, str]:
        return ("along", "away") if self._bearings.frame else ("wide", "high")

    def _place_fields(self) -> tuple[Field, ...]:
        if not self._points or self._shape == CORNERS:
            return super()._place_fields()
        if self._shape == ROUND:
            return (self._field("radius", "length", distance(self._points[0], self._at)),)
        sizes = self._bearings.read_way(minus(self._at, self._points[0]))
        return tuple(self._field(n, "length", v) for n, v in zip(self._size_names, sizes, strict=True))

    def _own_fields(self) -> tuple[Field, ...]:
        shape = (self._choice("shape", self.shapes, self.shapes[0]),) if not self._points else ()
        return (*shape, *self._more_fields())

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == "radius" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("The radius must be more than nothing")
        if field.name in self._size_names and self._points and float(value) == 0:  # type: ignore[arg-type]
            raise EditError("A rectangle needs both sizes; a minus sign turns it to the other side")

    def _default_angle(self) -> float:
        if len(self._points) < 2:
            return 0.0
        return self._bearings.angle(minus(self._points[-1], self._points[-2])) + 90

    # ---- the place

    def _place(self) -> Vector:
        """Return the place of a first corner, or of what the present step measures from it."""
        if not self._points:
            return super()._place()
        start = self._points[0]
        if self._shape == ROUND:
            radius = self._typed.get("radius")
            at = self._caught() if self._pointer is not None else start
            if radius is None:
                return at
            return plus(start, self._bearings.way(float(radius), 0.0))  # type: ignore[arg-type]
        return self._opposite(start)

    def _opposite(self, start: Vector) -> Vector:
        """Return the opposite corner of a rectangle."""
        typed = [self._typed.get(name) for name in self._size_names]
        wide, high = (None if t is None else float(t) for t in typed)  # type: ignore[arg-type]
        bearings = self._bearings
        if wide is not None and high is not None:
            return plus(start, bearings.way(wide, high))
        if self._pointer is None:
            return plus(start, bearings.way(wide or 0.0, high or 0.0))
        if wide is not None:
            return self._caught(track=Guide(plus(start, bearings.way(wide, 0.0)), bearings.aside, "", ON))
        if high is not None:
            return self._caught(track=Guide(plus(start, bearings.way(0.0, high)), bearings.ahead, "", ON))
        return self._caught()

    def _outline(self) -> tuple[Vector, ...]:
        """Return the outline as it would be, () while it encloses nothing."""
        if not self._points or (distance(self._points[0], self._at) <= SAME_MM and len(self._points) < 3):
            return ()
        start, bearings = self._points[0], self._bearings
        if self._shape == RECTANGLE:
            wide, high = bearings.read_way(minus(self._at, start))
            if abs(wide) <= SAME_MM or abs(high) <= SAME_MM:
                return ()
            return (
                start,
                plus(start, bearings.way(wide, 0.0)),
                self._at,
                plus(start, bearings.way(0.0, high)),
            )
        if self._shape == ROUND:
            reach = distance(start, self._at) / math.cos(math.pi / ROUND_SIDES)
            angles = [2 * math.pi * (k + 0.5) / ROUND_SIDES for k in range(ROUND_SIDES)]
            return tuple(plus(start, bearings.way(reach * math.cos(a), reach * math.sin(a))) for a in angles)
        fresh = distance(self._points[-1], self._at) > SAME_MM and (self._pointer is not None or bool(self._typed))
        return (*self._points, self._at) if fresh else tuple(self._points)

    # ---- steps

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Set a corner; on the first corner again, close the outline."""
        if (
            self._shape == CORNERS
            and len(self._points) >= 3
            and distance(pointer.at, self._points[0]) <= pointer.reach
        ):
            return self._close(tuple(self._points))
        return super().pressed(pointer)

    def commit(self) -> Outcome | None:
        """Set the typed place; with nothing typed, close an outline of three corners or more."""
        if self._shape == CORNERS and len(self._points) >= 3 and not self._typed:
            return self._close(tuple(self._points))
        return super().commit()

    def put_down(self) -> Outcome | None:
        """Keep an outline of three corners or more."""
        whole = self._shape == CORNERS and len(self._points) >= 3
        return self._close(tuple(self._points)) if whole else None

    def _take(self) -> Outcome | None:
        if not self._points or self._shape == CORNERS:
            if not self._points or distance(self._points[-1], self._at) > SAME_MM:
                self._points.append(self._at)
            self._next(self._points[-1] if self._shape == CORNERS else None)
            return None
        outline = self._outline()
        if not outline:
            raise EditError(f"This {self.name.lower()} encloses nothing yet: click further away or type its size")
        return self._close(outline)

    def _close(self, outline: tuple[Vector, ...]) -> Outcome:
        done = self._finished(outline)
        self._points.clear()
        self._next(None)
        return done

    def _back(self) -> bool:
        if not self._points:
            return False
        self._points.pop()
        self._next(self._points[-1] if self._points and self._shape == CORNERS else None)
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        outline = self._outline()
        if len(outline) >= 3:
            return (Ghost("outline", outline),)
        return (Ghost("line", outline),) if len(outline) == 2 else ()


class SlabGesture(OutlineGesture):
    """Draws existing concrete."""

    name = "Slab"

    @property
    def _thickness(self) -> float:
        """Return the thickness that new slabs get in mm: as typed, else 4 in or 100 mm, a usual patio's."""
        usual = inches(4) if self._plan.units == "ft-in" else 100.0
        return float(self._typed.get("thickness", usual))  # type: ignore[arg-type]

    def _more_fields(self) -> tuple[Field, ...]:
        return (self._field("thickness", "length", self._thickness),) if self._points else ()

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == "thickness" and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("The thickness must be more than nothing")

    def _finished(self, outline: tuple[Vector, ...]) -> Outcome:
        thickness = self._thickness
        return Outcome(
            "Draw slab", lambda plan: edits.add_slab(plan, outline, thickness=thickness), select_new=True
        )


class KeepoutGesture(OutlineGesture):
    """Draws what neither auger nor tape may cross."""

    name = "Keep-out"
    shapes = (RECTANGLE, CORNERS, ROUND)

    @property
    def _kind(self) -> KeepoutKind:
        value = self._chosen.get("kind", KEEPOUT_KINDS[0])
        return next((k for k in KEEPOUT_KINDS if k == value), KEEPOUT_KINDS[0])

    def _more_fields(self) -> tuple[Field, ...]:
        return (self._choice("kind", KEEPOUT_KINDS, KEEPOUT_KINDS[0]),)

    def _finished(self, outline: tuple[Vector, ...]) -> Outcome:
        kind = self._kind
        return Outcome("Draw keep-out", lambda plan: edits.add_keepout(plan, outline, kind=kind), select_new=True)
