"""Volumes of piers, bags, and sums by detail."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.order import whole_bags
from layoutdesk.plan.model import BagProduct, Detail, Pier, Plan
from layoutdesk.units import Units

CYLINDER = Detail(id="D1", profile=((0.0, 200.0), (1000.0, 200.0)))
VOLUME = math.pi * 0.1**2
PLAN = Plan(
    units="mm",
    piers=tuple(Pier(id=f"P{k}", at=(2000.0 * k, 0.0), detail="D1") for k in range(3)),
    details=(CYLINDER,),
    bags=(BagProduct(product="bag", yield_m3=0.02),),
)


def test_bags_are_rounded_up_pier_by_pier_and_once_for_the_job() -> None:
    """A pier takes 1.57 bags: two each, five for the three together."""
    concrete = derive(PLAN).concrete
    assert concrete.net_m3 == pytest.approx(3 * VOLUME)
    (order,) = concrete.orders
    assert (order.product, order.yield_m3) == ("bag", 0.02)
    assert order.per_pier == (2, 2, 2)
    assert (order.count_by_pier, order.count_by_job) == (6, 5)


def test_whole_number_of_bags_is_not_rounded_up_by_the_floats_noise() -> None:
    assert whole_bags(3 * 0.1, 0.1) == 3
    assert whole_bags(0.3000001, 0.1) == 4
    assert whole_bags(0.0, 0.1) == 0


@pytest.mark.parametrize(("units", "mass"), [("ft-in", "lb"), ("m", "kg"), ("mm", "kg")])
def test_plans_in_feet_are_offered_bags_in_pounds_and_others_in_kilograms(units: Units, mass: str) -> None:
    orders = derive(replace(PLAN, units=units, bags=())).concrete.orders
    assert orders
    assert all(f" {mass} " in order.product for order in orders)


def test_sunken_top_leaves_out_what_is_above_it() -> None:
    """A reveal of -400 mm: the upper 400 mm of the hole are not filled."""
    sunken = PLAN.with_(details=(replace(CYLINDER, reveal=-400.0),))
    pier = derive(sunken).concrete.piers[0]
    assert pier.below_m3 == pytest.approx(0.6 * VOLUME)
    assert pier.reveal_m3 == 0
    deeper = PLAN.with_(details=(replace(CYLINDER, reveal=-4000.0),))
    assert derive(deeper).concrete.net_m3 == 0


def test_profile_that_begins_below_the_ground_is_a_cylinder_above() -> None:
    low = PLAN.with_(details=(Detail(id="D1", profile=((400.0, 200.0), (1000.0, 200.0))),))
    assert derive(low).concrete.piers[0].below_m3 == pytest.approx(VOLUME)


def test_piers_without_a_known_detail_take_nothing() -> None:
    bare = PLAN.with_(
        piers=(*PLAN.piers, Pier(id="P8", at=(0.0, 9000.0)), Pier(id="P9", at=(0.0, 8000.0), detail="D7"))
    )
    concrete = derive(bare).concrete
    assert [pier.net_m3 for pier in concrete.piers[3:]] == [0, 0]
    assert concrete.orders[0].per_pier == (2, 2, 2, 0, 0)


def test_totals_by_detail_in_the_order_of_the_plan() -> None:
    wide = Detail(id="D2", profile=((0.0, 400.0), (1000.0, 400.0)))
    unused = Detail(id="D3", profile=((0.0, 900.0), (1000.0, 900.0)))
    piers = (
        Pier(id="P1", at=(0.0, 0.0), detail="D1", mark="NE"),
        Pier(id="P2", at=(2000.0, 0.0)),
        Pier(id="P3", at=(4000.0, 0.0), detail="D2"),
        Pier(id="P4", at=(6000.0, 0.0), detail="D1"),
        Pier(id="P5", at=(8000.0, 0.0), detail="D9"),
    )
    totals = derive(PLAN.with_(piers=piers, details=(wide, unused, CYLINDER))).concrete.details
    assert [(t.detail, t.piers) for t in totals] == [("D2", ("P3",)), ("D1", ("NE", "P4")), (None, ("P2", "P5"))]
    assert [t.total_m3 for t in totals] == pytest.approx([4 * VOLUME, 2 * VOLUME, 0])
    assert [(t.depth, t.widest) for t in totals] == [(1000, 400), (1000, 200), (0, 0)]
    assert sum(t.total_m3 for t in totals) == pytest.approx(
        derive(PLAN.with_(piers=piers, details=(wide, CYLINDER))).concrete.net_m3
    )


def test_detail_without_a_profile_takes_nothing() -> None:
    assert derive(PLAN.with_(details=(Detail(id="D1", profile=()),))).concrete.net_m3 == 0
