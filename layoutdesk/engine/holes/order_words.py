"""What there is to say of an order of concrete: bags beside a truck, batches and water, pours, and spoil."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.concrete.over_dig import over_dig_sentence
from layoutdesk.engine.concrete.pours import Mixer, batches, joint_sentence, minutes_to_fill
from layoutdesk.engine.concrete.supply import Bag, supply_sentences, swells
from layoutdesk.engine.holes.entries import ConcreteOrder
from layoutdesk.engine.holes.to_pour import USUAL_GROUND, Measured, ToPour
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_volume, format_water

_HAIR: Final = 1e-9
_MOST_LABELS: Final = 6


def order_sentences(plan: Plan, order: ConcreteOrder, left: Sequence[ToPour], measured: Measured) -> Iterator[str]:
    """Yield what there is to say of an order, one sentence each.

    Args:
        plan: the plan.
        order: the rest of the order.
        left: the piers to be poured.
        measured: the holes that were measured.
    """
    yield from _bag_that_is_not_there(plan, order)
    if measured.slips:
        yield f"{_some(measured.slips)}: reckoned as drawn, for the measures logged cannot be right."
    if measured.shallow:
        yield f"{_some(measured.shallow)}: reckoned as drawn, for the hole is not as deep as planned yet."
    dig = plan.holes.dig
    yield over_dig_sentence(order.belief, typed=(dig.over_dig, dig.own, dig.common) != (None, None, None))
    if not left:
        yield "Nothing is left to pour."
    elif order.need is not None:
        if order.products:
            product = order.products[order.chosen]
            yield from supply_sentences(order.need, product.bag, product.supply, order.truck, plan.units)
            yield from _mixing(plan, product.bag, product.supply.count, order, left)
        yield from _pouring(plan, order, left)
    yield from _spoil(plan, order)


def _some(labels: Sequence[str]) -> str:
    """Return the first few labels, and how many there are besides."""
    more = len(labels) - _MOST_LABELS
    return ", ".join(labels[:_MOST_LABELS]) + (f" and {more:,} more" if more > 0 else "")


def _bag_that_is_not_there(plan: Plan, order: ConcreteOrder) -> Iterator[str]:
    named = plan.holes.dig.bag
    if named and order.products and order.products[order.chosen].bag.product != named:
        yield f"There is no bag “{named}” any more: {order.products[order.chosen].bag.product} is reckoned with."


def _mixing(plan: Plan, bag: Bag, count: int, order: ConcreteOrder, left: Sequence[ToPour]) -> Iterator[str]:
    """Yield how the mixer is charged, and whether the largest pier is filled before its first batch sets."""
    dig = plan.holes.dig
    if dig.batch_m3 is None:
        return
    mixer = Mixer(dig.batch_m3, dig.minutes)
    try:
        found = batches(mixer, count=count, yield_m3=bag.yield_m3, mass_kg=bag.mass_kg)
        largest = max(left, key=lambda pier: pier.mean(order.belief))
        minutes = minutes_to_fill(largest.mean(order.belief), mixer, yield_m3=bag.yield_m3)
    except ReckoningError as trouble:
        yield str(trouble)
        return
    water = f"{format_water(found.water_least, plan.units)} of water to begin with"
    most = format_water(found.water_most, plan.units)
    bags = "1 bag" if found.bags == 1 else f"{found.bags} bags"
    last = f", the last of {found.last}" if found.last != found.bags else ""
    yield f"{found.batches} batches of {bags}{last}, each with {water}, never more than {most}: read the bag."
    said = joint_sentence(minutes)
    yield f"{largest.label}, which takes the most: {said[0].lower()}{said[1:]}"


def _pouring(plan: Plan, order: ConcreteOrder, left: Sequence[ToPour]) -> Iterator[str]:
    """Yield how many pours there are, or which pier is more than one."""
    most = plan.holes.dig.pour_m3
    if most is None:
        return
    trouble = pour_trouble(plan, left, [pier.mean(order.belief) for pier in left])
    if trouble:
        yield trouble
    elif len(order.pours) == 1:
        yield f"One pour fills all that is left, at {format_volume(most, plan.units)} to a pour."
    else:
        yield (
            f"{len(order.pours)} pours of whole piers, at {format_volume(most, plan.units)} to a pour: "
            "no pier gets a cold joint between two of them."
        )


def pour_trouble(plan: Plan, left: Sequence[ToPour], takes: Sequence[float]) -> str:
    """Return which pier takes more than one pour places, in one sentence; empty where none does.

    Args:
        plan: says what a pour places.
        left: the piers to be poured.
        takes: what each takes on average, in m³.
    """
    most = plan.holes.dig.pour_m3
    if most is None:
        return ""
    over = [pier.label for pier, volume in zip(left, takes, strict=True) if volume > most * (1 + _HAIR)]
    if not over:
        return ""
    others = f" and {len(over) - 1} more" if len(over) > 1 else ""
    largest = format_volume(max(takes), plan.units)
    return (
        f"{over[0]}{others} would get a cold joint: up to {largest} for a pier, and one pour places "
        f"{format_volume(most, plan.units)}."
    )


def _spoil(plan: Plan, order: ConcreteOrder) -> Iterator[str]:
    """Yield what lies beside the holes."""
    if order.spoil_loose <= 0:
        return
    known, ground = swells(), plan.holes.dig.ground
    if ground not in known:
        yield f"How much “{ground}” swells is not known: {USUAL_GROUND} is reckoned with."
        ground = USUAL_GROUND
    loose = format_volume(order.spoil_loose, plan.units)
    yield f"{loose} of loose spoil lies beside all the holes: {ground} swells by {known[ground]:.0%}."
