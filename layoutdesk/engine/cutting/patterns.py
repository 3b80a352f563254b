"""The best way to fill one piece of stock at given values of the pieces, and all ways that are nearly as good.

Partial fillings are kept as a list of sizes and values. For the best way, one that is no smaller and worth no
more than another is dropped; whatever cannot reach the value that makes it worth while, even if the room left
were filled with the best of the remaining kinds without a gap, is dropped in both. So the answer is exact for
lengths of any fineness. Source of the list of undominated fillings: the textbook way to solve the knapsack
problem by dynamic programming with lists, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting.job import Job

_SAME: Final = 1e-11
"""Values nearer to each other than this, in units of cost, are the same."""


@dataclass(frozen=True, slots=True)
class Fillings:
    """Ways to fill one piece: the size and value of each (n,), and how many of each kind it holds (n, kinds)."""

    sizes: Indices
    values: Floats
    counts: Indices


class _Step:
    """What one more lot of one kind did: which of the new fillings grew out of which old one, and whether by it."""

    def __init__(self, kind: int, lot: int, parent: Indices, took: np.ndarray) -> None:
        self.kind, self.lot, self.parent, self.took = kind, lot, parent, took


def _order(job: Job, values: Floats) -> list[int]:
    """Return the kinds by what they are worth for their size, the best first."""
    order: list[int] = np.argsort(-values / job.sizes, kind="stable").tolist()
    return order


def best_fillings(
    job: Job, values: Floats, worth: Floats, *, most: int, near: float = 0.0
) -> tuple[Floats, Fillings]:
    """Return the most that each stock can hold in value, and the fillings worth more than their stock costs.

    Args:
        job: the job.
        values: (kinds,) what one piece of each kind is worth; kinds worth nothing are left out.
        worth: (stock,) what a filling of each stock must be worth to matter.
        most: so many fillings are returned at most, the best first.
        near: fillings no more than so much better than a smaller one are dropped, which is quicker by far.

    Returns:
        (stock,) an upper limit of the value that fits in each, exact where it is over ``worth`` and ``near`` is 0;
        and fillings.
    """
    order = [k for k in _order(job, values) if values[k] > _SAME]
    ratio = [float(values[k] / job.sizes[k]) for k in order] + [0.0]
    top = int(job.rooms[-1])
    sizes = np.zeros(1, dtype=np.int64)
    held = np.zeros(1)
    steps: list[_Step] = []
    # A filling of size z may matter where held + (room - z) * ratio > worth for some stock: one line per stock.
    for at, kind in enumerate(order):
        left = min(int(job.counts[kind]), top // int(job.sizes[kind]))
        lot = 1
        while left > 0:
            lot = min(lot, left)
            left -= lot
            more, gain = lot * int(job.sizes[kind]), lot * float(values[kind])
            grow = np.flatnonzero(sizes <= top - more)
            both = np.concatenate((sizes, sizes[grow] + more))
            sums = np.concatenate((held, held[grow] + gain))
            parent = np.concatenate((np.arange(len(sizes)), grow))
            took = np.arange(len(both)) >= len(sizes)
            place = np.argsort(both, kind="stable")
            ordered = sums[place]
            before = np.maximum.accumulate(ordered)
            keep = np.ones(len(both), dtype=np.bool_)
            if near:
                # One of each lot of values is kept, so that what is dropped never adds up within a step.
                level = np.floor(before / near)
                keep[1:] = level[1:] > level[:-1]
            else:
                keep[1:] = ordered[1:] > before[:-1] + _SAME
            next_ratio = ratio[at] if left > 0 else ratio[at + 1]
            keep &= _hopeful(both[place], ordered, job.rooms, worth, next_ratio)
            place = place[keep]
            if not len(place):
                none = np.zeros((0, len(values)), dtype=np.int64)
                return worth + near * (len(steps) + 1), Fillings(place, np.zeros(0), none)
            sizes, held = both[place], sums[place]
            steps.append(_Step(kind, lot, parent[place], took[place]))
            lot *= 2
    # Each step may have dropped one that much better.
    limit = worth + near * len(steps)
    for s, room in enumerate(job.rooms.tolist()):
        fit = held[sizes <= room]
        if len(fit):
            limit[s] = max(limit[s], float(fit.max()) + near * len(steps))
    ahead = np.full(len(sizes), -np.inf)
    for s, room in enumerate(job.rooms.tolist()):
        ahead = np.where(sizes <= room, np.maximum(ahead, held - worth[s]), ahead)
    chosen = np.argsort(-ahead, kind="stable")[:most]
    chosen = chosen[ahead[chosen] > _SAME]
    return limit, Fillings(sizes[chosen], held[chosen], _traced(steps, chosen, len(values)))


def near_fillings(job: Job, values: Floats, least: Floats, *, most: int) -> Fillings | None:
    """Return every filling worth ``least`` (stock,) or more in some stock, or None when there are over ``most``."""
    order = _order(job, values)
    ratio = [float(values[k] / job.sizes[k]) for k in order] + [0.0]
    top = int(job.rooms[-1])
    sizes = np.zeros(1, dtype=np.int64)
    held = np.zeros(1)
    steps: list[_Step] = []
    for at, kind in enumerate(order):
        size, value = int(job.sizes[kind]), float(values[kind])
        taken = np.arange(min(int(job.counts[kind]), top // size) + 1)
        if len(sizes) * len(taken) > 40 * most:
            return None
        both = (sizes[:, None] + taken * size).ravel()
        sums = (held[:, None] + taken * value).ravel()
        keep = (both <= top) & _hopeful(both, sums, job.rooms, least - 2 * _SAME, ratio[at + 1])
        place = np.flatnonzero(keep)
        if len(place) > most:
            return None
        sizes, held = both[place], sums[place]
        steps.append(_Step(kind, 0, place // len(taken), place % len(taken)))
    return Fillings(sizes, held, _traced(steps, np.arange(len(sizes)), len(values)))


def _hopeful(sizes: Indices, held: Floats, rooms: Indices, worth: Floats, ratio: float) -> np.ndarray:
    """Return which fillings could still be worth more than ``worth`` in some stock that holds them."""
    hope = np.zeros(len(sizes), dtype=np.bool_)
    reach = held - sizes * ratio
    for room, needed in zip(rooms.tolist(), worth.tolist(), strict=True):
        hope |= (sizes <= room) & (reach + room * ratio > needed)
    return hope


def _traced(steps: list[_Step], chosen: Indices, kinds: int) -> Indices:
    """Return how many of each kind the chosen fillings hold, by walking back through the steps."""
    counts = np.zeros((len(chosen), kinds), dtype=np.int64)
    at = chosen
    for step in reversed(steps):
        took = step.took[at]
        counts[:, step.kind] += took * step.lot if step.lot else took
        at = step.parent[at]
    return counts
