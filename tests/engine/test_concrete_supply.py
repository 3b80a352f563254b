"""Bags beside a truck, batches, and pours of whole piers."""

from __future__ import annotations

import itertools

import pytest

from layoutdesk.engine.concrete.density import fresh_density
from layoutdesk.engine.concrete.over_dig import over_dig, usual_over_dig
from layoutdesk.engine.concrete.pours import (
    Mixer,
    batches,
    joint_sentence,
    minutes_to_fill,
    pours,
    usual_water,
    workable_minutes,
)
from layoutdesk.engine.concrete.shortage import need
from layoutdesk.engine.concrete.supply import (
    Bag,
    Truck,
    bags_counted,
    by_bags,
    by_truck,
    supply_sentences,
)
from layoutdesk.engine.reckoning import ReckoningError

BAG = Bag("40 kg bag", 0.019, 40.0, 8.0)
TRUCK = Truck(step_m3=0.25, price_m3=150.0, minimum_m3=1.0, full_m3=3.0, short_load_fee=90.0)
SURE = over_dig(allowance=0.0, own=0.0, common=0.0, weight=1)


def test_bags_meet_the_chance_and_one_fewer_does_not() -> None:
    wanted = need([0.08] * 8, usual_over_dig())
    order = by_bags(wanted, BAG, chance=0.05)
    assert order.chance <= 0.05 < bags_counted(wanted, BAG, order.count - 1).chance
    assert order.carried_kg == 40 * order.count
    assert order.cost == 8 * order.count
    assert order.left_over == pytest.approx(order.volume - wanted.mean)


@pytest.mark.parametrize(
    ("takes", "ordered", "fee"), [(0.2, 1.0, 90), (1.1, 1.25, 90), (2.99, 3.0, 0), (3.0, 3.0, 0), (7.3, 7.5, 0)]
)
def test_truck_brings_whole_steps_its_least_and_a_fee_for_a_short_load(
    takes: float, ordered: float, fee: float
) -> None:
    order = by_truck(need([takes], SURE), TRUCK, chance=0.05)
    assert order.volume == pytest.approx(ordered)
    assert order.fee == fee
    assert order.cost == pytest.approx(ordered * 150 + fee)
    assert order.carried_kg == pytest.approx(takes * fresh_density())


def test_a_job_without_holes_orders_nothing() -> None:
    nothing = need([], SURE)
    assert by_truck(nothing, TRUCK, chance=0.05).cost == 0
    assert by_bags(nothing, BAG, chance=0.05).count == 0


@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_both_orders_are_told_in_sentences(units: str) -> None:
    wanted = need([0.08] * 8, usual_over_dig())
    bags, truck = by_bags(wanted, BAG, chance=0.05), by_truck(wanted, TRUCK, chance=0.05)
    told = supply_sentences(wanted, BAG, bags, truck, "ft-in" if units == "ft-in" else "m")
    assert len(told) == 4
    assert f"{bags.count} bags (40 kg bag)" in told[1]
    assert "90 of it because the load is short" in told[2]
    assert " less than " in told[3]
    assert all((" lb" in line) == (units == "ft-in") for line in told[1:3])


@pytest.mark.parametrize(
    "truck", [Truck(0.0), Truck(0.25, -1.0), Truck(0.25, 1.0, -1.0), Truck(1e-9, minimum_m3=1)]
)
def test_senseless_truck_is_refused(truck: Truck) -> None:
    with pytest.raises(ReckoningError):
        by_truck(need([1.0], SURE), truck, chance=0.05)


def test_bag_without_mass_is_refused() -> None:
    with pytest.raises(ReckoningError, match="mass"):
        by_bags(need([1.0], SURE), Bag("bag", 0.019, 0.0), chance=0.05)


def test_batches_are_of_whole_bags() -> None:
    found = batches(Mixer(0.085), count=18, yield_m3=0.019, mass_kg=40, water=(3.0, 4.5))
    assert (found.bags, found.batches, found.last) == (4, 5, 2)
    assert (found.water_least, found.water_most) == (12.0, 18.0)
    usual = batches(Mixer(0.085), count=0, yield_m3=0.019, mass_kg=40)
    assert (usual.batches, usual.last) == (0, 0)
    assert usual.water_least == pytest.approx(4 * 40 * usual_water()[0])


def test_mixer_too_small_for_a_bag_is_refused() -> None:
    with pytest.raises(ReckoningError, match="smaller bags"):
        batches(Mixer(0.01), count=3, yield_m3=0.019, mass_kg=40)
    with pytest.raises(ReckoningError, match="smaller bags"):
        minutes_to_fill(1.0, Mixer(0.01), yield_m3=0.019)
    with pytest.raises(ReckoningError, match="water"):
        batches(Mixer(0.1), count=3, yield_m3=0.019, mass_kg=40, water=(4.0, 3.0))


@pytest.mark.parametrize("volumes", [[0.3, 0.3, 0.3, 0.5, 0.2, 0.9, 0.1, 0.0], [0.25] * 9, [1.0], [0.1] * 10])
def test_pours_take_whole_piers_in_order_and_are_the_fewest(volumes: list[float]) -> None:
    """Oracle: every way to cut the row of piers."""
    found = pours(volumes, most=1.0)
    assert [k for pour in found for k in pour.piers] == list(range(len(volumes)))
    assert all(pour.volume <= 1.0 + 1e-9 for pour in found)
    n = len(volumes)
    fewest = next(
        size
        for size in range(1, n + 1)
        for cuts in itertools.combinations(range(1, n), size - 1)
        if all(sum(volumes[a:b]) <= 1.0 + 1e-9 for a, b in itertools.pairwise((0, *cuts, n)))
    )
    assert len(found) == fewest


def test_pier_bigger_than_a_pour_is_refused() -> None:
    with pytest.raises(ReckoningError, match=r"Pier 2 takes 1\.5 times"):
        pours([0.2, 1.5], most=1.0)
    assert pours([], most=1.0) == ()


def test_cold_joint_is_told_before_it_happens() -> None:
    """0.5 m³ in batches of four bags of 19 litres: seven batches, six pauses."""
    minutes = minutes_to_fill(0.5, Mixer(0.08, minutes=8), yield_m3=0.019)
    assert minutes == 48
    assert joint_sentence(minutes).startswith("Filled without a cold joint: 48 min")
    assert joint_sentence(minutes, limit=40).startswith("A cold joint threatens")
    assert joint_sentence(0.0).endswith("one batch fills it.")
    assert workable_minutes() == 60
    assert minutes_to_fill(0.0, Mixer(0.08), yield_m3=0.019) == 0
