"""What the drawing writes against what it draws: single dimensions, and chains that must add up."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, fsum, radians, sin
from typing import Final

from layoutdesk.engine.entries import ChainCheck, WrittenCheck
from layoutdesk.engine.points import PointTable
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, middle, minus, plus, times
from layoutdesk.plan.model import Chain, Plan, Written

LEAST_TOLERANCE_MM: Final = 0.05
"""A written number is never held to less: files carry coordinates with a few decimals of an inch."""


def written_checks(plan: Plan, points: PointTable) -> tuple[WrittenCheck, ...]:
    """Return every written dimension with what lies between its ends now, in plan order.

    The number may differ by half the step to which it is written; where that is not known, by half the plan's.
    """
    at = {point_id: points.place(i) for i, point_id in enumerate(points.ids)} if plan.written else {}
    labels = dict(zip(points.ids, points.labels, strict=True)) if plan.written else {}
    return tuple([_check(plan, written, at, labels) for written in plan.written])


def _check(plan: Plan, written: Written, at: Mapping[str, Vector], labels: Mapping[str, str]) -> WrittenCheck:
    start = at.get(written.start_on or "", written.start)
    end = at.get(written.end_on or "", written.end)
    drawn = _between(start, end, written.along)
    tolerance = max(LEAST_TOLERANCE_MM, (written.step or plan.rounding) / 2) + SAME_MM
    return WrittenCheck(
        id=written.id,
        text=written.text,
        kind=written.kind,
        value=written.value,
        drawn=drawn,
        difference=drawn - written.value,
        tolerance=tolerance,
        agrees=abs(drawn - written.value) <= tolerance,
        start=start,
        end=end,
        ends=(labels.get(written.start_on or ""), labels.get(written.end_on or "")),
        on=tuple([i for i in (written.start_on, written.end_on) if i is not None and i in at]),
        line=_line(start, end, written.along),
    )


def _line(start: Vector, end: Vector, along: float | None) -> tuple[Vector, Vector]:
    """Return the ends of a line of the drawn length: in its direction, midway between the two places."""
    if along is None:
        return start, end
    way = (cos(radians(along)), sin(radians(along)))
    run, here = dot(minus(end, start), way), middle(start, end)
    return plus(here, times(way, -run / 2)), plus(here, times(way, run / 2))


def _between(start: Vector, end: Vector, along: float | None) -> float:
    """Return the distance between two places, straight or in one direction (degrees); mm."""
    if along is None:
        return distance(start, end)
    turn = radians(along)
    return abs(dot(minus(end, start), (cos(turn), sin(turn))))


def chain_checks(plan: Plan) -> tuple[ChainCheck, ...]:
    """Return every chain with what its parts add up to, in plan order.

    Rounded parts may miss the overall dimension by half a step each, and half a step for the overall; where
    the step is not known they must add up.
    """
    return tuple([_add_up(chain) for chain in plan.chains])


def _add_up(chain: Chain) -> ChainCheck:
    total = fsum(chain.parts)
    gap = None if chain.overall is None else total - chain.overall
    tolerance = SAME_MM + (len(chain.parts) + 1) * chain.step / 2
    return ChainCheck(
        id=chain.id,
        text=chain.text,
        parts=chain.parts,
        total=total,
        overall=chain.overall,
        gap=gap,
        tolerance=tolerance,
        closes=gap is None or abs(gap) <= SAME_MM,
        rounding_only=gap is not None and SAME_MM < abs(gap) <= tolerance,
        start=chain.start,
        end=chain.end,
        about=chain.about,
    )
