"""Details of piers, and which pier has which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.naming import new_id
from layoutdesk.plan.edits.pieces import check_detail, find_piers, put_back
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.plan.rules import wrong_profile


def add_detail(plan: Plan, profile: Sequence[tuple[float, float]], *, reveal: float = 0.0) -> Plan:
    """Add the section of a pier.

    Args:
        plan: what it is added to.
        profile: (depth, diameter) in millimetres, from the top down; two at one depth make a step.
        reveal: height of the pier's top above the ground beside it, in millimetres; may be negative.

    Raises:
        EditError: when depths fall or a diameter is not positive.
    """
    new = _sound(Detail(id=new_id(plan, "D"), profile=tuple([(d, w) for d, w in profile]), reveal=reveal))
    return plan.with_(details=(*plan.details, new))


def replace_detail(plan: Plan, detail: Detail) -> Plan:
    """Put a detail in place of the one with the same id.

    Raises:
        EditError: when there is none with this id, when depths fall or a diameter is not positive.
    """
    check_detail(plan, detail.id)
    new = _sound(detail)
    details = tuple([new if d.id == new.id else d for d in plan.details])
    return plan if details == plan.details else plan.with_(details=details)


def assign_detail(plan: Plan, pier_ids: Iterable[str], detail_id: str | None) -> Plan:
    """Give piers a detail, or take it away with None.

    Raises:
        EditError: when a pier or the detail is unknown.
    """
    check_detail(plan, detail_id)
    return put_back(plan, [replace(pier, detail=detail_id) for pier in find_piers(plan, pier_ids)])


def _sound(detail: Detail) -> Detail:
    """Return a detail in floats when it can be dug."""
    if trouble := wrong_profile(detail.profile):
        raise EditError(f"the profile {trouble}")
    reveal = checks.finite(detail.reveal, "the reveal")
    profile = tuple([(float(depth), float(diameter)) for depth, diameter in detail.profile])
    return replace(detail, profile=profile, reveal=reveal)
