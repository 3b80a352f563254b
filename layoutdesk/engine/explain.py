"""What numbers mean, in sentences that screens and sheets show as they stand."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.engine.layout import BayCheck, Layout
from layoutdesk.engine.reasons import shown_small
from layoutdesk.plan.model import Plan
from layoutdesk.units import MM_PER_INCH, round_up_to_step

_TELLING_MM: Final = {"ft-in": MM_PER_INCH / 4, "m": 5.0, "mm": 5.0}
"""A difference between two diagonals that is worth explaining: more than a reading error, and not yet gross."""


def telling_difference(plan: Plan) -> float:
    """Return the difference of two diagonals that sentences take as their example, in mm."""
    return max(plan.rounding, round_up_to_step(_TELLING_MM[plan.units], plan.rounding))


def corner_out(bay: BayCheck, difference: float) -> float:
    """Return how far the far corner of a bay is out when its diagonals differ wrongly by so much; mm."""
    return bay.per_difference * abs(difference)


def difference(layout: Layout, bay: BayCheck) -> str:
    """Return what a wrong difference between the two diagonals of a bay means for its far corner.

    The four sides are taken to be right. The way of the corner is rounded up, so as not to belittle it.
    """
    plan = layout.plan
    if math.isinf(bay.per_difference):
        return "The diagonals of this bay do not show whether it is square."
    by = telling_difference(plan)
    out = shown_small(round_up_to_step(corner_out(bay, by), plan.rounding), plan)
    if bay.equal:
        return f"{shown_small(by, plan)} between them puts the far corner {bay.labels[2]} {out} out."
    return f"{shown_small(by, plan)} more or less between them puts the far corner {bay.labels[2]} {out} out."


def barred_check(bay: BayCheck) -> str:
    """Return what is left to check a bay by when a tape cannot follow both its diagonals; nothing when it can.

    Its diagonals are called A and B, as they stand in :class:`BayCheck`.
    """
    match "".join(letter for letter, what in zip("AB", bay.barred, strict=True) if what is None):
        case "AB":
            return ""
        case "":
            return "No diagonal can be taped, and sides alone do not make a bay square: check its neighbours too."
        case letter:
            return f"When all four sides are as the plan says, {letter} alone shows whether this bay is right."


def expected_difference(layout: Layout, bay: BayCheck) -> str:
    """Return what the two diagonals of a bay must be to each other."""
    if bay.equal:
        return "The two diagonals must be equal."
    one, two = (f"{bay.labels[k]} to {bay.labels[k + 2]}" for k in (0, 1))
    more = bay.diagonals[0] - bay.diagonals[1]
    longer, shorter = (one, two) if more > 0 else (two, one)
    return f"{longer} must be {shown_small(abs(more), layout.plan)} longer than {shorter}."
