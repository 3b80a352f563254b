"""Heights of plans that a person may well have while drawing: nothing raises, and nothing is not a number."""

from __future__ import annotations

import math
from dataclasses import fields

import pytest
from hypothesis import given

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.heights import PierHeights, SpotHeight
from layoutdesk.plan.model import Levels, Plan
from tests.engine.scenes import DEGENERATE, PORCH
from tests.engine.yards import spots
from tests.strategies import plans


def holds_together(layout: Layout) -> None:
    """Assert what must be true of the heights of any plan."""
    ground = layout.ground
    assert len(layout.heights) == len(layout.plan.piers)
    for h in layout.heights:
        assert math.isfinite(h.within) == (h.ground_from != "none")
        assert (h.ground is None) == (h.lowest is None) == (h.ground_from == "none")
        for field in fields(h):
            value = getattr(h, field.name)
            assert field.name == "within" or not isinstance(value, float) or math.isfinite(value)
        if h.ground is not None and h.lowest is not None:
            assert h.lowest <= h.ground
        if h.bottom is not None and h.lowest is not None:
            assert h.bottom <= h.lowest
        assert h.says.endswith(".")
    for contour in ground.contours:
        assert all(map(math.isfinite, (x for point in contour.points for x in point)))
    assert ground.interval > 0
    known = [spot.elevation for spot in ground.spots]
    for spot in ground.spots:
        z, how, within = ground.at(spot.at)
        assert z is not None
        assert min(known) - 1e-6 <= z <= max(known) + 1e-6
        assert how in {"reading", "typed", "surface"}
        assert within >= 0
    for part in ground.profile((0.0, 0.0), (5000.0, -3000.0)):
        assert all(map(math.isfinite, (x for point in part for x in point)))
    assert all(flag.text.endswith(".") for flag in layout.flags if flag.stage == "levels")


@given(plans())
def test_any_plan_that_can_be_saved_has_heights(plan: Plan) -> None:
    holds_together(derive(plan))


@given(plans(near=True, most=8))
def test_any_plan_of_the_size_of_a_site_has_heights(plan: Plan) -> None:
    holds_together(derive(plan))


@pytest.mark.parametrize("plan", DEGENERATE.values(), ids=DEGENERATE)
def test_odd_plans_with_spots_have_heights(plan: Plan) -> None:
    """The same odd plans with a spot at every pier, and some more, three of them in one line."""
    more = [(0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (37.0, 41.0)]
    there = [pier.at for pier in plan.piers[:50]]
    holds_together(derive(plan.with_(spots=spots(there + more, [7.0 * k for k in range(len(there) + 4)]))))


ODD_GROUND: dict[str, list[tuple[float, float]]] = {
    "all at one place": [(5.0, 5.0)] * 4,
    "two places": [(5.0, 5.0), (5.0, 5.0), (900.0, 5.0)],
    "within a millimetre": [(0.0, 0.0), (0.3, 0.0), (0.0, 0.3), (0.3, 0.3)],
    "as close as two places can be": [(0.0, 0.0), (5.1, 0.0), (0.0, 5.1), (5.1, 5.1)],
    "in one line but for a hair": [(0.0, 0.0), (1000.0, 0.0), (2000.0, 1e-9), (3000.0, 0.0)],
    "side by side across their line": [(0.0, 0.0), (500.0, 3.0), (500.0, -3.0), (1000.0, 0.0)],
    "very flat triangle": [(0.0, 0.0), (1000.0, 0.0), (500.0, 11.0)],
    "as far as a plan reaches": [(-1e7, -1e7), (1e7, -1e7), (1e7, 1e7), (-1e7, 1e7), (3.0, 4.0)],
    "near and far": [(0.0, 0.0), (6.0, 0.0), (0.0, 6.0), (1e7, 1e7)],
}


@pytest.mark.parametrize("places", ODD_GROUND.values(), ids=ODD_GROUND)
def test_odd_places_of_spots_are_borne(places: list[tuple[float, float]]) -> None:
    plan = PORCH.with_(spots=spots(places, [11.0 * (-1) ** k * k for k in range(len(places))]))
    holds_together(derive(plan))


def test_a_spot_that_is_there_twice_counts_once() -> None:
    twice = (SpotHeight(id="S1", at=(0.0, 0.0), elevation=1.0), SpotHeight(id="S1", at=(900.0, 0.0), elevation=9.0))
    assert [spot.elevation for spot in derive(PORCH.with_(spots=twice)).ground.spots] == [1.0]


def test_heights_of_pieces_that_are_gone_are_passed_over() -> None:
    levels = Levels(piers=(PierHeights(pier="P99", ground=5.0, top=7.0),))
    layout = derive(PORCH.with_(levels=levels))
    assert layout.ground.spots == ()
    assert all(h.ground is None for h in layout.heights)


def test_a_spot_without_a_height_says_nothing() -> None:
    plan = PORCH.with_(spots=(SpotHeight(id="S1", at=(0.0, 0.0)),))
    assert derive(plan).ground.spots == ()
