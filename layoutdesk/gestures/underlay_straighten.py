"""Straighten a photograph: four points of it and the distances between them on the ground."""

from __future__ import annotations

from typing import ClassVar, Final

from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.geometry.projective import (
    Four,
    Map9,
    apply,
    quad_from_distances,
    rectangle,
    seen_clockwise,
    similarity,
    through_four,
)
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, unit
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Value
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.plan.model import Underlay
from layoutdesk.units import format_small

KNOWN: Final = ("sides and diagonal", "rectangle")
PAIRS: Final = ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3))
NAMES: Final = tuple(f"{a + 1} to {b + 1}" for a, b in PAIRS)
CHECK: Final = NAMES[5]
"""The second diagonal: it need not be known, and only checks the others."""


class StraightenUnderlay(OnUnderlay):
    """Takes the perspective out of a photograph: it then lies as seen from straight above.

    Point 1 stays where it is, and the side from 1 to 2 keeps its direction. The sides are asked for first, then
    the diagonals; of a rectangle two sides are enough.
    """

    name = "Straighten a photograph"
    verb = "Straighten"
    needed = 4
    _missing: ClassVar[str] = "Type the diagonal from 1 to 3; only the second one, 2 to 4, may be left out"
    _asks_diagonals = False

    @property
    def doing(self) -> str:
        """Return which point, or which distances, are asked for."""
        if self._pressing or not self._by_sides:
            return super().doing
        return f"{super().doing}, {'diagonals' if self._asks_diagonals else 'sides'}"

    @property
    def _press_hint(self) -> str:
        if not self._marks:
            return "Press four points on the ground, in order round, whose distances are known"
        return "The next point round · the farther apart the four, the more exact"

    @property
    def _last_hint(self) -> str:
        one = self._underlay
        if one is None:
            return super()._last_hint
        try:
            self._quad()
        except LayoutdeskError as error:
            return str(error)
        if not self._by_sides:
            return "Type two sides of the rectangle · Enter to set · H: it is no rectangle"
        if self._asks_diagonals:
            return "Type one diagonal, or both: the second one checks the others · Enter to set"
        return "Type the four sides as measured · Enter goes on · H: it is a rectangle"

    def _said_of_check(self) -> str:
        """Return how the second diagonal agrees with the other distances, or nothing while it is not typed."""
        try:
            found = self._quad() if self._by_sides and CHECK in self._typed else None
        except LayoutdeskError:
            return ""
        if found is None:
            return ""
        off = found[1]
        if abs(off) < self._plan.rounding / 2:
            return f"{CHECK} agrees"
        text = format_small(abs(off), self._plan.units, self._plan.rounding)
        return f"{CHECK}: {text} too {'long' if off > 0 else 'short'} for the others"

    def _ghosts(self) -> tuple[Ghost, ...]:
        ghosts = super()._ghosts()
        one, said = self._underlay, "" if self._pressing else self._said_of_check()
        if one is None or not said:
            return ghosts
        points = self._points(self._safely_placed() or one.to_plan)
        return (*ghosts, Ghost("guide", (points[1], points[3]), label=said))

    @property
    def _by_sides(self) -> bool:
        return self._chosen.get("known", KNOWN[0]) == KNOWN[0]

    def _last_fields(self) -> tuple[Field, ...]:
        one = self._underlay
        points = self._points(one.to_plan) if one is not None else ((0.0, 0.0),) * 4
        lengths = {name: distance(points[a], points[b]) for name, (a, b) in zip(NAMES, PAIRS, strict=True)}
        if CHECK not in self._typed:
            lengths[CHECK] = self._second_diagonal(lengths[CHECK])
        asked = NAMES[:2] if not self._by_sides else NAMES[4:] if self._asks_diagonals else NAMES[:4]
        return tuple(self._field(name, "length", lengths[name]) for name in asked)

    def _own_fields(self) -> tuple[Field, ...]:
        fields = super()._own_fields()
        return (*fields, self._choice("known", KNOWN, KNOWN[0])) if self._pressing else fields

    def letter(self, key: str) -> bool:
        """Take two sides of a rectangle, or sides and diagonals, on H."""
        if key != "H":
            return False
        self._chosen["known"] = KNOWN[1 if self._by_sides else 0]
        self._asks_diagonals = False
        return True

    def cancel(self) -> bool:
        """Give up typed diagonals, then go back to the sides, then on as in every act."""
        if self._pressing or not self._asks_diagonals:
            return super().cancel()
        typed = [name for name in NAMES[4:] if self._typed.pop(name, None) is not None]
        self._asks_diagonals = bool(typed)
        return True

    def _take(self) -> Outcome | None:
        if self._pressing or not self._by_sides or self._asks_diagonals:
            self._asks_diagonals = self._asks_diagonals and not self._pressing
            outcome = super()._take()
            self._asks_diagonals = False
            return outcome
        self._one()
        if any(name not in self._typed for name in NAMES[:4]):
            raise EditError("Type all four sides first; H asks for two sides of a rectangle instead")
        self._asks_diagonals = True
        return None

    def _second_diagonal(self, live: float) -> float:
        """Return the second diagonal that the typed distances give, while it is not typed itself."""
        try:
            found = self._quad()
        except LayoutdeskError:
            return live
        return live if found is None else distance(found[0][1], found[0][3])

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name in NAMES and float(value) <= 0:  # type: ignore[arg-type]
            raise EditError("A distance between two points must be more than nothing")

    def _quad(self) -> tuple[Four, float] | None:
        """Return the four points as typed and how far the second diagonal is off; None while some are missing.

        Raises:
            MapError: when the distances make no such figure.
        """
        typed = [self._typed.get(name) for name in NAMES]
        known = [None if t is None else float(t) for t in typed]  # type: ignore[arg-type]
        clockwise = seen_clockwise(self._marks, y_down=True)
        one, two, three, four, diagonal, second = known
        if one is None or two is None:
            return None
        if not self._by_sides:
            return rectangle(one, two, clockwise=clockwise), 0.0
        if three is None or four is None or diagonal is None:
            return None
        return quad_from_distances((one, two, three, four), diagonal, second, clockwise=clockwise)

    def _placed(self, one: Underlay) -> Map9 | None:
        found = self._quad()
        if found is None:
            return None
        quad = found[0]
        first, second = self._points(one.to_plan)[:2]
        toward = plus(first, times(unit(minus(second, first)), distance(quad[0], quad[1])))
        return through_four(self._marks, apply(similarity(quad[0], quad[1], first, toward), quad))

    def _run(self, points: tuple[Vector, ...]) -> tuple[Vector, ...]:
        return (*points, points[0]) if len(points) == 4 else points
