"""Baseline, and moving its origin: where stations and offsets are read from."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, dot, minus, plus, times
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer
from layoutdesk.gestures.ground import wall_face_at, yard_side_of
from layoutdesk.plan import edits
from layoutdesk.plan.model import Side, Wall
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

BY_POINTS: Final = "two points"


class BaselineGesture(Drawing):
    """Draws the baseline by two points, or takes a whole face of a wall.

    A face is chosen in its field, or by a click on it with Shift; stations then grow to the right as one
    stands in the yard and looks at the house.
    """

    name = "Baseline"

    def __init__(self, document: Document, view: ViewState) -> None:
        self._side: Side | None = None
        super().__init__(document, view)

    @property
    def doing(self) -> str:
        """Return which point is asked for."""
        if self._face is not None:
            return "Baseline along"
        return "Baseline from" if self._start is None else "Baseline toward"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if self._face is not None:
            return "Enter takes this face of the wall · H: yard on the other side"
        if self._start is None:
            return "Click where stations begin · Shift-click: a whole face"
        return "Click any place further along it · H: yard on the other side"

    # ---- faces

    def _faces(self) -> dict[str, tuple[Wall, Vector, Vector]]:
        """Return every straight face of the walls by the name that its field offers."""
        found: dict[str, tuple[Wall, Vector, Vector]] = {}
        for wall in self._plan.walls:
            sides = tuple(pairwise(wall.points))
            for k, (a, b) in enumerate(sides):
                found[wall.id if len(sides) == 1 else f"{wall.id} side {k + 1}"] = (wall, a, b)
        return found

    @property
    def _face(self) -> tuple[Wall, Vector, Vector] | None:
        return None if self._start is not None else self._faces().get(self._chosen.get("along", BY_POINTS))

    @staticmethod
    def _left_to_right(face: tuple[Wall, Vector, Vector]) -> tuple[Vector, Vector]:
        """Return the ends of a face as seen from the yard."""
        wall, a, b = face
        return (a, b) if wall.house_side == "left" else (b, a)

    # ---- steps

    def _own_fields(self) -> tuple[Field, ...]:
        yard = Field("yard", "choice", self._yard_side, options=("left", "right"))
        if self._start is not None:
            return (yard,)
        return (self._choice("along", (BY_POINTS, *self._faces()), BY_POINTS), yard)

    def _choose(self, name: str, value: str) -> None:
        if name == "yard":
            self._side = "left" if value == "left" else "right"
        else:
            super()._choose(name, value)

    def _default_angle(self) -> float:
        return 0.0

    @property
    def _ends(self) -> tuple[Vector, Vector] | None:
        """Return origin and toward as they stand, None before there are two places."""
        if self._face is not None:
            return self._left_to_right(self._face)
        if self._start is None or self._length <= SAME_MM:
            return None
        return self._start, self._at

    @property
    def _yard_side(self) -> Side:
        if self._side is not None:
            return self._side
        ends = self._ends
        return "right" if ends is None else yard_side_of(self._plan, *ends)

    def letter(self, key: str) -> bool:
        """Turn the yard to the other side on H."""
        if key != "H":
            return False
        self._side = "right" if self._yard_side == "left" else "left"
        return True

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take the point; with Shift, the whole face of the wall under it."""
        if pointer.add and self._start is None:
            self.moved(Pointer(pointer.at, pointer.reach))
            face = wall_face_at(self._plan, self._at)
            if face is not None:
                return self._set(*self._left_to_right(face))
        return super().pressed(pointer)

    def _take(self) -> Outcome | None:
        if self._start is None and self._face is None:
            self._next(self._at)
            return None
        ends = self._ends
        if ends is None:
            raise EditError("A baseline needs two places: click further along it")
        return self._set(*ends)

    def _set(self, origin: Vector, toward: Vector) -> Outcome:
        side = self._side or yard_side_of(self._plan, origin, toward)
        self._side = None
        self._chosen.clear()
        self._next(None)
        return Outcome("Set baseline", lambda plan: edits.set_baseline(plan, origin, toward, yard_side=side))

    def _back(self) -> bool:
        if self._start is None:
            return False
        self._next(None)
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        ends = self._ends
        if ends is None:
            return ()
        arrow = times(minus(ends[1], ends[0]), 0.12)
        sign = 1.0 if self._yard_side == "left" else -1.0
        middle = plus(ends[0], times(minus(ends[1], ends[0]), 0.5))
        yard = plus(middle, (-arrow[1] * sign, arrow[0] * sign))
        return (Ghost("baseline", ends), Ghost("guide", (middle, yard), label="yard"))


class OriginGesture(Drawing):
    """Moves the place on the baseline from which stations are counted; the line itself stays."""

    name = "Move baseline origin"

    @property
    def doing(self) -> str:
        """Return what is moved."""
        return "Station 0 to"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if self._bearings.frame is None:
            return "There is no baseline yet: draw one first"
        return "Click on the baseline, or type the station that becomes 0 · Enter to set"

    def _place_fields(self) -> tuple[Field, ...]:
        return super()._place_fields()[:1] if self._bearings.frame is not None else ()

    def _place(self) -> Vector:
        """Return the place square from the pointer on the baseline."""
        at = super()._place()
        frame = self._bearings.frame
        return at if frame is None else frame.point(frame.station_offset(at)[0], 0.0)

    def _take(self) -> Outcome:
        base, frame = self._plan.baseline, self._bearings.frame
        if base is None or frame is None:
            raise EditError("There is no baseline yet: draw one first")
        origin, side = self._at, base.yard_side
        reach = max(dot(minus(base.toward, origin), frame.along), 1000.0)
        toward = base.toward if reach > 1000.0 else plus(origin, times(frame.along, reach))
        self._next(None)
        return Outcome(
            "Move baseline origin", lambda plan: edits.set_baseline(plan, origin, toward, yard_side=side)
        )

    def _ghosts(self) -> tuple[Ghost, ...]:
        frame = self._bearings.frame
        if frame is None or not self._shows:
            return ()
        return (Ghost("baseline", (self._at, plus(self._at, times(frame.along, 1000.0)))),)
