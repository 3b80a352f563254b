"""Least squares in the plane: the places that fit all measures best, and how well they are known.

Gauss-Newton on the normal equations, with damping (Levenberg, Marquardt) whenever a step would not bring the
weighted sum down; near the end the last factor is used again, which then converges quickly enough.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.covariance import Covariance
from layoutdesk.engine.proof.derivatives import Linearised, Readings
from layoutdesk.engine.proof.determinacy import (
    WEAKEST,
    Grounds,
    LooseGroup,
    by_count,
    by_rank,
    collapsed,
    grounds,
)
from layoutdesk.engine.proof.folds import folds
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.normal import Factor, NotDefinite, Unknowns
from layoutdesk.engine.proof.sides import Flip, flips, hanging

__all__ = ["Adjustment", "adjust"]

ENOUGH: Final = 1e-8
"""Places are found when what is still to come is smaller; mm."""
_NEAR: Final = 5.0
_SLOW: Final = 0.25
"""Steps that shrink less than to this share ask for a new factor."""
_STUCK: Final = 1e12
_DOUBTFUL: Final = 1e-4
"""When so little of a diagonal entry was left in the last factor, it is looked at again at the places found."""
MOST_STEPS: Final = 300


@dataclass(frozen=True, slots=True)
class Adjustment:
    """An adjusted network of n points and m measures.

    Attributes:
        xy: the places, (n, 2) in mm; NaN where not determined.
        covariance: of every point, (n, 2, 2) in mm²; nought for held points, NaN where not determined, and where
            covariances were not asked for.
        residual: adjusted less reduced, (m,) in mm or radians; NaN for measures that took no part.
        redundancy: how much of an error in a measure shows in its residual, (m,), 0 to 1; NaN likewise.
        determined: which points have a place, (n,).
        loose: the groups of points that have none, and why.
        flips: points that fit in two places; those that the plan decides are determined.
        weighted: the weighted sum of squared residuals, of known places of control too.
        degrees: how many measures there are beyond what is needed.
        iterations: how many steps were taken.
        converged: whether the steps came to an end.
        covariances: for any points and distances; None when covariances were not asked for.
    """

    xy: Floats
    covariance: Floats
    residual: Floats
    redundancy: Floats
    determined: Bools
    loose: tuple[LooseGroup, ...]
    flips: tuple[Flip, ...]
    weighted: float
    degrees: int
    iterations: int
    converged: bool
    covariances: Covariance | None

    def joint(self, points: Sequence[int] | Indices) -> Floats:
        """Return the covariance of some points together, (2 c, 2 c) in mm²: x and y of the first, and so on."""
        assert self.covariances is not None
        return self.covariances.joint(np.array(points, dtype=np.intp))

    def of_distances(self, first: Sequence[int] | Indices, second: Sequence[int] | Indices) -> Floats:
        """Return the variances of the distances between adjusted points, taped or not, (c,) in mm²."""
        assert self.covariances is not None
        return self.covariances.of_distances(np.array(first, dtype=np.intp), np.array(second, dtype=np.intp))


def adjust(
    network: Network, *, covariance: bool = True, begin: Floats | None = None, most: int = MOST_STEPS
) -> Adjustment:
    """Return the adjusted network.

    What the measures do not determine is named and left out, with its measures; the rest is adjusted.

    Args:
        network: points, what holds them, and measures.
        covariance: whether covariances and redundancies are wanted, which take longer than the places.
        begin: other places to take the first step from, (n, 2) in mm; None for ``network.start``.
        most: after so many steps the places are left as they are; ``converged`` then says so.
    """
    ground = grounds(network)
    left_out = np.zeros(len(network.start), dtype=np.bool_)
    named: list[LooseGroup] = []
    undecided: list[Flip] = []
    xy = network.start if begin is None else begin
    while True:
        job = _Job(network, ground, left_out, xy, most)
        more = job.run() or (job.unsure() if covariance else [])
        if not more:
            break
        named += more
        undecided += [flip for flip in job.flips if not flip.by_plan]
        for group in more:
            left_out[list(group.points)] = True
        xy = job.xy
    return job.result(tuple(named), tuple(undecided))


class _Job:
    """One attempt at the points that are not left out yet."""

    def __init__(
        self, network: Network, ground: Grounds, left_out: Bools, xy: Floats, most: int = MOST_STEPS
    ) -> None:
        self._network = network
        self._ground = ground
        self._most = most
        usable = network.usable
        self.determined, self.loose = by_count(network, ground, left_out, usable)
        known = np.zeros(len(xy) + 1, dtype=np.bool_)
        known[:-1] = self.determined
        seen = network.observations
        third = np.where(seen.kind == 0, seen.j, seen.k)
        used = usable.copy()
        at = np.flatnonzero(used)
        used[at] = known[seen.i[at]] & known[seen.j[at]] & known[third[at]]
        self.readings = Readings(network.observations, used)
        self.datum: Bools | None = None
        sought = self.determined & ~ground.held
        pinned: tuple[tuple[int, int], ...] = ()
        self._prior = np.zeros(len(xy))
        if network.free:
            datum = _datum(ground.datum & self.determined, self.determined, xy)
            if datum.any():
                self.datum = datum
                sought, pinned = _pinned(sought, datum, xy)
        else:
            loosely = sought & ground.known
            self._prior[loosely] = 1.0 / network.prior[loosely] ** 2
        self.unknowns = Unknowns(self.readings, sought, pinned, self._prior)
        self.xy = xy.copy()
        self.flips: list[Flip] = []
        self.line: Linearised = self.readings.at(self.xy)
        self.iterations = 0
        self.converged = True
        self._last = 1.0
        self._covariances: Covariance | None = None

    def run(self) -> list[LooseGroup]:
        """Adjust the places; return what turns out not to be determined, nothing when all is well."""
        if not self.unknowns.count:
            return []
        if self._weakest() < WEAKEST:
            return by_rank(self._network, self._ground, self.unknowns, self.line)
        self._descend()
        if self._network.free:
            self._lay()
        if (not self.converged or self._last < _DOUBTFUL) and self._weakest() < WEAKEST:
            return by_rank(self._network, self._ground, self.unknowns, self.line)
        if len(self.readings.triples[0]) and (loose := collapsed(self._network, self.unknowns, self.xy)):
            return loose
        hung = hanging(self._network, self.unknowns, self.xy)
        self.flips, loose = flips(self._network, hung, self.xy)
        return loose or folds(self._network, hung, self.xy, self.determined)

    def _weakest(self) -> float:
        try:
            self._first: Factor = self.unknowns.factor(self.line)
        except NotDefinite:
            return 0.0
        return self._first.weakest

    def _drift(self, xy: Floats) -> Floats:
        points = self.unknowns.points
        drift: Floats = (xy[points] - self._network.start[points]).ravel()
        return drift

    def _sum(self, line: Linearised, xy: Floats) -> float:
        if not self._prior.any():
            return line.weighted
        off = xy - self._network.start
        return line.weighted + float(self._prior @ np.nan_to_num((off * off).sum(1)))

    def _descend(self) -> None:
        unknowns, points = self.unknowns, self.unknowns.points
        factor: Factor | None = self._first
        damping, before = 0.0, 0.0
        cost = self._sum(self.line, self.xy)
        for step in range(1, self._most):
            self.iterations = step
            if factor is None:
                factor = self._damped(damping)
            self._last = factor.weakest
            move = factor.solve(unknowns.right_side(self.line, self._drift(self.xy)))
            move[unknowns.pinned] = 0.0
            size = float(np.abs(move).max())
            trial = self.xy.copy()
            trial[points] += move.reshape(-1, 2)
            line = self.readings.at(trial)
            now = self._sum(line, trial)
            if not now <= cost + 1e-9 * (1 + cost) * (size < _NEAR):
                damping, factor, before = max(8 * damping, 1e-4), None, 0.0
                if damping > _STUCK:
                    break
                continue
            self.xy, self.line, cost = trial, line, now
            pace = size / before if before else np.inf
            if damping == 0.0 and (size <= ENOUGH or (pace < 0.5 and size * pace <= ENOUGH)):
                return
            if damping == 0.0 and before and size < 1e-5 and pace >= 0.5:
                return  # as near as the digits allow
            if damping or pace > _SLOW:
                damping = damping / 8 if damping > 1e-4 else 0.0
                factor = None
            before = size
        self.converged = False

    def _damped(self, damping: float) -> Factor:
        try:
            return self.unknowns.factor(self.line, damping)
        except NotDefinite:
            return self.unknowns.factor(self.line, max(damping, 1e-6))

    def _lay(self) -> None:
        """Lay the free figure over its datum: the best shift and turn."""
        assert self.datum is not None
        start, found = self._network.start[self.datum], self.xy[self.datum]
        to, middle = start.mean(0), found.mean(0)
        a, b = (found - middle) @ (1, 1j), (start - to) @ (1, 1j)
        turn = np.vdot(a, b)
        turn /= abs(turn) if abs(turn) > 0 else 1.0
        laid = (self.xy - middle) @ (1, 1j) * turn
        self.xy = np.stack((laid.real, laid.imag), axis=1) + to
        self.line = self.readings.at(self.xy)

    def unsure(self) -> list[LooseGroup]:
        """Look at the covariances; return what has none at the places found, though it had at the start."""
        found = Covariance(self.unknowns, self.line, self.xy, self.determined, self.datum)
        try:
            if np.isfinite(found.blocks[self.determined]).all() and (
                not self.unknowns.full or found.factor.weakest >= WEAKEST
            ):
                self._covariances = found
                return []
        except NotDefinite:
            pass
        return by_rank(self._network, self._ground, self.unknowns, self.line)

    def result(self, named: tuple[LooseGroup, ...], undecided: tuple[Flip, ...]) -> Adjustment:
        """Return what was found."""
        network, readings = self._network, self.readings
        xy = self.xy.copy()
        xy[~self.determined] = np.nan
        xy[self._ground.held] = network.start[self._ground.held]
        many = len(network.observations.kind)
        residual, redundancy = np.full(many, np.nan), np.full(many, np.nan)
        residual[readings.which] = self.line.misfit / readings.weight
        blocks = np.full((len(xy), 2, 2), np.nan)
        covariances = self._covariances
        if covariances is not None:
            blocks = covariances.blocks
            # Hardly determined networks leave some noise in the last digits.
            redundancy[readings.which] = np.clip(1.0 - covariances.shares, 0.0, 1.0)
        unknown = self.unknowns.count - len(self.unknowns.pinned)
        return Adjustment(
            xy=xy,
            covariance=blocks,
            residual=residual,
            redundancy=redundancy,
            determined=self.determined,
            loose=(*named, *self.loose),
            flips=(*undecided, *self.flips),
            weighted=self._sum(self.line, self.xy),
            degrees=len(readings) + 2 * int((self._prior > 0).sum()) - unknown,
            iterations=self.iterations,
            converged=self.converged,
            covariances=covariances,
        )


def _datum(wanted: Bools, determined: Bools, xy: Floats) -> Bools:
    """Return the points to lay a free figure over: those wanted, or all when those do not say how it turns."""
    places = xy[wanted]
    if len(places) > 1 and float(np.ptp(places, axis=0).max()) > 1.0:
        return wanted
    return determined


def _pinned(sought: Bools, datum: Bools, xy: Floats) -> tuple[Bools, tuple[tuple[int, int], ...]]:
    """Hold one point of the datum, and the coordinate of a far one that says how the figure turns."""
    points = np.flatnonzero(datum)
    a = int(points[0])
    away = xy[points] - xy[a]
    far = int(np.argmax((away * away).sum(1)))
    across = 1 if abs(away[far, 0]) >= abs(away[far, 1]) else 0
    rest = sought.copy()
    rest[a] = False
    return rest, ((int(points[far]), across),)
