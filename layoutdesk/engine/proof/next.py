"""Tape next: the one more distance that narrows the worst stake most.

Every distance between two known points that nothing stands in the way of is weighed, by the formula of
:mod:`layoutdesk.engine.proof.certainty`. No distance can do more for a stake with covariance C than one that tells
only of it: with v = cov(stake, distance), a'Ca is at least v'C⁻¹v, and so what is left at least
C - v (s² + v'C⁻¹v)⁻¹ v'. Distances are weighed in the order of that limit, until none that is left can be better:
the result is that of weighing all of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.candidates import Candidates, candidates, to_prove
from layoutdesk.engine.proof.certainty import VAGUE_MM, Certainty, semi_major
from layoutdesk.engine.proof.entries import Proof, TapeNext
from layoutdesk.engine.proof.house import SURE_95
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.observations import observations_of
from layoutdesk.engine.proof.standing import standing_of
from layoutdesk.engine.reasons import shown_within
from layoutdesk.geometry.vector import Vector, distance, mirrored
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_length

STILL_VAGUE_MM: Final = VAGUE_MM / 5
"""A stake that is not known better than this, one standard deviation, is not determined."""
NARROWS: Final = 1e-6
"""A distance that takes less than this share off the worst stake does not help."""
MOST_LOOSE: Final = 12
"""So many stakes that are not determined are looked at for one that a single distance determines."""
_FIRST_BATCH: Final = 64


@dataclass(frozen=True, slots=True)
class Best:
    """The best one of some distances for one stake: which, and its standard deviation after it in mm."""

    index: int
    after: float


@dataclass(frozen=True, slots=True)
class Taped:
    """What has been taped so far.

    Args:
        network: the points and the measures.
        xy: the adjusted places, (n, 2) in mm; the planned ones where they are not determined.
        determined: which points have a place, (n,); held ones have.
        there: which points are points of the network at all, (n,): held, named by a measure, or a stake.
        axes: the semi-major axes of the points, (n,), in any unit; NaN where they are not determined.
    """

    network: Network
    xy: Floats
    determined: Bools
    there: Bools
    axes: Floats


def taped_of(plan: Plan, points: PointTable, proof: Proof) -> Taped:
    """Return what has been taped so far, without the measures that are suspect.

    A figure that nothing ties to the control points yet is one whose stakes are all still to be determined.
    """
    observations = observations_of(plan, points)
    suspect = [one.index for one in proof.suspects]
    kept = observations.take(~np.isin(observations.tape, suspect))
    standing = standing_of(plan, points, observations)
    network = replace(standing.network, observations=kept, free=standing.network.free and not standing.adrift)
    tied = np.zeros(len(points), dtype=np.bool_) if network.free else network.held | np.isfinite(network.prior)
    proved = to_prove(plan, points)
    xy, determined, axes = points.xy.copy(), tied.copy(), np.full(len(points), np.nan)
    for row in proof.points:
        if row.found is not None and not standing.adrift:
            at = points.index(row.id)
            xy[at], determined[at], axes[at] = row.found, True, row.semi_major
    return Taped(network, xy, determined, standing.measured | tied | proved, axes)


def tape_next(plan: Plan, points: PointTable, obstacles: Obstacles, taped: Taped) -> TapeNext | None:
    """Return the distance to tape next, or None when there is none that tells anything.

    While stakes are not determined it is one that determines a stake. The same pair of points is taped again only
    when nothing else helps.
    """
    held = np.zeros(len(points), dtype=np.bool_) if taped.network.free else taped.network.held
    proved = to_prove(plan, points)
    stakes = np.flatnonzero(proved)
    if not len(stakes) or not taped.there.any():
        return None
    loose = stakes[~taped.determined[stakes]]
    known = taped.there & (taped.determined | proved)
    ways = candidates(taped.xy, known, ~held, plan.tape_at_hand, read_to=plan.proof.read_to)
    search = _Search(plan, points, obstacles, taped, ways)
    if len(loose):
        return search.for_loose(loose)
    return search.for_worst(stakes)


class _Search:
    """The search for the distance to tape next."""

    def __init__(
        self, plan: Plan, points: PointTable, obstacles: Obstacles, taped: Taped, ways: Candidates
    ) -> None:
        self._plan, self._points, self._obstacles, self._taped = plan, points, obstacles, taped
        seen = taped.network.observations
        count = len(points)
        plain = seen.kind == DISTANCE
        low, high = np.minimum(seen.i, seen.j)[plain], np.maximum(seen.i, seen.j)[plain]
        again = np.isin(ways.first * count + ways.second, low * count + high)
        self._new, self._again = ways.take(~again), ways.take(again)
        vague = taped.there & ~taped.determined
        self._certainty = Certainty(taped.network, taped.xy, there=taped.there, vague=vague)

    def for_worst(self, stakes: Indices) -> TapeNext | None:
        """Return the distance that narrows the worst stake most."""
        worst = int(stakes[int(np.argmax(self._taped.axes[stakes]))])
        before = float(semi_major(self._certainty.of(worst)))
        for tapes in (self._new, self._again):
            best = best_tape(self._certainty, worst, tapes, self._taped.xy, self._obstacles)
            if best is not None and best.after < before * (1 - NARROWS):
                return self._entry(tapes, best, worst, before)
        return None

    def _blocks(self, stakes: Indices) -> Floats:
        parts = []
        for k in range(0, len(stakes), 256):
            some = stakes[k : k + 256]
            found = self._certainty.block(self._certainty.columns(some), some).reshape(len(some), 2, len(some), 2)
            parts.append(found[np.arange(len(some)), :, np.arange(len(some)), :])
        return np.concatenate(parts)

    def for_loose(self, loose: Indices) -> TapeNext | None:
        """Return a distance that determines a stake, or one of two that do when no single one does."""
        sizes = semi_major(self._blocks(loose))
        order = loose[np.argsort(sizes, kind="stable")]
        flips = [int(stake) for stake, size in zip(loose, sizes, strict=True) if size < STILL_VAGUE_MM]
        for stake in flips:
            if found := self._against_flipping(stake):
                return found
        tapes = self._new if len(self._new) else self._again
        for stake in order[:MOST_LOOSE].tolist():
            best = best_tape(self._certainty, stake, tapes, self._taped.xy, self._obstacles)
            if best is not None and best.after < STILL_VAGUE_MM:
                return self._entry(tapes, best, stake, math.inf)
        return next((found for stake in order.tolist() if (found := self._first_of_two(stake))), None)

    def _open_from_known(self, stake: int) -> tuple[Candidates, Indices]:
        """Return the new open distances from determined points to a stake, and the points."""
        tapes, known = self._new, self._taped.determined
        mine = ((tapes.first == stake) & known[tapes.second]) | ((tapes.second == stake) & known[tapes.first])
        tapes = tapes.take(mine)
        tapes = tapes.take(tapes.open_ways(self._taped.xy, self._obstacles))
        return tapes, np.where(tapes.first == stake, tapes.second, tapes.first)

    def _first_of_two(self, stake: int) -> TapeNext | None:
        """Return the shorter one of the two distances that determine a stake best."""
        tapes, others = self._open_from_known(stake)
        if len(tapes) < 2:
            return None
        variance = tapes.deviation**2 + self._known_spread(tapes, others)
        sine = tapes.dx[:, None] * tapes.dy - tapes.dy[:, None] * tapes.dx
        mean = (variance[:, None] + variance) / 2
        cosine = tapes.dx[:, None] * tapes.dx + tapes.dy[:, None] * tapes.dy
        # The greater eigenvalue of the inverse of u u'/p + v v'/q, with the angle between u and v.
        product = variance[:, None] * variance
        root = np.sqrt(np.maximum(mean**2 - product * (1 - cosine**2), 0.0))
        with np.errstate(divide="ignore", over="ignore"):
            largest = np.where(np.abs(sine) > 1e-6, (mean + root) / np.maximum(sine**2, 1e-300), np.inf)
        best = int(np.argmin(largest))
        pair = np.array([best // len(tapes), best % len(tapes)])
        after = math.sqrt(float(largest.flat[best]))
        if not math.isfinite(after):
            return None
        one, two = pair[np.argsort(tapes.length[pair], kind="stable")].tolist()
        return self._entry(tapes, Best(one, after), stake, math.inf, then=int(others[two]))

    def _known_spread(self, tapes: Candidates, others: Indices) -> Floats:
        """Return the variance of each known point along its distance, (t,) in mm²."""
        blocks = self._blocks(others) if len(others) else np.empty((0, 2, 2))
        along = np.stack((tapes.dx, tapes.dy), axis=1)
        spread: Floats = np.einsum("ti,tij,tj->t", along, blocks, along)
        return spread

    def _against_flipping(self, stake: int) -> TapeNext | None:
        """Return the distance that tells best on which side of its two tapes a stake stands."""
        seen = self._taped.network.observations
        mine = (seen.kind == DISTANCE) & ((seen.i == stake) | (seen.j == stake))
        ends = np.unique(np.where(seen.i[mine] == stake, seen.j[mine], seen.i[mine]))
        if len(ends) != 2 or not self._taped.determined[ends].all():
            return None
        at: list[Vector] = [(float(x), float(y)) for x, y in self._taped.xy[[stake, *ends.tolist()]]]
        if distance(at[1], at[2]) < 1.0:
            return None
        tapes, others = self._open_from_known(stake)
        if not len(tapes):
            return None
        flipped = np.array(mirrored(at[0], at[1], at[2]))
        there = np.hypot(*(self._taped.xy[others] - flipped).T)
        tells = np.abs(there - tapes.length) / tapes.deviation
        best = int(np.argmax(tells))
        if tells[best] < 1.0:
            return None
        one = tapes.take(np.array([best]))
        found = best_tape(self._certainty, stake, one, self._taped.xy, self._obstacles)
        assert found is not None
        return self._entry(one, found, stake, math.inf)

    def _entry(self, tapes: Candidates, best: Best, worst: int, before: float, then: int | None = None) -> TapeNext:
        first, second = int(tapes.first[best.index]), int(tapes.second[best.index])
        points, plan = self._points, self._plan
        name = points.labels
        way = points.xy[second] - points.xy[first]
        planned = float(np.hypot(way[0], way[1]))
        shown = format_length(planned, plan.units, plan.rounding, pretty=True).replace(" ", "\u00a0")
        pull = f"Tape {name[first]} to {name[second]}, about {shown}"
        after = shown_within(SURE_95 * best.after, plan)
        if then is not None:
            says = (
                f"{pull}, and then {name[then]} to {name[worst]}: together they find {name[worst]} within {after}."
            )
        elif math.isinf(before):
            says = f"{pull}: it finds {name[worst]}, which is not determined yet, within {after}."
        else:
            share = 100 * (1 - best.after / before)
            was = shown_within(SURE_95 * before, plan)
            says = f"{pull}: it narrows {name[worst]}, the stake known least (now {was}), by {share:.0f} %."
        ids = points.ids
        return TapeNext(ids[first], ids[second], planned, ids[worst], SURE_95 * before, SURE_95 * best.after, says)


def best_tape(certainty: Certainty, stake: int, tapes: Candidates, xy: Floats, obstacles: Obstacles) -> Best | None:
    """Return the open distance that leaves the least semi-major axis to a stake, the first of those that are equal.

    Args:
        certainty: how certain all places are.
        stake: the row of the stake.
        tapes: the distances to choose from.
        xy: where the points are, (n, 2) in mm.
        obstacles: what stands in the way.
    """
    here = np.array([stake], dtype=np.intp)
    columns = certainty.columns(here)
    covariance = certainty.block(columns, here)[0]
    told = certainty.pulled(columns, tapes)
    inverse = np.linalg.pinv(covariance)
    noise = tapes.deviation**2
    least_spread = np.einsum("ti,ij,tj->t", told, inverse, told)
    limit = _left(covariance, told, noise + least_spread)
    order = np.argsort(limit, kind="stable")
    best: Best | None = None
    at, batch = 0, _FIRST_BATCH
    while at < len(order):
        some = order[at : at + batch]
        if best is not None and limit[some[0]] > best.after * (1 + 1e-12):
            break
        open_ = some[tapes.take(some).open_ways(xy, obstacles)]
        if len(open_):
            left = _left(covariance, told[open_], noise[open_] + certainty.spread(tapes.take(open_)))
            least = float(left.min())
            first = int(open_[left <= least * (1 + 1e-9)].min())
            if best is None or least < best.after * (1 - 1e-9):
                best = Best(first, least)
            elif least <= best.after * (1 + 1e-9):
                best = Best(min(first, best.index), min(least, best.after))
        at += batch
        batch = min(2 * batch, 512)
    return best


def _left(covariance: Floats, told: Floats, variance: Floats) -> Floats:
    """Return the standard deviation along the longer axis after each distance, (t,) in mm."""
    taken = told[:, :, None] * told[:, None, :] / variance[:, None, None]
    return semi_major(covariance - taken)
