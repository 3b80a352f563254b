"""The hole log, and the rules by which holes are dug, openings sawn and concrete ordered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TypedDict, Unpack

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.floats import in_floats
from layoutdesk.plan.edits.pieces import find_piers
from layoutdesk.plan.hole_rules import (
    Wrong,
    called,
    wrong_dig,
    wrong_hole,
    wrong_openings,
    wrong_truck,
)
from layoutdesk.plan.model import OPENING_SHAPES, HoleLog, OpeningShape, Plan


class DigFields(TypedDict, total=False):
    """What holes and mixing are reckoned with, as :class:`~layoutdesk.plan.holes.DigRule` names it."""

    over_dig: float | None
    own: float | None
    common: float | None
    ground: str
    chance: float
    bag: str
    batch_m3: float | None
    minutes: float
    pour_m3: float | None


class TruckFields(TypedDict, total=False):
    """How mixed concrete is ordered, as :class:`~layoutdesk.plan.holes.TruckRule` names it."""

    step_m3: float
    price_m3: float
    minimum_m3: float
    full_m3: float
    short_load_fee: float


class OpeningFields(TypedDict, total=False):
    """How openings are sawn, as :class:`~layoutdesk.plan.holes.OpeningRule` names it."""

    shape: OpeningShape
    margin: float
    least_strip: float
    blade: float
    carry: float


def log_hole(plan: Plan, hole: HoleLog) -> Plan:
    """Take down a hole as it was dug, in place of what was logged of that pier before.

    Raises:
        EditError: when there is no such pier, or when a number cannot be.
    """
    return log_holes(plan, [hole])


def log_holes(plan: Plan, holes: Iterable[HoleLog]) -> Plan:
    """Take down holes as they were dug, each in place of what was logged of its pier before.

    Raises:
        EditError: when there is no such pier, or when a number cannot be; nothing is taken down then.
    """
    new = {hole.pier: _as_kept(hole) for hole in holes}
    labels = {pier.id: pier.label for pier in find_piers(plan, new)}
    for hole in new.values():
        refuse_hole(hole, labels[hole.pier])
    have = {hole.pier: hole for hole in plan.holes.log} | new
    log = tuple([have[pier.id] for pier in plan.piers if pier.id in have])
    return _with(plan, log=log)


def unlog_hole(plan: Plan, pier_ids: Iterable[str]) -> Plan:
    """Take what was logged of some piers out of the log; where nothing was, nothing changes.

    Raises:
        EditError: when there is no such pier.
    """
    gone = {pier.id for pier in find_piers(plan, pier_ids)}
    return _with(plan, log=tuple([hole for hole in plan.holes.log if hole.pier not in gone]))


def set_poured(plan: Plan, pier_ids: Iterable[str], poured: bool) -> Plan:  # noqa: FBT001 - what is said
    """Say that holes are full of concrete, or that they are not.

    Raises:
        EditError: when there is no such pier, or when its hole was not logged: what was poured is not known then.
    """
    piers = {pier.id: pier.label for pier in find_piers(plan, pier_ids)}
    logged = {hole.pier for hole in plan.holes.log}
    if missing := [label for pier_id, label in piers.items() if pier_id not in logged]:
        raise EditError(f"the hole of {missing[0]} is not logged yet; log its depth and widths first")
    log = tuple([replace(hole, poured=poured) if hole.pier in piers else hole for hole in plan.holes.log])
    return _with(plan, log=log)


def set_dig(plan: Plan, **fields: Unpack[DigFields]) -> Plan:
    """Say what holes and mixing are reckoned with; what is not said stays as it is, None is what is usual.

    Raises:
        EditError: when a number cannot be.
    """
    dig = in_floats(replace(plan.holes.dig, **fields))
    dig = replace(dig, ground=dig.ground.strip(), bag=dig.bag.strip())
    _refuse(wrong_dig(dig))
    return _with(plan, dig=dig)


def set_truck(plan: Plan, **fields: Unpack[TruckFields]) -> Plan:
    """Say how mixed concrete is ordered and paid; what is not said stays as it is, a price of 0 was not asked.

    Raises:
        EditError: when a number cannot be.
    """
    truck = in_floats(replace(plan.holes.truck, **fields))
    _refuse(wrong_truck(truck))
    return _with(plan, truck=truck)


def set_openings(plan: Plan, **fields: Unpack[OpeningFields]) -> Plan:
    """Say how openings are sawn into existing concrete; what is not said stays as it is.

    Raises:
        EditError: when the shape is unknown or a number cannot be.
    """
    openings = in_floats(replace(plan.holes.openings, **fields))
    shape = checks.one_of(openings.shape, OPENING_SHAPES, "the shape of an opening")
    openings = replace(openings, shape=shape)
    _refuse(wrong_openings(openings))
    return _with(plan, openings=openings)


def refuse_hole(hole: HoleLog, label: str) -> None:
    """Make sure that a hole can have been dug so.

    Raises:
        EditError: when a number cannot be.
    """
    _refuse(wrong_hole(hole), f" of the hole of {label}")


def _as_kept(hole: HoleLog) -> HoleLog:
    return replace(in_floats(hole), date=hole.date.strip(), by=hole.by.strip())


def _refuse(wrong: Wrong | None, whose: str = "") -> None:
    if wrong is not None:
        raise EditError(f"the {called(wrong[0])}{whose} {wrong[1]}")


def _with(plan: Plan, **changes: object) -> Plan:
    """Return the plan with parts of its holes changed; the very plan when none of them differs."""
    if all(getattr(plan.holes, field) == value for field, value in changes.items()):
        return plan
    return plan.with_(holes=replace(plan.holes, **changes))  # type: ignore[arg-type]
