"""Among answers of equal cost: the one of shorter stock, easier to carry, and then of fewer different patterns.

Shorter is the answer whose squared lengths of stock add up to less. The choice is complete for small jobs; for
large ones it is a search of limited length, or what filling gave. The cost stays what it is.
"""

from __future__ import annotations

import math
from collections import Counter
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting.answer import trimmed
from layoutdesk.engine.cutting.generation import Solved, cuts_of, near_patterns
from layoutdesk.engine.cutting.job import MONEY, Cut, Job
from layoutdesk.engine.cutting.whole import all_wanted, branched

_FEW: Final = 120
"""Up to so many patterns the fewest different ones are looked for …"""
_SMALL: Final = 16
"""… in jobs of no more than so many pieces of stock."""
_PARTS: Final = 200
_NODES: Final = 60


def settled(job: Job, best: list[Cut], solved: Solved, *, until: float | None, most: int) -> list[Cut]:
    """Return the answer to prefer among those that cost the same as ``best``.

    Up to ``most`` patterns that could be used, all are looked through.
    """
    best = trimmed(job, best)
    if len(job.stock) > 1:
        best = _shorter(job, best, solved, until, most)
    return _plainer(job, best, solved, until)


def _shorter(job: Job, best: list[Cut], solved: Solved, until: float | None, most: int) -> list[Cut]:
    squares = _squares(job)
    heavy = sum(float(squares[cut.stock]) * cut.times for cut in best)
    gap = max(0.0, job.cost(best) - solved.bound)
    gathered = near_patterns(job, solved, gap, most=most) if solved.whole else None
    if gathered is None:
        return best
    counts, stock = gathered
    wanted = all_wanted(job, counts, stock, most=job.cost(best) + 0.5)
    found = branched(squares[stock], *wanted, job.limits[stock], until=until, nodes=_NODES)
    if found is None or found.x is None or found.fun > heavy - 1e-6:
        return best
    other = trimmed(job, cuts_of(counts, stock, [round(x) for x in found.x]))
    return other if job.cost(other) <= job.cost(best) else best


def _squares(job: Job) -> Floats:
    """Return the squares of the stock's lengths, as small whole numbers where their common measure allows it."""
    common = math.gcd(*(round(one.length / MONEY) for one in job.stock)) * MONEY
    parts = np.array([one.length for one in job.stock])
    fine = parts[-1] / common > _PARTS
    squares: Floats = (parts / parts[-1]) ** 2 if fine else np.round(parts / common) ** 2
    return squares


def _plainer(job: Job, best: list[Cut], solved: Solved, until: float | None) -> list[Cut]:
    """Return an answer from the same stock in fewer different patterns, if there is one."""
    bought: Counter[int] = Counter()
    for cut in best:
        bought[cut.stock] += cut.times
    if len(best) <= len(bought) or bought.total() > _SMALL or not solved.whole:
        return best
    gap = max(0.0, job.cost(best) - solved.bound)
    gathered = near_patterns(job, solved, gap, most=_FEW, full=False)
    if gathered is None:
        return best
    counts, stock = _of_stock(gathered, bought)
    times = np.array([bought[s] for s in stock.tolist()])
    kinds = sorted(bought)
    n = len(stock)
    none = np.zeros((len(job.sizes) + len(kinds), n))
    rows = np.block(
        [
            [np.concatenate((counts.T, stock == np.array(kinds)[:, None])), none],
            [np.eye(n), -np.diag(times)],
        ]
    )
    fixed: Floats = np.concatenate((job.counts, [bought[s] for s in kinds])).astype(float)
    low = np.concatenate((fixed, np.full(n, -np.inf)))
    high = np.concatenate((fixed, np.zeros(n)))
    objective = np.concatenate((np.zeros(n), np.ones(n)))
    most = np.concatenate((times, np.ones(n)))
    found = branched(objective, rows, (low, high), most, until=until, nodes=_NODES)
    if found is None or found.x is None or found.fun > len(best) - 0.5:
        return best
    return cuts_of(counts, stock, [round(x) for x in found.x[:n]])


def _of_stock(patterns: tuple[Indices, Indices], bought: Counter[int]) -> tuple[Indices, Indices]:
    counts, stock = patterns
    keep = np.isin(stock, sorted(bought))
    return counts[keep], stock[keep]
