"""Bags of concrete: how many of each size, rounded up pier by pier and for the whole job at once."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache
from typing import Final, Literal

from layoutdesk.engine.layout import BagOrder, Concrete, PierHeight
from layoutdesk.engine.piers import detail_totals, pier_volumes
from layoutdesk.engine.shipped import shipped
from layoutdesk.plan.model import BagProduct, Plan
from layoutdesk.units import KG_PER_POUND

DRY_DENSITY: Final = 2136.0
"""Mass in kg of the dry mix that makes one m³: that of 80 lb bags that make 0.6 cubic feet."""
_NOISE: Final = 1e-9
"""A bag count that exceeds a whole number by less than this is that number: it is the float that is off."""


@cache
def stock_bags(system: Literal["imperial", "metric"]) -> tuple[BagProduct, ...]:
    """Return the bags that are offered to a plan that names none of its own, largest first."""
    entries = shipped("concrete")[system]
    return tuple(BagProduct(product=entry["product"], yield_m3=entry["yield_m3"]) for entry in entries)


def bags_of(plan: Plan) -> tuple[BagProduct, ...]:
    """Return the bags a plan reckons with: its own, or else those usual where its units are."""
    return plan.bags or stock_bags("imperial" if plan.units == "ft-in" else "metric")


def mass_of(bag: BagProduct) -> float:
    """Return the mass of a bag in kg: as typed, else as its name tells it, else from what it makes."""
    if bag.mass_kg > 0:
        return bag.mass_kg
    named = re.search(r"(\d+(?:[.,]\d+)?)\s*(lb|kg)\b", bag.product)
    if named is None:
        return bag.yield_m3 * DRY_DENSITY
    value = float(named[1].replace(",", "."))
    return value * KG_PER_POUND if named[2] == "lb" else value


def whole_bags(volume_m3: float, yield_m3: float) -> int:
    """Return how many bags make at least ``volume_m3``."""
    return max(0, math.ceil(volume_m3 / yield_m3 - _NOISE))


def concrete_of(plan: Plan, heights: Sequence[PierHeight] = ()) -> Concrete:
    """Return the concrete of every pier and of the job, and the bags of each product.

    Args:
        plan: the plan.
        heights: of every pier in plan order, or none where the plan says nothing of heights.
    """
    piers = pier_volumes(plan, heights)
    nets = [pier.net_m3 for pier in piers]
    total = math.fsum(nets)
    orders = tuple(_order(bag, nets, total) for bag in bags_of(plan))
    return Concrete(piers, total, orders, detail_totals(plan, piers))


def _order(bag: BagProduct, nets: Sequence[float], total: float) -> BagOrder:
    """Return the bags of one product; piers of one detail take the same, so each volume is reckoned once."""
    bags = {net: whole_bags(net, bag.yield_m3) for net in set(nets)}
    per_pier = tuple(map(bags.__getitem__, nets))
    return BagOrder(bag.product, bag.yield_m3, per_pier, sum(per_pier), whole_bags(total, bag.yield_m3))
