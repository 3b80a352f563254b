"""Layouts whose rows of holes, steel, sawing and concrete are made by hand, for pages that show them."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

from layoutdesk.engine.concrete.over_dig import usual_over_dig
from layoutdesk.engine.concrete.pours import Mixer, batches
from layoutdesk.engine.concrete.sections import Part
from layoutdesk.engine.concrete.shortage import count_for, counts_and_chances, need
from layoutdesk.engine.concrete.supply import Bag, Truck, bags_counted, by_truck
from layoutdesk.engine.cutting.contract import CutPiece, Cutting, Stock
from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import (
    ConcreteOrder,
    HoleCover,
    HoleRow,
    Layout,
    Opening,
    PierSteel,
    ProductOrder,
    SawCut,
    Section,
    SectionBar,
    SteelList,
    SteelSize,
)
from layoutdesk.engine.steel.cage import Pieces
from layoutdesk.engine.steel.sizes import bar
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.holes import CastIn, Steel
from layoutdesk.plan.model import Detail, Plan

FOOT = 304.8


class ByHand:
    """A layout with some of its topics made by hand."""

    def __init__(self, layout: Layout, **topics: Any) -> None:
        self._layout = layout
        self._topics = topics

    def __getattr__(self, name: str) -> Any:
        return self._topics[name] if name in self._topics else getattr(self._layout, name)

    @property
    def on_site(self) -> ByHand:
        return self


def details(*, metric: bool = False) -> tuple[Detail, ...]:
    """Return four details: a tube with a cage, a bell with a post, a square pad under a pedestal, a plain hole."""
    f = 300.0 if metric else FOOT
    steel = Steel() if not metric else Steel(bar="12 mm", hoop="10 mm", cover=75.0, cover_ends=75.0, spacing=300.0)
    return (
        Detail(id="D1", profile=((0.0, f), (3.5 * f, f)), reveal=f / 2, tube=f, cast_in=CastIn(), steel=steel),
        Detail(
            id="D2",
            profile=((0.0, f), (2 * f, f), (3 * f, 2 * f), (3.25 * f, 2 * f)),
            cast_in=CastIn(kind="post", foot=2 * f),
        ),
        Detail(
            id="D3",
            profile=((0.0, f), (2.5 * f, f), (2.5 * f, 2 * f), (3.5 * f, 2 * f)),
            square_from=2.5 * f,
            reveal=f / 4,
            steel=steel,
        ),
        Detail(id="D4", profile=((0.0, 1.3 * f), (2.67 * f, f))),
    )


def section(detail: Detail) -> Section:
    """Return a section of a detail, its bars 3 in inside."""
    parts = []
    profile = [(-detail.reveal, detail.profile[0][1]), *detail.profile]
    for (z1, w1), (z2, w2) in itertools.pairwise(profile):
        if z2 > z1:
            square = detail.square_from is not None and z1 >= detail.square_from
            parts.append(Part(z1, z2, w1, w2, "square" if square else "round"))
    top, bottom = -detail.reveal, detail.profile[-1][0]
    cast, steel = detail.cast_in, detail.steel
    wide = detail.profile[0][1] - 2 * 76.2
    bars = tuple(
        SectionBar(x * (wide / 2 - 15), top + 76.2, bottom - 76.2, 12.7, 100.0 * x if detail.id == "D3" else 0.0)
        for x in (-1, -0.1, 0.1, 1)
    )
    count = max(2, math.ceil((bottom - top - 300) / 304.8) + 1)
    hoops = tuple(top + 152.4 + k * (bottom - top - 304.8) / (count - 1) for k in range(count))
    return Section(
        detail=detail.id,
        parts=tuple(parts),
        top=top,
        bottom=bottom,
        tube=(top, detail.tube) if detail.tube is not None else None,
        cast_in=(top, top + cast.foot, cast.width, cast.kind) if cast else None,
        bars=bars if steel else (),
        hoops=hoops if steel else (),
        hoop_width=wide if steel else 0.0,
        hoop_diameter=9.5 if steel else 0.0,
        cover=(76.2, 76.2, 76.2) if steel else None,
        says=(),
        steel_says=(
            "4 bars No. 4 on a circle of 4 5/16″ stand 2 7/8″ apart, clear; the least is 1″.",
            "Cover beside the hoops is 3″, against earth 3″ is wanted (ACI 318-19, 20.5.1.3).",
        )
        if steel
        else (),
        pieces_say=(),
        gross_m3=0.0,
        trouble="",
    )


def with_details(plan: Plan, *, metric: bool = False) -> Plan:
    """Return a plan whose piers have the details by turns."""
    some = details(metric=metric)
    piers = tuple(replace(pier, detail=some[k % len(some)].id) for k, pier in enumerate(plan.piers))
    return plan.with_(details=some, piers=piers)


def steel_of(plan: Plan) -> SteelList:
    """Return the steel of a plan: four bars and five hoops in every pier that has any."""
    has = {detail.id for detail in plan.details if detail.steel}
    kinds = (Pieces("bar", bar("No. 4"), 4, 1270.0), Pieces("hoop", bar("No. 3"), 5, 700.0))
    piers = tuple(
        PierSteel(p.id, p.label, p.detail, kinds if p.detail in has else (), 5.0 if p.detail in has else 0.0)
        for p in plan.piers
    )
    n = sum(1 for pier in piers if pier.kinds)
    stock = Stock(20 * FOOT)
    cutting = Cutting(
        tuple(CutPiece(stock, ("D1 bar",) * 3 + ("D3 bar",), 800.0) for _ in range(n)),
        cost=n * 20 * FOOT,
        bound=n * 20 * FOOT,
        proven=True,
        waste=n * 800.0,
        says="No way of cutting takes less stock.",
    )
    sizes = (
        SteelSize("No. 4", 4 * n, 4 * n * 1270.0, 4 * n * 1.26, (20 * FOOT,), cutting, ""),
        SteelSize("No. 3", 5 * n, 5 * n * 700.0, 5 * n * 0.39, (20 * FOOT,), cutting, ""),
    )
    listed = tuple((detail, Pieces(k.what, k.bar, k.count * n, k.cut)) for detail in sorted(has) for k in kinds)
    return SteelList(piers, listed if n else (), sizes if n else (), 7.0 * n)


def order_of(plan: Plan, *, volume: float = 0.08) -> ConcreteOrder:
    """Return an order for every pier of a plan."""
    wanted = need([volume] * len(plan.piers), usual_over_dig())
    bags = (Bag("80 lb bag", 0.0170, 36.3, 6.5), Bag("60 lb bag", 0.0127, 27.2))
    products = tuple(ProductOrder(b, bags_counted(wanted, b, count_for(wanted, b.yield_m3, 0.05))) for b in bags)
    labels = tuple(pier.label for pier in plan.piers)
    return ConcreteOrder(
        need=wanted,
        belief=usual_over_dig(),
        chance=0.05,
        products=products,
        chosen=0,
        truck=by_truck(wanted, Truck(0.191, 220.0, 0.76, 3.0, 150.0), chance=0.05),
        curve=counts_and_chances(wanted, 0.0170),
        batches=batches(Mixer(0.08), count=products[0].supply.count, yield_m3=0.017, mass_kg=36.3),
        pours=tuple((labels[k : k + 4], 0.32) for k in range(0, len(labels), 4)),
        spoil_loose=1.2,
        says=(
            "Holes are reckoned to come out 10% bigger than drawn: common practice, no source.",
            "12 batches of 4 bags, each with 12.0 to 15.1 l of water; never more, whatever the barrow looks like.",
            "Filled without a cold joint: 10 min from its first batch to its last, within 45 min.",
        ),
        trouble="",
        left=labels,
    )


def openings_of(plan: Plan, *, side: float = 500.0) -> tuple[Opening, ...]:
    """Return a square opening round every pier, all of them in the first slab."""
    found = []
    for n, pier in enumerate(plan.piers, start=1):
        (x, y), h = pier.at, side / 2
        ring: tuple[Vector, ...] = ((x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h))
        cuts = tuple(SawCut((a, b), side, 3) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))
        inner = (SawCut(((x, y - h), (x, y + h)), side, 3),)
        found.append(
            Opening(
                f"O{n}",
                plan.slabs[0].id,
                (pier.label,),
                (pier.id,),
                ring,
                side * side,
                cuts,
                inner,
                5 * side,
                2,
                31.0,
                0.025,
                "Two pieces, the heavier of 31 kg.",
            )
        )
    return tuple(found)


def holes_of(plan: Plan) -> tuple[HoleRow, ...]:
    """Return a row for every pier, every third of them logged."""
    rows = []
    for n, pier in enumerate(plan.piers):
        logged = n % 3 == 0
        rows.append(
            HoleRow(
                pier.id,
                pier.label,
                1066.8,
                304.8,
                304.8,
                1117.6 if logged else None,
                330.2 if logged else None,
                304.8 if logged else None,
                12.7 if logged else None,
                -6.35 if logged else None,
                25.4 * (n % 2) if logged else None,
                1.12 if logged else None,
                0.01 if logged else None,
                poured=n == 3,
                date="2026-11-25" if logged else "",
                by="R. Mason" if logged else "",
                verdict="not logged" if not logged else "to mend" if n % 2 else "good",
                says=""
                if not logged
                else "2″ deeper than planned: good, and takes 0.3 cu ft more. Centre ½″ off, within 1″.",
            )
        )
    return tuple(rows)


def by_hand(plan: Plan, **topics: Any) -> Any:
    """Return a layout with all of it made by hand."""
    labels = tuple(pier.label for pier in plan.piers)
    made: dict[str, Any] = {
        "sections": tuple(section(detail) for detail in plan.details if detail.profile),
        "steel": steel_of(plan),
        "order": order_of(plan),
        "openings": openings_of(plan) if plan.slabs else (),
        "holes": holes_of(plan),
        "covers": (HoleCover(600.0, "HOLE", labels),) if labels else (),
    }
    return ByHand(derive(plan), **{**made, **topics})
