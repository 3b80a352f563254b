"""A good answer at once: stock filled piece by piece, the longest first, in several ways, and the best kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from layoutdesk.engine.cutting.job import Cut, Job


def filled(job: Job, wanted: Sequence[int], free: Sequence[int]) -> list[Cut] | None:
    """Return the cheapest of several fillings, or None when the stock at hand does not hold what is wanted.

    Args:
        job: the job.
        wanted: how many of each kind are still to be cut.
        free: how many pieces of each stock can still be used.
    """
    if not any(wanted):
        return []
    ways: list[int | None] = [*range(len(job.stock)), None]
    found = [cuts for way in ways if (cuts := _filled(job, wanted, free, way)) is not None]
    return min(found, key=lambda cuts: rank(job, cuts), default=None)


def rank(job: Job, cuts: Iterable[Cut]) -> tuple[float, float]:
    """Return what puts one answer before another: the cost, then how hard the stock is to carry."""
    cuts = list(cuts)
    return job.cost(cuts), sum(job.stock[cut.stock].length ** 2 * cut.times for cut in cuts)


def _filled(job: Job, wanted: Sequence[int], free: Sequence[int], way: int | None) -> list[Cut] | None:
    """Return one filling: from stock ``way`` while there is some, or from what costs least for what it holds."""
    left, still = list(wanted), list(free)
    sizes, rooms = job.sizes.tolist(), job.rooms.tolist()
    cuts: list[Cut] = []
    while (longest := next((k for k, n in enumerate(left) if n), None)) is not None:
        able = [s for s, room in enumerate(rooms) if still[s] > 0 and room >= sizes[longest]]
        if not able:
            return None
        if way in able:
            able = [way]
        counts: list[int] = []
        least = float("inf")
        for s in able:
            tried, used = _packed(sizes, left, rooms[s])
            if (dear := float(job.costs[s]) / used) < least:
                counts, least, stock = tried, dear, s
        times = min(left[k] // n for k, n in enumerate(counts) if n)
        times = min(times, still[stock])
        while times:
            cheap = job.cheapest(counts, still)
            assert cheap is not None
            some = min(times, still[cheap])
            cuts.append(Cut(cheap, tuple(counts), some))
            still[cheap] -= some
            left = [n - some * taken for n, taken in zip(left, counts, strict=True)]
            times -= some
    return cuts


def _packed(sizes: Sequence[int], left: Sequence[int], room: int) -> tuple[list[int], int]:
    counts, rest = [], room
    for size, n in zip(sizes, left, strict=True):
        taken = min(n, rest // size)
        counts.append(taken)
        rest -= taken * size
    return counts, room - rest
