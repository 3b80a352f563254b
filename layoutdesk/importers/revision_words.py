"""What a newer issue changes, in sentences with the plan's units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, distance, minus
from layoutdesk.plan.edits.revising import What, tolerance_of
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.units import format_length

_ALONG: Final = ("along the baseline", "back along the baseline")
_AWAY: Final = ("away from the house", "toward the house")
_RIGHT: Final = ("to the right", "to the left")
_UP: Final = ("up the sheet", "down the sheet")


class Wording:
    """Says changes of one plan: from its baseline when it has one, else in x and y."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._tolerance = tolerance_of(plan)
        line = plan.baseline
        self._frame = (
            None
            if line is None or distance(line.origin, line.toward) <= 0
            else Frame.through(line.origin, line.toward, yard_on_right=line.yard_side == "right")
        )

    def by(self, before: Vector, after: Vector) -> tuple[float, float, float]:
        """Return how far a place moved along the baseline, away from the house, and in all."""
        if self._frame is None:
            x, y = minus(after, before)
        else:
            s, o = self._frame.station_offset(before)
            t, p = self._frame.station_offset(after)
            x, y = t - s, p - o
        return x, y, distance(before, after)

    def length(self, mm: float) -> str:
        """Return a length as the plan shows it; never as nothing when it is more than the tolerance."""
        step = self._plan.rounding
        return format_length(mm, self._plan.units, step, pretty=True).replace(" ", "\u00a0")

    def moved(self, what: What, name: str, by: tuple[float, float, float]) -> str:
        """Return a sentence on a piece that moved."""
        words = (_RIGHT, _UP) if self._frame is None else (_ALONG, _AWAY)
        parts = [
            (abs(part), names[0] if part > 0 else names[1])
            for part, names in zip(by[:2], words, strict=True)
            if abs(part) >= max(self._tolerance, 0.02 * by[2])
        ]
        if len(parts) == 1:
            return f"{_called(what, name)} moved {self.length(by[2])} {parts[0][1]}."
        ways = ", ".join(f"{self.length(size)} {way}" for size, way in parts)
        return f"{_called(what, name)} moved {self.length(by[2])}: {ways}."

    def shape(self, what: What, name: str, before: Sequence[Vector], after: Sequence[Vector]) -> str:
        """Return a sentence on a run whose corners moved each by its own."""
        if len(before) != len(after):
            return f"{_called(what, name)} has {len(after)} corners instead of {len(before)}."
        far = max(distance(a, b) for a, b in zip(before, after, strict=True))
        ends = "an end" if what == "beam line" else "a corner"
        return f"{_called(what, name)} changed: {ends} moved {self.length(far)}."

    def appeared(self, what: What, name: str, at: Vector) -> str:
        """Return a sentence on a piece that is new."""
        return f"{_called(what, name)} is new, {self._place(at)}."

    def vanished(self, what: What, name: str, at: Vector, *, tapes: int = 0) -> str:
        """Return a sentence on a piece that the newer issue has no more, and on the tapes that go with it."""
        along = {0: "", 1: "; its measured tape goes with it"}.get(
            tapes, f"; its {tapes} measured tapes go with it"
        )
        return f"{_called(what, name)} is gone; it was {self._place(at)}{along}."

    def detail(self, name: str, old: Detail | None, new: Detail) -> str:
        """Return a sentence on a pier that gets another size."""
        was = "no size" if old is None else self._size(old)
        if old is not None and was == self._size(new):
            return f"{_called('pier', name)} changed below the ground; its size from above is the same."
        return f"{_called('pier', name)} changed from {was} to {self._size(new)}."

    def mark(self, old: str, new: str) -> str:
        """Return a sentence on a pier that is called something else."""
        return f"Pier {old} is called {new} now."

    def dimensions(self, count: int, other: int) -> str:
        """Return a sentence on the written dimensions as a whole."""
        things = "1 dimension" if count == 1 else f"{count} dimensions"
        return f"The newer issue writes {things}; {other} of them are new or differ."

    def _size(self, detail: Detail) -> str:
        return f"Ø\u00a0{self.length(max(width for _, width in detail.profile))}"

    def _place(self, at: Vector) -> str:
        if self._frame is None:
            return f"at x {self.length(at[0])}, y {self.length(at[1])}"
        station, offset = self._frame.station_offset(at)
        return f"at station {self.length(station)}, offset {self.length(offset)}"


def _called(what: What, name: str) -> str:
    return f"{what[0].upper()}{what[1:]} {name}"
