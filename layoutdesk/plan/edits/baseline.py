"""Choosing the baseline, and placing pieces by station and offset from it."""

from __future__ import annotations

from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, minus
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.dug import with_dug_kept
from layoutdesk.plan.edits.moving import shifted, taken_along
from layoutdesk.plan.edits.pieces import anchor, find_one, put_back
from layoutdesk.plan.model import SIDES, Baseline, Plan, Side


def set_baseline(plan: Plan, origin: Vector, toward: Vector, *, yard_side: Side) -> Plan:
    """Read stations from ``origin`` toward ``toward``, offsets growing on the yard side.

    Raises:
        EditError: when both are the same place or not finite.
    """
    a, b = checks.place(origin), checks.place(toward)
    checks.direction(a, b, "the baseline")
    side = checks.one_of(yard_side, SIDES, "the yard side")
    extra = plan.baseline.extra if plan.baseline else ()
    new = Baseline(origin=a, toward=b, yard_side=side, extra=extra)
    return plan if new == plan.baseline else with_dug_kept(plan, plan.with_(baseline=new))


def flip_baseline(plan: Plan) -> Plan:
    """Read stations from the other end: the yard stays where it is.

    Raises:
        EditError: when the plan has no baseline.
    """
    if plan.baseline is None:
        raise EditError("there is no baseline to turn round; choose one first")
    before = plan.baseline
    side: Side = "right" if before.yard_side == "left" else "left"
    new = replace(before, origin=before.toward, toward=before.origin, yard_side=side)
    return with_dug_kept(plan, plan.with_(baseline=new))


def clear_baseline(plan: Plan) -> Plan:
    """Do without a baseline."""
    return plan if plan.baseline is None else plan.with_(baseline=None)


def frame_of(plan: Plan) -> Frame:
    """Return the baseline as a frame.

    Raises:
        EditError: when the plan has none, or one without a length.
    """
    base = plan.baseline
    if base is None:
        raise EditError("stations and offsets need a baseline; choose one first")
    checks.direction(base.origin, base.toward, "the baseline")
    return Frame.through(base.origin, base.toward, yard_on_right=base.yard_side == "right")


def set_station_offset(plan: Plan, piece_id: str, station: float, offset: float) -> Plan:
    """Move a piece so that its place (the first one, when it has several) has this station and offset, in mm.

    A beam line carries its piers and a wall the points on it, as in a move; the baseline stays.

    Raises:
        EditError: when there is no such piece or no baseline, or when a value is not finite.
    """
    checks.finite(station, "the station")
    checks.finite(offset, "the offset")
    frame = frame_of(plan)
    piece = find_one(plan, piece_id)
    by = minus(frame.point(station, offset), anchor(piece))
    return put_back(plan, [shifted(p, by) for p in taken_along(plan, {piece.id: piece}).values()])
