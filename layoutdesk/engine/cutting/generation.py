"""Patterns worth having, found one after the other, and the bound that no way to cut can go under.

A pattern is one way to fill one piece of stock. The linear programme over the patterns known so far gives each
kind of piece a value; a filling that is worth more than its stock costs is a new pattern; when there is none, the
programme over all patterns is solved. Sources: column generation for cutting stock and the bound from its values
(each stock may hold at most so much, and only so many pieces of it are used) are textbook matter, from memory.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting.job import Cut, Job
from layoutdesk.engine.cutting.patterns import best_fillings, near_fillings
from layoutdesk.engine.cutting.simplex import Programme

_AT_ONCE: Final = 24
"""So many patterns join at a time at most."""
_QUICK: Final = 5e-5
"""The quick look passes over fillings that are so much better than a smaller one, in parts of the dearest stock."""
_NEAR: Final = 1e-9


@dataclass(slots=True)
class Pool:
    """The patterns known so far: counts (n, kinds) and the stock of each."""

    job: Job
    counts: list[tuple[int, ...]] = field(default_factory=list)
    stock: list[int] = field(default_factory=list)
    _known: set[tuple[int, tuple[int, ...]]] = field(default_factory=set)

    def add(self, patterns: Iterable[tuple[int, tuple[int, ...]]]) -> int:
        """Add patterns that are new; return how many were."""
        before = len(self.stock)
        for stock, counts in patterns:
            if (stock, counts) not in self._known:
                self._known.add((stock, counts))
                self.counts.append(counts)
                self.stock.append(stock)
        return len(self.stock) - before

    def table(self, first: int = 0) -> tuple[Indices, Indices]:
        """Return counts (n, kinds) and stock (n,) of the patterns from ``first`` on."""
        kinds = len(self.job.sizes)
        counts = np.array(self.counts[first:], dtype=np.int64).reshape(-1, kinds)
        return counts, np.array(self.stock[first:], dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Solved:
    """The programme's answer.

    ``used`` (n,) says how often each pattern of the pool is used, ``values`` (kinds,) what one piece of each kind
    is worth and ``worth`` (stock,) what a filling must be worth to pay; ``bound`` is the lower bound in units of
    cost, and ``whole`` says that no pattern was left to find.
    """

    used: Floats
    values: Floats
    worth: Floats
    bound: float
    whole: bool


def generated(
    job: Job, pool: Pool, *, until: float | None, enough: Callable[[Floats, float], bool] | None = None
) -> Solved:
    """Fill the pool with patterns until none is worth while.

    Args:
        job: the job.
        pool: the patterns known so far; more join.
        until: a moment of the monotonic clock to stop at.
        enough: told how often each pattern is used and the bound, says whether to stop.
    """
    kinds = len(job.sizes)
    limited = np.flatnonzero(job.limited)
    most = float(job.costs @ job.limits)
    programme = Programme(job.counts.astype(float), job.limits[limited].astype(float), missing=2 * most + 1)
    pool.add(_alike(job))
    added, bound = 0, 0.0
    while True:
        counts, stock = pool.table(added)
        rows = np.concatenate((counts.T.astype(float), (stock == limited[:, None]).astype(float)))
        programme.add(rows, job.costs[stock])
        added = len(pool.stock)
        duals = programme.solve()
        values = np.maximum(duals[:kinds], 0.0)
        worth = job.costs.copy()
        worth[limited] -= np.minimum(duals[kinds:], 0.0)
        # A quick look first; only where it finds nothing does the exact one follow.
        for near in (_QUICK * float(job.costs.max()), 0.0):
            reach, fillings = best_fillings(job, values, worth, most=_AT_ONCE, near=near)
            bound = max(bound, _bound(job, values, reach))
            new = pool.add(_new(job, fillings.sizes, fillings.values, fillings.counts, worth))
            late = until is not None and time.monotonic() > until
            if new or late:
                break
        whole = not new and not late
        if whole or late or (enough is not None and enough(programme.used, bound)):
            return Solved(programme.used, values, worth, bound, whole)


def _alike(job: Job) -> list[tuple[int, tuple[int, ...]]]:
    """Return the patterns of one kind alone, as many as fit into each stock."""
    found = []
    for k, (size, count) in enumerate(zip(job.sizes.tolist(), job.counts.tolist(), strict=True)):
        for s, room in enumerate(job.rooms.tolist()):
            if fit := min(count, room // size):
                found.append((s, tuple(fit if i == k else 0 for i in range(len(job.sizes)))))
    return found


def _new(
    job: Job, sizes: Indices, held: Floats, counts: Indices, worth: Floats
) -> Iterable[tuple[int, tuple[int, ...]]]:
    """Yield each filling with every stock that it is worth while in."""
    for size, value, filling in zip(sizes.tolist(), held.tolist(), counts.tolist(), strict=True):
        for s, room in enumerate(job.rooms.tolist()):
            if room >= size and value > worth[s] + _NEAR * (1.0 + abs(worth[s])):
                yield s, tuple(filling)


def _bound(job: Job, values: Floats, reach: Floats) -> float:
    """Return what no way to cut can cost less than, at these values.

    Every piece of stock holds at most ``reach``; what that is over its cost counts for as many pieces as can be
    used. Where no stock is limited and none is free, all values may be taken down together instead.
    """
    whole = float(values @ job.counts)
    over = np.maximum(reach - job.costs, 0.0)
    bound = whole - float(over @ job.limits)
    if not any(job.limited) and job.costs.min() > 0:
        bound = max(bound, whole / max(1.0, float((reach / job.costs).max())))
    return bound


def cuts_of(counts: Indices, stock: Indices, times: Iterable[int]) -> list[Cut]:
    """Return the cuts that use each of some patterns, counts (n, kinds) and stock (n,), so many times."""
    return [Cut(int(stock[n]), tuple(counts[n].tolist()), k) for n, k in enumerate(times) if k]


def near_patterns(
    job: Job, solved: Solved, gap: float, *, most: int, full: bool = True
) -> tuple[Indices, Indices] | None:
    """Return all patterns that an answer within ``gap`` of the bound can use: counts (n, kinds) and stock (n,).

    With ``full`` those that one more wanted piece would fit into are left out: another does for them. None when
    there are more than ``most`` to look through.
    """
    least = solved.worth - gap - 1e-6 * (1.0 + abs(gap))
    found = near_fillings(job, solved.values, least, most=most)
    if found is None:
        return None
    counts = found.counts
    more = np.where(counts < job.counts, job.sizes, np.iinfo(np.int64).max).min(axis=1)
    rows, stock = [], []
    for s, room in enumerate(job.rooms.tolist()):
        able = (found.sizes <= room) & (found.values >= least[s]) & (found.sizes > 0)
        if full:
            able &= more > room - found.sizes
        keep = np.flatnonzero(able)
        rows.append(counts[keep])
        stock.append(np.full(len(keep), s, dtype=np.int64))
    return np.concatenate(rows), np.concatenate(stock)
