"""Details of piers, what belongs to them, and which pier has which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.floats import in_floats
from layoutdesk.plan.edits.naming import new_id
from layoutdesk.plan.edits.pieces import check_detail, find_piers, put_back
from layoutdesk.plan.hole_rules import called, wrong_detail
from layoutdesk.plan.model import CAST_IN_KINDS, CastIn, Detail, Plan, Steel
from layoutdesk.plan.usual import usual
from layoutdesk.units import Units


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


def copy_detail(plan: Plan, detail_id: str) -> Plan:
    """Add a detail like another one, with its steel and all: to be made other in a few things.

    Raises:
        EditError: when there is none with this id.
    """
    new = replace(_found(plan, detail_id), id=new_id(plan, "D"))
    return plan.with_(details=(*plan.details, new))


def replace_detail(plan: Plan, detail: Detail) -> Plan:
    """Put a detail in place of the one with the same id.

    Raises:
        EditError: when there is none with this id, when depths fall or are above the ground, when a diameter is not
            positive, or when its steel or what is cast in has a number that cannot be.
    """
    _found(plan, detail.id)
    new = _sound(detail)
    details = tuple([new if d.id == new.id else d for d in plan.details])
    return plan if details == plan.details else plan.with_(details=details)


def set_square_from(plan: Plan, detail_id: str, depth: float | None) -> Plan:
    """Say from which depth on the hole is square, in mm; None for one that is round all the way.

    Raises:
        EditError: when there is no such detail, or when the depth is above the ground.
    """
    return replace_detail(plan, replace(_found(plan, detail_id), square_from=depth))


def set_tube(plan: Plan, detail_id: str, depth: float | None) -> Plan:
    """Say how far below the ground the form tube reaches, in mm; None for none.

    Raises:
        EditError: when there is no such detail, or when the depth is above the ground.
    """
    return replace_detail(plan, replace(_found(plan, detail_id), tube=depth))


def set_cast_in(plan: Plan, detail_id: str, cast_in: CastIn | None) -> Plan:
    """Say what is cast into the top of a pier; None for nothing.

    Raises:
        EditError: when there is no such detail, or when a size is not more than nothing.
    """
    return replace_detail(plan, replace(_found(plan, detail_id), cast_in=cast_in))


def set_steel(plan: Plan, detail_id: str, steel: Steel | None) -> Plan:
    """Give a detail its cage; None for plain concrete.

    Raises:
        EditError: when there is no such detail, or when a number of the cage cannot be.
    """
    return replace_detail(plan, replace(_found(plan, detail_id), steel=steel))


def usual_steel(units: Units) -> Steel:
    """Return the cage that a detail begins with: four bars in hoops, with the cover that is usual against earth."""
    return usual(Steel, units)


def usual_cast_in(units: Units) -> CastIn:
    """Return the column base that a detail begins with."""
    return usual(CastIn, units)


def assign_detail(plan: Plan, pier_ids: Iterable[str], detail_id: str | None) -> Plan:
    """Give piers a detail, or take it away with None.

    Raises:
        EditError: when a pier or the detail is unknown.
    """
    check_detail(plan, detail_id)
    return put_back(plan, [replace(pier, detail=detail_id) for pier in find_piers(plan, pier_ids)])


def _found(plan: Plan, detail_id: str) -> Detail:
    """Return a detail by id.

    Raises:
        EditError: when there is none.
    """
    detail = plan.detail(detail_id)
    if detail is None:
        raise EditError(f"there is no detail {detail_id}")
    return detail


def _sound(detail: Detail) -> Detail:
    """Return a detail in floats when it can be dug."""
    new = replace(
        in_floats(detail),
        profile=tuple([(float(depth), float(diameter)) for depth, diameter in detail.profile]),
        cast_in=None if detail.cast_in is None else _cast_in(detail.cast_in),
        steel=None if detail.steel is None else _cage(detail.steel),
    )
    if wrong := wrong_detail(new):
        raise EditError(f"the {called(wrong[0])} {wrong[1]}")
    return new


def _cast_in(cast_in: CastIn) -> CastIn:
    return replace(in_floats(cast_in), kind=checks.one_of(cast_in.kind, CAST_IN_KINDS, "what is cast in"))


def _cage(steel: Steel) -> Steel:
    return replace(in_floats(steel), bar=steel.bar.strip(), hoop=steel.hoop.strip())
