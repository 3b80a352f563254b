"""Which piece of a newer drawing is which piece of the plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from itertools import pairwise
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from layoutdesk.geometry.vector import Vector, distance, nearest_on_segment
from layoutdesk.plan.model import BeamLine, Pier, Plan

Floats: TypeAlias = NDArray[np.float64]
Pairs: TypeAlias = list[tuple[int, int]]
"""Which of the older is which of the newer, by index."""

REACH_MM: Final = 1500.0
"""A piece without a mark that lies farther away is another piece."""
_RENAMED_MM: Final = 250.0
"""A pier counts as renamed rather than moved when it would have to move by more than this."""
_NEVER: Final = 1e12
_MOST_CELLS: Final = 4_000_000


def paired_piers(old: Sequence[Pier], new: Sequence[Pier], *, nameless: Collection[str], tolerance: float) -> Pairs:
    """Return which pier is which: by its mark where both drawings have it once, else by its place.

    Marks and places are weighed together: where a newer drawing counts its piers anew, the places are right.
    """
    was, now = _array([p.at for p in old]), _array([p.at for p in new])
    names = _common(old, new, nameless)
    settled = [(i, j) for i, j in names.values() if np.hypot(*(was[i] - now[j])) <= tolerance]
    free_old, free_new = _rest(len(old), {i for i, _ in settled}), _rest(len(new), {j for _, j in settled})
    if len(free_old) * len(free_new) > _MOST_CELLS:
        close = _on_the_spot(was, now, free_old, free_new, tolerance)
        settled += close
        free_old, free_new = _rest(len(old), {i for i, _ in settled}), _rest(len(new), {j for _, j in settled})
    if len(free_old) * len(free_new) > _MOST_CELLS:
        both = [(i, j) for i, j in names.values() if i in set(free_old) and j in set(free_new)]
        return sorted(settled + both)
    if not free_old or not free_new:
        return sorted(settled)
    far = np.hypot(*(was[free_old][:, None, :] - now[free_new][None, :, :]).transpose(2, 0, 1))
    renamed = np.array([0.0 if new[j].id in nameless else _RENAMED_MM for j in free_new])
    cost = np.where(far <= REACH_MM, far + renamed[None, :], _NEVER)
    row, column = {i: k for k, i in enumerate(free_old)}, {j: k for k, j in enumerate(free_new)}
    for i, j in names.values():
        if i in row and j in column:
            cost[row[i], column[j]] = far[row[i], column[j]]
    return sorted(settled + [(free_old[a], free_new[b]) for a, b in assigned(cost)])


def _common(old: Sequence[Pier], new: Sequence[Pier], nameless: Collection[str]) -> dict[str, tuple[int, int]]:
    """Return the piers whose label both have exactly once."""
    counts = Counter(p.label for p in old), Counter(p.label for p in new if p.id not in nameless)
    now = {p.label: j for j, p in enumerate(new) if counts[1][p.label] == 1 and p.id not in nameless}
    return {p.label: (i, now[p.label]) for i, p in enumerate(old) if counts[0][p.label] == 1 and p.label in now}


def _rest(count: int, taken: set[int]) -> list[int]:
    return [i for i in range(count) if i not in taken]


def _on_the_spot(was: Floats, now: Floats, old: list[int], new: list[int], tolerance: float) -> Pairs:
    """Return the pairs that lie on each other, each piece once."""
    from scipy.spatial import KDTree

    far, at = KDTree(now[new]).query(was[old], distance_upper_bound=tolerance)
    pairs: dict[int, int] = {}
    for i, d, k in zip(old, far.tolist(), at.tolist(), strict=True):
        if d <= tolerance:
            pairs.setdefault(new[k], i)
    return [(i, j) for j, i in pairs.items()]


def paired_points(old: Sequence[Vector], new: Sequence[Vector]) -> Pairs:
    """Return which point is which, by place alone."""
    if not old or not new:
        return []
    far = np.hypot(*(_array(old)[:, None, :] - _array(new)[None, :, :]).transpose(2, 0, 1))
    return assigned(np.where(far <= REACH_MM, far, _NEVER))


def paired_lines(plan: Plan, newer: Plan, piers: dict[str, str]) -> Pairs:
    """Return which beam line is which: the one with the same piers, or else the one that lies nearest.

    Args:
        plan: the plan.
        newer: the newer drawing, laid over it.
        piers: the id in the plan of each pier of the newer drawing that was found there.
    """
    on_old = {p.id: p.line for p in plan.piers if p.line is not None}
    shared = Counter((on_old.get(piers.get(p.id, "")), p.line) for p in newer.piers if p.line is not None)
    cost = np.full((len(plan.lines), len(newer.lines)), _NEVER)
    for a, old in enumerate(plan.lines):
        for b, new in enumerate(newer.lines):
            far = _apart(old, new)
            common = shared[old.id, new.id]
            if common or far <= REACH_MM:
                # Piers in common weigh more than any distance on a site.
                cost[a, b] = min(far, 1e5) + 2e5 / (1 + common)
    return assigned(cost)


def _apart(old: BeamLine, new: BeamLine) -> float:
    along = distance(old.start, new.start) + distance(old.end, new.end)
    back = distance(old.start, new.end) + distance(old.end, new.start)
    return min(along, back) / 2


def paired_runs(old: Sequence[tuple[Vector, ...]], new: Sequence[tuple[Vector, ...]]) -> Pairs:
    """Return which wall or outline is which, by how far apart their corners lie on average."""
    cost = np.full((len(old), len(new)), _NEVER)
    for a, one in enumerate(old):
        for b, other in enumerate(new):
            far = _between(_array(one), _array(other))
            if far <= REACH_MM:
                cost[a, b] = far
    return assigned(cost)


def _between(one: Floats, other: Floats) -> float:
    far = np.hypot(*(one[:, None, :] - other[None, :, :]).transpose(2, 0, 1))
    return float(max(far.min(axis=0).mean(), far.min(axis=1).mean()))


def assigned(cost: Floats) -> Pairs:
    """Return the pairs of least cost in all, without those that cannot be."""
    if not cost.size:
        return []
    from scipy.optimize import linear_sum_assignment

    rows, columns = linear_sum_assignment(cost)
    return [(int(a), int(b)) for a, b in zip(rows, columns, strict=True) if cost[a, b] < _NEVER / 2]


def on_each_other(one: Sequence[Vector], other: Sequence[Vector], tolerance: float) -> bool:
    """Return whether two runs say the same: every corner of each lies on the other."""
    return all(
        min((distance(p, nearest_on_segment(p, a, b)) for a, b in pairwise(run)), default=0.0) <= tolerance
        for corners, run in ((one, other), (other, one))
        for p in corners
    )


def in_step(old: Sequence[Vector], new: Sequence[Vector], *, closed: bool) -> tuple[Vector, ...]:
    """Return a newer run in the direction (and from the corner) that fits the older one best."""
    ways = [tuple(new), tuple(reversed(new))]
    if closed and len(new) <= 200:
        ways = [(*way[k:], *way[:k]) for way in ways for k in range(len(way))]

    def apart(way: tuple[Vector, ...]) -> float:
        if len(way) == len(old):
            return sum(distance(a, b) for a, b in zip(old, way, strict=True))
        return distance(old[0], way[0]) + distance(old[-1], way[-1])

    return min(ways, key=apart)


def _array(places: Sequence[Vector]) -> Floats:
    return np.array(places, np.float64).reshape(-1, 2)
