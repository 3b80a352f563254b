"""Readings that were probably typed in another unit than they were read in.

Three things tell: ways that do not close until one reading on them is taken in another unit, ground that lies far
off the ground round it, and readings longer than any rod.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.levels.book_loops import Closing
from layoutdesk.plan.model import Plan, Reading
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units

LONGEST_ROD_MM: Final = 25 * MM_PER_FOOT
"""The longest rod that is sold is about 25 ft, or 7.6 m (common practice, no source)."""
MOST_WAYS: Final = 500
"""So many ways that do not close are searched for the reading that explains them."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip of units: the true reading is ``factor`` times the typed one; ``says`` how it came about."""

    factor: float
    says: str


_METRE, _CM = 1000.0, 10.0
_NAMES: Final[Mapping[float, str]] = {
    MM_PER_FOOT: "feet",
    MM_PER_INCH: "inches",
    _METRE: "metres",
    _CM: "centimetres",
    1.0: "millimetres",
}
_TYPED: Final[Mapping[Units, tuple[float, ...]]] = {
    "ft-in": (MM_PER_FOOT, MM_PER_INCH),
    "m": (_METRE, _CM, 1.0),
    "mm": (1.0, _METRE, _CM),
}
"""In which units a reading is typed into a plan, the usual one first."""


def slips_of(units: Units) -> tuple[Slip, ...]:
    """Return the slips that a plan's units invite, those within one system first."""
    own = _TYPED[units]
    pairs = [(read, typed) for typed in own for read in own if read != typed]
    pairs += [(read, typed) for typed in own for read in _NAMES if read not in own]
    slips: dict[float, Slip] = {}
    for read, typed in pairs:
        factor = read / typed
        slips.setdefault(factor, Slip(factor, f"read in {_NAMES[read]} and typed as {_NAMES[typed]}"))
    return tuple(slips.values())


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that was probably typed in another unit: ``likely`` is what it was, ``why`` what tells."""

    row: int
    likely: float
    slip: Slip
    why: str


def by_loops(plan: Plan, ways: Sequence[Closing]) -> Iterator[Suspect]:
    """Yield the readings that, taken in another unit, let the ways close that do not.

    Of several readings that would, the one that explains the most ways is taken, then the most usual slip, then
    the one after which they close best.
    """
    readings, one = plan.levels.readings, plan.levels.settings.misclosure
    slips = slips_of(plan.units)
    open_ways = [way for way in ways if abs(way.misclosure) > way.allowable(one)][:MOST_WAYS]
    through: dict[int, list[Closing]] = {}
    for way in ways:
        for row in way.sights:
            through.setdefault(row, []).append(way)
    while open_ways:
        found: list[tuple[int, int, float, Suspect]] = []
        for row in dict.fromkeys(row for way in open_ways for row in way.sights):
            for rank, slip in enumerate(slips):
                change = readings[row].reading * (slip.factor - 1)
                left = [way.misclosure + way.sights[row] * change for way in through[row]]
                closed = zip(through[row], left, strict=True)
                if abs(readings[row].reading + change) > LONGEST_ROD_MM or not all(
                    abs(off) <= way.allowable(one) for way, off in closed
                ):
                    continue
                explained = sum(row in way.sights for way in open_ways)
                suspect = Suspect(row, readings[row].reading + change, slip, _closing_words(through[row], plan))
                found.append((-explained, rank, sum(off * off for off in left), suspect))
        if not found:
            return
        best = min(found, key=lambda entry: entry[:3])[3]
        yield best
        open_ways = [way for way in open_ways if best.row not in way.sights]


def _closing_words(ways: Sequence[Closing], plan: Plan) -> str:
    one = plan.levels.settings.misclosure
    count = sum(abs(way.misclosure) > way.allowable(one) for way in ways)
    return "with it the way closes" if count == 1 else f"with it {count} ways close"


def by_rod(plan: Plan, skip: Mapping[int, Suspect]) -> Iterator[Suspect]:
    """Yield the readings that are longer than any rod, with the most usual slip that makes them a rod's."""
    for row, reading in enumerate(plan.levels.readings):
        if abs(reading.reading) <= LONGEST_ROD_MM or row in skip:
            continue
        slip = next((s for s in slips_of(plan.units) if abs(reading.reading * s.factor) <= LONGEST_ROD_MM), None)
        if slip is not None:
            yield Suspect(row, reading.reading * slip.factor, slip, "no rod is so long")


def slip_that_mends(reading: Reading, off: float, near: float, units: Units, *, sign: int) -> Slip | None:
    """Return the slip that explains by how much a reading puts its ground wrong.

    Args:
        reading: the suspect one.
        off: how far the ground lies too high, mm.
        near: how well it must then fit, mm.
        units: of the plan.
        sign: 1 where a longer reading raises the ground, as a backsight does, else -1.
    """
    for slip in slips_of(units):
        change = reading.reading * (slip.factor - 1)
        if abs(off + sign * change) <= near and abs(reading.reading + change) <= LONGEST_ROD_MM:
            return slip
    return None
