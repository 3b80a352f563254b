"""What a pier is made of: the volume of its profile and of its reveal.

Between two entries of a profile the hole is a frustum, V = π h / 12 (d1² + d1 d2 + d2²); where the depths are
equal the hole steps from one diameter to the other and no volume lies between. The reveal is a cylinder of the
profile's first diameter; a pier whose top is below the ground has a negative reveal, and only the hole below
its top is filled.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.layout import DetailTotal, PierVolume
from layoutdesk.plan.model import Detail, Plan

MM3_PER_M3: Final = 1e9


def frustum(height: float, top: float, bottom: float) -> float:
    """Return the volume in mm³ of a round hole whose diameter goes from ``top`` to ``bottom``; all in mm."""
    return math.pi * height / 12 * (top * top + top * bottom + bottom * bottom)


def profile_volume(profile: Sequence[tuple[float, float]], *, top: float = 0.0) -> float:
    """Return the volume in mm³ of a hole from the depth ``top`` down.

    Args:
        profile: (depth, diameter) down the hole in mm, depths not falling; above its first depth it is a
            cylinder.
        top: the depth in mm from which it is filled.
    """
    whole = [(0.0, profile[0][1]), *profile] if profile else []
    return math.fsum(
        frustum(below - max(above, top), _diameter(above, d1, below, d2, max(above, top)), d2)
        for (above, d1), (below, d2) in pairwise(whole)
        if below > max(above, top)
    )


def _diameter(above: float, d1: float, below: float, d2: float, depth: float) -> float:
    """Return the diameter at a depth between two entries of a profile."""
    return d1 + (d2 - d1) * (depth - above) / (below - above)


@dataclass(frozen=True, slots=True)
class DetailVolume:
    """Net concrete of one detail in m³, and its depth and widest diameter in mm."""

    below_m3: float
    reveal_m3: float
    depth: float
    widest: float


NOTHING: Final = DetailVolume(0.0, 0.0, 0.0, 0.0)


def detail_volume(detail: Detail) -> DetailVolume:
    """Return what a pier of this detail takes."""
    if not detail.profile:
        return NOTHING
    first = detail.profile[0][1]
    return DetailVolume(
        below_m3=profile_volume(detail.profile, top=max(0.0, -detail.reveal)) / MM3_PER_M3,
        reveal_m3=frustum(max(0.0, detail.reveal), first, first) / MM3_PER_M3,
        depth=detail.profile[-1][0],
        widest=max(diameter for _, diameter in detail.profile),
    )


def volumes_by_detail(plan: Plan) -> dict[str | None, DetailVolume]:
    """Return the volume of every detail by id, the first when an id is there twice."""
    return {detail.id: detail_volume(detail) for detail in reversed(plan.details)}


def pier_volumes(plan: Plan) -> tuple[PierVolume, ...]:
    """Return the net concrete of every pier in plan order; nothing for a pier without a known detail."""
    known = volumes_by_detail(plan)
    volumes = []
    for pier in plan.piers:
        v = known.get(pier.detail, NOTHING)
        volumes.append(
            PierVolume(
                id=pier.id,
                label=pier.label,
                detail=pier.detail,
                below_m3=v.below_m3,
                reveal_m3=v.reveal_m3,
                net_m3=v.below_m3 + v.reveal_m3,
                depth=v.depth,
                widest=v.widest,
            )
        )
    return tuple(volumes)


def detail_totals(plan: Plan, piers: tuple[PierVolume, ...]) -> tuple[DetailTotal, ...]:
    """Return the concrete of each detail that has piers, in the plan's order; piers without a detail last."""
    known = volumes_by_detail(plan)
    groups: dict[str | None, list[PierVolume]] = {detail.id: [] for detail in plan.details}
    groups[None] = []
    for pier in piers:
        groups[pier.detail if pier.detail in known else None].append(pier)
    totals = []
    for detail, group in groups.items():
        v = known.get(detail, NOTHING)
        labels = tuple(pier.label for pier in group)
        each = v.below_m3 + v.reveal_m3
        if group:
            totals.append(DetailTotal(detail, labels, each, each * len(group), v.depth, v.widest))
    return tuple(totals)
