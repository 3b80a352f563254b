"""What a pier is made of: the concrete of its very parts below the ground and above it.

What a pier takes changes with its depth and its top only by a straight piece of its last width and one of its
first: ten thousand piers on a slope cost a product or two each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.concrete.sections import MM3_PER_M3, gross_volume
from layoutdesk.engine.holes.dug import hole_parts
from layoutdesk.engine.holes.section import formed_to, gross_split, pier_parts, post_area
from layoutdesk.engine.layout import DetailTotal, PierHeight, PierVolume
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.sizes import STEEL_DENSITY
from layoutdesk.plan.model import Detail, Plan

_HAIR: Final = 1e-6
"""A depth or a reveal that is off by less than this many mm is as drawn: it is the float that is off."""


@dataclass(frozen=True, slots=True)
class DetailSize:
    """How deep a detail goes and how wide it is at its widest, in mm."""

    depth: float
    widest: float


NO_SIZE: Final = DetailSize(0.0, 0.0)


def sizes_by_detail(plan: Plan) -> dict[str | None, DetailSize]:
    """Return the size of every detail by id, the first when an id is there twice."""
    return {detail.id: _size(detail) for detail in reversed(plan.details)}


def _size(detail: Detail) -> DetailSize:
    if not detail.profile:
        return NO_SIZE
    return DetailSize(detail.profile[-1][0], max(width for _, width in detail.profile))


@dataclass(frozen=True, slots=True)
class Volume:
    """What one pier takes, in m³.

    Attributes:
        below: concrete below the ground, without what takes its place.
        reveal: concrete above it, likewise.
        dug: what of ``below`` fills the hole against the earth, nothing deducted: it grows with the hole.
        spoil: what is dug, as it lay.
        depth: of the hole, in mm.
    """

    below: float
    reveal: float
    dug: float
    spoil: float
    depth: float


NOTHING: Final = Volume(0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SteelInside:
    """The volume of the steel in a pier as drawn, in mm³, and of the bars in each mm that it is higher."""

    drawn: float
    per_mm: float


NO_STEEL: Final = SteelInside(0.0, 0.0)


def steel_inside(plan: Plan, detail: Detail) -> SteelInside:
    """Return the steel in the piers of a detail, without what stands out of them."""
    steel = detail.steel
    if steel is None:
        return NO_STEEL
    from layoutdesk.engine.holes.cages import cage_of  # few plans have steel

    cage = cage_of(detail, units=plan.units, rounding=plan.rounding).cage
    if not cage.kinds:
        return NO_STEEL
    bars = steel.bars * cage.kinds[0].bar.mass / 1000 / STEEL_DENSITY * MM3_PER_M3
    return SteelInside(max(0.0, cage.volume - bars * steel.stands_out), bars)


class PierShape:
    """The volumes of one detail at any depth and with any reveal."""

    def __init__(self, detail: Detail, *, steel: SteelInside = NO_STEEL) -> None:
        """Take a detail and the steel in each of its piers.

        Raises:
            ReckoningError: for a profile that is no hole.
        """
        self._detail, self._steel = detail, steel
        self._depth = detail.profile[-1][0] if detail.profile else 0.0
        self._height = self._depth + detail.reveal
        self._post = post_area(detail, pier_parts(detail))
        self._hole = hole_parts(detail)
        tube = formed_to(detail, self._depth)
        edge = detail.square_from
        self._even = bool(self._hole) and not (
            (edge is not None and edge > self._depth) or (detail.tube is not None and detail.tube > self._depth)
        )
        level = pier_parts(detail, reveal=0.0)
        self._below = gross_volume(level)
        self._dug = gross_volume(level, top=tube)
        self._spoil = gross_volume(self._hole)
        self._last = self._hole[-1].area(self._hole[-1].bottom) if self._hole else 0.0
        unit = pier_parts(detail, reveal=1.0)
        self._first = unit[0].area(0.0) if unit else 0.0
        self.drawn = self.at(self._depth, detail.reveal)

    def at_least(self, depth: float) -> Volume:
        """Return what a pier takes as drawn, or with a hole that is so deep in mm where that is deeper."""
        return self.drawn if depth <= self._depth + _HAIR else self.at(depth, self._detail.reveal)

    def at(self, depth: float, reveal: float) -> Volume:
        """Return what a pier takes whose hole is so deep and whose top is so far above the ground; both in mm."""
        deeper = depth - self._depth
        if self._even and deeper >= 0 and reveal >= 0:
            more = self._last * deeper
            below, above = self._below + more, self._first * reveal
            dug, spoil = self._dug + more, self._spoil + more
        else:
            hole = hole_parts(self._detail, depth)
            parts = pier_parts(self._detail, depth, reveal)
            below, above = gross_split(parts)
            dug = gross_volume(parts, top=formed_to(self._detail, depth))
            spoil = gross_volume(hole)
        under, over = self._taken(depth, reveal)
        if under <= below and over <= above:
            below, above = below - under, above - over
        return Volume(below / MM3_PER_M3, above / MM3_PER_M3, dug / MM3_PER_M3, spoil / MM3_PER_M3, depth)

    def _taken(self, depth: float, reveal: float) -> tuple[float, float]:
        """Return in mm³ what stands in the concrete below the ground and above it; steel by the height it is in."""
        height = depth + reveal
        if height <= 0 or (not self._post and self._steel is NO_STEEL):
            return 0.0, 0.0
        above = max(0.0, reveal)
        steel = max(0.0, self._steel.drawn + self._steel.per_mm * (height - self._height))
        steel_over = steel * above / height
        cast_in = self._detail.cast_in
        foot = 0.0 if cast_in is None else min(cast_in.foot, height)
        over = min(foot, above)
        return self._post * (foot - over) + steel - steel_over, self._post * over + steel_over


def shapes_by_detail(plan: Plan) -> dict[str | None, PierShape]:
    """Return the shape of every detail by id, the first when an id is there twice; no hole, no shape."""
    found: dict[str | None, PierShape] = {}
    for detail in plan.details:
        if detail.id not in found and detail.profile:
            try:
                found[detail.id] = PierShape(detail, steel=steel_inside(plan, detail))
            except ReckoningError:
                continue  # its section says why
    return found


def volumes_of(plan: Plan, heights: Sequence[PierHeight] = ()) -> list[Volume]:
    """Return what every pier takes, in plan order; nothing for a pier without a known detail.

    Args:
        plan: the plan.
        heights: of every pier in plan order, or none: then all are as deep as drawn or as the ground freezes, and
            stand out as drawn.
    """
    shapes = shapes_by_detail(plan)
    details = {detail.id: detail for detail in reversed(plan.details)}
    frost = plan.levels.settings.frost or 0.0
    usual = {name: shape.at_least(frost) for name, shape in shapes.items()}
    if not heights:
        return [usual.get(pier.detail, NOTHING) for pier in plan.piers]
    found = []
    for pier, row in zip(plan.piers, heights, strict=True):
        shape = shapes.get(pier.detail)
        if shape is None or pier.detail is None:
            found.append(NOTHING)
            continue
        depth, reveal = usual[pier.detail].depth, details[pier.detail].reveal
        as_usual = True
        if row.dig is not None and abs(row.dig - depth) > _HAIR:
            depth, as_usual = row.dig, False
        if row.top is not None and row.ground is not None and abs(row.top - row.ground - reveal) > _HAIR:
            reveal, as_usual = row.top - row.ground, False
        found.append(usual[pier.detail] if as_usual else shape.at(depth, reveal))
    return found


def pier_volumes(plan: Plan, heights: Sequence[PierHeight] = ()) -> tuple[PierVolume, ...]:
    """Return the net concrete of every pier in plan order; see :func:`volumes_of`."""
    sizes = sizes_by_detail(plan)
    return tuple(
        PierVolume(
            id=pier.id,
            label=pier.label,
            detail=pier.detail,
            below_m3=v.below,
            reveal_m3=v.reveal,
            net_m3=v.below + v.reveal,
            depth=v.depth,
            widest=sizes.get(pier.detail, NO_SIZE).widest,
        )
        for pier, v in zip(plan.piers, volumes_of(plan, heights), strict=True)
    )


def detail_totals(plan: Plan, piers: tuple[PierVolume, ...]) -> tuple[DetailTotal, ...]:
    """Return the concrete of each detail that has piers, in the plan's order; piers without a detail last."""
    known = sizes_by_detail(plan)
    groups: dict[str | None, list[PierVolume]] = {detail.id: [] for detail in plan.details}
    groups[None] = []
    for pier in piers:
        groups[pier.detail if pier.detail in known else None].append(pier)
    totals = []
    for detail, group in groups.items():
        if not group:
            continue
        size = known.get(detail, NO_SIZE)
        first = group[0].net_m3
        total = math.fsum(pier.net_m3 for pier in group)
        alike = all(pier.net_m3 == first for pier in group)
        each = first if alike else total / len(group)
        labels = tuple(pier.label for pier in group)
        totals.append(DetailTotal(detail, labels, each, total, size.depth, size.widest))
    return tuple(totals)
