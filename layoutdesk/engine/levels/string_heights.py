"""How high the string of every beam line hangs: as it is typed, or as it must to clear ground and pier tops.

A proposed string clears the ground along the whole line, and every planned pier top on it, by a hand's breadth;
where the tops follow the string, it is as high as its lowest top needs. It is rounded up to a whole step that is
easily measured.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.levels.ground_contract import GroundBelow
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import plus, times
from layoutdesk.plan.heights import LineHeights, PierHeights
from layoutdesk.plan.model import Pier, Plan
from layoutdesk.units import MM_PER_INCH

CLEAR_MM: Final = 6 * MM_PER_INCH
"""A proposed string hangs at least this high above ground and pier tops (common practice, no source)."""
_STEP_METRIC_MM: Final = 10.0


@dataclass(frozen=True, slots=True)
class StringHeight:
    """The height of one string: ``at_zero`` is its elevation at its line's zero, None when nothing says it.

    ``rise`` is how much it rises per unit of running; ``proposed`` that no one has typed its height.
    """

    at_zero: float | None
    rise: float
    proposed: bool

    def at(self, running: float) -> float | None:
        """Return the elevation of the string so far along its line, in mm."""
        return None if self.at_zero is None else self.at_zero + self.rise * running


def string_heights(plan: Plan, rows: RowTable, ground: GroundBelow) -> dict[str, StringHeight]:
    """Return the height of the string of every beam line that has piers, by the line's id."""
    known = {h.line: h for h in reversed(plan.levels.lines)}
    needs = _Needs(plan, rows, ground)
    found = {}
    for index, line in enumerate(plan.lines):
        said = known.get(line.id, LineHeights(line=line.id))
        rise = -said.fall if said.string_rule == "beam" else 0.0
        if said.string is not None:
            found[line.id] = StringHeight(said.string, rise, proposed=False)
        elif len(rows.piers(index)):
            least = max((height - rise * running for running, height in needs.of(index, said)), default=None)
            at_zero = None if least is None else _whole_step(plan, least)
            found[line.id] = StringHeight(at_zero, rise, proposed=True)
    return found


def _whole_step(plan: Plan, height: float) -> float:
    """Return a height rounded up to a step that is easily measured: an inch, or a centimetre."""
    step = MM_PER_INCH if plan.units == "ft-in" else _STEP_METRIC_MM
    return math.ceil(round(height / step, 6)) * step


class _Needs:
    """What the strings of a plan must clear."""

    def __init__(self, plan: Plan, rows: RowTable, ground: GroundBelow) -> None:
        self._plan, self._rows, self._ground = plan, rows, ground
        self._own = {h.pier: h for h in reversed(plan.levels.piers)}
        self._reveals: dict[str | None, float] = {d.id: d.reveal for d in reversed(plan.details)}

    def of(self, index: int, said: LineHeights) -> Iterator[tuple[float, float]]:
        """Yield (running, least height of the string there) for the ground and every pier top of a line."""
        row, stops = self._rows.row(index), self._rows.stops
        running = stops.running[stops.of(index)].tolist()
        low, high = min(0.0, *running), max(0.0, *running)
        first, last = plus(row.zero, times(row.way, low)), plus(row.zero, times(row.way, high))
        for part in self._ground.profile(first, last) if high > low else ():
            yield from ((low + along, height + CLEAR_MM) for along, height in part)
        for k in self._rows.piers(index).tolist():
            pier = self._plan.piers[k]
            yield from ((row.running(pier.at), height) for height in self._of_pier(pier, said))

    def _of_pier(self, pier: Pier, said: LineHeights) -> Iterator[float]:
        """Yield the least heights of the string over one pier: for the ground there, and for its top."""
        own = self._own.get(pier.id, PierHeights(pier=pier.id))
        here = own.ground if own.ground is not None else self._ground.at(pier.at)[0]
        if here is not None:
            yield here + CLEAR_MM
        reveal = self._reveals.get(pier.detail, 0.0)
        if own.top is not None:
            yield own.top + CLEAR_MM
        elif said.top == "level" and said.pier_top is not None:
            yield said.pier_top + CLEAR_MM
        elif here is not None and said.top == "string":
            yield here + max(reveal, 0.0) + (said.pier_top or 0.0)
        elif here is not None:
            yield here + reveal + CLEAR_MM
