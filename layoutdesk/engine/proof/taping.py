"""The taping plan: which distances to take so that the whole layout is proved with the fewest pulls.

It is made before anybody goes out, from the planned places. Proved is a layout when every stake is known to the
tolerance with 95 % certainty, and when an error of one foot in any of its distances would show: see
:mod:`layoutdesk.engine.proof.selection`. Then it shows that something is wrong; which distance it is takes more of
them. Corners of the house that are to be measured are found and checked like stakes, and so are attachments at the
corners of bays. Larger layouts are proved in groups of stakes, each from the control points and the stakes before
it, and then held against the whole once more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.candidates import Candidates, candidates, to_prove
from layoutdesk.engine.proof.certainty import Certainty, semi_major, shift_and_turn
from layoutdesk.engine.proof.entries import TapingPlan
from layoutdesk.engine.proof.house import SURE_95
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.observations import Observations
from layoutdesk.engine.proof.selection import Choice, Selection, needed_redundancy
from layoutdesk.engine.proof.taping_reasons import not_checked, not_found, out_of_reach, proved, too_coarse
from layoutdesk.engine.proof.walk import in_walking_order
from layoutdesk.plan.model import Plan
from layoutdesk.plan.tape_rules import reading_step

WHOLE_UP_TO: Final = 16
"""Up to so many stakes are looked at together."""
_GROUP: Final = 8
_NEAR_KNOWN: Final = 5
"""From so many known points, the nearest ones, each stake of a group is taped."""
_MORE_KNOWN: Final = 20
"""From so many where those do not do."""
_ALL_UP_TO: Final = 60
"""Of more points than this only distances between near ones are looked at."""
_SHAKES: Final = 12
_STIFF: Final = 1e4
"""What holds the shift and turn of a free figure, in mm⁻²: nothing beside the tapes."""
_MOST_MORE: Final = 20
"""So many distances more at most are looked for when groups together do not do."""


NOTHING: Final = np.empty(0, dtype=np.intp)


@dataclass(frozen=True, slots=True)
class Site:
    """What can be taped on site.

    Args:
        xy: the planned places, (n, 2) in mm.
        held: which points are held, (n,).
        prior: how well points are known beforehand, one standard deviation in mm, (n,).
        free: whether nothing is held.
        sought: the points to be found, in plan order.
        wanted: which points must lie within the tolerance, (n,).
        tapes: the open distances.
    """

    xy: Floats
    held: Bools
    prior: Floats
    free: bool
    sought: Indices
    wanted: Bools
    tapes: Candidates


def taping_plan(plan: Plan, points: PointTable, obstacles: Obstacles) -> TapingPlan:
    """Return the fewest distances found that prove the layout, in an order in which a crew walks little.

    ``pulls`` is empty when not even all open distances together prove it.
    """
    if len(points) == points.first_pier:
        return _none("There are no piers to prove.")
    site = site_of(plan, points, obstacles)
    if len(site.sought) <= WHOLE_UP_TO:
        chosen = _whole(plan, site)
    else:
        chosen, stuck = _in_groups(plan, site)
        if len(stuck):
            return _none(out_of_reach(points, int(stuck[0])))
    short = chosen is None
    if chosen is None:
        chosen = np.arange(len(site.tapes), dtype=np.intp)
    worth = worth_of(site, chosen)
    axes = worth.axes[site.wanted]
    reaches, worst = float(axes.max()), int(np.flatnonzero(site.wanted)[int(np.argmax(axes))])
    checked = bool((worth.share >= needed_redundancy(site.tapes.deviation[chosen])).all())
    if short and not np.isfinite(worth.axes[site.sought]).all():
        return _none(not_found(plan, points, site.tapes, site.sought[~np.isfinite(worth.axes[site.sought])]))
    proves = reaches <= plan.proof.tolerance and checked
    if reaches > plan.proof.tolerance:
        says = too_coarse(plan, points, worst, reaches, everything=short)
    elif not checked:
        weak = site.tapes.take(chosen[worth.share < needed_redundancy(site.tapes.deviation[chosen])])
        says = not_checked(plan, points, int(weak.first[0]), int(weak.second[0]))
    else:
        says = proved(plan, points, len(chosen), worst, reaches)
    if short and not proves:
        return _none(says, reaches)
    tapes = site.tapes.take(in_walking_order(site.xy, site.tapes, chosen))
    ids = points.ids
    pulls = tuple(
        (ids[a], ids[b], length)
        for a, b, length in zip(tapes.first.tolist(), tapes.second.tolist(), tapes.length.tolist(), strict=True)
    )
    return TapingPlan(pulls, reaches, proves=proves, says=says, deviations=tuple(tapes.deviation.tolist()))


def _none(says: str, reaches: float = float("inf")) -> TapingPlan:
    return TapingPlan((), reaches, proves=False, says=says)


def site_of(plan: Plan, points: PointTable, obstacles: Obstacles) -> Site:
    """Return what can be taped: control points, and what is to be proved."""
    count, controls, trust = len(points), len(plan.controls), plan.proof.control
    at = np.arange(count)
    measured = np.zeros(count, dtype=np.bool_)
    measured[:controls] = [control.measured for control in plan.controls]
    proved = to_prove(plan, points)
    control = (at < controls) & ~measured
    held = control if trust == "held" else np.zeros(count, dtype=np.bool_)
    prior = np.where(control & (trust == "uncertain"), plan.proof.control_deviation, np.inf)
    moves = (proved | (at < controls)) & ~held
    there, tape = proved | (at < controls), plan.tape_at_hand
    ways = candidates(points.xy, there, moves, tape, read_to=reading_step(plan), all_up_to=_ALL_UP_TO)
    tapes = ways.take(ways.open_ways(points.xy, obstacles))
    return Site(points.xy, held, prior, trust == "free", np.flatnonzero(moves), proved, tapes)


def _choice(plan: Plan, site: Site, sought: Indices, tapes: Candidates) -> Choice:
    """Return what must be chosen among some tapes so that some points are found; all others are held."""
    column = np.full(len(site.xy), -1, dtype=np.intp)
    column[sought] = 2 * np.arange(len(sought))
    rows = np.zeros((len(tapes), 2 * len(sought)))
    for sign, end in ((-1.0, tapes.first), (1.0, tapes.second)):
        moving = np.flatnonzero(column[end] >= 0)
        at = column[end[moving]]
        rows[moving, at] = sign * tapes.dx[moving] / tapes.deviation[moving]
        rows[moving, at + 1] = sign * tapes.dy[moving] / tapes.deviation[moving]
    prior = np.repeat(np.square(site.prior[sought]) ** -1, 2)
    known = np.diag(prior)
    if site.free:
        moves = shift_and_turn(site.xy[sought], np.ones(len(sought), dtype=np.bool_))
        known = known + _STIFF * moves @ moves.T
    unknown = int(np.isinf(site.prior[sought]).sum())
    least = 2 * unknown + 1 - (3 if site.free else 0)
    return Choice(
        rows, known, site.wanted[sought], needed_redundancy(tapes.deviation), plan.proof.tolerance, max(least, 1)
    )


def _whole(plan: Plan, site: Site) -> Indices | None:
    """Return the fewest distances that were found to prove all points together, or None."""
    selection = Selection(_choice(plan, site, site.sought, site.tapes))
    everything = list(range(len(site.tapes)))
    if not everything or (selection.axes(everything)[site.wanted[site.sought]] > plan.proof.tolerance).any():
        return None
    chosen = selection.fewest(shakes=_SHAKES)
    return None if chosen is None else np.array(chosen, dtype=np.intp)


def _in_groups(plan: Plan, site: Site) -> tuple[Indices, Indices]:
    """Return distances that prove all points group by group, and the points that they cannot go on to."""
    fixed = site.held | ~site.wanted & (site.free | np.isfinite(site.prior))
    known, rest = np.flatnonzero(fixed), site.sought[~fixed[site.sought]]
    chosen: list[Indices] = []
    while len(rest):
        if not len(known):
            return NOTHING, rest
        group = _next_group(site.xy, known, rest)
        tapes = _tapes_of(site, group, known, _NEAR_KNOWN)
        selection = Selection(_choice(plan, site, group, site.tapes.take(tapes)))
        found = selection.fewest(shakes=0)
        if found is None:
            tapes = _tapes_of(site, group, known, _MORE_KNOWN)
            found = Selection(_choice(plan, site, group, site.tapes.take(tapes))).fewest(shakes=2)
        if found is None:
            return NOTHING, group
        chosen.append(tapes[found])
        known, rest = np.concatenate((known, group)), np.setdiff1d(rest, group)
    return _until_proved(plan, site, np.concatenate(chosen)), NOTHING


def _next_group(xy: Floats, known: Indices, rest: Indices) -> Indices:
    """Return the next points to find: the one nearest to a known point, and those nearest to it."""
    from scipy.spatial import KDTree

    away, _ = KDTree(xy[known]).query(xy[rest])
    first = xy[rest[int(np.argmin(away))]]
    near = np.argsort(np.hypot(*(xy[rest] - first).T), kind="stable")[:_GROUP]
    return np.sort(rest[near])


def _within(site: Site, group: Indices, known: Indices) -> Bools:
    """Return which tapes lie inside a group or between it and some known points, (c,)."""
    inside, outside = np.zeros(len(site.xy), dtype=np.bool_), np.zeros(len(site.xy), dtype=np.bool_)
    inside[group], outside[known] = True, True
    a, b = site.tapes.first, site.tapes.second
    between: Bools = (inside[a] & (inside[b] | outside[b])) | (inside[b] & outside[a])
    return between


def _tapes_of(site: Site, group: Indices, known: Indices, most: int) -> Indices:
    """Return the tapes inside a group, and those from the known points nearest to each of its points."""
    from scipy.spatial import KDTree

    _, near = KDTree(site.xy[known]).query(site.xy[group], k=np.arange(1, min(most, len(known)) + 1))
    return np.flatnonzero(_within(site, group, known[np.unique(near)]))


def _until_proved(plan: Plan, site: Site, chosen: Indices) -> Indices:
    """Return the distances and as many more as it takes to find, to bring inside the tolerance and to check all."""
    for _ in range(_MOST_MORE):
        worth = worth_of(site, chosen)
        wrong = needed_redundancy(site.tapes.deviation[chosen]) / np.maximum(worth.share, 1e-12)
        lost = ~np.isfinite(worth.axes) & np.isin(np.arange(len(site.xy)), site.sought)
        if lost.any():
            worst = int(np.flatnonzero(lost)[0])
        elif worth.axes[site.wanted].max() > plan.proof.tolerance:
            worst = int(np.argmax(np.where(site.wanted, worth.axes, 0.0)))
        elif wrong.max() > 1:
            weak = int(chosen[int(np.argmax(wrong))])
            ends = int(site.tapes.first[weak]), int(site.tapes.second[weak])
            worst = next(end for end in ends if not site.held[end])
        else:
            break
        more = _tape_for(site, chosen, worst)
        if more is None:
            break
        chosen = np.append(chosen, more)
    return chosen


def _tape_for(site: Site, chosen: Indices, stake: int) -> int | None:
    """Return the distance, not chosen yet, that narrows a stake most; None when there is none."""
    others = np.setdiff1d(np.arange(len(site.tapes)), chosen)
    mine = others[(site.tapes.first[others] == stake) | (site.tapes.second[others] == stake)]
    if not len(mine):
        return None
    there = np.isin(np.arange(len(site.xy)), site.sought)
    vague: Bools = there & (site.wanted | (not site.free))
    certainty = Certainty(_network(site, chosen), site.xy, there=there, vague=vague)
    here = np.array([stake], dtype=np.intp)
    tapes, columns = site.tapes.take(mine), certainty.columns(here)
    told = certainty.pulled(columns, tapes)
    variance = tapes.deviation**2 + certainty.spread(tapes)
    left = certainty.block(columns, here)[0] - told[:, :, None] * told[:, None, :] / variance[:, None, None]
    return int(mine[int(np.argmin(semi_major(left)))])


def _network(site: Site, chosen: Indices) -> Network:
    """Return the network that distances make; what is not to be found is held."""
    tapes = site.tapes.take(chosen)
    seen = Observations(
        kind=np.full(len(tapes), DISTANCE, dtype=np.intp),
        i=tapes.first,
        j=tapes.second,
        k=np.full(len(tapes), -1, dtype=np.intp),
        value=tapes.length,
        deviation=tapes.deviation,
        tape=np.arange(len(tapes), dtype=np.intp),
    )
    held = np.ones(len(site.xy), dtype=np.bool_)
    held[site.sought] = False
    return Network(site.xy, held, site.prior, site.free, seen)


@dataclass(frozen=True, slots=True)
class Worth:
    """What distances bring.

    ``axes`` are the semi-major axes of all points (n,) in mm at 95 %, infinite for those that are not found;
    ``share`` is the redundancy of each distance (t,).
    """

    axes: Floats
    share: Floats


def worth_of(site: Site, chosen: Indices) -> Worth:
    """Return what some of the open distances bring, by the adjustment that will be made of them."""
    result = adjust(_network(site, chosen))
    axes = np.full(len(site.xy), np.inf)
    axes[result.determined] = SURE_95 * semi_major(result.covariance[result.determined])
    return Worth(axes, np.nan_to_num(result.redundancy, nan=0.0))
