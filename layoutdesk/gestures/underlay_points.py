"""What the acts on what lies under the sheet have in common: points pressed on it, then values typed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import ClassVar

from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.geometry.projective import Map9, apply, on_ground, part_on_ground
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Preview, Snap
from layoutdesk.gestures.guides import Guide
from layoutdesk.gestures.underlay_places import own_place
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

NOTHING = "Nothing lies under the sheet yet: choose Lay a picture under the sheet in the File menu"


class OnUnderlay(Drawing):
    """An act on a picture or a page that lies under the sheet.

    ``needed`` points are pressed on it first. They are kept in its own coordinates, so that they stay on it
    wherever it is laid; then :meth:`_last_fields` asks for values, and :meth:`_placed` says where it comes to lie.
    """

    needed: ClassVar[int] = 2
    verb: ClassVar[str] = ""

    def __init__(self, document: Document, view: ViewState) -> None:
        self._marks: list[Vector] = []
        self._target: str | None = None
        self._seen: tuple[Underlay, ...] = ()
        super().__init__(document, view)

    # ---- which one

    def aim(self, underlay_id: str) -> None:
        """Act on this one, and on no other that lies there."""
        self._target = underlay_id
        self._marks.clear()
        self._typed.clear()

    @property
    def _shown_ones(self) -> tuple[Underlay, ...]:
        return tuple(u for u in self._plan.underlays if u.shown)

    @property
    def _underlay(self) -> Underlay | None:
        """Return what is acted on: what was chosen or pressed first, else what lies at the place, topmost first."""
        shown = self._shown_ones
        chosen = next((u for u in self._plan.underlays if u.id == self._target), None)
        if chosen is not None or not shown:
            return chosen
        return next((u for u in reversed(shown) if own_place(u, self._at) is not None), shown[-1])

    def _one(self) -> Underlay:
        one = self._underlay
        if one is None:
            raise EditError(NOTHING)
        edits.refuse_locked(one)
        return one

    # ---- steps

    @property
    def _pressing(self) -> bool:
        return len(self._marks) < self.needed

    @property
    def _asks_place(self) -> bool:
        return self._pressing

    @property
    def doing(self) -> str:
        """Return which point is asked for, or what the values are for."""
        one = self._underlay
        name = one.id if one is not None else "a picture"
        if self._pressing:
            return f"{self.verb} {name}, point {len(self._marks) + 1} of {self.needed}"
        return f"{self.verb} {name}"

    @property
    def hint(self) -> str:
        """Return what to press."""
        one = self._underlay
        if one is None:
            return NOTHING
        if one.locked:
            return f"{one.id} is locked where it lies; unlock it on the Plan page"
        return self._press_hint if self._pressing else self._last_hint

    @property
    def _press_hint(self) -> str:
        return "Press a point of the picture; zoom in as far as you like"

    @property
    def _last_hint(self) -> str:
        return "Enter to set · Esc goes a step back"

    def _own_fields(self) -> tuple[Field, ...]:
        if not self._pressing:
            return self._last_fields()
        names = [picture_name(u) for u in self._shown_ones]
        if len(names) < 2 or self._marks:
            return ()
        one = self._underlay
        return (Field("picture", "choice", names[-1] if one is None else picture_name(one), options=tuple(names)),)

    def _last_fields(self) -> tuple[Field, ...]:
        """Return the fields of the last step."""
        return ()

    def _choose(self, name: str, value: str) -> None:
        if name == "picture":
            self.aim(next(u.id for u in self._shown_ones if picture_name(u) == value))
        else:
            super()._choose(name, value)

    def _take(self) -> Outcome | None:
        one = self._one()
        if not self._pressing:
            to_plan = self._placed(one)
            if to_plan is None:
                raise EditError(self._missing)
            what, marks = one.id, self.name
            self._begin_anew()
            return Outcome(f"{marks}: {what}", lambda plan: edits.place_underlay(plan, what, to_plan))
        own = own_place(one, self._at)
        if own is None:
            raise EditError(f"That is beside {one.id}; press a point on the picture")
        if any(distance(own, mark) < 1e-6 * max(one.size) for mark in self._marks):
            raise EditError("That point is pressed already; press one that lies apart from it")
        self._target = one.id
        self._marks.append(own)
        self._typed.clear()
        return None

    _missing: ClassVar[str] = "Type the distances first"

    def _begin_anew(self) -> None:
        self._marks.clear()
        self._typed.clear()
        self._chosen.clear()

    def _placed(self, one: Underlay) -> Map9 | None:
        """Return where it comes to lie with the values as they stand; None while they say nothing yet."""
        raise NotImplementedError

    def _safely_placed(self) -> Map9 | None:
        one = self._underlay
        if one is None or self._pressing:
            return None
        try:
            return self._placed(one)
        except LayoutdeskError:
            return None

    def _back(self) -> bool:
        if not self._marks:
            return False
        self._marks.pop()
        return True

    def plan_changed(self, plan: Plan) -> None:
        """Go on with the new plan; points on a picture that is gone are dropped."""
        one = next((u for u in plan.underlays if u.id == self._target), None)
        if one is None:
            self._target = None
        if one is None or not all(on_ground(one.to_plan, mark) for mark in self._marks):
            self._marks.clear()
            self._typed.clear()
        super().plan_changed(plan)

    # ---- places

    def _caught(self, *, track: Guide | None = None) -> Vector:
        """Return the pointer's place while points are pressed: on an end of this very drawing, or where it is."""
        if not self._pressing:
            return super()._caught(track=track)
        pointer = self._pointer
        if pointer is None:
            return self._at
        if track is not None:
            return track.nearest(pointer.at)
        one = self._underlay
        traced = None if one is None else self._view.traced.get((one.file, one.page))
        if traced is None or one is None or pointer.free:
            return pointer.at
        from layoutdesk.gestures.underlay_lines import index_of_page, nearest_spot

        index = index_of_page(traced, one.to_plan)
        caught = nearest_spot(index.spots(pointer.at, pointer.reach), pointer.at, pointer.reach)
        if caught is None:
            return pointer.at
        self._snap = Snap(caught[1].at, caught[1].words)
        return caught[1].at

    def _points(self, to_plan: Map9) -> tuple[Vector, ...]:
        """Return where the pressed points lie with a placing."""
        return apply(to_plan, self._marks)

    # ---- what is shown

    @property
    def preview(self) -> Preview:
        """Return the points so far, and the picture as it would lie."""
        to_plan = self._safely_placed()
        return Preview(
            self._ghosts(),
            self._snap if self._asks_place else None,
            underlays=self._as_placed(to_plan),
            near=self._at if self._pressing and self._pointer is not None and self._underlay is not None else None,
        )

    def _as_placed(self, to_plan: Map9 | None) -> tuple[Underlay, ...] | None:
        """Return all under the sheet with this one as it would lie; the same object while nothing changes."""
        one = self._underlay
        if to_plan is None or one is None:
            return None
        after = tuple([replace(one, to_plan=to_plan) if u is one else u for u in self._plan.underlays])
        if after != self._seen:
            self._seen = after
        return self._seen

    def _ghosts(self) -> tuple[Ghost, ...]:
        one = self._underlay
        if one is None:
            return ()
        to_plan = self._safely_placed() or one.to_plan
        ghosts = [Ghost("guide", frame_of(one, to_plan))]
        points = self._points(to_plan)
        if len(points) > 1:
            ghosts.append(Ghost("guide", self._run(points)))
        ghosts += [Ghost("mark", (p,), label=str(k)) for k, p in enumerate(points, 1)]
        if self._pressing and self._shows:
            if points:
                ghosts.append(Ghost("guide", (points[-1], self._at)))
            ghosts.append(Ghost("mark", (self._at,)))
        return tuple(ghosts)

    def _run(self, points: tuple[Vector, ...]) -> tuple[Vector, ...]:
        return points


def frame_of(underlay: Underlay, to_plan: Map9) -> tuple[Vector, ...]:
    """Return the edge of what is to be seen of a picture, closed, as it lies on the plan."""
    wide, high = underlay.size
    part = part_on_ground(to_plan, ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)))
    laid = apply(to_plan, part)
    return (*laid, *laid[:1])


def picture_name(underlay: Underlay) -> str:
    """Return how one of several is called: its id and its file."""
    return f"{underlay.id} {Path(underlay.file).name}"
