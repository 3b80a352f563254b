"""Which of many distances to take: the fewest that determine some places to a tolerance and check each other.

A distance is checked when an error of one foot in it would show. By the reliability of a test one at a time (W.
Baarda, 1968: significance 0.1 %, power 80 %; from memory) an error shows from 4.13·s/√r on, with s the standard
deviation of the distance and r its redundancy, the share of an error that goes into its residual. So r must be at
least (4.13·s / 304.8)²; both s and 304.8 in mm.

The search looks at sets of one size, from the least that can do on: it trades one distance for another as long as
that makes the set better, shakes it, and trades again. Every trade is weighed exactly, by the change of the
covariance with one distance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.certainty import VAGUE_MM, semi_major
from layoutdesk.engine.proof.house import SURE_95
from layoutdesk.units import MM_PER_FOOT

SHOWS: Final = 4.13
"""An error of so many deviations of its residual is found in four of five cases (root of Baarda's 17.07)."""
_LEAST_SHARE: Final = 1e-12
_EASE: Final = 0.01
"""What exactness beyond the tolerance counts, against what is still wanting."""
_SEED: Final = 7
_TRIED_SIZES: Final = 4


def needed_redundancy(deviation: Floats) -> Floats:
    """Return the redundancy from which on an error of one foot shows, for distances of these deviations in mm."""
    share: Floats = np.square(SHOWS * deviation / MM_PER_FOOT)
    return share


@dataclass(frozen=True, slots=True)
class Choice:
    """What can be taped, and what it must give.

    Args:
        rows: the derivatives of each distance by the u unknown coordinates (x and y of one point after the other),
            in units of its standard deviation, (c, u).
        known: what is known beforehand of the unknowns, as an information matrix in mm⁻², (u, u).
        wanted: which of the points must lie within the tolerance, (u/2,).
        needed: the redundancy that each distance must have, (c,).
        tolerance: of the semi-major axis at 95 %, mm.
        least: how many distances it takes at the least.
    """

    rows: Floats
    known: Floats
    wanted: Bools
    needed: Floats
    tolerance: float
    least: int


@dataclass(frozen=True, slots=True)
class Rated:
    """What sets of distances lack, nought when they prove everything; ``order`` is what is to be made small."""

    lacks: Floats
    order: Floats


class Selection:
    """The search for the fewest distances."""

    def __init__(self, choice: Choice) -> None:
        self._choice = choice
        size = len(choice.known)
        # Places are vaguely known before they are taped at all: so every set has a covariance.
        self._known = choice.known + np.eye(size) * VAGUE_MM**-2
        self._random = np.random.default_rng(_SEED)

    def fewest(self, *, shakes: int) -> list[int] | None:
        """Return the fewest distances that were found to do, in rising order; None when all together do not.

        From all of them one after the other is left out, the least missed first, as long as the rest does. Where
        more are left than the least that can do, sets of smaller sizes are built up and traded.

        Args:
            shakes: how often a set of one size is shaken before a larger one is tried.
        """
        chosen = self._thinned_out(list(range(len(self._choice.rows))))
        if chosen is None:
            return None
        least, built = self._choice.least, list[int]()
        for size in range(least, min(least + _TRIED_SIZES, len(chosen))):
            built, done = self._of_size(built, size, shakes)
            if done:
                return sorted(built)
        fewer: list[int] | None = chosen
        while fewer is not None:
            chosen = fewer
            fewer = self._fewer(chosen) if len(chosen) > least else None
        return sorted(self._traded(chosen)[0])

    def _fewer(self, chosen: list[int]) -> list[int] | None:
        """Return a smaller set that does after trades, or None."""
        rated = self._with_one_less(chosen)
        less = int(np.argmin(rated.order))
        fewer, done = self._traded(chosen[:less] + chosen[less + 1 :])
        return self._thinned_out(fewer) if done else None

    def _thinned_out(self, chosen: list[int]) -> list[int] | None:
        """Return what is left when distances are left out as long as the rest does; None when it never does."""
        lacks = self.lacking(chosen)
        while len(chosen) > self._choice.least:
            rated = self._with_one_less(chosen)
            less = int(np.argmin(rated.order))
            after = float(rated.lacks[less])
            if after > 0.0 and after >= lacks * (1 - 1e-9):
                break
            chosen, lacks = chosen[:less] + chosen[less + 1 :], after
        return None if lacks > 0.0 else chosen

    def _of_size(self, chosen: list[int], size: int, shakes: int) -> tuple[list[int], bool]:
        """Return the best set found of one size, beginning with a smaller one, and whether it proves everything."""
        chosen = list(chosen)
        while len(chosen) < size:
            chosen.append(self._best_more(chosen))
        chosen, done = self._traded(chosen)
        for _ in range(0 if done else shakes):
            other, done = self._traded(self._shaken(chosen))
            if done or self._rate(other).order.item() < self._rate(chosen).order.item():
                chosen = other
            if done:
                break
        return chosen, done

    def lacking(self, chosen: list[int]) -> float:
        """Return how much a set lacks; nought when it does."""
        return self._rate(chosen).lacks.item()

    def axes(self, chosen: list[int]) -> Floats:
        """Return the semi-major axes of all points, (u/2,) in mm at 95 %."""
        return SURE_95 * semi_major(_blocks(self._covariance(chosen)))

    def _covariance(self, chosen: list[int]) -> Floats:
        rows = self._choice.rows[chosen]
        return np.linalg.inv(rows.T @ rows + self._known).astype(np.float64, copy=False)

    def _rate(self, chosen: list[int]) -> Rated:
        covariance = self._covariance(chosen)
        rows = self._choice.rows[chosen]
        share = _shares(rows, covariance)
        return self._rated(_blocks(covariance)[None], share[None], self._choice.needed[chosen][None])

    def _rated(self, blocks: Floats, share: Floats, needed: Floats) -> Rated:
        """Rate sets by the covariances of points (s, p, 2, 2), redundancies and needed ones (s, t)."""
        axes = SURE_95 * semi_major(blocks[:, self._choice.wanted]) / self._choice.tolerance
        checks = np.sqrt(needed / np.maximum(share, _LEAST_SHARE))
        far: Floats = np.log(np.maximum(axes, 1.0)).sum(1) + np.log(np.maximum(checks, 1.0)).sum(1)
        worst: Floats = np.asarray(axes.max(1, initial=0.0) + checks.max(1, initial=0.0), dtype=np.float64)
        return Rated(far, far + _EASE * worst)

    def _with_one_more(self, chosen: list[int]) -> tuple[Indices, Rated]:
        """Return all other distances, and what the set with each of them is worth."""
        choice = self._choice
        others = self._others(chosen)
        covariance = self._covariance(chosen)
        mine, new = choice.rows[chosen], choice.rows[others]
        told = new @ covariance
        variance = 1.0 + np.einsum("cu,cu->c", told, new)
        shares = np.empty((len(others), len(chosen) + 1))
        shares[:, :-1] = _shares(mine, covariance) + np.square(told @ mine.T) / variance[:, None]
        shares[:, -1] = 1.0 / variance
        needed = np.empty_like(shares)
        needed[:, :-1], needed[:, -1] = choice.needed[chosen], choice.needed[others]
        return others, self._rated(_blocks(covariance) - _taken(told, variance), shares, needed)

    def _with_one_less(self, chosen: list[int]) -> Rated:
        """Return what the set is worth without each of its distances."""
        choice, count = self._choice, len(chosen)
        covariance = self._covariance(chosen)
        mine = choice.rows[chosen]
        told, share = mine @ covariance, _shares(mine, covariance)
        variance = np.maximum(share, _LEAST_SHARE)
        shares = share - np.square(told @ mine.T) / variance[:, None]
        others = ~np.eye(count, dtype=np.bool_)
        needed = np.broadcast_to(choice.needed[chosen], (count, count))[others].reshape(count, -1)
        blocks = _blocks(covariance) + _taken(told, variance)
        return self._rated(blocks, shares[others].reshape(count, -1), needed)

    def _others(self, chosen: list[int]) -> Indices:
        """Return the distances that are not chosen."""
        free = np.ones(len(self._choice.rows), dtype=np.bool_)
        free[chosen] = False
        return np.flatnonzero(free)

    def _best_more(self, chosen: list[int]) -> int:
        others, rated = self._with_one_more(chosen)
        return int(others[int(np.argmin(rated.order))])

    def _traded(self, chosen: list[int]) -> tuple[list[int], bool]:
        """Return the set after all trades that better it, and whether it proves everything."""
        chosen, now = list(chosen), self._rate(chosen).order.item()
        idle, at = 0, 0
        while idle < len(chosen) and len(chosen) < len(self._choice.rows):
            rest = chosen[:at] + chosen[at + 1 :]
            others, rated = self._with_one_more(rest)
            best = int(np.argmin(rated.order))
            if rated.order[best] < now - 1e-9 * max(1.0, abs(now)) and others[best] != chosen[at]:
                chosen = [*rest[:at], int(others[best]), *rest[at:]]
                now, idle = float(rated.order[best]), 0
            else:
                idle += 1
            at = (at + 1) % len(chosen)
        return chosen, self.lacking(chosen) <= 0.0

    def _shaken(self, chosen: list[int]) -> list[int]:
        """Return the set with some of its distances replaced at random."""
        others = self._others(chosen)
        count = min(max(2, len(chosen) // 3), len(others), len(chosen))
        out = set(self._random.choice(len(chosen), count, replace=False).tolist())
        new: list[int] = self._random.choice(others, count, replace=False).tolist()
        return [one for k, one in enumerate(chosen) if k not in out] + new


def _blocks(covariance: Floats) -> Floats:
    """Return the covariance of each point out of that of all, (u, u) to (u/2, 2, 2)."""
    x = np.arange(0, len(covariance), 2)
    blocks = np.empty((len(x), 2, 2))
    for a in (0, 1):
        for b in (0, 1):
            blocks[:, a, b] = covariance[x + a, x + b]
    return blocks


def _shares(rows: Floats, covariance: Floats) -> Floats:
    """Return the redundancies of distances, (t,)."""
    shares: Floats = 1.0 - np.einsum("tu,tu->t", rows @ covariance, rows)
    return shares


def _taken(told: Floats, variance: Floats) -> Floats:
    """Return by how much one distance changes the covariance of each point, (t, u/2, 2, 2)."""
    pairs = told.reshape(len(told), -1, 2)
    taken: Floats = pairs[..., :, None] * pairs[..., None, :] / variance[:, None, None, None]
    return taken
