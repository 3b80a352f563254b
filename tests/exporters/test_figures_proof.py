"""The proof among the figures: the fixed keys, the Layout's own numbers, nothing where nothing is known."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.figures import figures, figures_json
from layoutdesk.plan.model import Tape
from tests.sheets.proof_scene import proof_of, proved
from tests.sheets.sheet_plans import NAMES, PORCH, sample


@pytest.mark.parametrize("name", NAMES)
def test_the_fixed_keys_are_there(name: str) -> None:
    made: dict[str, Any] = json.loads(figures_json(proved(sample(name))))["proof"]
    assert made.keys() >= {"points", "suspects"}
    for point in made["points"]:
        assert point.keys() >= {"id", "x", "y", "semi_major", "semi_minor", "move"}
    assert all(suspect.keys() >= {"from", "to", "w"} for suspect in made["suspects"])


def test_numbers_are_the_proofs_own() -> None:
    layout = proved(sample(PORCH))
    made = figures(layout)["proof"]
    for entry, point in zip(made["points"], proof_of(layout).points, strict=True):
        assert entry["id"] == point.id
        if point.found is None:
            assert entry["x"] is entry["y"] is entry["move"] is entry["semi_major"] is None
            continue
        assert (entry["x"], entry["y"]) == point.found
        assert (entry["semi_major"], entry["semi_minor"]) == (point.semi_major, point.semi_minor)
        assert entry["move"] == {"along": point.along, "away": point.away}
    (suspect,) = made["suspects"]
    tape = layout.plan.tapes[3]
    assert (suspect["from"], suspect["to"], suspect["w"]) == (tape.start, tape.end, proof_of(layout).suspects[0].w)


def test_without_measures_there_is_no_proof() -> None:
    assert figures(proved(sample(PORCH), measured=False))["proof"] is None


def test_the_house_as_found_is_told_with_what_is_held() -> None:
    layout = proved(sample(PORCH))
    house = layout.house_found
    assert house is not None
    made = figures(layout)["house_found"]
    assert made["held"] == "hold the design"
    assert (tuple(made["shift"]), made["turn"]) == (house.shift, house.turn)
    assert [pier["id"] for pier in made["piers"]] == [pier.id for pier in layout.plan.piers]
    assert figures(proved(sample(PORCH), measured=False))["house_found"] is None


def test_what_is_not_used_and_each_correction_is_told() -> None:
    layout = proved(sample(PORCH))
    made = figures(layout)["proof"]
    assert made["passes_without"] is True
    assert made["not_used"] == [{"index": 5, "text": "A distance of zero says nothing."}]
    assert [bay["text"] for bay in made["bays"]] == [bay.says for bay in proof_of(layout).bays]
    plan = sample(PORCH)
    steel = Tape(start="C1", end="P1", distance=2511.0, temperature=-5.0, pull=80.0, rise=500.0)
    (tape,) = figures(derive(replace(plan, tapes=(steel,))))["proof"]["tapes"]
    parts = [tape[f"by_{cause}"] for cause in ("slope", "temperature", "pull")]
    assert tape["reduced"] == pytest.approx(tape["read"] + sum(parts), abs=1e-9)
    assert parts == pytest.approx([-50.3, -0.728, 0.145], abs=0.01)


def test_the_figures_of_one_tape_are_json_without_odd_numbers() -> None:
    plan = replace(sample(PORCH), tapes=(Tape(start="P1", end="P2", distance=1828.8),))
    text = figures_json(derive(plan))
    assert text == figures_json(derive(plan))
    assert not {"NaN", "Infinity", "-Infinity"} & set(text.replace(",", " ").split())
    points = json.loads(text)["proof"]["points"]
    assert {point["x"] for point in points if point["verdict"] == "not determined"} == {None}
