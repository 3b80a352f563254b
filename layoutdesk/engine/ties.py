"""Swing ties: two taped distances swung to where they cross, and how exactly they put a stake down.

With the standard deviations s1 and s2 of the two tapes and the angle t at which they cross at the stake, the
covariance of the stake's place has the trace (s1² + s2²) / sin² t; ``within`` is twice its root.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.layout import Strength
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.plan.model import TapeClass

STRONG_DEG: Final = 60.0
FAIR_DEG: Final = 30.0
"""Crossings from 60 degrees are strong, from 30 fair, flatter ones weak (common practice, no source)."""
FLATTEST_DEG: Final = 10.0
"""Tapes that cross flatter than this are not offered at all (common practice, no source)."""
MOST_CONTROLS: Final = 24
"""With more control points than this, only each pier's nearest open ones are paired."""

_LEAST_SINE: Final = math.sin(math.radians(FLATTEST_DEG))
_CHUNK: Final = 1024
"""Piers per round: the columns of one round stay in the processor's cache."""


def strength_of(crossing_deg: float) -> Strength:
    """Return how strong a crossing of two tapes is, by its angle folded into 0 to 90 degrees."""
    if crossing_deg >= STRONG_DEG - 1e-9:
        return "strong"
    return "fair" if crossing_deg >= FAIR_DEG - 1e-9 else "weak"


def taped(controls: Floats, piers: Floats) -> Floats:
    """Return the distances between (c, 2) control points and (n, 2) piers as (c, n), in mm."""
    d = np.empty((len(controls), len(piers)))
    for k in range(0, len(piers), _CHUNK):
        part = slice(k, k + _CHUNK)
        dx = piers[part, 0] - controls[:, 0, None]
        dy = piers[part, 1] - controls[:, 1, None]
        dx *= dx
        dy *= dy
        dx += dy
        np.sqrt(dx, out=d[:, part])
    return d


@dataclass(frozen=True, slots=True)
class BestPairs:
    """The pair of tapes with the least expected error for every pier.

    ``pair`` is (n, 2) of control indices, -1 without a pair; ``within`` and ``sine`` of the crossing angle are
    (n,), NaN without one.
    """

    pair: Indices
    within: Floats
    sine: Floats


def best_pairs(
    controls: Floats,
    piers: Floats,
    distance: Floats,
    usable: Bools,
    tape_class: TapeClass,
) -> BestPairs:
    """Return for each pier the pair of control points whose tapes put it down most exactly.

    Pairs that cross flatter than 10 degrees are left out. Of two pairs that are equally exact, the one with
    the earlier control points is taken.

    Args:
        controls: (c, 2) in mm.
        piers: (n, 2) in mm.
        distance: from each to each, (c, n) in mm.
        usable: which tapes can be pulled at all, (c, n).
        tape_class: the accuracy class of both tapes.
    """
    count = len(piers)
    pair = np.full((count, 2), -1, dtype=np.intp)
    least, sine = np.full(count, np.inf), np.full(count, np.nan)
    pairs = _pairs(min(len(controls), MOST_CONTROLS))
    with np.errstate(divide="ignore", invalid="ignore"):
        for k in range(0, count if len(pairs) else 0, _CHUNK):
            part = slice(k, k + _CHUNK)
            who, dx, dy, d, open_ = _nearest_open(controls, piers[part], distance[:, part], usable[:, part])
            squared, crossing = _by_pair(dx / d, dy / d, np.where(open_, tape_deviation(d, tape_class), np.inf))
            best = squared.argmin(axis=0)
            each = np.arange(len(best))
            least[part], sine[part] = squared[best, each], crossing[best, each]
            chosen = pairs[best]
            pair[part] = chosen if who is None else np.sort(who[chosen, each[:, None]], axis=1)
    without = ~np.isfinite(least)
    if without.any():
        pair[without] = -1
        sine[without] = np.nan
        least[without] = np.nan
    return BestPairs(pair, 2 * np.sqrt(least), np.minimum(sine, 1.0))


@cache
def _pairs(count: int) -> Indices:
    """Return all pairs of ``count`` things in the order 01, 02, … 12, …; (pairs, 2)."""
    return np.array(list(combinations(range(count), 2)), dtype=np.intp).reshape(-1, 2)


def _by_pair(x: Floats, y: Floats, deviation: Floats) -> tuple[Floats, Floats]:
    """Return the trace of the stake's covariance (mm²) and the sine of the crossing for all pairs of tapes.

    Args:
        x: the direction of every tape along x, (c, n), for tapes 1 mm long.
        y: the same along y.
        deviation: the standard deviation of every tape in mm, (c, n); infinite for one that cannot be used.

    Returns:
        Two of (pairs, n), pairs in the order 01, 02, … 12, …; infinite for a pair that is not offered.
    """
    count = len(x)
    sine = np.empty((count * (count - 1) // 2, x.shape[1]))
    trace = np.empty_like(sine)
    variance = deviation * deviation
    at = 0
    for i in range(count - 1):
        to = at + count - 1 - i
        np.multiply(x[i], y[i + 1 :], out=sine[at:to])
        sine[at:to] -= y[i] * x[i + 1 :]
        np.add(variance[i], variance[i + 1 :], out=trace[at:to])
        at = to
    np.abs(sine, out=sine)
    trace /= sine * sine
    trace[~(sine >= _LEAST_SINE)] = np.inf
    return trace, sine


def _nearest_open(
    controls: Floats, piers: Floats, distance: Floats, usable: Bools
) -> tuple[Indices | None, Floats, Floats, Floats, Bools]:
    """Return which control points are paired for each pier (None for all), the ways to it, and what is usable."""
    dx = piers[:, 0] - controls[:, 0, None]
    dy = piers[:, 1] - controls[:, 1, None]
    if len(controls) <= MOST_CONTROLS:
        return None, dx, dy, distance, usable
    far = np.where(usable, distance, np.inf)
    who = np.argsort(far, axis=0, kind="stable")[:MOST_CONTROLS]
    each = np.arange(len(piers))
    return who, dx[who, each], dy[who, each], distance[who, each], usable[who, each]
