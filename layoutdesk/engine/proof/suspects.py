"""Which measures are likely misread: found one at a time, each time the one that spoils the rest the most.

Where a residual goes beyond its limit, the measures that might be to blame are left out in turn, and the whole is
adjusted again without each: the one without which the rest agrees best is the suspect. That is exact where errors
are so large that the tangent of a circle no longer stands for the circle. Others whose leaving out is as good by
odds of less than twenty to one cannot be told apart from it, and are named with it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.derivatives import values_of
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.observations import ANGLE, Observations
from layoutdesk.engine.proof.starts import OtherStart, swapped
from layoutdesk.engine.proof.statistics import LEAST_REDUNDANCY, in_own_deviations, limit_of

MOST: Final = 5
"""So many suspects are taken out at most: with more the tapes had better be taken again."""
AS_GOOD: Final = 2 * math.log(20)
"""Two suspects are alike while the weighted sums without them differ by less: odds of twenty to one."""
_TO_BLAME: Final = 0.6
"""Measures with at least this share of the greatest w are looked at; the tangent is that far off at most."""
_LOOKED_AT: Final = 8


@dataclass(frozen=True, slots=True)
class Candidate:
    """One measure that may be to blame: its row, what it reads too much (mm or rad), and how sure that is."""

    row: int
    error: float
    deviation: float


@dataclass(frozen=True, slots=True)
class Taken:
    """A suspect that was left out, and others that the numbers cannot tell from it; ``w`` when it was found."""

    suspect: Candidate
    w: float
    redundancy: float
    alike: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Search:
    """What came of the search.

    ``swapped`` are stakes that seem to have changed places or sides; where the measures fit better so, they are
    adjusted from there. ``first`` is the adjustment of all measures, ``last`` that without the suspects; ``kept``
    (m,) says which measures that rests on. ``doubtful`` (n,) are points that would stand elsewhere if another of
    several alike measures were the wrong one. ``residual``, ``redundancy`` and ``w`` are (m,): of those taken out,
    the residual against the others, and the redundancy and w when they were found.
    """

    swapped: tuple[OtherStart, ...]
    first: Adjustment
    last: Adjustment
    kept: Bools
    taken: tuple[Taken, ...]
    doubtful: Bools
    residual: Floats
    redundancy: Floats
    w: Floats


def search(network: Network, observations: Observations, out: Indices) -> Search:
    """Return which measures are suspect, and the adjustment without them.

    Args:
        network: all of it, with all measures.
        observations: the measures of that network.
        out: rows that are left out from the start because they are plainly wrong.
    """
    kept = np.ones(len(observations), dtype=np.bool_)
    kept[out] = False
    doubtful = np.zeros(len(network.start), dtype=np.bool_)
    taken: list[Taken] = []
    first = last = _without(network, observations, kept)
    others = swapped(replace(network, observations=observations.take(kept)), first)
    better = [other for other in others if other.weighted < first.weighted - AS_GOOD]
    if better and not network.free:
        best = min(better, key=lambda other: other.weighted)
        network = replace(network, start=np.where(np.isfinite(best.xy), best.xy, network.start))
        first = last = _without(network, observations, kept)
    while len(taken) < MOST and last.degrees > 0:
        found = _most_suspect(network, observations, kept, last)
        if found is None:
            break
        suspect, moved = found
        taken.append(suspect)
        doubtful |= moved
        kept[suspect.suspect.row] = False
        last = _without(network, observations, kept)
    residual, redundancy = _spread(last, kept)
    w = in_own_deviations(residual, observations.deviation, redundancy)
    residual[~kept] = _misfit(observations, last.xy)[~kept]
    for one in taken:
        w[one.suspect.row], redundancy[one.suspect.row] = one.w, one.redundancy
    return Search(others, first, last, kept, tuple(taken), doubtful, residual, redundancy, w)


def _without(network: Network, observations: Observations, kept: Bools, *, covariance: bool = True) -> Adjustment:
    return adjust(replace(network, observations=observations.take(kept)), covariance=covariance)


def _spread(adjustment: Adjustment, kept: Bools) -> tuple[Floats, Floats]:
    """Return residual and redundancy by the rows of all measures; NaN and 0 for those that are left out."""
    residual = np.full(len(kept), np.nan)
    redundancy = np.zeros(len(kept))
    residual[kept] = adjustment.residual
    redundancy[kept] = np.nan_to_num(adjustment.redundancy)
    return residual, redundancy


def _misfit(observations: Observations, xy: Floats) -> Floats:
    """Return what places give less what was measured, (m,); NaN where a place is not determined."""
    misfit = values_of(observations, xy) - observations.value
    angle = observations.kind == ANGLE
    misfit[angle] = np.remainder(misfit[angle] + np.pi, 2 * np.pi) - np.pi
    return misfit


def _most_suspect(
    network: Network, observations: Observations, kept: Bools, now: Adjustment
) -> tuple[Taken, Bools] | None:
    """Return the measure that most likely is wrong, and which points depend on its being that one; or None."""
    residual, redundancy = _spread(now, kept)
    w = in_own_deviations(residual, observations.deviation, redundancy)
    size = np.abs(w)
    worst = float(size.max(initial=0.0))
    limit = limit_of(len(kept))
    if worst <= limit:
        return None
    rows = np.flatnonzero(size >= max(_TO_BLAME * worst, limit / 2))
    rows = rows[np.argsort(-size[rows])][:_LOOKED_AT]
    tried: list[tuple[float, Candidate, Floats]] = []
    for row in rows.tolist():
        fewer = kept.copy()
        fewer[row] = False
        without = _without(network, observations, fewer, covariance=False)
        error = -float(_misfit(observations, without.xy)[row])
        sure = float(observations.deviation[row]) / math.sqrt(max(float(redundancy[row]), LEAST_REDUNDANCY))
        if math.isfinite(error):
            tried.append((without.weighted, Candidate(row, error, sure), without.xy))
    if not tried:
        return None
    tried.sort(key=lambda one: one[0])
    least, suspect, xy = tried[0]
    alike = [one for one in tried[1:] if one[0] - least <= AS_GOOD]
    doubtful = np.zeros(len(xy), dtype=np.bool_)
    for _, _, other in alike:
        with np.errstate(invalid="ignore"):
            doubtful |= np.hypot(*(other - xy).T) > _apart(now)
    taken = Taken(suspect, float(w[suspect.row]), float(redundancy[suspect.row]), tuple(one for _, one, _ in alike))
    return taken, doubtful


def _apart(now: Adjustment) -> Floats:
    """Return by how far a place must differ to count as another one, (n,) in mm: three standard errors."""
    variance = now.covariance[:, 0, 0] + now.covariance[:, 1, 1]
    return 3 * np.sqrt(variance)
