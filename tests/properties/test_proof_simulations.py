"""What the proof says is true, counted over jobs made up by chance; ``tests/studies`` counts more."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.statistics import ELLIPSE_SQUARED, SUSPECT_AT
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.proof_jobs import braced, counted, loop, named_first, proof, pulls_of, short, staked, stretched, taped

SAMPLES = Path(__file__).parents[2] / "samples"
FOOT = 304.8


@pytest.fixture(params=["heron-lane-porch", "orchard-row-carport"])
def plan(request: pytest.FixtureRequest) -> Plan:
    """Return one sample after the other."""
    return read_plan(SAMPLES / f"{request.param}.layout.json")


def as_read(plan: Plan, read: str) -> Plan:
    """Return a plan whose tapes are read to the last digit, or to its own step, which it then allows for."""
    return edits.set_proof(plan, read_to=plan.rounding) if read == "to the step" else plan


@pytest.mark.parametrize("read", ["to the last digit", "to the step"])
def test_ellipses_hold_and_the_test_turns_down_as_often_as_they_say(plan: Plan, read: str) -> None:
    """95 % of the stakes stand in their ellipses, and one sound job in twenty is turned down.

    Over 150 jobs chance alone makes the second anything up to one in ten.
    """
    counts = counted(as_read(plan, read), pulls_of(derive(plan)), jobs=150, seed=11)
    assert counts.stakes > 1000
    assert counts.held == pytest.approx(0.95, abs=0.025)
    assert 0.005 <= counts.turned_down <= 0.105


def test_readings_to_sixteenths_that_nothing_allows_for_spoil_it() -> None:
    """What the allowance is for: without it two sound jobs in five are turned down, and ellipses are too small."""
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    counts = counted(plan, pulls_of(derive(plan)), jobs=60, seed=11, read_to=plan.rounding)
    assert counts.turned_down > 0.4
    assert counts.held < 0.85


@pytest.mark.parametrize("stakes", [2, 4])
def test_sound_short_tapes_are_suspect_no_more_often_than_stated(stakes: int) -> None:
    """Tapes of 2 to 5 m, where a sixteenth of an inch is as much as the error of the tape.

    Each measure is tested at 0.1 %; of so many, chance alone makes up to four standard deviations more.
    """
    plan, pulls = short(stakes=stakes)
    counts = counted(edits.set_proof(plan, read_to=1.5875), pulls, jobs=300, seed=17, stray=25.0)
    stated = SUSPECT_AT * counts.measures
    assert counts.suspected <= stated + 4 * stated**0.5
    assert counts.held == pytest.approx(0.95, abs=0.03)


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


@pytest.mark.parametrize("read", ["to the last digit", "to the step"])
def test_moves_close_the_loop(plan: Plan, read: str) -> None:
    """Moved as told and taped again, no stake is out by more than its stated uncertainty allows.

    What is stated of a stake is its 95 % ellipse, so one in twenty may be out by more, and no more than that; by
    more than the ellipse that all of them together keep in 95 % of cases is none. Rounding a move to the step of
    the tape adds up to half a step along and away. Every ellipse of these jobs is far shorter than the tolerance,
    so that no moved stake stands outside it, and the second proof tells to move none of them again.
    """
    found = loop(as_read(plan, read), pulls_of(derive(plan)), jobs=30, seed=15)
    count = len(found.ways)
    assert count > 200
    assert found.outside <= 0.05 + 3 * (0.05 * 0.95 / count) ** 0.5
    assert found.beyond == 0
    assert found.farthest < plan.proof.tolerance / 2
    assert found.again == 0
    assert found.left >= 0.99 * count, "the others go with a tape that seems misread"


def test_an_ellipse_stretched_for_many_is_left_by_any_of_them_once_in_twenty() -> None:
    """For one it is the ellipse itself; of a hundred that are drawn by chance, all keep it in 95 % of cases."""
    assert stretched(1) == pytest.approx(1.0)
    drawn = np.random.default_rng(16).normal(size=(4000, 100, 2))
    out = (np.hypot(drawn[..., 0], drawn[..., 1]) > stretched(100) * ELLIPSE_SQUARED**0.5).any(axis=1)
    assert out.mean() == pytest.approx(0.05, abs=0.015)
