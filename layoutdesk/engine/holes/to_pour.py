"""What is still to be poured, pier by pier, what is believed of its holes, and what lies beside all of them.

The ground widens only what is dug against it: that part of a pier is drawn for, and varies; what stands in a form
is known, and so is a hole that was measured. What was poured is left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.concrete.over_dig import OverDig, learned, over_dig, usual_over_dig
from layoutdesk.engine.concrete.supply import swells
from layoutdesk.engine.holes.entries import HoleRow
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
