"""Whether each bay is square: its corners as found, laid over the planned ones.

They are laid over as well as a shift and a turn can; how far the worst corner is then from its planned place is how
far the bay is out: with all corners moved by so much at most it would be as planned. The uncertainty is that of
this way, from the joint covariance of the four corners. A bay whose four sides and two diagonals were taped stands
for itself: no control point is needed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.columns import Bools, Complexes, Floats, Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.entries import BayVerdict
from layoutdesk.engine.proof.house import best_turn_and_shift
from layoutdesk.engine.proof.moves import reach
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.observations import Observations
from layoutdesk.engine.proof.statistics import chi_square_limits
from layoutdesk.engine.reasons import shown_small, shown_within
from layoutdesk.plan.model import Plan

Joint: TypeAlias = Callable[[Sequence[int]], Floats]
"""Gives the joint covariance of a few points, (2k, 2k) in mm², x and y of each in turn."""


@dataclass(frozen=True, slots=True)
class Corners:
    """Four corners as found, (4,) as complex numbers, with their joint covariance, (8, 8); do the tapes agree?"""

    places: Complexes
    covariance: Floats
    agree: bool = True


def bay_verdicts(
    plan: Plan,
    points: PointTable,
    bays: BayTable,
    observations: Observations,
    *,
    measured: Bools,
    found: Floats,
    joint: Joint,
) -> tuple[BayVerdict, ...]:
    """Return the verdict about every bay whose corners were all measured.

    Args:
        plan: gives tolerance and units.
        points: the points.
        bays: the bays.
        observations: the measures that count.
        measured: which points any measure names, (n,).
        found: where they stand, (n, 2) in mm, NaN where that is not determined.
        joint: gives the joint covariance of points that are determined.
    """
    at = found[:, 0] + 1j * found[:, 1]
    verdicts = []
    for index in np.flatnonzero(measured[bays.corner_index].all(axis=1)).tolist():
        around = bays.corner_index[index]
        if np.isfinite(at[around]).all():
            corners: Corners | None = Corners(at[around], joint(around.tolist()))
        else:
            corners = alone(points.xy[around], around, observations)
        labels = [points.labels[k] for k in around.tolist()]
        square, out, within, says = _judged(plan, labels, points.z[around], corners)
        verdicts.append(BayVerdict(bays.id(index), out=out, within=within, square=square, says=says))
    return tuple(verdicts)


def alone(drawn: Floats, around: Indices, observations: Observations) -> Corners | None:
    """Return the shape of four corners by the measures between them alone; None when they do not fix it.

    Args:
        drawn: where the corners are drawn, (4, 2) in mm.
        around: their rows in the point table, (4,).
        observations: all measures.
    """
    plain = observations.kind == DISTANCE
    inside = np.isin(observations.i, around) & np.isin(observations.j, around)
    inside &= plain | np.isin(observations.k, around)
    if inside.sum() < 5:
        return None
    rows = observations.take(inside)
    place = {point: k for k, point in enumerate(around.tolist())}
    local = replace(
        rows,
        i=np.array([place[p] for p in rows.i.tolist()], dtype=np.intp),
        j=np.array([place[p] for p in rows.j.tolist()], dtype=np.intp),
        k=np.array([place.get(p, -1) for p in rows.k.tolist()], dtype=np.intp),
    )
    network = Network(drawn, np.zeros(4, dtype=np.bool_), np.full(4, np.inf), free=True, observations=local)
    shape = adjust(network)
    if not shape.determined.all():
        return None
    agree = not shape.degrees or shape.weighted <= chi_square_limits(shape.degrees)[1]
    return Corners(shape.xy[:, 0] + 1j * shape.xy[:, 1], joint_covariance(shape, range(4)), agree)


def out_of_shape(planned: Complexes, found: Complexes) -> Complexes:
    """Return the way of each corner from its planned place, when the found bay is laid over it, (4,) in mm.

    Args:
        planned: the corners as planned, (4,), going round.
        found: the corners as found.
    """
    turn, shift = best_turn_and_shift(found, planned, np.ones(4))
    ways: Complexes = turn * found + shift - planned
    return ways


def _spread(corners: Corners, which: int) -> float:
    """Return the longer half axis of the 95 % ellipse of one corner's way, in mm.

    Of a small change of the four places, what a shift and a turn of all makes up for is taken away.
    """
    arms = corners.places - corners.places.mean()
    turning = np.stack((-arms.imag, arms.real), axis=1)
    left = -np.outer(turning[which], turning.ravel()) / max(float((turning**2).sum()), 1e-9)
    left[0, 0::2] -= 0.25
    left[1, 1::2] -= 0.25
    left[0, 2 * which] += 1.0
    left[1, 2 * which + 1] += 1.0
    return reach(left @ corners.covariance @ left.T)


def _judged(
    plan: Plan, labels: Sequence[str], planned: Complexes, corners: Corners | None
) -> tuple[bool | None, float, float, str]:
    """Return whether a bay is square, how far it is out, how sure that is, and the verdict in words."""
    name = " ".join(labels)
    if corners is None:
        text = f"Whether bay {name} is square cannot be told: tape its four sides and both diagonals."
        return None, math.nan, math.nan, text
    ways = np.abs(out_of_shape(planned, corners.places))
    which = int(np.argmax(ways))
    out, within = float(ways[which]), _spread(corners, which)
    tolerance = plan.proof.tolerance
    if not corners.agree:
        text = f"The tapes of bay {name} do not agree with each other: one of them is misread; tape it again."
        return None, out, within, text
    shown, sure, allowed = shown_small(out, plan), shown_within(within, plan), shown_small(tolerance, plan)
    corner = labels[which]
    if out <= tolerance and within <= tolerance:
        if out < plan.rounding / 2:
            return True, out, within, f"Bay {name} is square: as planned, {sure}."
        text = f"Bay {name} is square within {shown}, {sure}; the tolerance is {allowed}."
        return True, out, within, text
    if out > tolerance and out > within:
        text = f"Bay {name} is out by {shown} at corner {corner}, {sure}; the tolerance is {allowed}."
        return False, out, within, text
    text = (
        f"Whether bay {name} is square cannot be told yet: corner {corner} seems {shown} out, but the tapes only"
        f" tell it {sure}; the tolerance is {allowed}."
    )
    return None, out, within, text


def joint_at_most(covariance: Floats) -> Floats:
    """Return a joint covariance of k points that is not exceeded however they depend on each other, (2k, 2k).

    (x1 + ... + xk)² is at most k (x1² + ... + xk²).

    Args:
        covariance: of each point by itself, (k, 2, 2) in mm².
    """
    count = len(covariance)
    joint = np.zeros((count, 2, count, 2))
    joint[np.arange(count), :, np.arange(count), :] = count * covariance
    return joint.reshape(2 * count, -1)


def joint_covariance(adjustment: Adjustment, rows: Sequence[int]) -> Floats:
    """Return the covariance of a few determined points together, (2k, 2k) in mm²: x and y of each in turn."""
    assert adjustment.covariances is not None
    which = np.array(rows, dtype=np.intp)
    joint: Floats = adjustment.covariances.columns(which)[which].reshape(2 * len(which), -1)
    return joint
