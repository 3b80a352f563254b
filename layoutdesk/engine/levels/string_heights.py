"""How high the string of every beam line hangs: as it is typed, or as it must to clear ground and pier tops.

A proposed string clears the ground along the whole line, and every planned pier top on it, by a hand's breadth;
where the tops follow the string, it is as high as its lowest top needs. It is rounded up to a whole step that is
easily measured.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Protocol

from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector, plus, times
from layoutdesk.plan.heights import LineHeights
from layoutdesk.plan.model import Pier, Plan
from layoutdesk.units import MM_PER_INCH

CLEAR_MM: Final = 6 * MM_PER_INCH
"""A proposed string hangs at least this high above ground and pier tops (common practice, no source)."""
_STEP_METRIC_MM: Final = 10.0


class GroundBelow(Protocol):
    """What is asked of the ground here."""

    def at(self, place: Vector) -> tuple[float | None, str, float]:
        """Return the elevation at a place, how it is known, and within what."""
        ...

    def profile(self, a: Vector, b: Vector) -> tuple[tuple[Vector, ...], ...]:
        """Return the ground from a to b as parts of (distance from a, elevation)."""
        ...


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


def heights_of_line(plan: Plan, line_id: str) -> LineHeights:
    """Return what the plan says of the heights of a beam line; the usual where it says nothing."""
    return next((h for h in plan.levels.lines if h.line == line_id), LineHeights(line=line_id))


def string_heights(plan: Plan, rows: RowTable, ground: GroundBelow) -> dict[str, StringHeight]:
    """Return the height of the string of every beam line that has piers, by the line's id."""
    known = {h.line: h for h in reversed(plan.levels.lines)}
    found = {}
    for index, line in enumerate(plan.lines):
        said = known.get(line.id, LineHeights(line=line.id))
        rise = -said.fall if said.string_rule == "beam" else 0.0
        if said.string is not None:
            found[line.id] = StringHeight(said.string, rise, proposed=False)
        elif len(rows.piers(index)):
            needs = [height - rise * running for running, height in _needs(plan, rows, index, ground, said)]
            found[line.id] = StringHeight(_whole_step(plan, max(needs)) if needs else None, rise, proposed=True)
    return found


def _whole_step(plan: Plan, height: float) -> float:
    """Return a height rounded up to a step that is easily measured: an inch, or a centimetre."""
    step = MM_PER_INCH if plan.units == "ft-in" else _STEP_METRIC_MM
    return math.ceil(round(height / step, 6)) * step


def _needs(
    plan: Plan, rows: RowTable, index: int, ground: GroundBelow, said: LineHeights
) -> Iterator[tuple[float, float]]:
    """Yield (running, least height of the string there) for the ground and every pier top of a line."""
    row = rows.row(index)
    stops = rows.stops.running[rows.stops.of(index)].tolist()
    low, high = min(0.0, *stops), max(0.0, *stops)
    first, last = plus(row.zero, times(row.way, low)), plus(row.zero, times(row.way, high))
    for part in ground.profile(first, last) if high > low else ():
        yield from ((low + along, height + CLEAR_MM) for along, height in part)
    typed = {h.pier: h for h in reversed(plan.levels.piers)}
    details = {detail.id: detail for detail in reversed(plan.details)}
    for k in rows.piers(index).tolist():
        pier = plan.piers[k]
        running = _running(pier, row.zero, row.way)
        own = typed.get(pier.id)
        here = own.ground if own is not None and own.ground is not None else ground.at(pier.at)[0]
        if here is not None:
            yield running, here + CLEAR_MM
        detail = details.get(pier.detail) if pier.detail else None
        reveal = detail.reveal if detail is not None else 0.0
        if own is not None and own.top is not None:
            yield running, own.top + CLEAR_MM
        elif said.top == "level" and said.pier_top is not None:
            yield running, said.pier_top + CLEAR_MM
        elif here is not None and said.top == "string":
            yield running, here + max(reveal, 0.0) + (said.pier_top or 0.0)
        elif here is not None:
            yield running, here + reveal + CLEAR_MM


def _running(pier: Pier, zero: Vector, way: Vector) -> float:
    """Return how far along its line a pier lies, in mm."""
    return (pier.at[0] - zero[0]) * way[0] + (pier.at[1] - zero[1]) * way[1]
