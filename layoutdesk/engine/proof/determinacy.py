"""What the measures determine, before any number: who hangs on to nothing, has too few measures, or two places."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.derivatives import Linearised
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.normal import LEAST_DAMPED, Factor, NotDefinite, Unknowns

LooseKind = Literal["apart", "too few", "from one point", "turns", "in line", "two places"]
"""Why places are not determined: no chain of measures leads to what is held; there are fewer measures than it
takes; there are enough, but all from one point; the whole group can turn or shift; the measures run so nearly in
one line that across it they tell nothing; two places fit equally well, and the plan does not say which."""

WEAKEST: Final = 1e-10
"""A diagonal entry of which less is left after elimination is taken as nought."""
_SHRUNK: Final = 0.02
"""Two points that are drawn apart lie on each other when so little of their distance is left."""
_SHARE: Final = 1e-3
_PROBES: Final = 12


@dataclass(frozen=True, slots=True)
class LooseGroup:
    """Points whose places are not determined, by index, and why.

    Of several points that fit on either side of a line, ``hinge`` are two points of that line, and ``settled_by``
    the ends of the distance that tells best on which side they stand, if there is one.
    """

    points: tuple[int, ...]
    kind: LooseKind
    hinge: tuple[int, int] | None = None
    settled_by: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Grounds:
    """What there is to stand on: held points, points known beforehand, and what is known for no reason yet."""

    held: Bools
    known: Bools
    datum: Bools


def grounds(network: Network) -> Grounds:
    """Return what holds a network."""
    count = len(network.start)
    nothing = np.zeros(count, dtype=np.bool_)
    if network.free:
        datum = network.datum if network.datum is not None else ~nothing
        return Grounds(nothing, nothing, datum)
    held = network.held & np.isfinite(network.start).all(1)
    return Grounds(held, held | (np.isfinite(network.prior) & np.isfinite(network.start).all(1)), nothing)


def ends_of(network: Network, which: Indices) -> Indices:
    """Return the points of measures, (3, c); the second one twice for distances."""
    seen = network.observations
    third = np.where(seen.kind[which] == DISTANCE, seen.j[which], seen.k[which])
    return np.stack((seen.i[which], seen.j[which], third))


def joined(ends: Indices, count: int) -> Indices:
    """Return the group of every point, (count,): the least index that measures join it to.

    For few points this is quicker than a sparse graph, and for many the number of rounds grows as their logarithm.
    """
    first = np.concatenate((ends[0], ends[0]))
    second = np.concatenate((ends[1], ends[2]))
    label: Indices = np.arange(count)
    while True:
        a, b = label[first], label[second]
        if np.array_equal(a, b):
            return label
        least = np.minimum(a, b)
        np.minimum.at(label, a, least)
        np.minimum.at(label, b, least)
        label = label[label]


def _anchored(label: Indices, ground: Grounds, free: bool) -> Bools:  # noqa: FBT001 - the network's own word
    """Return which points belong to a group that is held; of free groups only the greatest counts."""
    if not free:
        groups = np.bincount(label, ground.known) > 0
    else:
        size = np.bincount(label)
        common = np.bincount(label, ground.datum) * (size > 1)
        groups = np.arange(len(size)) == np.lexsort((size, common))[-1]
        groups &= size > 1
    anchored: Bools = groups[label]
    return anchored


def by_count(network: Network, ground: Grounds, left_out: Bools, usable: Bools) -> tuple[Bools, list[LooseGroup]]:
    """Return which points may be determined, (n,), and the groups that surely are not.

    A point that takes part in fewer than two measures is not determined, and says nothing of others: it goes out
    with its measures, until no more such points are left. Then a chain of measures must lead to what is held.
    ``left_out`` points are out from the beginning, and not named.
    """
    count = len(network.start)
    which = np.flatnonzero(usable)
    ends = ends_of(network, which)
    sought = ~ground.known & ~left_out
    if left_out.any():
        ends = ends[:, ~left_out[ends].any(0)]
    if not count:
        return sought, []
    live, out = ends, np.zeros(count, dtype=np.bool_)
    while True:
        taking = np.bincount(live[0], minlength=count) + np.bincount(live[1], minlength=count)
        three = live[1] != live[2]
        if three.any():
            taking += np.bincount(live[2, three], minlength=count)
        more = sought & ~out & (taking < 2)
        if not more.any():
            break
        out |= more
        live = live[:, ~out[live].any(0)]
    label = joined(live, count)
    anchored = _anchored(label, ground, network.free)
    determined = ~left_out & ~out & (anchored | ground.known)
    loose = sought & ~determined
    if not loose.any():
        return determined, []
    if len(live[0]) != len(ends[0]):
        label = joined(ends, count)
        # What hung on a point that went out for want of measures still hangs on it.
        anchored = anchored_with(label, determined) if determined.any() else _anchored(label, ground, network.free)
    groups = [LooseGroup(points, "apart") for points in _parts(loose & ~anchored, label)]
    groups += [LooseGroup((int(p),), "too few") for p in np.flatnonzero(loose & anchored)]
    return determined, groups


def anchored_with(label: Indices, determined: Bools) -> Bools:
    """Return which points are in a group with a determined one."""
    anchored: Bools = (np.bincount(label, determined) > 0)[label]
    return anchored


def _parts(points: Bools, label: Indices) -> list[tuple[int, ...]]:
    found: dict[int, list[int]] = {}
    for p in np.flatnonzero(points).tolist():
        found.setdefault(int(label[p]), []).append(p)
    return [tuple(part) for part in found.values()]


def by_rank(network: Network, ground: Grounds, unknowns: Unknowns, line: Linearised) -> list[LooseGroup]:
    """Return the groups of points that can move without any measure changing, at least at first.

    Vectors thrown at random are drawn to the null space of the normal equations by inverse iteration, with a trace
    of damping; the points of which anything is left are the ones that can move.
    """
    if not unknowns.count:
        return []
    damping, factor = _hardly_damped(unknowns, line)
    moving = np.zeros(len(network.start), dtype=np.bool_)
    if factor is None:  # numbers beyond all measure
        moving[unknowns.points] = True
        return _why(network, ground, unknowns, moving)
    probes = np.random.default_rng(1).standard_normal((unknowns.count, _PROBES))
    diagonal = unknowns.diagonal(line)
    diagonal = np.maximum(diagonal, LEAST_DAMPED * diagonal.max())[:, None]
    for _ in range(2):
        probes = factor.solve(damping * diagonal * probes)
    probes[unknowns.pinned] = 0.0
    size = np.sqrt((probes.reshape(-1, 2 * _PROBES) ** 2).sum(1) / _PROBES)
    moving[unknowns.points[size > _SHARE]] = True
    if not moving.any():
        moving[unknowns.points[np.argmax(size)]] = True
    return _why(network, ground, unknowns, moving)


def collapsed(network: Network, unknowns: Unknowns, xy: Floats) -> list[LooseGroup]:
    """Return points that fit an angle, or a line that others stand beside, only by lying on its other point.

    Where two such measures contradict each other, a point that slides to where all directions meet fits both: that
    is no place.
    """
    i, j, k = unknowns.readings.triples
    found = set()
    for one, other in ((i, j), (i, k)):
        now, drawn = (np.hypot(*(places[other] - places[one]).T) for places in (xy, network.start))
        for a, b in zip(one[now < _SHRUNK * drawn].tolist(), other[now < _SHRUNK * drawn].tolist(), strict=True):
            found.add(b if unknowns.column[b] >= 0 else a)
    return [LooseGroup((p,), "in line") for p in sorted(found) if unknowns.column[p] >= 0]


def _hardly_damped(unknowns: Unknowns, line: Linearised) -> tuple[float, Factor | None]:
    """Return the least damping that lets the equations be factored, and the factor; None when nothing does."""
    damping = WEAKEST / 10
    while damping < 1:
        try:
            return damping, unknowns.factor(line, damping)
        except NotDefinite:  # to the last digits
            damping *= 100
    return damping, None


def _why(network: Network, ground: Grounds, unknowns: Unknowns, moving: Bools) -> list[LooseGroup]:
    ends = ends_of(network, unknowns.readings.which)
    within = ends[:, moving[ends].any(0)]
    inner = within.copy()
    # Groups that meet only in points that stand still are groups of their own.
    for row in range(3):
        still = ~moving[inner[row]]
        inner[row, still] = np.where(
            moving[within[0, still]],
            within[0, still],
            np.where(moving[within[1, still]], within[1, still], within[2, still]),
        )
    label = joined(inner, len(moving))
    groups = []
    for points in _parts(moving, label):
        group = np.zeros(len(moving), dtype=np.bool_)
        group[list(points)] = True
        touching = ends[:, group[ends].any(0)]
        still = np.unique(touching[~group[touching]])
        enough = touching.shape[1] >= 2 * len(points)
        kind: LooseKind = "in line" if enough else "too few"
        if len(points) == 1 and len(still) == 1:
            kind = "from one point"
        if len(points) > 1 and len(still) < 2 and not network.free and not ground.held[list(points)].any():
            kind = "turns"
        groups.append(LooseGroup(points, kind))
    return groups
