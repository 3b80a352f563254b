"""The steel of the job: what every pier takes, what there is of each kind, and how it is cut from stock."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

from layoutdesk.engine.cutting import Cutting, CuttingError, Piece, Stock, best_cutting, first_cutting
from layoutdesk.engine.holes.entries import PierSteel, SteelList, SteelSize
from layoutdesk.engine.holes.pier_cages import PierCages, length_step
from layoutdesk.engine.reasons import shown_small
from layoutdesk.engine.steel.cage import Pieces
from layoutdesk.engine.steel.stock import StockSold, stock_sold
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_length

_QUICK_KINDS: Final = 12
_QUICK_PIECES: Final = 2000
"""Up to so many lengths and pieces the best cutting is looked for at once; it is asked for elsewhere beyond."""
_KEPT: Final = 16
_MOST_WORK: Final = 4_000_000
"""Pieces times lengths beyond which even a first answer takes more than a second."""


def steel_list(plan: Plan, cages: PierCages) -> SteelList:
    """Return the steel of a plan, cut at once; where that is quick, the cutting is the proven best."""
    found = cages.found
    mass = {key: one.cage.mass for key, one in found.items()}
    piers = tuple(
        PierSteel(pier.id, pier.label, pier.detail, (), 0.0)
        if key is None
        else PierSteel(pier.id, pier.label, pier.detail, found[key].cage.kinds, mass[key])
        for pier, key in zip(plan.piers, cages.keys, strict=True)
    )
    kinds = _kinds(cages)
    return SteelList(
        piers=piers,
        kinds=kinds,
        sizes=tuple(_sizes(plan, kinds)),
        mass=math.fsum(kind.mass for _, kind in kinds),
        says=tuple(_sentences(plan, cages)),
    )


def _kinds(cages: PierCages) -> tuple[tuple[str, Pieces], ...]:
    """Return the pieces that are alike over all piers of a detail: as the cage has them, the longest first."""
    times, found = cages.times(), cages.found
    made: list[tuple[str, Pieces]] = []
    for name in cages.details:
        counts: Counter[tuple[str, str, float]] = Counter()
        one_of: dict[tuple[str, str, float], Pieces] = {}
        place: dict[str, int] = {}
        for key, count in times.items():
            if key[0] != name:
                continue
            for kind in found[key].cage.kinds:
                alike = (kind.what, kind.bar.name, round(kind.cut, 6))
                counts[alike] += kind.count * count
                one_of.setdefault(alike, kind)
                place.setdefault(kind.what, len(place))
        for alike in sorted(counts, key=lambda one: (place[one[0]], -one[2])):
            kind = one_of[alike]
            made.append((name, Pieces(kind.what, kind.bar, counts[alike], kind.cut)))
    return tuple(made)


def _sizes(plan: Plan, kinds: Sequence[tuple[str, Pieces]]) -> list[SteelSize]:
    """Return what is bought, the thickest bars first."""
    sold = stock_sold(plan.units)
    by_size: dict[str, list[tuple[str, Pieces]]] = {}
    for name, kind in sorted(kinds, key=lambda one: -one[1].bar.diameter):
        by_size.setdefault(kind.bar.name, []).append((name, kind))
    return [_size(plan, size, group, sold) for size, group in by_size.items()]


def _size(plan: Plan, size: str, group: Sequence[tuple[str, Pieces]], sold: StockSold) -> SteelSize:
    cutting, says = _cut(plan, group, sold)
    return SteelSize(
        size=size,
        count=sum(kind.count for _, kind in group),
        length=math.fsum(kind.count * kind.cut for _, kind in group),
        mass=math.fsum(kind.mass for _, kind in group),
        stock=sold.lengths,
        cutting=cutting,
        says=says,
    )


def _cut(plan: Plan, group: Sequence[tuple[str, Pieces]], sold: StockSold) -> tuple[Cutting | None, str]:
    """Return how pieces of one size are cut, or why not."""
    longest = sold.lengths[-1]
    if long := [(name, kind) for name, kind in group if kind.cut > longest]:
        name, kind = max(long, key=lambda one: one[1].cut)
        cut, most = (format_length(one, plan.units, plan.rounding, pretty=True) for one in (kind.cut, longest))
        return None, f"The {kind.what} of {name} is {cut} long, and the longest stock {most}: have it lapped."
    lengths, count = len({kind.cut for _, kind in group}), sum(kind.count for _, kind in group)
    if lengths * count > _MOST_WORK:
        return None, f"{count:,} pieces of {lengths:,} lengths are too many for one list of cuts; make it several."
    try:
        return _cutting(plan, group, sold), ""
    except CuttingError as trouble:
        return None, str(trouble)


def _cutting(plan: Plan, group: Sequence[tuple[str, Pieces]], sold: StockSold) -> Cutting:
    """Return the first cutting, and the best one where that is quick and better."""
    return _quickly(tuple(demand_of(plan, group)), tuple(Stock(length) for length in sold.lengths), sold.kerf)


@lru_cache(maxsize=_KEPT)
def _quickly(demand: tuple[Piece, ...], stock: tuple[Stock, ...], kerf: float) -> Cutting:
    """Return the cutting of one list; the same list is cut once, however often the plan is changed elsewhere."""
    first = first_cutting(demand, stock, kerf=kerf)
    lengths, count = {piece.length for piece in demand}, sum(piece.count for piece in demand)
    if first.proven or len(lengths) > _QUICK_KINDS or count > _QUICK_PIECES:
        return first
    best = best_cutting(demand, stock, kerf=kerf, brief=True)
    return best if best.cost <= first.cost else first


def demand_of(plan: Plan, group: Sequence[tuple[str, Pieces]]) -> list[Piece]:
    """Return pieces as they are cut, labelled with detail, what it is, and its length where that varies."""
    lengths = Counter((name, kind.what) for name, kind in group)
    return [
        Piece(
            kind.cut,
            kind.count,
            f"{name} {kind.what}"
            + (
                f" {format_length(kind.cut, plan.units, plan.rounding, pretty=True)}"
                if lengths[name, kind.what] > 1
                else ""
            ),
        )
        for name, kind in group
    ]


def best_steel(plan: Plan, steel: SteelList, *, seconds: float | None = None) -> SteelList:
    """Return the same list with the best cutting of every size; takes seconds where there are many lengths.

    Args:
        plan: the plan.
        steel: its steel, cut at once.
        seconds: how long to look for each size; without it the answer is the same on every machine.
    """
    sold = stock_sold(plan.units)
    stock = [Stock(length) for length in sold.lengths]
    sizes = []
    for one in steel.sizes:
        if one.cutting is None or one.cutting.proven:
            sizes.append(one)
            continue
        group = [(name, kind) for name, kind in steel.kinds if kind.bar.name == one.size]
        best = best_cutting(demand_of(plan, group), stock, kerf=sold.kerf, seconds=seconds)
        sizes.append(replace(one, cutting=best if best.cost <= one.cutting.cost else one.cutting))
    return replace(steel, sizes=tuple(sizes))


def _sentences(plan: Plan, cages: PierCages) -> list[str]:
    """Return for which height bars are cut, and what cannot be reckoned."""
    times, found = cages.times(), cages.found
    said = []
    if any(one.cage.kinds for one in found.values()):
        hang = "A hole that comes out deeper needs no longer cage: hang it from the top."
        if cages.heights_known:
            step = shown_small(length_step(plan.units), plan)
            many = len({(name, higher) for name, higher, _ in found})
            alike = "all cages are alike" if many == 1 else f"there are {many:,} heights of cages"
            said.append(
                f"Bars are cut for the planned height of each pier, in steps of {step} from what is drawn:"
                f" {alike}. {hang}"
            )
        else:
            said.append(f"Bars are cut as drawn, for no heights are known. {hang}")
        said.append(_stock_sentence(plan))
    troubled: dict[tuple[str, str], int] = {}
    for key, count in times.items():
        if trouble := found[key].trouble:
            troubled[key[0], trouble] = troubled.get((key[0], trouble), 0) + count
    for (name, trouble), count in troubled.items():
        piers = "1 pier" if count == 1 else f"{count:,} piers"
        said.append(f"The steel of {piers} of {name} cannot be reckoned: {trouble}")
    return said


def _stock_sentence(plan: Plan) -> str:
    """Return which lengths are reckoned with."""
    sold = stock_sold(plan.units)
    *most, last = (format_length(one, plan.units, plan.rounding, pretty=True) for one in sold.lengths)
    kerf = shown_small(sold.kerf, plan)
    return (
        f"Stock is reckoned {', '.join(most)} and {last} long, with {kerf} to a saw cut (common practice, no"
        " source): ask the yard what it has."
    )
