"""Holes that were dug stay where they are when the plan moves their piers or is read from another baseline."""

from __future__ import annotations

from dataclasses import replace

from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, dot, plus, times
from layoutdesk.plan.model import Baseline, HoleLog, Plan

_DECIMALS = 6
"""What is kept of a millimetre: a centre that is off by nothing stays off by nothing."""


def with_dug_kept(before: Plan, after: Plan) -> Plan:
    """Return the later plan with its hole log saying how far off each hole is now.

    The log says how far the centre of a hole is from its pier, along the baseline and away from the house. A pier
    that moves leaves its hole behind; another baseline lies in other directions. Where both moved, the whole plan
    lies elsewhere on its sheet, and a hole is as far off as before.
    """
    old, new = _frame(before.baseline), _frame(after.baseline)
    if before is after or not after.holes.log or old is None or new is None:
        return after
    was, now = ({pier.id: pier.at for pier in plan.piers} for plan in (before, after))
    log = tuple(
        [_kept(hole, was.get(hole.pier, now[hole.pier]), now[hole.pier], old, new) for hole in after.holes.log]
    )
    return after if log == after.holes.log else after.with_(holes=replace(after.holes, log=log))


def _kept(hole: HoleLog, was: Vector, now: Vector, old: Frame, new: Frame) -> HoleLog:
    """Return what was logged of a hole whose pier stood at one place and stands at another."""
    if was == now and old != new:
        off = plus(times(old.along, hole.along), times(old.away, hole.away))
        along, away = dot(off, new.along), dot(off, new.away)
    elif was != now and old == new:
        before, after = old.station_offset(was), new.station_offset(now)
        along, away = hole.along + before[0] - after[0], hole.away + before[1] - after[1]
    else:
        return hole
    return replace(hole, along=round(along, _DECIMALS), away=round(away, _DECIMALS))


def _frame(base: Baseline | None) -> Frame | None:
    """Return the baseline as a frame; None without one, or for one without a length."""
    if base is None or base.origin == base.toward:
        return None
    return Frame.through(base.origin, base.toward, yard_on_right=base.yard_side == "right")
