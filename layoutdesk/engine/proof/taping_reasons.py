"""What a taping plan brings, or why the layout cannot be proved with this tape, with names and numbers."""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.columns import Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.candidates import Candidates
from layoutdesk.engine.reasons import shown_small, shown_within
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_length


def proved(plan: Plan, points: PointTable, pulls: int, worst: int, reaches: float) -> str:
    """Return what the pulls of a plan bring."""
    return (
        f"{pulls} pulls prove the whole layout: every stake within {shown_within(reaches, plan)} or better "
        f"({points.labels[worst]} least), and a tape misread by {_slip(plan)} shows."
    )


def too_coarse(plan: Plan, points: PointTable, worst: int, reaches: float, *, everything: bool) -> str:
    """Return that a stake stays outside the tolerance: with the pulls found, or with all open distances."""
    name, within = points.labels[worst], shown_within(reaches, plan)
    asked = shown_small(plan.proof.tolerance, plan)
    if not everything:
        only = f"These pulls find {name} within {within} only, and {asked} is asked"
        return f"{only}: a control point near it mends that."
    return (
        f"{name} cannot be proved with this tape of class {plan.tape_at_hand.tape_class}: all that can be taped "
        f"finds it within {within}, and {asked} is asked. A tape of a better class, or a control point nearer to "
        "it, mends that."
    )


def out_of_reach(points: PointTable, first: int) -> str:
    """Return that the stakes near one cannot be found from the control points, nor from the stakes before them."""
    name = points.labels[first]
    return (
        f"{name} and the stakes near it cannot be proved with this tape from the points that it reaches: a control "
        f"point near {name} mends that."
    )


def not_checked(plan: Plan, points: PointTable, first: int, second: int) -> str:
    """Return that a distance would stay without a check."""
    one, other = points.labels[first], points.labels[second]
    unseen = f"{_slip(plan)} misread there would not show"
    return f"Nothing checks the distance {one} to {other}: {unseen}. Add a control point."


def not_found(plan: Plan, points: PointTable, tapes: Candidates, lost: Indices) -> str:
    """Return which stakes the open distances do not find, and what each of the first can be taped to."""
    count = np.bincount(np.concatenate((tapes.first, tapes.second)), minlength=len(points))
    reach = format_length(plan.tape_at_hand.length, plan.units, plan.rounding, pretty=True).replace(" ", "\u00a0")
    names = ", ".join(points.labels[k] for k in lost[:4].tolist()) + (" and others" if len(lost) > 4 else "")
    first = int(lost[0])
    open_ = _points(int(count[first]))
    return (
        f"{names} cannot be proved with this tape: {points.labels[first]} has an open way of at most {reach} to "
        f"{open_}, and it takes three that do not lie in one line. A control point near it mends that."
    )


def _slip(plan: Plan) -> str:
    """Return the misreading that the plan must bring to light, a foot, in words of the plan's units."""
    return "a foot" if plan.units == "ft-in" else "30 cm"


def _points(count: int) -> str:
    return {0: "no other point", 1: "one other point only"}.get(count, f"{count} other points only")
