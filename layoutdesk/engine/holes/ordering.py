"""What concrete to order: from the holes as drawn and as they were dug to bags, a truck, batches and pours."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from layoutdesk.engine.concrete.over_dig import OverDig, usual_over_dig
from layoutdesk.engine.concrete.pours import Batches, Mixer, batches, pours
from layoutdesk.engine.concrete.shortage import CountChance, Need, counts_and_chances, need
from layoutdesk.engine.concrete.supply import Bag, Supply, Truck, by_bags, by_truck
from layoutdesk.engine.holes.entries import ConcreteOrder, HoleRow, ProductOrder
from layoutdesk.engine.holes.hole_words import chosen_bag
from layoutdesk.engine.holes.order_words import order_sentences, pour_trouble
from layoutdesk.engine.holes.to_pour import ToPour, belief_of, in_sizes, loose_spoil, measured_of, to_pour
from layoutdesk.engine.layout import PierHeight
from layoutdesk.engine.order import bags_of, mass_of
from layoutdesk.engine.piers import volumes_of
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.plan.model import Plan

_MOST_POINTS: Final = 400
"""A curve of more counts than this shows only some of them."""


def concrete_order(plan: Plan, heights: Sequence[PierHeight] = (), holes: Sequence[HoleRow] = ()) -> ConcreteOrder:
    """Return how much concrete to order at the chance of running short that the plan bears.

    Args:
        plan: the plan.
        heights: of every pier in plan order, or none where the plan says nothing of heights.
        holes: as they were dug, or none where nothing was logged.
    """
    volumes = volumes_of(plan, heights)
    measured = measured_of(plan, volumes, holes)
    left = to_pour(plan, volumes, measured.rows)
    bags = _bags(plan)
    order = ConcreteOrder(
        need=None,
        belief=usual_over_dig(),
        chance=plan.holes.dig.chance,
        products=(),
        chosen=bags_of(plan).index(chosen_bag(plan)),
        truck=None,
        curve=(),
        batches=None,
        pours=(),
        spoil_loose=0.0,
        says=(),
        trouble="",
        left=tuple(pier.label for pier in left),
    )
    try:
        belief = belief_of(plan.holes.dig, measured.factors)
        known = math.fsum(pier.known for pier in left)
        wanted = need(in_sizes([pier.drawn for pier in left if pier.drawn > 0]), belief, known=known)
    except ReckoningError as trouble:
        return replace(order, trouble=str(trouble))
    order = replace(
        order,
        need=wanted,
        belief=belief,
        truck=_truck(plan, wanted),
        pours=_pours(plan, left, belief),
        spoil_loose=loose_spoil(plan, volumes, measured.rows, belief),
    )
    try:
        products = tuple(ProductOrder(bag, by_bags(wanted, bag, chance=order.chance)) for bag in bags)
        curve = _curve(wanted, products[order.chosen])
    except ReckoningError as trouble:
        order = replace(order, trouble=str(trouble))
    else:
        order = replace(order, products=products, curve=curve, batches=_batches(plan, products[order.chosen]))
    return replace(order, says=tuple(order_sentences(plan, order, left, measured)))


def _bags(plan: Plan) -> tuple[Bag, ...]:
    return tuple(Bag(bag.product, bag.yield_m3, mass_of(bag), bag.price) for bag in bags_of(plan))


def _curve(wanted: Need, order: ProductOrder) -> tuple[CountChance, ...]:
    """Return the chance for every count that matters, for some of them where there are very many."""
    points = counts_and_chances(wanted, order.bag.yield_m3)
    every = math.ceil(len(points) / _MOST_POINTS)
    last = points[-1].count
    return tuple(p for k, p in enumerate(points) if k % every == 0 or p.count in (order.supply.count, last))


def _truck(plan: Plan, wanted: Need) -> Supply | None:
    """Return the order from a truck; None where one cannot be ordered so."""
    rule = plan.holes.truck
    truck = Truck(rule.step_m3, rule.price_m3, rule.minimum_m3, rule.full_m3, rule.short_load_fee)
    try:
        return by_truck(wanted, truck, chance=plan.holes.dig.chance)
    except ReckoningError:
        return None


def _batches(plan: Plan, order: ProductOrder) -> Batches | None:
    """Return the batches of the product that is bought; None without a mixer, or where it holds less than a bag."""
    dig, bag = plan.holes.dig, order.bag
    if dig.batch_m3 is None:
        return None
    try:
        return batches(
            Mixer(dig.batch_m3, dig.minutes), count=order.supply.count, yield_m3=bag.yield_m3, mass_kg=bag.mass_kg
        )
    except ReckoningError:
        return None


def _pours(plan: Plan, left: Sequence[ToPour], belief: OverDig) -> tuple[tuple[tuple[str, ...], float], ...]:
    """Return whole piers pour by pour; all in one while it is not known what a pour places."""
    if not left:
        return ()
    takes = [pier.mean(belief) for pier in left]
    most = plan.holes.dig.pour_m3
    if most is None:
        return ((tuple(pier.label for pier in left), math.fsum(takes)),)
    if pour_trouble(plan, left, takes):
        return ()
    return tuple((tuple(left[k].label for k in pour.piers), pour.volume) for pour in pours(takes, most=most))
