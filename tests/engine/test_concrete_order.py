"""What is ordered of a plan: simulated, learned from the log, less what was poured; batches, pours and spoil."""

from __future__ import annotations

import math
from dataclasses import astuple, replace

import numpy as np
import pytest

from layoutdesk.engine.concrete.over_dig import OverDig, learned, usual_over_dig
from layoutdesk.engine.concrete.supply import swells
from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes.to_pour import MOST_SIZES, in_sizes
from layoutdesk.engine.layout import Layout
from layoutdesk.engine.order import mass_of
from layoutdesk.plan.model import BagProduct, Detail, DigRule, HoleLog, Holes, Pier, Plan, TruckRule
from layoutdesk.units import KG_PER_POUND, Units

ROUND = Detail(id="D1", profile=((0.0, 300.0), (900.0, 300.0)), reveal=100.0)
PAD = Detail(id="D2", profile=((0.0, 400.0), (600.0, 400.0), (600.0, 700.0), (900.0, 700.0)), square_from=600.0)
TUBED = Detail(id="D3", profile=((0.0, 350.0), (800.0, 350.0)), reveal=200.0, tube=300.0)
DEEP = 900.0


def plan_of(*details: Detail, holes: Holes | None = None, units: Units = "mm") -> Plan:
    """Return one pier for each detail named, P1 and on."""
    piers = tuple(
        Pier(id=f"P{k}", at=(2000.0 * k, -3000.0), detail=detail.id) for k, detail in enumerate(details, start=1)
    )
    known = tuple({detail.id: detail for detail in details}.values())
    return Plan(units=units, rounding=1.0, piers=piers, details=known, holes=holes or Holes())


def dug(pier: str, width: float = 300.0, depth: float = DEEP, *, poured: bool = False) -> HoleLog:
    return HoleLog(pier=pier, depth=depth, top=width, bottom=width, poured=poured)


def cylinder(width: float, height: float) -> float:
    """Return a volume in m³ from mm."""
    return math.pi / 4 * width**2 * height / 1e9


def told(layout: Layout) -> str:
    return " ".join(layout.order.says).replace("\u00a0", " ")


def same(one: OverDig, other: OverDig) -> bool:
    """Return whether two beliefs are the same but for the noise of floats."""
    return astuple(one) == pytest.approx(astuple(other), rel=1e-12)


@pytest.mark.parametrize("units", ["ft-in", "mm"])
def test_chance_of_running_short_equals_100_000_draws(units: Units) -> None:
    """Every hole is drawn by itself; what is in a tube or above the ground is as drawn, a measured hole as dug."""
    holes = Holes(log=(dug("P1", 330.0), dug("P2", 310.0), dug("P3", poured=True)))
    plan = plan_of(*[ROUND] * 5, *[PAD] * 3, *[TUBED] * 4, holes=holes, units=units)
    order = derive(plan).order
    rng = np.random.default_rng(5)
    belief = learned(usual_over_dig(), [(330 / 300) ** 2, (310 / 300) ** 2, 1.0])
    assert same(order.belief, belief)
    formed = 5 * cylinder(300.0, 100.0) - cylinder(300.0, 100.0) + 4 * cylinder(350.0, 500.0)
    known = formed + cylinder(330.0, DEEP) + cylinder(310.0, DEEP)
    pad = cylinder(400.0, 600.0) + 0.7**2 * 0.3
    drawn = np.array([cylinder(300.0, DEEP)] * 2 + [pad] * 3 + [cylinder(350.0, 500.0)] * 4)
    assert order.need is not None
    assert order.need.known == pytest.approx(known, rel=1e-9)
    assert order.need.drawn == pytest.approx(drawn.sum(), rel=1e-9)
    common = rng.normal(belief.middle, belief.common, 100_000)
    own = rng.normal(0.0, belief.own, (100_000, len(drawn)))
    takes = known + np.exp(common) * (np.exp(own) @ drawn)
    for point in order.curve:
        assert point.chance == pytest.approx((takes > point.volume).mean(), abs=0.005)
    assert order.left == tuple(f"P{k}" for k in (1, 2, *range(4, 13)))
    for product in order.products:
        assert product.supply.chance <= order.chance == 0.05
    assert any(point.count == order.products[order.chosen].supply.count for point in order.curve)


