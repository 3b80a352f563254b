"""Details with steel, the hole log and its rules in the plan file: read, written, and refused with their place."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from layoutdesk.errors import PlanError
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import (
    BagProduct,
    CastIn,
    ColumnRule,
    Detail,
    DigRule,
    HoleLog,
    Holes,
    OpeningRule,
    Steel,
    TruckRule,
)
from layoutdesk.plan.usual import usual, usual_holes, usual_levels
from tests.plan.whole_plan import WHOLE

DETAILS: list[dict[str, Any]] = [
    {
        "id": "D1",
        "profile": [[0, 300], [700, 300], [700, 600], [900, 600]],
        "reveal": 50,
        "square_from": 700,
        "tube": 150,
        "cast_in": {"kind": "post", "width": 90, "depth": 140, "foot": 600, "x-wood": "oak"},
        "steel": {
            "bars": 6,
            "bar": "12 mm",
            "cover": 80,
            "cover_ends": 90,
            "hoop": "",
            "spacing": 180,
            "first": 60,
            "hook": 90,
            "stands_out": 400,
            "lapped": True,
            "x-grade": "B500",
        },
    }
]
HOLES: dict[str, Any] = {
    "log": [
        {"pier": "P1", "depth": 910, "top": 310, "bottom": 620.5, "along": -5, "away": 12, "water": 40},
        {"pier": "P3", "depth": 900, "top": 300, "bottom": 600, "date": "Monday", "by": "crew 2", "poured": True},
    ],
    "dig": {
        "over_dig": 0.15,
        "own": 0.2,
        "common": 0.1,
        "ground": "clay",
        "chance": 0.02,
        "bag": "80 lb bag",
        "batch_m3": 0.05,
        "minutes": 8,
        "pour_m3": 2,
    },
    "truck": {"step_m3": 0.25, "price_m3": 150, "minimum_m3": 1, "full_m3": 3, "short_load_fee": 90},
    "openings": {"shape": "round", "margin": 50, "least_strip": 250, "blade": 60, "carry": 30, "x-saw": "wet"},
    "x-holes": 1,
}
BAGS: list[dict[str, Any]] = [{"product": "bag", "yield_m3": 0.017, "mass_kg": 36.3, "price": 6.5}]


def whole() -> dict[str, Any]:
    """Return a whole plan with holes, as objects."""
    return copy.deepcopy(WHOLE | {"details": DETAILS, "holes": HOLES, "bags": BAGS})


def test_every_key_of_details_and_holes_is_read_and_written_back() -> None:
    plan = plan_from_json(json.dumps(whole()), "holes")
    assert plan.details == (
        Detail(
            id="D1",
            profile=((0.0, 300.0), (700.0, 300.0), (700.0, 600.0), (900.0, 600.0)),
            reveal=50.0,
            square_from=700.0,
            tube=150.0,
            cast_in=CastIn(kind="post", width=90.0, depth=140.0, foot=600.0, extra=(("x-wood", "oak"),)),
            steel=Steel(
                bars=6,
                bar="12 mm",
                cover=80.0,
                cover_ends=90.0,
                hoop="",
                spacing=180.0,
                first=60.0,
                hook=90,
                stands_out=400.0,
                lapped=True,
                extra=(("x-grade", "B500"),),
            ),
        ),
    )
    assert plan.holes == Holes(
        log=(
            HoleLog(pier="P1", depth=910.0, top=310.0, bottom=620.5, along=-5.0, away=12.0, water=40.0),
            HoleLog(pier="P3", depth=900.0, top=300.0, bottom=600.0, date="Monday", by="crew 2", poured=True),
        ),
        dig=DigRule(
            over_dig=0.15,
            own=0.2,
            common=0.1,
            ground="clay",
            chance=0.02,
            bag="80 lb bag",
            batch_m3=0.05,
            minutes=8.0,
            pour_m3=2.0,
        ),
        truck=TruckRule(step_m3=0.25, price_m3=150.0, minimum_m3=1.0, full_m3=3.0, short_load_fee=90.0),
        openings=OpeningRule(
            shape="round", margin=50.0, least_strip=250.0, blade=60.0, carry=30.0, extra=(("x-saw", "wet"),)
        ),
        extra=(("x-holes", 1),),
    )
    assert plan.bags == (BagProduct(product="bag", yield_m3=0.017, mass_kg=36.3, price=6.5),)
    assert json.loads(plan_to_json(plan)) == whole()


@pytest.mark.parametrize("units", ["ft-in", "m", "mm"])
def test_what_a_file_does_not_say_is_usual_in_its_units_and_is_not_written(units: Any) -> None:
    """A rule of which one figure is said has the usual others; a metric plan has no inches in it."""
    body = {"layoutdesk": 1, "units": units, "details": [{"id": "D1", "profile": [[900, 300]], "steel": {}}]}
    plan = plan_from_json(json.dumps(body), "short")
    assert (plan.holes, plan.levels) == (usual_holes(units), usual_levels(units))
    assert plan.details[0].steel == usual(Steel, units)
    assert "holes" not in json.loads(plan_to_json(plan))
    assert json.loads(plan_to_json(plan))["levels"] == {"benchmarks": [], "readings": []}
    said = plan_from_json(json.dumps(body | {"holes": {"openings": {"carry": 25}}, "levels": {}}), "short")
    strip, width = (304.8, 139.7) if units == "ft-in" else (300.0, 140.0)
    assert (said.holes.openings.carry, said.holes.openings.least_strip) == (25.0, strip)
    assert (said.levels.columns.width, said.holes.truck) == (width, usual(TruckRule, units))


def test_a_metric_plan_that_was_saved_with_inches_keeps_them() -> None:
    """Rules that somebody said are never changed by opening the file."""
    body = {"layoutdesk": 1, "units": "m", "levels": {"columns": {"width": 139.7, "support": 152.4}}}
    plan = plan_from_json(json.dumps(body), "old")
    assert plan.levels.columns == usual(ColumnRule, "m").__class__(
        width=139.7, depth=140.0, foot=25.0, support=152.4, kerf=3.0
    )
    assert plan_from_json(plan_to_json(plan), "old") == plan


def in_detail(**changes: Any) -> Callable[[dict[str, Any]], object]:
    return lambda plan: plan["details"][0].update(changes)


def in_steel(**changes: Any) -> Callable[[dict[str, Any]], object]:
    return lambda plan: plan["details"][0]["steel"].update(changes)


def in_log(**changes: Any) -> Callable[[dict[str, Any]], object]:
    return lambda plan: plan["holes"]["log"][1].update(changes)


def in_holes(rule: str, **changes: Any) -> Callable[[dict[str, Any]], object]:
    return lambda plan: plan["holes"][rule].update(changes)


def in_bag(**changes: Any) -> Callable[[dict[str, Any]], object]:
    return lambda plan: plan["bags"][0].update(changes)


REFUSED = [
    (in_detail(profile=[[-5, 300]]), "details[0].profile", "has the depth -5, which is above the ground"),
    (in_detail(profile=[[700, 300], [600, 300]]), "details[0].profile", "goes back up from 700 to 600 mm"),
    (in_detail(square_from=-1), "details[0].square_from", "is -1 mm, which is above the ground"),
    (in_detail(tube=1e9), "details[0].tube", "is more than 10 km"),
    (in_detail(tube="deep"), "details[0].tube", "must be a number or null, not text"),
    (in_detail(cast_in={"kind": "tree"}), "details[0].cast_in.kind", "must be one of post, base"),
    (in_detail(cast_in={"foot": 0}), "details[0].cast_in.foot", "must be more than 0 and at most 100,000 mm"),
    (in_steel(bars=100_000), "details[0].steel.bars", "is 100,000; it must be from 1 to 1,000"),
    (in_steel(bars=4.5), "details[0].steel.bars", "must be a whole number, not a number"),
    (in_steel(bar=" "), "details[0].steel.bar", "is empty"),
    (in_steel(hook=45), "details[0].steel.hook", "must be one of 0, 90, 180 degrees, not 45"),
    (in_steel(cover=-1), "details[0].steel.cover", "must be from 0 to 1,000 mm"),
    (in_steel(spacing=0), "details[0].steel.spacing", "must be from 10 to 100,000 mm"),
    (in_log(pier="P9"), "holes.log[1].pier", "there is no pier P9"),
    (in_log(pier="P1"), "holes.log[1].pier", "P1 is logged twice, also at holes.log[0].pier"),
    (in_log(depth=-900), "holes.log[1].depth", "must be more than 0 and at most 100,000 mm"),
    (in_log(top=0), "holes.log[1].top", "must be more than 0"),
    (in_log(water=901), "holes.log[1].water", "is 901 mm, more than the hole is deep, 900 mm"),
    (in_log(by="\n"), "holes.log[1].by", "holds a character that cannot be printed"),
    (in_holes("dig", over_dig=-0.9), "holes.dig.over_dig", "must be a share from -0.5 to 2"),
    (in_holes("dig", chance=0), "holes.dig.chance", "must be a share from 0.0001 to 0.5"),
    (in_holes("dig", batch_m3=0), "holes.dig.batch_m3", "must be more than 0 and at most 10 m³"),
    (in_holes("dig", ground=""), "holes.dig.ground", "is empty"),
    (in_holes("truck", step_m3=0), "holes.truck.step_m3", "must be more than 0 and at most 10 m³"),
    (in_holes("truck", price_m3=-1), "holes.truck.price_m3", "must be from 0 to 1,000,000"),
    (in_holes("openings", shape="star"), "holes.openings.shape", "must be one of square, round"),
    (in_holes("openings", blade=0), "holes.openings.blade", "must be from 1 to 1,000 mm"),
    (in_holes("openings", carry=0), "holes.openings.carry", "must be from 5 to 10,000 kg"),
    (in_bag(yield_m3=0), "bags[0].yield_m3", "must be more than 0 and at most 10 m³"),
    (in_bag(mass_kg=-1), "bags[0].mass_kg", "must be from 0 to 2,000 kg"),
    (lambda plan: plan.update(holes=[]), "holes", "must be an entry { … }, not a list"),
]


@pytest.mark.parametrize(("change", "place", "problem"), REFUSED, ids=[f"{p} {q[:30]}" for _, p, q in REFUSED])
def test_what_cannot_be_dug_or_bought_is_refused_with_its_place(
    change: Callable[[dict[str, Any]], object], place: str, problem: str
) -> None:
    plan = whole()
    change(plan)
    with pytest.raises(PlanError) as refusal:
        plan_from_json(json.dumps(plan), "holes")
    assert (refusal.value.place, refusal.value.problem[: len(problem)]) == (place, problem)


def test_so_many_hoops_that_it_is_a_slip_are_refused() -> None:
    """Each figure may stand by itself; together they make ten thousand hoops in one pier."""
    plan = whole()
    plan["details"][0] |= {"profile": [[99_000, 300]], "square_from": None}
    plan["details"][0]["steel"] |= {"hoop": "8 mm", "spacing": 10}
    with pytest.raises(PlanError, match=r"steel\.spacing: of 10 mm makes more than 1,000 hoops in one pier"):
        plan_from_json(json.dumps(plan), "holes")
