"""What every gesture is: a small state machine fed with places and typed values.

The canvas turns mouse events into plan coordinates and calls the gesture; the entry line shows the gesture's
fields and hands typed values back. The gesture answers with a preview to draw and, when a step is complete,
with an edit. It knows neither pixels nor widgets.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan, Underlay

FieldKind = Literal["length", "lengths", "angle", "count", "text", "choice", "chain"]
Value = float | str | tuple[float, ...]
"""What a field holds: mm or degrees or a count, text or a choice, or a list of mm."""


@dataclass(frozen=True, slots=True)
class Pointer:
    """Where the pointer is, in plan millimetres, and how far counts as near.

    ``reach`` is the catching distance in plan millimetres at the present zoom (a fixed number of pixels).
    ``add`` is Shift (pick more, or keep to a straight direction); ``free`` is Alt or Ctrl (do not snap).
    """

    at: Vector
    reach: float
    add: bool = False
    free: bool = False


@dataclass(frozen=True, slots=True)
class Field:
    """One box of the entry line.

    ``value`` is live: mm for a length, a tuple of mm for lengths, degrees for an angle, a whole number for a
    count, text for text and for a chain of dimensions, one of ``options`` for a choice; ``typed`` says that the
    person has fixed it, so that the pointer no longer moves it.
    """

    name: str
    kind: FieldKind
    value: Value
    typed: bool = False
    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Snap:
    """A place that caught the pointer, and why: ``on line L2, square from the wall``.

    ``on`` names the pieces that the place lies on or takes its measure from, the first being the one that
    caught the pointer; ``guides`` are the straight lines to show, each from where it comes to the place.
    """

    at: Vector
    reason: str
    on: tuple[str, ...] = ()
    guides: tuple[tuple[Vector, Vector], ...] = ()


GhostKind = Literal[
    "wall", "line", "outline", "pier", "attachment", "control", "baseline", "guide", "box", "handle", "mark", "spot"
]


@dataclass(frozen=True, slots=True)
class Ghost:
    """A shape drawn while a gesture is under way, in plan millimetres.

    ``kind`` says what it will be; ``points`` its places; ``radius`` for piers and circles.
    """

    kind: GhostKind
    points: tuple[Vector, ...]
    radius: float = 0.0
    label: str = ""


@dataclass(frozen=True, slots=True)
class Preview:
    """What the canvas draws over the plan: the ghosts, the snap that holds, and a plan to show instead.

    ``plan`` is given while pieces are dragged: the plan as it would be, drawn in place of the real one;
    ``underlays`` while something under the sheet is placed: all that would lie there. ``near`` is a
    place to be shown enlarged, because it is pressed on a picture.
    """

    ghosts: tuple[Ghost, ...] = ()
    snap: Snap | None = None
    plan: Plan | None = None
    underlays: tuple[Underlay, ...] | None = None
    near: Vector | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a gesture asks for: an edit under a name, and what to select afterwards (None: leave it).

    ``merge`` is handed to the history: outcomes with the same key in a row are one step to undo.
    ``select_new`` selects what the edit added, whatever ids it got.
    """

    label: str = ""
    edit: Callable[[Plan], Plan] | None = None
    select: tuple[str, ...] | None = None
    merge: object = None
    select_new: bool = False


class Gesture(Protocol):
    """A gesture, from choosing it to Esc. Each method may return an outcome; None means nothing to do yet."""

    @property
    def name(self) -> str:
        """Return what the button says: ``Row of piers``."""
        ...

    @property
    def doing(self) -> str:
        """Return what is being done, as the entry line says it before its boxes: ``Move P4 to``."""
        ...

    @property
    def hint(self) -> str:
        """Return what to do next, in a few words."""
        ...

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the boxes of the entry line for the present step; live values follow the pointer."""
        ...

    @property
    def preview(self) -> Preview:
        """Return what to draw over the plan."""
        ...

    def moved(self, pointer: Pointer) -> None:
        """Follow the pointer."""
        ...

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take a press of the main button."""
        ...

    def released(self, pointer: Pointer) -> Outcome | None:
        """Take its release."""
        ...

    def letter(self, key: str) -> bool:
        """Take a letter key, such as H to turn the house to the other side; return whether it meant anything."""
        ...

    def type_in(self, index: int, value: Value | None) -> None:
        """Fix field ``index`` to a typed value, or free it with None.

        Raises:
            EditError: when the value makes no sense here; the sentence is shown at the box.
        """
        ...

    def commit(self) -> Outcome | None:
        """Take Enter: complete the step with the values as they stand."""
        ...

    def cancel(self) -> bool:
        """Take Esc: go a step back; return False when there was nothing to leave, and Pick takes over."""
        ...

    def put_down(self) -> Outcome | None:
        """Be left for another gesture: what is whole enough already is kept, as Enter would keep it."""
        ...

    def plan_changed(self, plan: Plan) -> None:
        """Learn that the plan is another one now."""
        ...
