"""Bags beside a truck: how much of each meets a chosen chance, what it costs and what is to be carried."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.concrete.density import fresh_density
from layoutdesk.engine.concrete.shortage import MOST_COUNTS, Need, count_for
from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.shipped import shipped
from layoutdesk.units import Units, format_load, format_mass, format_volume

_NOISE: Final = 1e-9


def swells() -> dict[str, float]:
    """Return by which share each kind of ground grows when it is dug; sources in the file of figures."""
    return {entry["ground"]: float(entry["swell"]) for entry in shipped("holes")["swell"]}


@dataclass(frozen=True, slots=True)
class Bag:
    """A bag of mix: what it makes in m³, its mass in kg and its price in the money of the job."""

    product: str
    yield_m3: float
    mass_kg: float
    price: float = 0.0


@dataclass(frozen=True, slots=True)
class Truck:
    """Concrete that comes mixed.

    Attributes:
        step_m3: an order is a whole number of these.
        price_m3: of one m³.
        minimum_m3: the least that is brought.
        full_m3: an order below this pays the fee for a short load.
        short_load_fee: that fee, once for the order.
    """

    step_m3: float
    price_m3: float = 0.0
    minimum_m3: float = 0.0
    full_m3: float = 0.0
    short_load_fee: float = 0.0


@dataclass(frozen=True, slots=True)
class Supply:
    """An order that meets the chosen chance.

    Attributes:
        count: bags, or steps of the truck's order.
        volume: what it makes, in m³.
        chance: of running short, in shares of one.
        cost: in the money of the job.
        fee: the part of the cost that is paid because the load is short.
        carried_kg: what is carried to the holes: bags as they are, or fresh concrete by the barrow.
        left_over: what remains on average, in m³; nought where the holes take more.
    """

    count: int
    volume: float
    chance: float
    cost: float
    fee: float
    carried_kg: float
    left_over: float


def by_bags(wanted: Need, bag: Bag, *, chance: float) -> Supply:
    """Return the bags that are short with no more than a chance.

    Raises:
        ReckoningError: for a bag that makes or weighs nothing.
    """
    more_than_nothing("The mass of a bag", bag.mass_kg)
    not_negative("The price of a bag", bag.price)
    return bags_counted(wanted, bag, count_for(wanted, bag.yield_m3, chance))


def bags_counted(wanted: Need, bag: Bag, count: int) -> Supply:
    """Return what a number of bags means."""
    volume = count * bag.yield_m3
    return Supply(
        count=count,
        volume=volume,
        chance=float(wanted.chance_short(volume)),
        cost=count * bag.price,
        fee=0.0,
        carried_kg=count * bag.mass_kg,
        left_over=max(0.0, volume - wanted.mean),
    )


def by_truck(wanted: Need, truck: Truck, *, chance: float, density: float | None = None) -> Supply:
    """Return the order from a truck that is short with no more than a chance.

    Args:
        wanted: what the holes may take.
        truck: how it is ordered and paid.
        chance: of running short, in shares of one.
        density: of fresh concrete in kg/m³; None for the usual.

    Raises:
        ReckoningError: for a step of nothing, or a negative price.
    """
    step = more_than_nothing("The step of an order", truck.step_m3)
    for name, value in (
        ("The price of concrete", truck.price_m3),
        ("The least order", truck.minimum_m3),
        ("A full load", truck.full_m3),
        ("The fee for a short load", truck.short_load_fee),
    ):
        not_negative(name, value)
    steps = count_for(wanted, step, chance)
    if steps:
        steps = max(steps, math.ceil(truck.minimum_m3 / step - _NOISE))
    if steps > MOST_COUNTS:
        raise ReckoningError("The least order is more than 100,000 of its steps.")
    volume = steps * step
    fee = truck.short_load_fee if 0 < volume < truck.full_m3 * (1 - _NOISE) else 0.0
    return Supply(
        count=steps,
        volume=volume,
        chance=float(wanted.chance_short(volume)),
        cost=volume * truck.price_m3 + fee,
        fee=fee,
        carried_kg=min(volume, wanted.mean) * (fresh_density() if density is None else density),
        left_over=max(0.0, volume - wanted.mean),
    )


def supply_sentences(wanted: Need, bag: Bag, bags: Supply, truck: Supply | None, units: Units) -> Sequence[str]:
    """Return both orders and what sets them apart, a sentence each; of what has no price no cost is told.

    ``truck`` is None where none can be ordered.
    """
    drawn = format_volume(wanted.drawn + wanted.known, units)
    one = bags.count == 1
    some, make, run = ("1 bag", "makes", "runs") if one else (f"{bags.count:,} bags", "make", "run")
    mean = format_volume(wanted.mean, units)
    holes = f"The holes take {drawn} as drawn or measured, and {mean} on average as they come out."
    in_bags = (
        f"{some} ({bag.product}) {make} {format_volume(bags.volume, units)} and {run} short "
        f"{_chance(bags.chance)}: {format_mass(bags.carried_kg, units)} to carry{_cost(bags)}."
    )
    if truck is None:
        return [holes, in_bags]
    mixed = (
        f"A truck with {format_load(truck.volume, units)} runs short {_chance(truck.chance)}: "
        f"{format_mass(truck.carried_kg, units)} to wheel{_cost(truck)}."
    )
    found = [holes, in_bags, mixed]
    if min(bags.cost, truck.cost - truck.fee) > 0 and bags.cost != truck.cost:
        cheaper, other = ("Bags", "the truck") if bags.cost < truck.cost else ("The truck", "bags")
        verb = "cost" if cheaper == "Bags" else "costs"
        found.append(f"{cheaper} {verb} {abs(bags.cost - truck.cost):,.0f} less than {other}.")
    return found


def _cost(order: Supply) -> str:
    """Return what an order costs, to go on with in a sentence; nothing while no price is known."""
    if order.cost - order.fee <= 0:
        return ""
    fee = f", {order.fee:,.0f} of it because the load is short" if order.fee else ""
    return f", cost {order.cost:,.0f}{fee}"


def _chance(chance: float) -> str:
    """Return a chance in words, in hundredths."""
    if chance < 0.005:
        return "in fewer than 1 of 100 such jobs"
    return f"in {min(99, round(100 * chance))} of 100 such jobs"
