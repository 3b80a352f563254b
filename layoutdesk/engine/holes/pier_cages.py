"""Which cage every pier has: that of its detail, as high as its pier is.

Cages are made before the holes are dug, so they are for the holes as planned. Where heights are known each pier has
its own, from its top to the bottom that frost and the lowest ground ask for: its bars are as much longer or shorter
as drawn as that is, down to a whole step, so that no cover is lost and few lengths are cut. A hole that comes out
deeper needs no longer cage; it hangs from the top.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

from layoutdesk.engine.holes.cages import CageFound, cage_of
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.units import MM_PER_INCH, Units

if TYPE_CHECKING:
    from layoutdesk.engine.layout import PierHeight

_HAIR: Final = 1e-3
"""A pier whose height is off by less than this many mm is as high as drawn: it is the float that is off."""

CageKey: TypeAlias = tuple[str, int, int]
"""A detail, by how many steps a pier is higher than drawn, and by how many its top stands farther out."""


@dataclass(frozen=True, slots=True)
class PierCages:
    """The cages of all piers.

    Attributes:
        keys: of every pier in plan order; None for one without steel.
        found: the cage of every key, in the order in which piers have them.
        details: the details that have steel, by id, in plan order.
        heights_known: whether cages are for the height of each pier, not as drawn.
    """

    keys: tuple[CageKey | None, ...]
    found: Mapping[CageKey, CageFound]
    details: Mapping[str, Detail]
    heights_known: bool

    def times(self) -> Counter[CageKey]:
        """Return how many piers have each cage."""
        return Counter(key for key in self.keys if key is not None)


def length_step(units: Units) -> float:
    """Return the step in mm by which the bars of one detail differ in length."""
    return MM_PER_INCH if units == "ft-in" else 25.0


def pier_cages(plan: Plan, heights: Sequence[PierHeight] = ()) -> PierCages:
    """Return the cage of every pier; ten thousand piers share as many cages as there are heights of them.

    Args:
        plan: the plan.
        heights: of every pier in plan order, or none: then all are as high as drawn.
    """
    first = {detail.id: detail for detail in reversed(plan.details)}
    details = {name: detail for name, detail in reversed(first.items()) if detail.steel is not None}
    keys = tuple(_keys(plan, details, heights))
    found = {key: _cage(plan, details[key[0]], key) for key in dict.fromkeys(keys) if key is not None}
    return PierCages(keys, found, details, heights_known=bool(heights))


def _keys(plan: Plan, details: Mapping[str, Detail], heights: Sequence[PierHeight]) -> list[CageKey | None]:
    """Return by pier which cage it has; None for none."""
    known = {name: (_depth(one), one.reveal) for name, one in details.items()}
    drawn: dict[str, CageKey] = {name: (name, 0, 0) for name in known}
    if not heights:
        return [None if pier.detail is None else drawn.get(pier.detail) for pier in plan.piers]
    step = length_step(plan.units)
    found: list[CageKey | None] = []
    for pier, row in zip(plan.piers, heights, strict=True):
        if pier.detail is None or pier.detail not in known:
            found.append(None)
            continue
        depth, reveal = known[pier.detail]
        deeper = 0.0 if row.dig is None else row.dig - depth
        up = 0.0 if row.top is None or row.ground is None else row.top - row.ground - reveal
        if abs(deeper) < _HAIR and abs(up) < _HAIR:
            found.append(drawn[pier.detail])
            continue
        higher = math.floor((deeper + up) / step + _HAIR)
        # The hole is as deep as drawn at least, or the cage would end in another part of it.
        found.append((pier.detail, higher, min(round(up / step), higher) if deeper > -_HAIR else round(up / step)))
    return found


def _depth(detail: Detail) -> float:
    return detail.profile[-1][0] if detail.profile else 0.0


def _cage(plan: Plan, detail: Detail, key: CageKey) -> CageFound:
    """Return the cage of the piers of one detail that are equally high."""
    _, higher, up = key
    if not higher and not up:
        return cage_of(detail, units=plan.units, rounding=plan.rounding)
    step = length_step(plan.units)
    return cage_of(
        detail,
        units=plan.units,
        rounding=plan.rounding,
        depth=_depth(detail) + (higher - up) * step,
        reveal=detail.reveal + up * step,
    )
