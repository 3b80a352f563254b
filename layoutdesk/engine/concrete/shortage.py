"""The chance that an order does not fill the holes.

The holes take S = known + C T: C = exp(m) is what they share, T = Σ v exp(e) the sum of the drawn volumes v, each
with its own factor. T is found by convolving the holes on a grid, whose masses keep the mean of every hole
exactly; then P(S > x) = Σ P(T = t) P(C > (x - known) / t), in which the last is a normal tail in closed form. This
is the sum conditioned on T, not on C: conditioned on C the terms jump where many holes make T sharp, and a
quadrature over C would need as many nodes as there are jumps.

Where holes differ by under 2 % of their own, the sum of lognormals is taken as lognormal with its mean and
variance (L. F. Fenton, IRE Transactions on Communications Systems 8, 1960); it differs less than the grid would. So
it is where holes are so many that T varies by under 1 %, and by less than half of what C does: a chance is then off
by 1 in 10,000 at most.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.concrete.over_dig import OverDig
from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative

_NEARLY_ALIKE: Final = 0.02
_NEARLY_SURE: Final = 0.01
_FINEST: Final = 1 << 18
_CELLS: Final = 16
"""Cells to a hole's own deviation; the grid then adds 0.1 % to the variance of T at most."""
_TINY: Final = 1e-300
_TAIL: Final = 5.5
"""So many of its own deviations the grid goes beyond the largest hole; beyond are 2 in 100 million."""
_CHUNK: Final = 256
MOST_COUNTS: Final = 100_000
"""An order of more bags or steps than this is not one that is carried."""


@dataclass(frozen=True, slots=True)
class Need:
    """How much concrete the holes may take.

    Attributes:
        known: what is certain, in m³: holes that were dug and measured.
        drawn: what the other holes take as drawn, in m³.
        mean: what all take on average, in m³.
        middle: the mean of ln C.
        common: the standard deviation of ln C.
        amounts: possible values of T in m³, rising.
        chances: the chance of each.
    """

    known: float
    drawn: float
    mean: float
    middle: float
    common: float
    amounts: Floats
    chances: Floats

    def chance_short(self, supply: ArrayLike) -> Floats:
        """Return the chance that the holes take more than each supply, in m³; the same shape."""
        wanted = np.atleast_1d(np.asarray(supply, dtype=np.float64))
        left = wanted.ravel() - self.known
        if not len(self.amounts):
            short = (left < -1e-12 * max(1.0, self.known)).astype(np.float64)
        elif self.common > 0:
            chunks = [self._given_amounts(left[k : k + _CHUNK]) for k in range(0, len(left), _CHUNK)]
            short = np.concatenate(chunks) if chunks else np.empty(0)
        else:
            short = self._of_amounts(left * math.exp(-self.middle))
        result: Floats = np.clip(short, 0.0, 1.0).reshape(np.shape(supply))
        return result

    def _given_amounts(self, left: Floats) -> Floats:
        """Return the chances with C normal in its logarithm, and T as its grid has it."""
        some = np.log(np.maximum(left, _TINY))[:, None] - np.log(np.maximum(self.amounts, _TINY))
        tails: Floats = ndtr((self.middle - some) / self.common) @ self.chances
        return tails

    def _of_amounts(self, left: Floats) -> Floats:
        """Return the chances that T alone is more; the mass of every cell is spread over its width."""
        if len(self.amounts) == 1:
            over: Floats = (left < self.amounts[0] * (1 - 1e-12)).astype(np.float64)
            return over
        step = self.amounts[1] - self.amounts[0]
        edges = np.append(self.amounts - step / 2, self.amounts[-1] + step / 2)
        below = np.concatenate(([0.0], np.cumsum(self.chances)))
        under: Floats = 1 - np.interp(left, edges, below)
        return under


