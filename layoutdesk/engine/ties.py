"""Swing ties: two taped distances swung to where they cross, and how exactly they put a stake down.

With the standard deviations s1 and s2 of the two tapes and the angle t at which they cross at the stake, the
covariance of the stake's place has the trace (s1² + s2²) / sin² t; ``within`` is twice its root.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.layout import Strength
from layoutdesk.engine.tapes import PERMISSIBLE_MM
from layoutdesk.plan.model import TapeClass

STRONG_DEG: Final = 60.0
FAIR_DEG: Final = 30.0
"""Crossings from 60 degrees are strong, from 30 fair, flatter ones weak (common practice, no source)."""
FLATTEST_DEG: Final = 10.0
"""Tapes that cross flatter than this are not offered at all (common practice, no source)."""
MOST_CONTROLS: Final = 24
"""With more control points than this, only each pier's nearest open ones are paired."""

_CHUNK = 1024
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
        np.sqrt(dx * dx + dy * dy, out=d[:, part])
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
    usable: Bools,
    tape_class: TapeClass,
    *,
    flattest_deg: float = FLATTEST_DEG,
) -> BestPairs:
    """Return for each pier the pair of control points whose tapes put it down most exactly.

    Args:
        controls: (c, 2) in mm.
        piers: (n, 2) in mm.
        usable: (c, n), which tapes can be pulled at all.
        tape_class: the accuracy class of both tapes.
        flattest_deg: pairs that cross flatter are left out.
    """
    count = len(piers)
    pair = np.full((count, 2), -1, dtype=np.intp)
    square = np.full(count, np.inf)
    sine = np.full(count, np.nan)
    pairs = np.array(list(combinations(range(min(len(controls), MOST_CONTROLS)), 2)), dtype=np.intp)
    if not len(pairs) or not count:
        return BestPairs(pair, np.full(count, np.nan), sine)
    a, b = PERMISSIBLE_MM[tape_class]
    least = math.sin(math.radians(flattest_deg)) ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        for k in range(0, count, _CHUNK):
            part = slice(k, k + _CHUNK)
            who, dx, dy, open_ = _candidates(controls, piers[part], usable[:, part])
            d2 = dx * dx + dy * dy
            deviation = a / 2 + np.sqrt(d2) * (b / 2000)
            variance = np.where(open_, deviation * deviation, np.inf)
            i, j = pairs[:, 0], pairs[:, 1]
            turn = dx[i] * dy[j] - dy[i] * dx[j]
            turn *= turn
            sine2 = turn / (d2[i] * d2[j])
            trace = (variance[i] + variance[j]) / sine2
            trace[~(sine2 >= least)] = np.inf
            best = trace.argmin(axis=0)
            each = np.arange(len(best))
            square[part] = trace[best, each]
            sine[part] = np.sqrt(sine2[best, each])
            chosen = pairs[best].T
            pair[part] = (chosen if who is None else np.sort(who[chosen, each], axis=0)).T
    without = ~np.isfinite(square)
    pair[without] = -1
    sine[without] = np.nan
    square[without] = np.nan
    return BestPairs(pair, 2 * np.sqrt(square), np.minimum(sine, 1.0))


def _candidates(controls: Floats, piers: Floats, usable: Bools) -> tuple[Indices | None, Floats, Floats, Bools]:
    """Return which control points are paired for each pier (None: all), the ways to it, and which are usable."""
    dx = piers[:, 0] - controls[:, 0, None]
    dy = piers[:, 1] - controls[:, 1, None]
    if len(controls) <= MOST_CONTROLS:
        return None, dx, dy, usable
    far = np.where(usable, np.hypot(dx, dy), np.inf)
    who = np.argsort(far, axis=0, kind="stable")[:MOST_CONTROLS]
    each = np.arange(len(piers))
    return who, dx[who, each], dy[who, each], usable[who, each]
