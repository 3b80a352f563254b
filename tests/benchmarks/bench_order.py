"""The order of concrete against the barest simulation that tells the same, and volumes against bare objects.

The simulation takes the 100,000 draws that half a percentage point asks for; the program convolves. Volumes are
told in rows with names: the bare side makes such rows from one number.
"""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.concrete.over_dig import OverDig
from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes.ordering import concrete_order
from layoutdesk.engine.layout import PierVolume
from layoutdesk.plan.model import CastIn, Detail, Pier, Plan, SpotHeight, Steel
from tests.benchmarks.ratio import Row, race

DRAWS = 100_000
ORDERS = {8: 1.0, 80: 0.5, 1_000: 0.2}
DETAIL = Detail(
    id="D1",
    profile=((0.0, 305.0), (700.0, 305.0), (900.0, 450.0)),
    reveal=76.2,
    tube=300.0,
    cast_in=CastIn(kind="post", width=90.0, depth=90.0),
    steel=Steel(),
)


def piers_of(count: int) -> tuple[Pier, ...]:
    """Return piers in rows of a hundred."""
    places = ((2000.0 * (k % 100), -2000.0 * (k // 100)) for k in range(count))
    return tuple(Pier(id=f"P{k}", at=at, detail="D1") for k, at in enumerate(places))


def simulated(volumes: list[float], middle: float, common: float, own: float) -> object:
    """Return the chance of running short for every count of bags, by drawing all holes 100,000 times."""
    rng = np.random.default_rng(1)
    total = np.zeros(DRAWS)
    for volume in volumes:
        total += volume * np.exp(rng.normal(0.0, own, DRAWS))
    total *= np.exp(rng.normal(middle, common, DRAWS))
    total.sort()
    counts = np.arange(int(total[0] / 0.017), int(total[-1] / 0.017) + 2) * 0.017
    return 1 - np.searchsorted(total, counts) / DRAWS


def rows() -> list[Row]:
    """Return a row for each size of order, and one for volumes of piers on a slope."""
    found = []
    for count, target in ORDERS.items():
        plan = Plan(piers=piers_of(count), details=(DETAIL,))
        order = derive(plan).order
        assert order.need is not None
        volumes = [order.need.drawn / count] * count

        def bare(volumes: list[float] = volumes, belief: OverDig = order.belief) -> object:
            return simulated(volumes, belief.middle, belief.common, belief.own)

        def ours(plan: Plan = plan) -> object:
            return concrete_order(plan)

        by_draws, taken = race(bare, ours, rounds=3)
        size = f"{count:,}".replace(",", " ") + " piers"
        found.append(Row("order at a chance, and its curve", size, "numpy, 100 000 draws", by_draws, taken, target))
    return [*found, _volumes()]


def _volumes() -> Row:
    corners = ((0.0, 0.0, 0.0), (2e5, 0.0, 1500.0), (0.0, -2e5, -900.0), (2e5, -2e5, 700.0))
    spots = tuple(SpotHeight(id=f"G{k}", at=(x, y), elevation=z) for k, (x, y, z) in enumerate(corners))
    plan = Plan(piers=piers_of(10_000), details=(DETAIL,), spots=spots)
    heights = derive(plan).heights

    def bare() -> object:
        return tuple(PierVolume(p.id, p.label, p.detail, 1.0, 1.0, 2.0, 900.0, 450.0) for p in plan.piers)

    def ours() -> object:
        layout = derive(plan)
        layout.__dict__["heights"] = heights
        return layout.concrete

    by_hand, taken = race(bare, ours, rounds=5)
    return Row("concrete of piers on a slope", "10 000 piers", "rows alone", by_hand, taken, 6.0)