def need(volumes: Sequence[float], belief: OverDig, *, known: float = 0.0) -> Need:
    """Return what the holes may take.

    Args:
        volumes: the drawn volumes in m³ of the holes still to be dug or measured.
        belief: how holes come out.
        known: what the holes that were measured still take, in m³.

    Raises:
        ReckoningError: for a negative volume.
    """
    not_negative("What is left to pour", known)
    drawn = [v for v in (not_negative("The volume of a hole", volume) for volume in volumes) if v > 0]
    total = math.fsum(drawn)
    mean = known + total * (1 + belief.allowance)
    if not drawn:
        return Need(known, 0.0, mean, belief.middle, belief.common, np.empty(0), np.empty(0))
    mean_own = math.exp(belief.own**2 / 2)
    squares = math.fsum(v * v for v in drawn)
    deviation = mean_own * math.sqrt(math.expm1(belief.own**2) * squares)
    nearly_sure = min(_NEARLY_SURE, belief.common / 2) * total * mean_own
    if belief.own < _NEARLY_ALIKE or deviation < nearly_sure:
        # T is lognormal with mean a and variance b²: its logarithm joins that of C, and one amount stands for T.
        log_variance = math.log1p((deviation / (total * mean_own)) ** 2)
        amount = np.array([total * mean_own * math.exp(-log_variance / 2)])
        spread = math.sqrt(belief.common**2 + log_variance)
        return Need(known, total, mean, belief.middle, spread, amount, np.ones(1))
    top = total * mean_own + 10 * deviation + max(drawn) * math.expm1(_TAIL * belief.own)
    step = max(deviation / (_CELLS * math.sqrt(len(drawn))), top / _FINEST)
    least = total * mean_own - 8 * deviation
    amounts, chances = _convolved(drawn, belief.own, step, math.ceil(top / step), least)
    return Need(known, total, mean, belief.middle, belief.common, amounts, chances)


def _convolved(
    volumes: Sequence[float], own: float, step: float, cells: int, least: float
) -> tuple[Floats, Floats]:
    """Return amounts from ``least`` up and their chances, for the sum of volumes each times exp(e)."""
    size = 1 << math.ceil(math.log2(2 * cells))
    spectrum = np.ones(size // 2 + 1, dtype=np.complex128)
    for volume, count in Counter(volumes).items():
        spectrum *= np.fft.rfft(_masses(volume, own, step, cells), size) ** count
    chances = np.maximum(np.fft.irfft(spectrum, size), 0.0)
    window = slice(max(0, math.floor(least / step)), cells)
    kept = chances[window]
    return step * np.arange(window.start, window.stop, dtype=np.float64), kept / kept.sum()


def _masses(volume: float, own: float, step: float, cells: int) -> Floats:
    """Return the chances of one hole on the grid: each amount is shared by the two points beside it.

    They are second differences of E max(t - X, 0) = t Φ(u) - v exp(σ²/2) Φ(u - σ) with u = ln(t/v)/σ, and keep the
    mean of the hole exactly.
    """
    t = step * np.arange(-1, cells + 1, dtype=np.float64)
    u = np.log(np.maximum(t, _TINY) / volume) / own
    under = np.where(t > 0, t * ndtr(u) - volume * math.exp(own * own / 2) * ndtr(u - own), 0.0)
    masses = np.maximum(np.diff(under, 2) / step, 0.0)
    whole: Floats = masses / masses.sum()
    return whole


@dataclass(frozen=True, slots=True)
class CountChance:
    """The chance in shares of one of running short with a number of bags, and what they make in m³."""

    count: int
    volume: float
    chance: float


def counts_and_chances(wanted: Need, yield_m3: float, *, least: float = 0.001) -> tuple[CountChance, ...]:
    """Return every count of bags from where running short is no longer certain to where it is next to excluded.

    Args:
        wanted: what the holes may take.
        yield_m3: what one bag makes.
        least: the last count is the first with no more than this chance.
    """
    first = max(0, count_for(wanted, yield_m3, 1 - least) - 1)
    last = count_for(wanted, yield_m3, least)
    counts = np.arange(first, last + 1)
    chances = wanted.chance_short(counts * yield_m3)
    return tuple(CountChance(int(n), float(n * yield_m3), float(p)) for n, p in zip(counts, chances, strict=True))


def count_for(wanted: Need, yield_m3: float, chance: float) -> int:
    """Return the smallest count of bags, or of steps of an order, with no more than a chance of running short.

    Raises:
        ReckoningError: for a yield of nothing, for a chance that is not between none and certain, and when more
            than 100,000 would be needed.
    """
    more_than_nothing("What one bag makes", yield_m3)
    if not 0 < chance < 1:
        raise ReckoningError("The chance of running short lies between none and certain, such as 5 %.")

    def enough(count: int) -> bool:
        return float(wanted.chance_short(count * yield_m3)) <= chance

    low, high = -1, 1
    if wanted.mean / yield_m3 > MOST_COUNTS or not enough(MOST_COUNTS):
        raise ReckoningError("This job takes more than 100,000 bags or steps: look at the yield and the holes.")
    while not enough(high):
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
