"""The figures of digging, sawing, steel and pouring: sections, holes, covers, openings, steel and the order.

Depths are millimetres below the ground, negative above it; volumes cubic metres, masses kilograms, chances shares
of one. What is not known or was not measured is ``null``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias

from layoutdesk.exporters.figures_heights import defined

if TYPE_CHECKING:
    from layoutdesk.engine.concrete.supply import Supply
    from layoutdesk.engine.layout import (
        ConcreteOrder,
        HoleRow,
        Layout,
        Opening,
        SawCut,
        Section,
        SteelList,
        SteelSize,
    )

Entry: TypeAlias = dict[str, Any]


def hole_figures(layout: Layout) -> Entry:
    """Return what is dug, sawn, caged and poured, by key; ``steel`` is what is bought of every size."""
    return {
        "steel": [_size(one) for one in layout.steel.sizes],
        "bars": _bars(layout.steel),
        "sections": [_section(section) for section in layout.sections],
        "order": _order(layout.order),
        "openings": [_opening(opening) for opening in layout.openings],
        "holes": [_hole(hole) for hole in layout.holes],
        "covers": [{"size": c.size, "mark": c.mark, "piers": list(c.piers)} for c in layout.covers],
    }


def chances_short(order: ConcreteOrder) -> list[tuple[int, float]]:
    """Return how many bags of every product are ordered, and the chance of running short with them.

    Where nothing is left to pour, or no hole has a size, nothing is ordered.
    """
    if not order.left or order.need is None or order.need.mean <= 0:
        return []
    return [(one.supply.count, one.supply.chance) for one in order.products]


def _section(section: Section) -> Entry:
    cast, cover = section.cast_in, section.cover
    return {
        "detail": section.detail,
        "parts": [
            {"top": p.top, "bottom": p.bottom, "upper": p.upper, "lower": p.lower, "shape": p.shape}
            for p in section.parts
        ],
        "top": section.top,
        "bottom": section.bottom,
        "tube": list(section.tube) if section.tube else None,
        "cast_in": {"kind": cast[3], "top": cast[0], "bottom": cast[1], "width": cast[2]} if cast else None,
        "bars": [
            {"across": b.across, "top": b.top, "bottom": b.bottom, "diameter": b.diameter, "hook": b.hook}
            for b in section.bars
        ],
        "hoops": list(section.hoops),
        "hoop_width": section.hoop_width if section.hoops else None,
        "cover": {"beside": cover[0], "top": cover[1], "bottom": cover[2]} if cover else None,
        "text": [*section.says, *section.steel_says, *section.pieces_say],
        "trouble": section.trouble,
    }


def _size(one: SteelSize) -> Entry:
    cutting = one.cutting
    return {
        "size": one.size,
        "count": one.count,
        "length": defined(one.length),
        "mass_kg": defined(one.mass),
        "stock": list(one.stock),
        "cutting": None
        if cutting is None
        else {
            "pieces": [
                {"length": p.stock.length, "cuts": list(p.cuts), "left_over": defined(p.left_over)}
                for p in cutting.pieces
            ],
            "waste": defined(cutting.waste),
            "bound": defined(cutting.bound),
            "proven": cutting.proven,
            "text": cutting.says,
        },
        "text": one.says,
    }


def _bars(steel: SteelList) -> list[Entry]:
    """Return the pieces that are alike, by detail."""
    return [
        {
            "detail": detail,
            "what": kind.what,
            "size": kind.bar.name,
            "count": kind.count,
            "cut": kind.cut,
            "mass_kg": defined(kind.mass),
        }
        for detail, kind in steel.kinds
    ]


def _order(order: ConcreteOrder) -> Entry:
    belief, batches = order.belief, order.batches
    return {
        "chance": order.chance,
        "drawn_m3": order.need.drawn if order.need else None,
        "known_m3": order.need.known if order.need else None,
        "mean_m3": defined(order.need.mean) if order.need else None,
        "over_dig": {
            "allowance": defined(belief.allowance),
            "common": defined(belief.common_spread),
            "own": defined(belief.own_spread),
            "logged": belief.logged,
        },
        "products": [{"product": one.bag.product, **_supply(one.supply)} for one in order.products],
        "chosen": order.products[order.chosen].bag.product if order.products else None,
        "truck": _supply(order.truck) if order.truck else None,
        "curve": [{"count": c.count, "volume_m3": c.volume, "chance_short": c.chance} for c in order.curve],
        "batches": None
        if batches is None
        else {
            "bags": batches.bags,
            "batches": batches.batches,
            "last": batches.last,
            "water_l": [batches.water_least, batches.water_most],
        },
        "pours": [{"piers": list(labels), "mean_m3": defined(volume)} for labels, volume in order.pours],
        "spoil_m3": defined(order.spoil_loose),
        "left": list(order.left),
        "text": list(order.says),
        "trouble": order.trouble,
    }


def _supply(supply: Supply) -> Entry:
    return {
        "count": supply.count,
        "volume_m3": defined(supply.volume),
        "chance_short": defined(supply.chance),
        "cost": defined(supply.cost),
        "fee": defined(supply.fee),
        "carried_kg": defined(supply.carried_kg),
        "left_over_m3": defined(supply.left_over),
    }


def _opening(opening: Opening) -> Entry:
    return {
        "id": opening.id,
        "slab": opening.slab,
        "piers": list(opening.pier_ids),
        "outline": [list(corner) for corner in opening.outline],
        "area": opening.area,
        "cuts": [_cut(cut) for cut in opening.cuts],
        "inner": [_cut(cut) for cut in opening.inner],
        "saw_length": opening.saw_length,
        "pieces": opening.pieces,
        "heaviest_kg": defined(opening.heaviest),
        "rubble_m3": defined(opening.rubble),
        "text": opening.says,
    }


def _cut(cut: SawCut) -> Entry:
    return {"points": [list(point) for point in cut.points], "length": cut.length, "passes": cut.passes}


def _hole(hole: HoleRow) -> Entry:
    return {
        "pier": hole.pier,
        "planned": {
            "depth": defined(hole.planned_depth),
            "top": defined(hole.planned_top),
            "bottom": defined(hole.planned_bottom),
        },
        "dug": None
        if hole.depth is None
        else {
            "depth": hole.depth,
            "top": defined(hole.top),
            "bottom": defined(hole.bottom),
            "along": defined(hole.along),
            "away": defined(hole.away),
            "water": defined(hole.water),
            "date": hole.date,
            "by": hole.by,
        },
        "factor": defined(hole.factor),
        "extra_m3": defined(hole.extra_m3),
        "poured": hole.poured,
        "verdict": hole.verdict,
        "text": hole.says,
    }