def test_orders_are_in_the_order_of_the_bags_and_the_named_one_is_chosen() -> None:
    bags = tuple(BagProduct(product=f"{kg} kg bag", yield_m3=kg / 2100, price=kg / 4) for kg in (20, 40, 25))
    plan = plan_of(*[ROUND] * 4).with_(bags=bags)
    layout = derive(plan)
    assert [p.bag.product for p in layout.order.products] == [o.product for o in layout.concrete.orders]
    assert layout.order.chosen == 1
    named = derive(plan.with_(holes=Holes(dig=DigRule(bag="25 kg bag"))))
    assert named.order.chosen == 2
    assert "25 kg bag) make" in told(named)
    gone = derive(plan.with_(holes=Holes(dig=DigRule(bag="30 kg bag"))))
    assert gone.order.chosen == 1
    assert "There is no bag “30 kg bag” any more: 40 kg bag is reckoned with." in told(gone)


def test_costs_are_told_once_both_prices_are_known() -> None:
    bag = BagProduct(product="40 kg bag", yield_m3=0.019, price=9.0)
    truck = TruckRule(step_m3=0.25, price_m3=150.0, minimum_m3=1.0, full_m3=3.0, short_load_fee=80.0)
    plan = plan_of(*[ROUND] * 9).with_(bags=(bag,))
    never = derive(plan.with_(holes=Holes(truck=TruckRule(step_m3=1e-6))))
    assert never.order.truck is None
    assert "40 kg bag) make" in told(never)
    unknown, known = derive(plan), derive(plan.with_(holes=Holes(truck=truck)))
    assert "less than" not in told(unknown)
    assert "cost 0" not in told(unknown)
    assert known.order.truck is not None
    assert known.order.truck.fee == 80.0
    assert known.order.truck.volume == pytest.approx(1.0)
    assert "80 of it because the load is short" in told(known)
    assert "less than" in told(known)


def test_mixer_water_cold_joint_and_pours_are_told() -> None:
    """A mixer that takes two bags of 19 l, ten minutes each; a pour of 0.15 m³ takes two piers of 0.077 m³."""
    dig = DigRule(over_dig=0.0, own=0.0, common=0.0, batch_m3=0.04, minutes=40.0, pour_m3=0.15)
    bag = BagProduct(product="40 kg bag", yield_m3=0.019, mass_kg=40.0)
    order = derive(plan_of(*[ROUND] * 5, holes=Holes(dig=dig)).with_(bags=(bag,))).order
    takes = cylinder(300.0, 1000.0)
    assert order.products[0].supply.count == math.ceil(5 * takes / 0.019)
    assert order.batches is not None
    assert (order.batches.bags, order.batches.batches) == (2, 10)
    assert [pour for pour, _ in order.pours] == [("P1", "P2"), ("P3", "P4"), ("P5",)]
    assert [volume for _, volume in order.pours] == pytest.approx([2 * takes, 2 * takes, takes])
    said = " ".join(order.says)
    assert (
        "10 batches of 2 bags, the last of 1, each with 6.4 l of water to begin with, never more than 8.8 l" in said
    )
    assert "P1, which takes the most: filled without a cold joint: 40 min" in said
    assert "3 pours of whole piers" in said


@pytest.mark.parametrize(
    ("dig", "sentence"),
    [
        (DigRule(pour_m3=0.05), "P1 and 1 more would get a cold joint"),
        (DigRule(batch_m3=0.01), "take smaller bags"),
        (DigRule(ground="peat"), "How much “peat” swells is not known: common earth is reckoned with."),
        (DigRule(batch_m3=0.02, minutes=60.0), "a cold joint threatens"),
    ],
)
def test_what_does_not_go_is_told_and_the_rest_is_ordered(dig: DigRule, sentence: str) -> None:
    layout = derive(plan_of(ROUND, ROUND, holes=Holes(dig=dig)))
    assert sentence in told(layout)
    assert layout.order.products[0].supply.count > 0
    assert not layout.order.trouble


