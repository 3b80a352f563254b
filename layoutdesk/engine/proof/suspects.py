"""Which measures are likely misread: found one at a time, each time the one that spoils the rest the most.

Where a residual goes beyond its limit, the measures that might be to blame are left out in turn, and the whole is
adjusted again without each: the one without which the rest agrees best is the suspect. That is exact where errors
are so large that the tangent of a circle no longer stands for the circle. Others whose leaving out is as good by
odds of less than twenty to one cannot be told apart from it, and are named with it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.adjust import MOST_STEPS, Adjustment, adjust
from layoutdesk.engine.proof.derivatives import misfits_of
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.observations import DISTANCE, Observations
from layoutdesk.engine.proof.starts import OtherStart, swapped
from layoutdesk.engine.proof.statistics import (
    LEAST_REDUNDANCY,
    SUSPECT_AT,
    chance_of_less,
    in_own_deviations,
    limit_of,
)

MOST: Final = 5
"""So many suspects are taken out at most: with more the tapes had better be taken again."""
AS_GOOD: Final = 2 * math.log(20)
"""Two suspects are alike while the weighted sums without them differ by less: odds of twenty to one."""
_TO_BLAME: Final = 0.6
"""Measures with at least this share of the greatest w are looked at; the tangent is that far off at most."""
_LOOKED_AT: Final = 8
_PAIRED: Final = 14
"""Of so many measures all pairs are tried, where it would take three or more to explain what does not agree."""
_TRIAL_STEPS: Final = 16
"""So many steps a pair is tried for."""
_PAIRED_UP_TO: Final = 300
"""Not among more measures than this: of very many a few sound ones are suspect by chance."""


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
    whole = kept.copy()
    while len(taken) < MOST and last.degrees > 0:
        found = _most_suspect(network, observations, kept, last)
        if found is None:
            break
        suspect, moved = found
        taken.append(suspect)
        doubtful |= moved
        kept[suspect.suspect.row] = False
        last = _without(network, observations, kept)
    many = len(taken) > 2 and len(observations) <= _PAIRED_UP_TO
    if many and (two := two_suspects(network, observations, whole, first)):
        taken, doubtful = list(two[0]), two[1]
        kept = whole.copy()
        kept[[one.suspect.row for one in taken]] = False
        last = _without(network, observations, kept)
    taken = [_afresh(one, observations, last) for one in taken]
    residual, redundancy, w = _tested(observations, last, kept)
    residual[~kept] = misfits_of(observations, last.xy)[~kept]
    for one in taken:
        w[one.suspect.row], redundancy[one.suspect.row] = one.w, one.redundancy
    return Search(others, first, last, kept, tuple(taken), doubtful, residual, redundancy, w)


def _without(
    network: Network, observations: Observations, kept: Bools, *, covariance: bool = True, most: int = MOST_STEPS
) -> Adjustment:
    return adjust(replace(network, observations=observations.take(kept)), covariance=covariance, most=most)


def _tested(observations: Observations, adjustment: Adjustment, kept: Bools) -> tuple[Floats, Floats, Floats]:
    """Return residual, redundancy and w by the rows of all measures; NaN, 0 and 0 for those that are left out."""
    residual = np.full(len(kept), np.nan)
    redundancy = np.zeros(len(kept))
    residual[kept] = adjustment.residual
    redundancy[kept] = np.nan_to_num(adjustment.redundancy)
    return residual, redundancy, in_own_deviations(residual, observations.deviation, redundancy)


def _most_suspect(
    network: Network, observations: Observations, kept: Bools, now: Adjustment
) -> tuple[Taken, Bools] | None:
    """Return the measure that most likely is wrong, and which points depend on its being that one; or None."""
    _, redundancy, w = _tested(observations, now, kept)
    size = np.abs(w)
    worst = float(size.max(initial=0.0))
    limit = limit_of(len(kept))
    if worst <= limit:
        return None
    rows = np.flatnonzero(size >= max(_TO_BLAME * worst, limit / 2))
    rows = rows[np.argsort(-size[rows])][:_LOOKED_AT]
    tried: list[tuple[float, Candidate, Floats]] = []
    for row in rows.tolist():
        without = _without(network, observations, _less(kept, row), covariance=False)
        candidate = _candidate(observations, row, without.xy, redundancy)
        if math.isfinite(candidate.error):
            tried.append((without.weighted, candidate, without.xy))
    if not tried:
        return None
    tried.sort(key=lambda one: one[0])
    least, suspect, xy = tried[0]
    alike = [one for one in tried[1:] if one[0] - least <= AS_GOOD]
    doubtful = np.zeros(len(xy), dtype=np.bool_)
    for _, _, other in alike:
        doubtful |= _elsewhere(other, xy, now)
    taken = Taken(suspect, float(w[suspect.row]), float(redundancy[suspect.row]), tuple(one for _, one, _ in alike))
    return taken, doubtful


def two_suspects(
    network: Network, observations: Observations, kept: Bools, now: Adjustment
) -> tuple[tuple[Taken, Taken], Bools] | None:
    """Return the two measures that alone explain why the others do not agree, and which points depend on it.

    Two misread tapes at one stake may agree so badly that a sound one is taken out first. So pairs are tried where
    three or more would have to be wrong; None where no two measures do, so that no residual is beyond its limit.
    """
    _, redundancy, w = _tested(observations, now, kept)
    size = np.abs(w)
    rows = np.flatnonzero(size >= limit_of(len(kept)) / 2)
    rows = rows[np.argsort(-size[rows])][:_PAIRED]
    tried: list[tuple[float, tuple[int, int], Floats]] = []
    for pair in combinations(rows.tolist(), 2):
        # Where a wrong measure is left in, the steps go on for long; a pair that explains all is found in a few.
        without = _without(network, observations, _less(kept, *pair), covariance=False, most=_TRIAL_STEPS)
        if np.isfinite(misfits_of(observations, without.xy)[list(pair)]).all():
            tried.append((without.weighted, pair, without.xy))
    tried.sort(key=lambda one: one[0])
    if not tried or now.degrees < 3 or chance_of_less(tried[0][0], now.degrees - 2) > 1 - SUSPECT_AT:
        return None
    least, best, xy = tried[0]
    rest = _less(kept, *best)
    if np.abs(_tested(observations, _without(network, observations, rest), rest)[2]).max() > limit_of(len(kept)):
        return None
    doubtful = np.zeros(len(xy), dtype=np.bool_)
    instead: tuple[list[Candidate], list[Candidate]] = ([], [])
    for weighted, pair, other in tried[1:]:
        if weighted - least > AS_GOOD:
            break
        doubtful |= _elsewhere(other, xy, now)
        shared = [place for place in (0, 1) if best[place] in pair]
        fresh = [row for row in pair if row not in best]
        for row, place in zip(fresh, [1 - shared[0]] if shared else [0, 1], strict=True):
            if all(one.row != row for one in (*instead[0], *instead[1])):
                instead[place].append(_candidate(observations, row, other, redundancy))
    found = []
    for row, other_row, alike in zip(best, best[::-1], instead, strict=True):
        alone = _without(network, observations, _less(kept, other_row))
        _, redundancy, w = _tested(observations, alone, _less(kept, other_row))
        suspect = _candidate(observations, row, xy, redundancy)
        found.append(Taken(suspect, float(w[row]), float(redundancy[row]), tuple(alike)))
    return (found[0], found[1]), doubtful


def _less(kept: Bools, *rows: int) -> Bools:
    fewer = kept.copy()
    fewer[list(rows)] = False
    return fewer


def _candidate(observations: Observations, row: int, xy: Floats, redundancy: Floats) -> Candidate:
    """Return a measure that may be to blame, its error as places without it have it."""
    sure = float(observations.deviation[row]) / math.sqrt(max(float(redundancy[row]), LEAST_REDUNDANCY))
    return Candidate(row, -float(misfits_of(observations, xy)[row]), sure)


def _afresh(one: Taken, observations: Observations, last: Adjustment) -> Taken:
    """Return a suspect with its error as the places without any suspect have it: when found, others spoilt them."""
    row = one.suspect.row
    error = -float(misfits_of(observations, last.xy)[row])
    if observations.kind[row] != DISTANCE or not math.isfinite(error):
        return one
    spread = float(last.of_distances([int(observations.i[row])], [int(observations.j[row])])[0])
    sure = math.hypot(float(observations.deviation[row]), math.sqrt(spread))
    return replace(one, suspect=Candidate(row, error, sure)) if math.isfinite(sure) else one


def _elsewhere(other: Floats, xy: Floats, now: Adjustment) -> Bools:
    """Return which places differ by more than three standard errors, so that they count as others, (n,)."""
    variance = now.covariance[:, 0, 0] + now.covariance[:, 1, 1]
    with np.errstate(invalid="ignore"):
        moved: Bools = np.hypot(*(other - xy).T) > 3 * np.sqrt(variance)
    return moved
