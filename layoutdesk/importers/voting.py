"""The one scale under which most written dimensions agree with what they are drawn as.

Every reading of a text on every line that it may measure proposes a scale. Those proposals crowd where the true
scale lies, on a logarithmic axis; weighted least squares over the crowd makes it exact.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, inf, log, sqrt
from typing import Final

WIDEST: Final = 0.01
"""A crowd is at most so wide, as a part of the scale."""
APART: Final = 0.02
"""Another crowd farther off than this is a rival."""
CROWDS: Final = 6
"""So many of the largest crowds are looked at more closely."""


@dataclass(frozen=True, slots=True)
class Ballot:
    """What one text on one line says: a length in mm on the ground against one in drawing units.

    ``step`` is to what the number is written, in mm; ``noise`` how far the drawn length may be off, in drawing
    units; ``first`` that it is the likeliest that the text may measure.
    """

    text: int
    value: float
    drawn: float
    step: float
    noise: float
    first: bool = True

    def misses(self, scale: float) -> float:
        """Return how far it is off at a scale, as a part of what it may be off."""
        return abs(self.value - scale * self.drawn) / self.allowed(scale)

    def allowed(self, scale: float) -> float:
        """Return how far it may be off at a scale, in mm."""
        return self.step / 2 + self.noise * scale


@dataclass(frozen=True, slots=True)
class Vote:
    """A scale, how many texts agree with it, its standard error, and with how many another one is that far off."""

    scale: float
    agree: int
    error: float
    rival: int = 0


def elect(ballots: Sequence[Ballot]) -> Vote | None:
    """Return the scale with which most texts agree, None without any ballot."""
    crowds = _crowds(ballots)
    votes = [vote for center in crowds if (vote := refined(ballots, center)) is not None]
    if not votes:
        return None
    best = max(votes, key=lambda v: (v.agree, -v.error / v.scale))
    rivals = [v for v in votes if abs(log(v.scale / best.scale)) > APART]
    rival = max((_first_agree(ballots, v.scale) for v in rivals), default=0)
    return replace(best, rival=rival)


def refined(ballots: Sequence[Ballot], scale: float) -> Vote | None:
    """Return a scale made exact by those that agree with it, None when none does.

    Weighted least squares of value = scale x drawn. The weight of each is one over the variance of its rounding
    (step squared over 12) and its drawing; begun with a wide door, which is closed by and by.
    """
    error = inf
    for wide in (3.0, 2.0, 1.0, 1.0, 1.0):
        best = _best_each(ballots, scale, wide)
        if not best:
            return None
        over = under = 0.0
        for b in best:
            weight = 1 / (b.step**2 / 12 + (b.noise * scale / 2) ** 2)
            over += weight * b.value * b.drawn
            under += weight * b.drawn**2
        scale, error = over / under, 1 / sqrt(under)
    return Vote(scale, len(_best_each(ballots, scale, 1.0)), error)


def agreeing(ballots: Sequence[Ballot], scale: float) -> int:
    """Return how many texts agree with a scale."""
    return len({b.text for b in ballots if b.misses(scale) <= 1 + 1e-9})


def _first_agree(ballots: Sequence[Ballot], scale: float) -> int:
    return agreeing([b for b in ballots if b.first], scale)


def _best_each(ballots: Sequence[Ballot], scale: float, wide: float) -> list[Ballot]:
    """Return of each text the ballot that is nearest to the scale, if it is near enough."""
    best: dict[int, tuple[float, Ballot]] = {}
    for b in ballots:
        off = b.misses(scale)
        if off <= wide + 1e-9 and (b.text not in best or off < best[b.text][0]):
            best[b.text] = (off, b)
    return [b for _, b in best.values()]


def _crowds(ballots: Sequence[Ballot]) -> list[float]:
    """Return the scales round which most texts crowd, the most crowded first."""
    points = sorted(
        (log(b.value / b.drawn), min(WIDEST, b.allowed(b.value / b.drawn) / b.value), b.text) for b in ballots
    )
    if not points:
        return []
    widths = sorted(p[1] for p in points)
    width = 2 * widths[len(widths) // 2]
    inside: Counter[int] = Counter()
    windows: list[tuple[int, float]] = []
    low = 0
    for at, _, text in points:
        inside[text] += 1
        while at - points[low][0] > width:
            gone = points[low][2]
            inside[gone] -= 1
            if not inside[gone]:
                del inside[gone]
            low += 1
        windows.append((len(inside), (at + points[low][0]) / 2))
    windows.sort(reverse=True)
    chosen: list[float] = []
    for _, center in windows:
        if all(abs(center - other) > APART for other in chosen):
            chosen.append(center)
            if len(chosen) == CROWDS:
                break
    return [exp(center) for center in chosen]
