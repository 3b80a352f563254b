"""The two answers: a good one at once, and the best one with the proof that nothing costs less.

The proof: the linear programme gives a bound, rounded up to the next cost that can be. If an answer costs just
that, it is proven. If not, every pattern that a cheaper answer could use is gathered (one whose cost exceeds the
value of what it holds by no more than what lies between bound and answer), and branch and bound over all of them
either finds the cheaper answer or shows that there is none.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from typing import Final

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.cutting.answer import cutting_of, trimmed
from layoutdesk.engine.cutting.contract import Cutting, CuttingError, Piece, Stock
from layoutdesk.engine.cutting.filling import filled, rank
from layoutdesk.engine.cutting.generation import Pool, Solved, cuts_of, generated, near_patterns
from layoutdesk.engine.cutting.job import Cut, Job, job_of
from layoutdesk.engine.cutting.ties import settled
from layoutdesk.engine.cutting.whole import BRIEF, THOROUGH, Effort, Whole, rounded, searched

_LONG: Final = 40
"""A search of so many rounds is long: it may end before the last pattern is found …"""
_EACH: Final = 5
"""… and every so many rounds is looked whether it can."""
_NOT_ENOUGH: Final = "The stock at hand is not enough for all pieces; have more of it, or cut fewer."


def first_cutting(demand: Sequence[Piece], stock: Sequence[Stock], *, kerf: float) -> Cutting:
    """Return a good way to cut at once, with a lower bound of its cost.

    Stock is filled with the longest piece first. Where stock is so scarce that this comes to no end, the answer
    is that of ``best_cutting``.

    Args:
        demand: the pieces wanted, lengths in mm.
        stock: the stock to be had, lengths in mm; all with a price, or none.
        kerf: what a saw cut takes, in mm.

    Raises:
        CuttingError: nonsense in what is given, a piece longer than all stock, or too little stock.
    """
    job = job_of(demand, stock, kerf=kerf)
    if job is None:
        return cutting_of(None, [], 0.0, first=True)
    cuts = filled(job, job.counts.tolist(), job.limits.tolist())
    if cuts is None:
        return best_cutting(demand, stock, kerf=kerf, seconds=None)
    return cutting_of(job, cuts, _by_length(job), first=True)


def best_cutting(
    demand: Sequence[Piece],
    stock: Sequence[Stock],
    *,
    kerf: float,
    seconds: float | None = None,
    brief: bool = False,
) -> Cutting:
    """Return the way to cut that costs least, proven where it can be.

    Args:
        demand: the pieces wanted, lengths in mm.
        stock: the stock to be had, lengths in mm; all with a price, or none.
        kerf: what a saw cut takes, in mm.
        seconds: how long to look; without it the answer is the same on every machine.
        brief: whether to look only as far as takes little time; where that is not enough for the proof, the answer
            says so.

    Raises:
        CuttingError: nonsense in what is given, a piece longer than all stock, or too little stock.
    """
    effort = BRIEF if brief else THOROUGH
    until = None if seconds is None else time.monotonic() + seconds
    job = job_of(demand, stock, kerf=kerf)
    if job is None:
        return cutting_of(None, [], 0.0, first=False)
    pool = Pool(job)
    best = filled(job, job.counts.tolist(), job.limits.tolist())
    if best is not None:
        pool.add((cut.stock, cut.counts) for cut in best)
    solved = generated(job, pool, until=until, enough=_looks(job, pool))
    bound = max(job.rounded_up(max(solved.bound, _by_length(job))), 0)
    if bound > float(job.costs @ job.limits):
        raise CuttingError(_NOT_ENOUGH)
    best = _better(job, best, rounded(job, pool.counts, pool.stock, solved.used))
    if best is None or job.cost(best) > bound:
        counts, of = pool.table()
        most = None if best is None else job.cost(best) - 1
        found = searched(job, counts, of, least=bound, most=most, until=until, nodes=effort.nodes)
        if found.times is not None:
            best = trimmed(job, cuts_of(counts, of, found.times))
    if best is None or job.cost(best) > bound:
        best, bound = _closed(job, best, bound, solved, until=until, effort=effort)
    best = settled(job, best, solved, until=until, most=effort.settling)
    return cutting_of(job, best, float(bound), first=False)


def _looks(job: Job, pool: Pool) -> Callable[[Floats, float], bool]:
    """Return what looks, in a long search, whether the patterns known so far give an answer at the bound."""
    rounds = itertools.count(1)

    def enough(used: Floats, bound: float) -> bool:
        turn = next(rounds)
        if turn < _LONG or turn % _EACH:
            return False
        least = job.rounded_up(bound)
        if float(job.costs[pool.stock[: len(used)]] @ used) > least:
            return False
        cuts = rounded(job, pool.counts, pool.stock, used)
        return cuts is not None and job.cost(cuts) <= least

    return enough


def _better(job: Job, one: list[Cut] | None, other: list[Cut] | None) -> list[Cut] | None:
    """Return the cheaper answer, of two that cost the same the one of shorter stock."""
    if one is None or other is None:
        return other if one is None else one
    return min(one, other, key=lambda cuts: rank(job, cuts))


def _by_length(job: Job) -> int:
    """Return the bound from lengths alone: no stock holds more than its room, at its cost."""
    cheap = float((job.costs / job.rooms).min())
    return job.rounded_up(cheap * float(job.sizes @ job.counts))


def _closed(
    job: Job, best: list[Cut] | None, bound: int, solved: Solved, *, until: float | None, effort: Effort
) -> tuple[list[Cut], int]:
    """Return the best answer and its bound after looking through all patterns that could make a cheaper one."""
    dearest = round(float(job.costs @ job.limits))
    gap = (dearest if best is None else job.cost(best) - 1) - solved.bound
    gathered = near_patterns(job, solved, gap, most=effort.gathered) if solved.whole else None
    if gathered is not None:
        counts, stock = gathered
        most = None if best is None else job.cost(best) - 1
        found = (
            searched(job, counts, stock, least=bound, most=most, until=until, nodes=effort.nodes)
            if len(stock)
            else Whole(None, done=True, bound=float(bound))
        )
        if found.times is not None:
            best = trimmed(job, cuts_of(counts, stock, found.times))
        if found.done and best is not None:
            return best, job.cost(best)
        if found.done:
            raise CuttingError(_NOT_ENOUGH)
        if best is not None:
            bound = max(bound, min(job.cost(best), job.rounded_up(found.bound)))
    if best is None:
        raise CuttingError("No way to cut all pieces from the stock at hand was found; have more of it.")
    return best, bound
