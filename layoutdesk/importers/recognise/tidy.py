"""Places without the dust of a change of unit: 24 in is 609.6 mm, not 609.5999999999999."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Piece, Plan, places_of, with_places

DECIMALS = 9
"""A place is rounded to a millionth of a micrometre: far below what any check sees."""

_Some = TypeVar("_Some", bound=Piece)


def tidied(plan: Plan) -> Plan:
    """Return the plan with every place that came from a drawing rounded to 1e-9 mm."""
    baseline = plan.baseline
    return plan.with_(
        walls=_all(plan.walls),
        attachments=_all(plan.attachments),
        controls=_all(plan.controls),
        lines=_all(plan.lines),
        piers=_all(plan.piers),
        spots=_all(plan.spots),
        slabs=_all(plan.slabs),
        keepouts=_all(plan.keepouts),
        baseline=baseline and replace(baseline, origin=_place(baseline.origin), toward=_place(baseline.toward)),
        details=tuple(
            replace(d, profile=tuple((round(depth, DECIMALS), round(wide, DECIMALS)) for depth, wide in d.profile))
            for d in plan.details
        ),
        written=tuple(replace(w, start=_place(w.start), end=_place(w.end)) for w in plan.written),
    )


def _place(at: Vector) -> Vector:
    return round(at[0], DECIMALS), round(at[1], DECIMALS)


def _all(pieces: tuple[_Some, ...]) -> tuple[_Some, ...]:
    made = (with_places(piece, tuple(_place(at) for at in places_of(piece))) for piece in pieces)
    return tuple(made)  # type: ignore[arg-type]  # a piece keeps its kind
