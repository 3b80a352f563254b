"""The proof among the figures: the fixed keys, the Layout's own numbers, nothing where nothing is known."""

from __future__ import annotations

import json
from typing import Any

import pytest

from layoutdesk.exporters.figures import figures, figures_json
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
