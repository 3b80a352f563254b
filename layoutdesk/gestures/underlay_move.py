"""Move the picture: take it at a point and lay that point elsewhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutdesk.errors import EditError
from layoutdesk.geometry.projective import Map9, composed
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.plan.model import Plan, Underlay

if TYPE_CHECKING:
    from layoutdesk.gestures.snapping import Snapper


class MoveUnderlay(OnUnderlay):
    """Lays a picture elsewhere by one of its points: dragged, or pressed here and there, or so far that way."""

    name = "Move the picture"
    verb = "Move"
    needed = 1
    _held: Vector | None = None

    @property
    def doing(self) -> str:
        """Return what is moved."""
        one = self._underlay
        return f"Move {one.id if one is not None else 'a picture'}" + (" at" if self._pressing else " by")

    @property
    def _press_hint(self) -> str:
        return "Drag it, or press a point of it and then the place where that belongs"

    @property
    def _last_hint(self) -> str:
        return "Press where this point belongs, or type how far and which way · Esc goes a step back"

    @property
    def _asks_place(self) -> bool:
        return True

    def _own_fields(self) -> tuple[Field, ...]:
        return super()._own_fields() if self._pressing else ()

    def _catcher(self) -> Snapper:
        """Return what catches the picture: the plan, not the lines that move along."""
        if self._snapper is None:
            from layoutdesk.gestures.snapping import Snapper

            self._snapper = Snapper(self._plan)
        return self._snapper

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take the picture at a point, or lay it down."""
        fresh = self._pressing
        outcome = super().pressed(pointer)
        self._held = pointer.at if fresh and not self._pressing else None
        return outcome

    def released(self, pointer: Pointer) -> Outcome | None:
        """Lay the picture down when it was dragged."""
        held, self._held = self._held, None
        if held is None or self._pressing or distance(held, pointer.at) <= pointer.reach:
            return None
        return super().pressed(pointer)

    def _take(self) -> Outcome | None:
        if not self._pressing and self._start is not None and distance(self._start, self._at) <= SAME_MM:
            raise EditError("It lies there already: press where it belongs, or type how far it moves")
        outcome = super()._take()
        self._start = None if self._pressing else self._points(self._one().to_plan)[0]
        return outcome

    def _placed(self, one: Underlay) -> Map9 | None:
        if self._start is None:
            return None
        x, y = minus(self._at, self._start)
        return composed(one.to_plan, (1.0, 0.0, x, 0.0, 1.0, y, 0.0, 0.0, 1.0))

    def _back(self) -> bool:
        self._start = self._held = None
        return super()._back()

    def plan_changed(self, plan: Plan) -> None:
        """Begin again with the new plan."""
        self._start = self._held = None
        self._marks.clear()
        super().plan_changed(plan)

    def _ghosts(self) -> tuple[Ghost, ...]:
        ghosts = super()._ghosts()
        return ghosts if self._start is None else (*ghosts, Ghost("guide", (self._start, self._at)))
