"""What the proof says is true, counted over jobs made up by chance; ``tests/studies`` counts more."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.proof_jobs import braced, counted, moved, named_first, proof, pulls_of, staked, taped

SAMPLES = Path(__file__).parents[2] / "samples"
FOOT = 304.8


@pytest.fixture(params=["heron-lane-porch", "orchard-row-carport"])
def plan(request: pytest.FixtureRequest) -> Plan:
    """Return one sample after the other."""
    return read_plan(SAMPLES / f"{request.param}.layout.json")


def test_ellipses_hold_and_the_test_turns_down_as_often_as_they_say(plan: Plan) -> None:
    """95 % of the stakes stand in their ellipses, and one sound job in twenty is turned down.

    Over 150 jobs chance alone makes the second anything up to one in ten.
    """
    counts = counted(plan, pulls_of(derive(plan)), jobs=150, seed=11)
    assert counts.stakes > 1000
    assert counts.held == pytest.approx(0.95, abs=0.025)
    assert 0.005 <= counts.turned_down <= 0.105


def test_a_foot_misread_in_a_sample_is_named_first(plan: Plan) -> None:
    alone, together, missed = named_first(plan, pulls_of(derive(plan)), jobs=40, seed=12, error=FOOT)
    assert missed <= 1, (alone, together, missed)


def test_a_foot_misread_in_a_braced_quadrilateral_is_named_first_where_it_can_be_told() -> None:
    pulls = [(control, pier) for control in ("C1", "C2", "C3") for pier in ("P1", "P2")] + [("P1", "P2")]
    alone, together, missed = named_first(braced(controls=3), pulls, jobs=100, seed=13, error=FOOT)
    assert alone > 95, (alone, together, missed)


def test_tapes_that_cannot_be_told_apart_are_all_named() -> None:
    """With one measure to spare an error shows, and every measure may be to blame."""
    pulls = [(control, pier) for control in ("C1", "C2") for pier in ("P1", "P2")] + [("P1", "P2")]
    rng = np.random.default_rng(14)
    plan = braced(controls=2)
    for planted in range(len(pulls)):
        said = proof(taped(plan, pulls, staked(plan, rng), rng, misread={planted: FOOT}))
        (suspect,) = said.suspects
        assert {suspect.index, *suspect.alike} == set(range(len(pulls)))
        assert [point.verdict for point in said.points if point.kind == "pier"] == ["not determined"] * 2


def test_moves_close_the_loop(plan: Plan) -> None:
    """Stakes that were moved as told stand where they are planned, as far as the proof said it knew."""
    rng, pulls = np.random.default_rng(15), pulls_of(derive(plan))
    count = beyond = 0
    for _ in range(12):
        places = staked(plan, rng, deviation=20.0)
        after, done = moved(plan, places, proof(taped(plan, pulls, places, rng)))
        count += len(done)
        for point in done:
            off = abs(after[point.id] - complex(*point.planned))
            beyond += off > point.semi_major + plan.rounding / 2**0.5
            assert off < 2 * point.semi_major + plan.rounding
        again = proof(taped(plan, pulls, after, rng))
        stayed = {point.id for point in done}
        assert not [point.id for point in again.points if point.verdict == "move" and point.id in stayed]
    assert count > 60
    assert beyond <= 0.05 * count
