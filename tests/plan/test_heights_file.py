"""Heights in the plan file: every key is read and written, and what breaks a rule is refused with its place."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from layoutdesk.errors import PlanError
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.height_rules import MOST_SETUPS
from layoutdesk.plan.model import (
    Benchmark,
    ColumnRule,
    HeightSettings,
    Levels,
    LineHeights,
    PierHeights,
    Reading,
    Setup,
    SpotHeight,
)
from tests.plan.whole_plan import WHOLE

SPOTS: list[dict[str, Any]] = [{"id": "G1", "at": [100, -200]}, {"id": "G2", "at": [0, 0], "elevation": -35.5}]
LEVELS: dict[str, Any] = {
    "benchmarks": [
        {"id": "B1", "elevation": 0},
        {"id": "B2", "elevation": -500, "at": [0, 100], "x-cut": "in stone"},
    ],
    "readings": [
        {"setup": 1, "point": "B1", "kind": "back", "reading": 1200},
        {"setup": 1, "point": "P1 top", "kind": "fore", "reading": -80.25, "x-by": [1, {"a": None}]},
    ],
    "setups": [
        {"setup": 1, "method": "water level", "deviation": 2.5},
        {"setup": 2, "deviation": 0.5, "x-new": True},
    ],
    "lines": [
        {
            "line": "L1",
            "seat": 2400,
            "fall": 0.02,
            "top": "level",
            "pier_top": -50,
            "string": 300,
            "string_rule": "beam",
            "x-y": 1,
        }
    ],
    "piers": [{"pier": "P1", "ground": -100, "top": 50, "support": 0}, {"pier": "P2", "top": 20, "x-z": ""}],
    "columns": {
        "width": 90,
        "depth": 140,
        "foot": -300,
        "cap": 5,
        "margin": 20,
        "support": 100,
        "stock": [2400, 3000.5],
        "kerf": 3,
        "x-species": "pine",
    },
    "settings": {
        "deviation": 1,
        "misclosure": 4,
        "frost": 900,
        "board_clear": 1000,
        "line_mass": 0.9,
        "line_pull": 60,
        "line_gap": 10,
        "contour": 100,
        "exaggeration": 2,
        "x-datum": "town",
    },
    "x-levels": {"deep": [1]},
}


def whole(**changes: Any) -> dict[str, Any]:
    """Return a whole plan with heights, as objects, after changes of the entry ``levels``."""
    plan = copy.deepcopy(WHOLE)
    plan["spots"] = copy.deepcopy(SPOTS)
    plan["levels"] = copy.deepcopy(LEVELS) | changes
    return plan


def test_every_key_of_heights_is_read() -> None:
    plan = plan_from_json(json.dumps(whole()), "heights")
    assert plan.spots == (
        SpotHeight(id="G1", at=(100.0, -200.0)),
        SpotHeight(id="G2", at=(0.0, 0.0), elevation=-35.5),
    )
    assert plan.levels == Levels(
        benchmarks=(
            Benchmark(id="B1", elevation=0.0),
            Benchmark(id="B2", elevation=-500.0, at=(0.0, 100.0), extra=(("x-cut", "in stone"),)),
        ),
        readings=(
            Reading(setup=1, point="B1", kind="back", reading=1200.0),
            Reading(setup=1, point="P1 top", kind="fore", reading=-80.25, extra=(("x-by", [1, {"a": None}]),)),
        ),
        setups=(
            Setup(setup=1, method="water level", deviation=2.5),
            Setup(setup=2, deviation=0.5, extra=(("x-new", True),)),
        ),
        lines=(
            LineHeights(
                line="L1",
                seat=2400.0,
                fall=0.02,
                top="level",
                pier_top=-50.0,
                string=300.0,
                string_rule="beam",
                extra=(("x-y", 1),),
            ),
        ),
        piers=(
            PierHeights(pier="P1", ground=-100.0, top=50.0, support=0.0),
            PierHeights(pier="P2", top=20.0, extra=(("x-z", ""),)),
        ),
        columns=ColumnRule(
            width=90.0,
            depth=140.0,
            foot=-300.0,
            cap=5.0,
            margin=20.0,
            support=100.0,
            stock=(2400.0, 3000.5),
            kerf=3.0,
            extra=(("x-species", "pine"),),
        ),
        settings=HeightSettings(
            deviation=1.0,
            misclosure=4.0,
            frost=900.0,
            board_clear=1000.0,
            line_mass=0.9,
            line_pull=60.0,
            line_gap=10.0,
            contour=100.0,
            exaggeration=2.0,
            extra=(("x-datum", "town"),),
        ),
        extra=(("x-levels", {"deep": [1]}),),
    )


def test_what_is_written_of_heights_says_what_was_read_and_nothing_else() -> None:
    assert json.loads(plan_to_json(plan_from_json(json.dumps(whole()), "heights"))) == whole()


NUMBER = "is more than 10 km (6 miles)"


@pytest.mark.parametrize(
    ("key", "value", "place", "problem"),
    [
        ("benchmarks", [{"id": "B1", "elevation": 0, "at": [1e9, 0]}], "benchmarks[0].at", "is farther than 10 km"),
        (
            "setups",
            [{"setup": 1}, {"setup": 1}],
            "setups[1].setup",
            "setup 1 is used twice, also at levels.setups[0]",
        ),
        ("setups", [{"setup": -1}], "setups[0].setup", "must be a whole number from 0"),
        ("setups", [{"setup": 1, "deviation": 0}], "setups[0].deviation", "must be from 0.01 to 1000 mm"),
        (
            "setups",
            [{"setup": 1, "method": "eye"}],
            "setups[0].method",
            "must be one of level, water level, string",
        ),
        ("lines", [{"line": "L7"}], "lines[0].line", "there is no beam line L7"),
        ("lines", [{"line": "\n"}], "lines[0].line", "names no beam line"),
        ("lines", [{"line": "L1"}] * 2, "lines[1].line", "L1 is used twice, also at levels.lines[0]"),
        ("lines", [{"line": "L1", "fall": 3}], "lines[0].fall", "must be a slope from -1 to 1"),
        ("lines", [{"line": "L1", "seat": 1e8}], "lines[0].seat", NUMBER),
        ("lines", [{"line": "L1", "string": -1e8}], "lines[0].string", NUMBER),
        ("lines", [{"line": "L1", "top": "sky"}], "lines[0].top", "must be one of reveal, level, string"),
        ("piers", [{"pier": "L1"}], "piers[0].pier", "there is no pier L1"),
        ("piers", [{"pier": "P1"}, {"pier": "P1"}], "piers[1].pier", "P1 is used twice, also at levels.piers[0]"),
        ("piers", [{"pier": "P1", "support": 1e8}], "piers[0].support", NUMBER),
        ("columns", {"width": 0}, "columns.width", "must be more than 0 and at most 2000 mm"),
        ("columns", {"stock": [2400, -1]}, "columns.stock[1]", "must be more than 0"),
        ("columns", {"stock": [2400] * 101}, "columns.stock", "has more than 100 lengths"),
        ("columns", {"foot": 1e6}, "columns.foot", "must be from -50000 to 50000 mm"),
        ("columns", {"kerf": -1}, "columns.kerf", "must be from 0 to 1000 mm"),
        ("settings", {"deviation": 0}, "settings.deviation", "must be from 0.01 to 1000 mm"),
        ("settings", {"misclosure": 1e9}, "settings.misclosure", "must be from 0.01 to 1000 mm"),
        ("settings", {"frost": -1}, "settings.frost", "must be from 0 to 10000 mm"),
        ("settings", {"contour": 0}, "settings.contour", "must be from 1 to 10000 mm"),
        ("settings", {"line_pull": 0}, "settings.line_pull", "must be from 0.001 to 1000 N"),
        ("settings", {"line_mass": -1}, "settings.line_mass", "must be from 0 to 1000 g/m"),
        ("settings", {"exaggeration": 0}, "settings.exaggeration", "must be from 1 to 100"),
        (
            "readings",
            [{"setup": n, "point": "B1", "kind": "back", "reading": 1} for n in range(MOST_SETUPS + 1)],
            "readings",
            "has more than 1000 setups",
        ),
    ],
)
def test_heights_that_cannot_be_are_refused(key: str, value: Any, place: str, problem: str) -> None:
    with pytest.raises(PlanError) as refusal:
        plan_from_json(json.dumps(whole(**{key: value})), "heights")
    assert refusal.value.place == f"levels.{place}"
    assert refusal.value.problem.startswith(problem)
    assert str(refusal.value).startswith(f"heights: levels.{place}: ")


def test_a_spot_keeps_the_rules_of_any_piece() -> None:
    for change, place in (
        ({"at": [1e9, 0]}, "spots[0].at"),
        ({"elevation": 1e9}, "spots[0].elevation"),
        ({"id": "P1"}, "piers[0].id"),
        ({"id": "G2"}, "spots[1].id"),
    ):
        plan = whole()
        plan["spots"][0] |= change
        with pytest.raises(PlanError) as refusal:
            plan_from_json(json.dumps(plan), "heights")
        assert refusal.value.place in {place, "spots[0].id"}
