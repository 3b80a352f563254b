"""From whole numbers of patterns to the list at the saw."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from layoutdesk.engine.cutting.contract import CutPiece, Cutting
from layoutdesk.engine.cutting.job import Cut, Job


def trimmed(job: Job, cuts: Sequence[Cut]) -> list[Cut]:
    """Return the same cuts without pieces that nobody wants, each from the cheapest stock that then holds it."""
    spare = [-count for count in job.counts.tolist()]
    for cut in cuts:
        spare = [n + cut.times * taken for n, taken in zip(spare, cut.counts, strict=True)]
    free = job.limits.tolist()
    single: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for cut in cuts:
        free[cut.stock] -= cut.times
    for cut in cuts:
        times = cut.times
        while times:
            drop = [min(n, taken) for n, taken in zip(spare, cut.counts, strict=True)]
            # As many alike as can be: all that is left, or as many as the same pieces are to spare for.
            some = min([times, *(n // d for n, d in zip(spare, drop, strict=True) if d)])
            spare = [n - some * d for n, d in zip(spare, drop, strict=True)]
            counts = tuple(taken - d for taken, d in zip(cut.counts, drop, strict=True))
            times -= some
            free[cut.stock] += some
            while some and any(counts):
                stock = job.cheapest(counts, free)
                assert stock is not None
                now = min(some, free[stock])
                single[stock, counts] += now
                free[stock] -= now
                some -= now
    return [Cut(stock, counts, times) for (stock, counts), times in single.items()]


def cutting_of(job: Job | None, cuts: Sequence[Cut], bound: float, *, first: bool) -> Cutting:
    """Return the answer in millimetres, money and labels.

    Args:
        job: the job; None when nothing is wanted.
        cuts: what is cut alike.
        bound: no answer costs less than this, in units of cost.
        first: whether this is the answer that is given at once.
    """
    if job is None:
        return Cutting((), 0.0, 0.0, proven=True, waste=0.0, says="Nothing is to be cut.")
    alike = sorted(trimmed(job, cuts), key=lambda cut: (cut.stock, [-n for n in cut.counts]))
    cost = job.cost(alike)
    proven = cost <= bound
    ahead = [0] * len(job.sizes)
    pieces = []
    for one in alike:
        stock = job.stock[one.stock]
        for _ in range(one.times):
            labels: list[str] = []
            length = 0.0
            for k, n in enumerate(one.counts):
                taken = job.labels[k][ahead[k] : ahead[k] + n]
                ahead[k] += n
                labels += [label for label, _ in taken]
                length += sum(long for _, long in taken)
            left_over = stock.length - length - job.kerf * (len(labels) - 1)
            pieces.append(CutPiece(stock, tuple(labels), max(0.0, left_over)))
    whole = sum(piece.stock.length for piece in pieces)
    cut_length = sum(length for kind in job.labels for _, length in kind)
    return Cutting(
        pieces=tuple(pieces),
        cost=round(cost * job.unit, 6),
        bound=round(min(bound, cost) * job.unit, 6),
        proven=proven,
        waste=max(0.0, whole - cut_length),
        says=_says(cost, bound, len(pieces), priced=job.stock[0].price is not None, proven=proven, first=first),
    )


def _says(cost: float, bound: float, count: int, *, priced: bool, proven: bool, first: bool) -> str:
    less = "costs less" if priced else "takes less stock"
    pieces = "1 piece of stock" if count == 1 else f"{count:,} pieces of stock"
    if proven:
        return f"{pieces}; no way to cut {less}: proven."
    over = f" by more than {(cost - bound) / cost * 100:.1f} %" if cost else ""
    start = "A first answer" if first else "The best answer found"
    return f"{start}: {pieces}; no way to cut {less}{over}."
