"""The figures: the fixed keys, nothing but what the Layout has, and nothing invented for what it has not."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.figures import figures, figures_json
from layoutdesk.plan.model import BagProduct, Plan
from tests.sheets.sheet_plans import NAMES, PORCH, sample, sample_layout
from tests.strategies import plans

PIER = {"id", "station", "offset", "ties", "concrete_m3", "ground", "top", "bottom", "cut_length"}


@pytest.mark.parametrize("name", NAMES)
def test_the_fixed_keys_are_there(name: str) -> None:
    made = figures(sample_layout(name))
    assert {"piers", "bays", "concrete", "steel", "proof", "flags"} <= made.keys()
    for pier in made["piers"]:
        assert pier.keys() >= PIER
        assert all(tie.keys() >= {"from", "distance"} for tie in pier["ties"])
    assert all(bay.keys() >= {"corners", "diagonals"} for bay in made["bays"])
    assert made["concrete"].keys() >= {"net_m3", "order"}
    assert all(order.keys() >= {"product", "count", "chance_short"} for order in made["concrete"]["order"])
    assert all(flag.keys() >= {"code", "severity", "text", "about"} for flag in made["flags"])


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_the_layouts_own(name: str) -> None:
    layout = sample_layout(name)
    made: dict[str, Any] = json.loads(figures_json(layout))
    for pier, stake, volume in zip(made["piers"], layout.stakes, layout.concrete.piers, strict=True):
        assert (pier["id"], pier["station"], pier["offset"]) == (stake.id, stake.station, stake.offset)
        assert [(t["from"], t["distance"]) for t in pier["ties"]] == [(t.control, t.distance) for t in stake.ties]
        assert pier["concrete_m3"] == volume.net_m3
    for entry, bay in zip(made["bays"], layout.bays, strict=True):
        assert (tuple(entry["corners"]), tuple(entry["diagonals"])) == (bay.corners, bay.diagonals)
    assert made["concrete"]["net_m3"] == layout.concrete.net_m3
    assert [o["count_by_job"] for o in made["concrete"]["order"]] == [
        o.count_by_job for o in layout.concrete.orders
    ]
    assert [f["code"] for f in made["flags"]] == [f.code for f in layout.flags]


def test_ties_list_every_control_and_say_what_bars_them() -> None:
    layout = sample_layout(PORCH)
    made = figures(layout)
    controls = [control.id for control in layout.plan.controls]
    assert all([tie["from"] for tie in pier["ties"]] == controls for pier in made["piers"])
    barred = {(pier["id"], tie["from"]): tie.get("blocked_by") for pier in made["piers"] for tie in pier["ties"]}
    assert barred["P7", "C1"] == "tree K1"
    assert barred["P1", "C1"] is None
    assert sum(by is not None for by in barred.values()) == sum(
        t.blocked_by is not None for s in layout.stakes for t in s.ties
    )


@pytest.mark.parametrize("name", NAMES)
def test_what_is_ordered_goes_with_its_chance_of_running_short(name: str) -> None:
    layout = sample_layout(name)
    made = figures(layout)
    assert [one["size"] for one in made["steel"]] == [one.size for one in layout.steel.sizes]
    for order, product in zip(made["concrete"]["order"], layout.order.products, strict=True):
        assert (order["product"], order["count"]) == (product.bag.product, product.supply.count)
        assert 0 <= order["chance_short"] == product.supply.chance <= layout.order.chance


def test_products_that_are_called_alike_keep_their_own_counts() -> None:
    alike = tuple(BagProduct(product="bag", yield_m3=size) for size in (0.02, 0.01))
    layout = derive(sample(PORCH).with_(bags=alike))
    counts = [order["count"] for order in figures(layout)["concrete"]["order"]]
    assert counts == [one.supply.count for one in layout.order.products]
    assert counts[0] < counts[1]


def test_what_is_not_known_is_null_and_never_nought() -> None:
    bare = figures(derive(replace(sample(PORCH), details=(), piers=sample(PORCH).piers[:1])))
    assert bare["proof"] is None
    assert bare["steel"] == []
    assert all(order["chance_short"] is None for order in bare["concrete"]["order"])
    assert bare["holes"][0]["planned"] == {"depth": None, "top": None, "bottom": None}


def test_without_a_baseline_stations_are_null() -> None:
    made = figures(derive(replace(sample(PORCH), baseline=None)))
    assert all(pier["station"] is None and pier["offset"] is None for pier in made["piers"])


def test_the_same_plan_gives_the_same_text() -> None:
    assert figures_json(sample_layout(PORCH)) == figures_json(derive(sample(PORCH)))


def finite(value: Any) -> bool:
    """Return whether no number in a value is infinite or undefined."""
    if isinstance(value, dict):
        return all(finite(v) for v in value.values())
    if isinstance(value, list):
        return all(finite(v) for v in value)
    return not isinstance(value, float) or math.isfinite(value)


@settings(max_examples=60)
@given(plan=plans())
def test_any_plan_gives_figures_that_json_can_hold(plan: Plan) -> None:
    made = json.loads(figures_json(derive(plan)))
    assert finite(made)
    assert len(made["piers"]) == len(plan.piers)
