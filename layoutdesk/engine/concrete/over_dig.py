"""How much bigger than drawn holes come out, and what the holes dug so far say of those to come.

A hole as dug holds its drawn volume times exp(m + e): m is common to all holes of the job (the ground, the auger,
the person who digs), e its own. Both are normal, so the factor is lognormal and not normal: a hole cannot hold
less than nothing; width, depth and ragged sides multiply; and learning on logarithms is exact where a normal
factor would have to be cut off at nought.

What is learned (A. Gelman and others, Bayesian Data Analysis, 3rd edition, sections 2.5 and 2.6):

* own spread: σ² is scaled inverse χ² with ν degrees; the scatter of n holes about their own mean, n - 1 degrees,
  makes it (ν σ² + Σ (y - ȳ)²) / (ν + n - 1). What the mean says of σ² is left out: it is less than one hole.
* common part: with that σ², m is normal with precision 1/τ² + n/σ², and its mean is weighted likewise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.shipped import shipped

_MOST: Final = 2.0
"""A spread or an allowance beyond this share is a slip of the pen."""
MOST_TIMES: Final = 10.0
"""So is a hole that came out so many times as big as drawn, or as small."""


@dataclass(frozen=True, slots=True)
class OverDig:
    """What is believed of the holes: logarithms of dug volume over drawn volume.

    Attributes:
        middle: the mean of m.
        common: the standard deviation of m.
        own: the standard deviation of e.
        weight: how many holes the belief about ``own`` is worth; the ν of its χ².
        logged: how many holes it was learned from.
    """

    middle: float
    common: float
    own: float
    weight: float
    logged: int = 0

    @property
    def allowance(self) -> float:
        """Return by which share a hole comes out bigger on average."""
        return math.expm1(self.middle + (self.common**2 + self.own**2) / 2)

    @property
    def common_spread(self) -> float:
        """Return the standard deviation of what all holes share, as a share of the volume."""
        return math.sqrt(math.expm1(self.common**2))

    @property
    def own_spread(self) -> float:
        """Return the standard deviation of one hole beside the others, as a share of its volume."""
        return math.sqrt(math.expm1(self.own**2))


def over_dig(*, allowance: float, own: float, common: float, weight: float) -> OverDig:
    """Return a belief from shares of the volume.

    Args:
        allowance: by how much a hole comes out bigger on average, such as 0.1.
        own: the standard deviation of one hole beside the others.
        common: the standard deviation of what all holes of the job share.
        weight: how many holes' worth of knowledge ``own`` is.

    Raises:
        ReckoningError: for an allowance of -1 or less, a negative spread, or a figure beyond all sense.
    """
    if not -1 < allowance <= _MOST:
        raise ReckoningError(f"A hole {allowance:.0%} bigger than drawn cannot be reckoned with.")
    spreads = not_negative("The spread of a hole", own), not_negative("The spread of all holes", common)
    if max(spreads) > _MOST:
        raise ReckoningError(f"A spread of {max(spreads):.0%} says nothing about the holes.")
    v, t = math.log1p(own**2), math.log1p(common**2)
    middle = math.log1p(allowance) - (v + t) / 2
    return OverDig(middle, math.sqrt(t), math.sqrt(v), more_than_nothing("The weight of a spread", weight))


@cache
def usual_over_dig() -> OverDig:
    """Return what is believed before a hole is dug: common practice, no source."""
    entry = shipped("holes")["over_dig"]
    return over_dig(allowance=entry["allowance"], own=entry["own"], common=entry["common"], weight=entry["weight"])


def learned(belief: OverDig, factors: Sequence[float]) -> OverDig:
    """Return the belief after some holes were dug.

    Args:
        belief: what was believed before.
        factors: dug volume over drawn volume of every hole logged since.

    Raises:
        ReckoningError: when a logged hole holds nothing, or is ten times as big or as small as drawn.
    """
    if not factors:
        return belief
    for factor in factors:
        more_than_nothing("A dug volume over its drawn one", factor)
        if not 1 / MOST_TIMES <= factor <= MOST_TIMES:
            raise ReckoningError(f"A hole of {factor:.3g} times its drawn volume is a slip: look at its log.")
    logs = [math.log(factor) for factor in factors]
    n = len(logs)
    mean = math.fsum(logs) / n
    scatter = math.fsum((y - mean) ** 2 for y in logs)
    weight = belief.weight + n - 1
    variance = (belief.weight * belief.own**2 + scatter) / weight
    middle, common = _common(belief, mean, n, variance)
    return OverDig(middle, common, math.sqrt(variance), weight, belief.logged + n)


def _common(belief: OverDig, mean: float, n: int, variance: float) -> tuple[float, float]:
    """Return mean and standard deviation of m after n holes of a known variance."""
    if belief.common == 0:
        return belief.middle, 0.0
    if variance == 0:
        return mean, 0.0
    before, seen = 1 / belief.common**2, n / variance
    return (before * belief.middle + seen * mean) / (before + seen), 1 / math.sqrt(before + seen)


def over_dig_sentence(belief: OverDig, *, typed: bool = False) -> str:
    """Return what the holes to come are reckoned with, in one sentence; ``typed`` where the job says it itself."""
    size = _size(belief.allowance)
    spread = f"give or take {belief.common_spread:.0%} for all together and {belief.own_spread:.0%} for each"
    if not belief.logged:
        source = "as typed for this job" if typed else "common practice, no source"
        return f"Holes are reckoned to come out {size}, {spread}: {source}."
    holes = "1 hole" if belief.logged == 1 else f"{belief.logged} holes"
    return f"After {holes} logged, the rest are reckoned to come out {size}, {spread}."


def _size(allowance: float) -> str:
    """Return an allowance in words."""
    if abs(allowance) < 0.005:
        return "as drawn"
    return f"{abs(allowance):.0%} {'bigger' if allowance > 0 else 'smaller'} than drawn"
