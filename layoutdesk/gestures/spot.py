"""Spot: a place whose ground height is taken, and the benchmark that all heights are read from."""

from __future__ import annotations

from layoutdesk.geometry.vector import Vector
from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome, Pointer, Value
from layoutdesk.plan import edits
from layoutdesk.units import parse_length

SPOT, BENCHMARK = "spot", "benchmark"
BENCHMARK_PREFIX = "BM"
"""Bays have the B."""


class SpotGesture(Drawing):
    """A place first, then its height: typed, or left empty for the level book."""

    name = "Spot"

    _placed: Vector | None = None

    @property
    def doing(self) -> str:
        """Return what the present step asks for."""
        if self._placed is None:
            return "Benchmark at" if self._kind == BENCHMARK else "Spot at"
        return "Height of the benchmark" if self._kind == BENCHMARK else "Height of the spot"

    @property
    def hint(self) -> str:
        """Return what to do next."""
        if self._placed is None:
            return "Click where the rod stands, or type where it is"
        if self._kind == BENCHMARK:
            return "Type its height, or press Enter: it is zero"
        return "Type its height, or leave it to the level book · Enter to set"

    @property
    def _kind(self) -> str:
        return self._chosen.get("is", SPOT)

    @property
    def _asks_place(self) -> bool:
        return self._placed is None

    def _own_fields(self) -> tuple[Field, ...]:
        if self._placed is None:
            return (self._choice("is", (SPOT, BENCHMARK), SPOT),)
        return (Field("height", "text", self._typed.get("height", ""), typed="height" in self._typed),)

    def _refuse_nonsense(self, field: Field, value: Value) -> None:
        super()._refuse_nonsense(field, value)
        if field.name == "height":
            self._height(str(value))

    def _height(self, text: str) -> float | None:
        """Return a typed height, None for an empty one.

        Raises:
            LengthError: when it is no length.
        """
        clean = text.strip().removeprefix("+").strip()
        return parse_length(clean, self._plan.units) if clean else None

    def pressed(self, pointer: Pointer) -> Outcome | None:
        """Take the place; a press for the next one sets the spot before it as it stands."""
        if self._placed is None:
            return super().pressed(pointer)
        outcome = self._set()
        self.moved(pointer)
        self._begin(self._at)
        return outcome

    def put_down(self) -> Outcome | None:
        """Set what has its place already."""
        return None if self._placed is None else self._set()

    def _take(self) -> Outcome | None:
        if self._placed is None:
            self._begin(self._at)
            return None
        return self._set()

    def _begin(self, at: Vector) -> None:
        """Ask for the height of a place."""
        self._placed = at
        self._typed.clear()

    def _set(self) -> Outcome:
        at, kind = self._placed, self._kind
        assert at is not None
        height = self._height(str(self._typed.get("height", "")))
        self._placed = None
        self._next(None)
        if kind == BENCHMARK:
            name = edits.new_id(self._plan, BENCHMARK_PREFIX)
            return Outcome(
                f"Benchmark {name}", lambda plan: edits.set_benchmark(plan, name, elevation=height or 0.0, at=at)
            )
        return Outcome("Set spot", lambda plan: edits.add_spot(plan, at, elevation=height), select_new=True)

    def _back(self) -> bool:
        if self._placed is None:
            return False
        self._placed = None
        return True

    def _ghosts(self) -> tuple[Ghost, ...]:
        at = self._placed if self._placed is not None else self._at
        return (Ghost("spot", (at,)),) if self._placed is not None or self._shows else ()