def test_poured_holes_are_left_out_until_nothing_is_left() -> None:
    log = tuple(dug(f"P{k}", poured=True) for k in (1, 2))
    order = derive(plan_of(ROUND, ROUND, holes=Holes(log=log))).order
    assert (order.left, order.pours) == ((), ())
    assert order.need is not None
    assert order.need.mean == 0
    assert order.products[0].supply.count == 0
    assert "Nothing is left to pour." in order.says
    assert order.spoil_loose == pytest.approx(2 * cylinder(300.0, DEEP) * (1 + swells()["common earth"]))


def test_a_slip_of_the_log_and_a_hole_half_dug_are_no_measures() -> None:
    log = (dug("P1", 3000.0), dug("P2", 300.0, 500.0), dug("P3", 300.0, 1000.0))
    layout = derive(plan_of(*[ROUND] * 4, holes=Holes(log=log)))
    order = layout.order
    assert same(order.belief, learned(usual_over_dig(), [1000 / 900]))
    assert order.need is not None
    assert order.need.drawn == pytest.approx(3 * cylinder(300.0, DEEP))
    assert order.need.known == pytest.approx(3 * cylinder(300.0, 100.0) + cylinder(300.0, 1100.0))
    assert "P1: reckoned as drawn, for the measures logged cannot be right." in told(layout)
    assert "P2: reckoned as drawn, for the hole is not as deep as planned yet." in told(layout)


def test_factor_of_a_hole_with_a_tube_is_that_of_what_stands_against_the_earth() -> None:
    """Dug 420 mm wide around a tube to 300 mm: only the 500 mm below the tube are bigger, by (420 / 350)²."""
    layout = derive(plan_of(TUBED, TUBED, holes=Holes(log=(dug("P1", 420.0, 800.0),))))
    assert same(layout.order.belief, learned(usual_over_dig(), [(420 / 350) ** 2]))


def test_figures_beyond_sense_are_told_in_one_sentence() -> None:
    wild = derive(plan_of(ROUND, holes=Holes(dig=DigRule(over_dig=5.0)))).order
    assert wild.trouble == "A hole 500% bigger than drawn cannot be reckoned with."
    assert (wild.products, wild.need) == ((), None)
    tiny = derive(plan_of(ROUND).with_(bags=(BagProduct(product="thimble", yield_m3=1e-8, mass_kg=1e-5),))).order
    assert tiny.trouble.startswith("This job takes more than 100,000 bags")
    assert tiny.truck is not None


def test_a_plan_without_piers_orders_nothing() -> None:
    order = derive(Plan()).order
    assert (order.left, order.trouble, order.pours) == ((), "", ())
    assert all(product.supply.count == 0 for product in order.products)


def test_volumes_of_very_many_sizes_keep_their_sum_and_their_spread() -> None:
    rng = np.random.default_rng(3)
    volumes = rng.uniform(0.03, 0.4, 5000).tolist()
    grouped = in_sizes(volumes)
    assert len(grouped) == 5000
    assert len(set(grouped)) <= MOST_SIZES + 1
    assert math.fsum(grouped) == pytest.approx(math.fsum(volumes), rel=1e-12)
    assert math.fsum(v * v for v in grouped) == pytest.approx(math.fsum(v * v for v in volumes), rel=1e-3)
    assert in_sizes(volumes[:20]) == volumes[:20]


@pytest.mark.parametrize(
    ("bag", "mass"),
    [
        (BagProduct(product="80 lb bag", yield_m3=0.017), 80 * KG_PER_POUND),
        (BagProduct(product="sack of 25 kg", yield_m3=0.012), 25.0),
        (BagProduct(product="17.5 kg", yield_m3=0.012), 17.5),
        (BagProduct(product="80 lb bag", yield_m3=0.017, mass_kg=36.0), 36.0),
        (BagProduct(product="big bag", yield_m3=0.5), 1068.0),
    ],
)
def test_mass_of_a_bag_is_typed_named_or_reckoned(bag: BagProduct, mass: float) -> None:
    assert mass_of(bag) == pytest.approx(mass)
    assert mass_of(replace(bag, mass_kg=11.0)) == 11.0
