"""Copy and Mirror: more of what is picked."""

from __future__ import annotations

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, length, minus, plus, times
from layoutdesk.gestures.commands import named
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Preview
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan

MOST_COPIES = 1000


class CopyGesture(Drawing):
    """Copies what is picked by a typed or clicked way, once or several times."""

    name = "Copy"

    @property
    def doing(self) -> str:
        """Return what is copied."""
        picked = self._view.selected
        return f"Copy {named(self._plan, picked)} by" if picked else "Copy"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if not self._view.selected:
            return "Nothing is picked: Esc, pick what to copy, then come back"
        if self._start is None:
            return "Type how far, or click a place to take it by"
        return "Click where that place goes · Enter to set"

    @property
    def _way_names(self) -> tuple[str, str]:
        return ("along", "away") if self._bearings.frame else ("x", "y")

    def _place_fields(self) -> tuple[Field, ...]:
        way = self._bearings.read_way(self._by)
        return tuple(self._field(n, "length", v) for n, v in zip(self._way_names, way, strict=True))

    def _own_fields(self) -> tuple[Field, ...]:
        return (self._field("copies", "count", self._copies),)

    @property
    def _copies(self) -> int:
        return int(self._typed.get("copies", 1))  # type: ignore[arg-type]

    @property
    def _by(self) -> Vector:
        dragged = (0.0, 0.0) if self._start is None else minus(self._at, self._start)
        first, second = self._bearings.read_way(dragged)
        typed = [self._typed.get(n) for n in self._way_names]
        return self._bearings.way(
            first if typed[0] is None else float(typed[0]),  # type: ignore[arg-type]
            second if typed[1] is None else float(typed[1]),  # type: ignore[arg-type]
        )

    def _way_end(self, start: Vector) -> Vector:
        return self._caught() if self._pointer is not None else start

    def _place(self) -> Vector:
        return self._caught() if self._pointer is not None else self._at

    def _copied(self, plan: Plan, picked: tuple[str, ...], by: Vector, copies: int) -> Plan:
        """Return the plan with every copy at its place.

        Raises:
            EditError: when there are too many, or one cannot be made.
        """
        if copies > MOST_COPIES:
            raise EditError(f"At most {MOST_COPIES} copies at a time")
        for k in range(1, copies + 1):
            plan = edits.copy(plan, picked, times(by, k))
        return plan

    def _take(self) -> Outcome | None:
        picked, by, copies = self._view.selected, self._by, self._copies
        if not picked:
            raise EditError("Nothing is picked: pick what to copy first")
        if length(by) <= SAME_MM:
            if self._start is None and not self._typed and self._pointer is not None:
                self._next(self._at)
                return None
            raise EditError("A copy needs a way to go: type how far along and away")
        self._copied(self._plan, picked, by, copies)
        self._next(None)
        return Outcome(
            f"Copy {named(self._plan, picked)}",
            lambda plan: self._copied(plan, picked, by, copies),
            select_new=True,
        )

    def _back(self) -> bool:
        if self._start is None:
            return False
        self._next(None)
        return True

    @property
    def preview(self) -> Preview:
        """Return the plan with the copies."""
        picked, by = self._view.selected, self._by
        plan: Plan | None = None
        if picked and length(by) > SAME_MM:
            try:
                plan = self._copied(self._plan, picked, by, min(self._copies, 50))
            except EditError:
                plan = None
        ghosts = () if self._start is None else (Ghost("guide", (self._start, plus(self._start, by))),)
        return Preview(ghosts, self._snap, plan)


class MirrorGesture(Drawing):
    """Mirrors what is picked in a line through two places."""

    name = "Mirror"

    @property
    def doing(self) -> str:
        """Return which place of the mirror line is asked for."""
        picked = self._view.selected
        if not picked:
            return "Mirror"
        return f"Mirror {named(self._plan, picked)} in a line {'from' if self._start is None else 'to'}"

    @property
    def hint(self) -> str:
        """Return what to do."""
        if not self._view.selected:
            return "Nothing is picked: Esc, pick what to mirror, then come back"
        return "Click, or type it · Enter to set"

    def _own_fields(self) -> tuple[Field, ...]:
        return (self._choice("keep", ("both", "only the mirrored"), "both"),)

    @property
    def _keep(self) -> bool:
        return self._chosen.get("keep", "both") == "both"

    def _take(self) -> Outcome | None:
        picked, keep = self._view.selected, self._keep
        if not picked:
            raise EditError("Nothing is picked: pick what to mirror first")
        if self._start is None:
            self._next(self._at)
            return None
        if self._length <= SAME_MM and "angle" not in self._typed:
            raise EditError("The mirror line needs a second place")
        a, b = self._start, self._mirror_end
        edits.mirror(self._plan, picked, a, b, keep=keep)
        self._next(None)
        return Outcome(
            f"Mirror {named(self._plan, picked)}",
            lambda plan: edits.mirror(plan, picked, a, b, keep=keep),
            select_new=keep,
        )

    @property
    def _mirror_end(self) -> Vector:
        """Return the second place of the mirror line; an angle alone gives one too."""
        start = self._start or self._at
        if self._length > SAME_MM:
            return self._at
        return plus(start, times(self._bearings.direction(self._typed_angle() or 0.0), 1000.0))

    def _back(self) -> bool:
        if self._start is None:
            return False
        self._next(None)
        return True

    @property
    def preview(self) -> Preview:
        """Return the mirror line, and the plan as it would be."""
        if self._start is None:
            return Preview((), self._snap)
        plan: Plan | None = None
        if self._view.selected and self._length > SAME_MM:
            try:
                plan = edits.mirror(self._plan, self._view.selected, self._start, self._at, keep=self._keep)
            except EditError:
                plan = None
        return Preview((Ghost("guide", (self._start, self._at)),), self._snap, plan)
