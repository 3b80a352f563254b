"""Whole numbers of each pattern, from the fractions of the linear programme: by rounding, by branch and bound."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting.filling import filled, rank
from layoutdesk.engine.cutting.job import Cut, Job

_CLOSE: Final = 2


@dataclass(frozen=True, slots=True)
class Effort:
    """How far is searched where no time is set, counted so that an answer never hangs on speed.

    Attributes:
        nodes: branch and bound looks at so many at most.
        gathered: up to so many patterns are gathered for the proof.
        settling: up to so many, to choose among answers of equal cost.
    """

    nodes: int
    gathered: int
    settling: int


THOROUGH: Final = Effort(nodes=500, gathered=20_000, settling=2000)
BRIEF: Final = Effort(nodes=40, gathered=200, settling=200)


@dataclass(frozen=True, slots=True)
class Whole:
    """Whole numbers of patterns (n,), None when there are none; ``done`` says that the search was complete."""

    times: list[int] | None
    done: bool
    bound: float


def rounded(job: Job, counts: Sequence[tuple[int, ...]], stock: Sequence[int], used: Floats) -> list[Cut] | None:
    """Return an answer near the fractions: their whole parts, and the rest filled piece by piece.

    Besides the plain whole parts, the patterns with the greatest fractions are used once more, one after the
    other, while what they hold is still wanted.
    """
    floors = np.floor(used + 1e-9)
    parts = used - floors
    ranked = [int(n) for n in np.argsort(-parts, kind="stable") if parts[n] > 1e-6]
    left = job.counts.copy()
    free = job.limits.copy()
    cuts: list[Cut] = []
    for n in np.flatnonzero(floors).tolist():
        _use(cuts, Cut(stock[n], counts[n], int(floors[n])), left, free)
    best = _with_rest(job, cuts, left, free)
    for n in ranked:
        if _use(cuts, Cut(stock[n], counts[n], 1), left, free):
            tried = _with_rest(job, cuts, left, free)
            if tried is not None and (best is None or rank(job, tried) < rank(job, best)):
                best = tried
    return best


def _use(cuts: list[Cut], cut: Cut, left: Indices, free: Indices) -> bool:
    """Add a cut as often as what it holds is wanted, at most its own times; return whether it was used at all."""
    held = np.array(cut.counts)
    some = held > 0
    times = min(cut.times, int((left[some] // held[some]).min()), int(free[cut.stock]))
    if times <= 0:
        return False
    cuts.append(Cut(cut.stock, cut.counts, times))
    left -= times * held
    free[cut.stock] -= times
    return True


def _with_rest(job: Job, cuts: list[Cut], left: Indices, free: Indices) -> list[Cut] | None:
    rest = filled(job, left.tolist(), free.tolist())
    return None if rest is None else [*cuts, *rest]


def searched(
    job: Job,
    counts: Indices,
    stock: Indices,
    *,
    least: int,
    most: int | None,
    until: float | None,
    nodes: int = THOROUGH.nodes,
) -> Whole:
    """Return the cheapest whole numbers of patterns.

    Args:
        job: the job.
        counts: (n, kinds) of each pattern.
        stock: (n,) of each pattern.
        least: no answer costs less than this, in units; known beforehand.
        most: no answer that costs more is wanted; None for any.
        until: a moment of the monotonic clock to stop at.
        nodes: so many are looked at at most where no time is set.
    """
    cost = job.costs[stock]
    # Told the bound, the search ends as soon as it is met; where costs lie close together that only hampers it.
    floor = least - 0.5 if most is not None and most - least <= _CLOSE else -np.inf
    wanted = all_wanted(job, counts, stock, least=floor, most=np.inf if most is None else most + 0.5)
    found = branched(cost, *wanted, job.limits[stock], until=until, nodes=nodes)
    if found is None:
        return Whole(None, done=False, bound=float(least))
    dual = getattr(found, "mip_dual_bound", None)
    bound = float(least) if dual is None or not np.isfinite(dual) else max(float(least), float(dual))
    times = None if found.x is None else [round(x) for x in found.x]
    return Whole(times, found.status in {0, 2}, bound)


def all_wanted(
    job: Job, counts: Indices, stock: Indices, *, least: float = -np.inf, most: float
) -> tuple[Floats, tuple[Floats, Floats]]:
    """Return rows and their limits: all pieces are cut, no stock runs out, and the cost lies between two."""
    rows = np.concatenate((counts.T, stock == np.flatnonzero(job.limited)[:, None], job.costs[stock][None, :]))
    low = np.concatenate((job.counts, np.zeros(sum(job.limited)), [least]))
    high = np.concatenate((np.full(len(job.counts), np.inf), job.limits[list(job.limited)], [most]))
    return rows, (low, high)


def branched(
    objective: Floats,
    rows: Floats,
    between: tuple[Floats, Floats],
    most: Indices,
    *,
    until: float | None,
    nodes: int,
) -> Any:
    """Return what branch and bound finds for whole numbers from 0 to ``most``, or None when no time is left.

    It looks at so many ``nodes`` at most where no time is set.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_matrix

    options: dict[str, Any] = {"mip_rel_gap": 0.0}
    if until is None:
        options["node_limit"] = nodes
    elif (left := until - time.monotonic()) > 0:
        options["time_limit"] = left
    else:
        return None
    return milp(
        objective,
        integrality=np.ones(len(objective)),
        bounds=Bounds(0, most.astype(float)),
        constraints=LinearConstraint(csr_matrix(rows.astype(float)), *between),
        options=options,
    )
