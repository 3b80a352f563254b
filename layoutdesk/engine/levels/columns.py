"""The columns: how long each is cut, how its head slopes with the beam, and where the piece that hangs it is fixed.

A column is hung over its hole by a cross piece that lies on supports on both sides of it; the cross piece is fixed
as far above the column's foot as the supports lie above where the foot must be. So its seat is as sure as the
height of the supports, and does not wait for the concrete. Where the finished pier was read, the column is cut to
stand on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.levels.entries import SURE_95, ColumnCut, LevelBook, PierHeight
from layoutdesk.engine.reasons import shown_small
from layoutdesk.engine.tapes import reading_deviation
from layoutdesk.plan.model import Plan
from layoutdesk.units import MM_PER_FOOT, Units

_USUAL_STOCK: Final[Mapping[Units, tuple[float, ...]]] = {
    "ft-in": tuple(feet * MM_PER_FOOT for feet in (8, 10, 12, 14, 16, 20)),
    "m": tuple(1000.0 * metres for metres in (2.4, 2.7, 3.0, 3.6, 4.2, 4.8, 5.4, 6.0)),
    "mm": tuple(1000.0 * metres for metres in (2.4, 2.7, 3.0, 3.6, 4.2, 4.8, 5.4, 6.0)),
}
"""The lengths that posts are usually sold in (common practice, no source)."""


def stock_lengths(plan: Plan) -> tuple[float, ...]:
    """Return the stock lengths that columns are cut from, shortest first, in mm."""
    return tuple(sorted(set(plan.levels.columns.stock))) or _USUAL_STOCK[plan.units]


def column_cuts(plan: Plan, heights: tuple[PierHeight, ...], book: LevelBook | None) -> tuple[ColumnCut, ...]:
    """Return the cut of every column whose foot and seat are known, and that has a length, in plan order."""
    return tuple(Columns(plan, book).cuts(heights))


@dataclass(frozen=True, slots=True)
class _Support:
    """The upper edge of the supports of one column, and one standard deviation of it, mm."""

    elevation: float
    deviation: float


class Columns:
    """The columns of one plan, cut one by one."""

    def __init__(self, plan: Plan, book: LevelBook | None) -> None:
        self._plan, self._rule = plan, plan.levels.columns
        self._read = {point.id: point for point in book.points} if book is not None else {}
        self._typed = {entry.pier: entry.support for entry in reversed(plan.levels.piers)}
        self._stock = stock_lengths(plan)
        self._fall = {line.line: line.fall for line in reversed(plan.levels.lines)}
        self._step = reading_deviation(plan.rounding)
        """One standard deviation of a length that is marked to the tape's step."""

    def cuts(self, heights: tuple[PierHeight, ...]) -> Iterator[ColumnCut]:
        """Yield the columns that can be cut."""
        for height in heights:
            if height.line is not None and height.seat is not None and (foot := self.foot(height)) is not None:
                head = height.seat - self._rule.cap
                if head > foot:
                    yield self._cut(height, height.line, foot, head)

    def foot(self, height: PierHeight) -> float | None:
        """Return the elevation of a column's foot: on the finished pier where it was read, else on the planned."""
        top = height.built if height.built is not None else height.top
        return None if top is None else top + self._rule.foot

    def _cut(self, height: PierHeight, line: str, foot: float, head: float) -> ColumnCut:
        rule, fall = self._rule, self._fall.get(line, 0.0)
        lean = abs(fall) * rule.depth / 2
        length = head - foot
        support = self._support(height)
        jig = None
        if support is not None and 0 < support.elevation - foot < length - lean:
            jig = support.elevation - foot
        rough = length + lean + rule.margin
        return ColumnCut(
            pier=height.id,
            label=height.label,
            line=line,
            foot=foot,
            head=head,
            length=length,
            long=length + lean,
            short=max(0.0, length - lean),
            slope_deg=math.degrees(math.atan(abs(fall))),
            rough=rough,
            jig=jig,
            support=support.elevation if support else None,
            within=self._within(height, support, hung=jig is not None),
            stock=next((stock for stock in self._stock if stock >= rough - _AS_LONG_MM), None),
            says=self._says(height, _Lengths(foot, length, lean), support, jig),
        )

    def _support(self, height: PierHeight) -> _Support | None:
        """Return the supports: typed, read under the pier's name, or as high above the ground as the rule says."""
        typed, settings = self._typed.get(height.id), self._plan.levels.settings
        if typed is not None:
            return _Support(typed, settings.deviation)
        read = self._read.get(f"{height.id} support")
        if read is not None and read.elevation is not None:
            return _Support(read.elevation, read.within / SURE_95)
        if height.ground is None:
            return None
        return _Support(height.ground + self._rule.support, math.hypot(self._of_ground(height), self._step))

    def _within(self, height: PierHeight, support: _Support | None, *, hung: bool) -> float:
        """Return within what the seat will be: the supports (or the read pier), the cut and the mark together."""
        if height.built is not None:
            read = self._read.get(f"{height.id} top")
            deviation = self._plan.levels.settings.deviation if read is None else read.within / SURE_95
            return SURE_95 * math.hypot(deviation, self._step)
        if hung and support is not None:
            return SURE_95 * math.hypot(support.deviation, self._step, self._step)
        return SURE_95 * math.hypot(self._of_ground(height), self._step)

    def _of_ground(self, height: PierHeight) -> float:
        """Return one standard deviation of the ground at a pier; that of a reading where nothing tells it."""
        known = height.within / SURE_95
        return known if math.isfinite(known) else self._plan.levels.settings.deviation

    def _says(self, height: PierHeight, cut: _Lengths, support: _Support | None, jig: float | None) -> str:
        """Return what to do with the column in one or two sentences with their numbers."""
        plan = self._plan
        text = f"Cut the column of {height.label} {shown_small(cut.length, plan)} long on its axis"
        if cut.lean * 2 >= plan.rounding:
            edges = [shown_small(edge, plan) for edge in (cut.length + cut.lean, cut.length - cut.lean)]
            text += f", {edges[0]} on its long edge and {edges[1]} on its short edge"
        if height.built is not None:
            return f"{text}; it stands on the finished pier as it was read."
        if jig is not None:
            return f"{text}; fix its cross piece {shown_small(jig, plan)} above the foot."
        if support is None:
            return f"{text}; nothing says how high its side supports lie."
        if support.elevation <= cut.foot:
            lower = shown_small(cut.foot - support.elevation, plan)
            return (
                f"{text}; its side supports lie {lower} below its foot: raise them, or it cannot be hung on them."
            )
        return f"{text}; its side supports lie above its head."


@dataclass(frozen=True, slots=True)
class _Lengths:
    """A column from its foot: its length on the axis, and how much its head leans to either edge, mm."""

    foot: float
    length: float
    lean: float


_AS_LONG_MM: Final = 1e-6
