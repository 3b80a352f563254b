"""What is still to be poured, pier by pier, what is believed of its holes, and what lies beside all of them.

The ground widens only what is dug against it: that part of a pier is drawn for, and varies; what stands in a form
is known, and so is a hole that was measured. What was poured is left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.concrete.over_dig import MOST_TIMES, OverDig, learned, over_dig, usual_over_dig
from layoutdesk.engine.concrete.supply import swells
from layoutdesk.engine.holes.entries import HoleRow
from layoutdesk.engine.holes.hole_log import TOLERANCE
from layoutdesk.engine.piers import Volume
from layoutdesk.plan.model import DigRule, Plan

MOST_SIZES: Final = 40
"""Holes of more sizes than this are reckoned by groups: their sum is kept, and its spread to a thousandth."""
USUAL_GROUND: Final = "common earth"


@dataclass(frozen=True, slots=True)
class ToPour:
    """One pier that is still to be poured.

    ``known`` is what is certain of it in m³, ``drawn`` what it takes as drawn against the earth, while that was not
    measured.
    """

    label: str
    known: float
    drawn: float

    def mean(self, belief: OverDig) -> float:
        """Return what it takes on average, in m³."""
        return self.known + self.drawn * (1 + belief.allowance)


@dataclass(frozen=True, slots=True)
class Measured:
    """The holes that were measured, as far as they count.

    Attributes:
        rows: those whose measures are what will be poured or was, by pier.
        factors: dug over drawn volume of what stands against the earth, of every hole that teaches something.
        slips: labels of those that cannot be as they are logged.
        shallow: labels of those that are still to be dug deeper.
    """

    rows: Mapping[str, HoleRow]
    factors: tuple[float, ...]
    slips: tuple[str, ...]
    shallow: tuple[str, ...]


def measured_of(plan: Plan, volumes: Sequence[Volume], holes: Sequence[HoleRow]) -> Measured:
    """Return which logged holes count; ``holes`` is none, or a row for every pier in plan order."""
    rows: dict[str, HoleRow] = {}
    factors, slips, shallow = [], [], []
    for row, v in zip(holes, volumes, strict=False):
        if row.depth is None:
            continue
        less = row.planned_depth is not None and row.depth < row.planned_depth - TOLERANCE[plan.units]
        factor = None if row.extra_m3 is None or v.dug <= 0 else 1 + row.extra_m3 / v.dug
        slip = factor is not None and not 1 / MOST_TIMES <= factor <= MOST_TIMES
        if row.poured:
            rows[row.pier] = row
        elif slip:
            slips.append(row.label)
        elif less:
            shallow.append(row.label)
        elif row.extra_m3 is not None:
            rows[row.pier] = row
        if factor is not None and not slip and not less:
            factors.append(factor)
    return Measured(rows, tuple(factors), tuple(slips), tuple(shallow))


def belief_of(dig: DigRule, factors: Sequence[float]) -> OverDig:
    """Return how holes are believed to come out: as the plan says or as is usual, and what the logged ones taught.

    Raises:
        ReckoningError: for figures beyond all sense, and for a logged hole that is a slip.
    """
    usual = usual_over_dig()
    if dig.over_dig is None and dig.own is None and dig.common is None:
        return learned(usual, factors)
    given = over_dig(
        allowance=usual.allowance if dig.over_dig is None else dig.over_dig,
        own=usual.own_spread if dig.own is None else dig.own,
        common=usual.common_spread if dig.common is None else dig.common,
        weight=usual.weight,
    )
    return learned(given, factors)


def to_pour(plan: Plan, volumes: Sequence[Volume], rows: Mapping[str, HoleRow]) -> tuple[ToPour, ...]:
    """Return the piers that take concrete and are not poured yet, in plan order."""
    found = []
    for pier, v in zip(plan.piers, volumes, strict=True):
        net, row = v.below + v.reveal, rows.get(pier.id)
        if row is not None and row.poured:
            continue
        if row is not None and row.extra_m3 is not None:
            found.append(ToPour(pier.label, max(0.0, net + row.extra_m3), 0.0))
        elif net > 0:
            drawn = min(v.dug, net)
            found.append(ToPour(pier.label, net - drawn, drawn))
    return tuple(found)


def in_sizes(volumes: Sequence[float]) -> list[float]:
    """Return the volumes with those that are nearly alike taken as alike; their sum is kept."""
    if len(set(volumes)) <= MOST_SIZES:
        return list(volumes)
    least, most = min(volumes), max(volumes)
    step = math.log(most / least) / MOST_SIZES
    groups: dict[int, list[float]] = {}
    for volume in volumes:
        groups.setdefault(int(math.log(volume / least) / step), []).append(volume)
    return [mean for group in groups.values() for mean in [math.fsum(group) / len(group)] * len(group)]


def loose_spoil(plan: Plan, volumes: Sequence[Volume], rows: Mapping[str, HoleRow], belief: OverDig) -> float:
    """Return what lies beside all holes of the job in m³, those that were measured as they were dug."""
    known = swells()
    swell = known.get(plan.holes.dig.ground, known[USUAL_GROUND])
    total = math.fsum(
        v.spoil * (1 + belief.allowance if row is None or row.factor is None else row.factor)
        for pier, v in zip(plan.piers, volumes, strict=True)
        for row in [rows.get(pier.id)]
    )
    return total * (1 + swell)
