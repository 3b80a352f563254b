"""Readings that stand out against the planned distances, where the tapes alone cannot tell which is misread."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.entries import Proof
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan, Tape

CARPORT = Path(__file__).parents[2] / "samples" / "orchard-row-carport.layout.json"
Pulls = tuple[tuple[str, str, float], ...]


@pytest.fixture(scope="module")
def carport() -> Plan:
    """Return a metric carport of nine piers that nobody has taped yet."""
    plan = read_plan(CARPORT)
    return replace(plan, tapes=(), proof=replace(plan.proof, read_to=1.0))


@pytest.fixture(scope="module")
def pulls(carport: Plan) -> Pulls:
    """Return the pulls that its taping sheet asks for: hardly one to spare."""
    return derive(carport).taping_plan.pulls


def taped(plan: Plan, pulls: Pulls, stands: dict[str, Vector], misread: dict[int, float], seed: int) -> Proof:
    """Return the proof of a plan taped as stakes stand, read to 1 mm; ``misread`` adds to pulls by their place."""
    rng = np.random.default_rng(seed)
    at = {one.id: one.at for one in plan.controls}
    for pier in plan.piers:
        dx, dy = rng.normal(0.0, 4.0, 2).tolist()
        at[pier.id] = stands.get(pier.id, (pier.at[0] + dx, pier.at[1] + dy))
    tapes = [
        Tape(
            start=a,
            end=b,
            distance=float(round(math.dist(at[a], at[b]) + rng.normal(0.0, 0.8) + misread.get(k, 0))),
        )
        for k, (a, b, _) in enumerate(pulls)
    ]
    found = derive(plan.with_(tapes=tuple(tapes))).proof
    assert found is not None
    return found


def off(plan: Plan, pier: str, dx: float, dy: float) -> dict[str, Vector]:
    """Return where one pier stands that is so far off its drawn place."""
    x, y = next(one.at for one in plan.piers if one.id == pier)
    return {pier: (x + dx, y + dy)}


def between(pulls: Pulls, start: str, end: str) -> int:
    """Return the place of a pull."""
    return next(k for k, (a, b, _) in enumerate(pulls) if {a, b} == {start, end})


def test_a_metre_misread_is_named_beside_a_stake_that_is_out(carport: Plan, pulls: Pulls) -> None:
    wrong = between(pulls, "C3", "P8")
    said = taped(carport, pulls, off(carport, "P7", 24.0, -32.0), {wrong: -1000.0}, 7)
    (suspect,) = said.suspects
    assert suspect.index == wrong
    assert suspect.misreading == "whole metres"
    assert suspect.right == pytest.approx(pulls[wrong][2], abs=20)
    assert "less than planned" in suspect.says
    assert "a metre miscounted" in suspect.says
    assert said.passes is False


def test_stakes_are_moved_when_something_checks_them_again(carport: Plan, pulls: Pulls) -> None:
    """Without the misread tape nothing is left to check the others: first it is taken again, then P7 is moved."""
    wrong, stands = between(pulls, "C3", "P8"), off(carport, "P7", 24.0, -32.0)
    said = taped(carport, pulls, stands, {wrong: -1000.0}, 7)
    assert [one.label for one in said.points if one.verdict == "move"] == []
    assert next(one for one in said.points if one.label == "P7").verdict == "not determined"
    said = taped(carport, pulls, stands, {}, 7)
    assert [one.label for one in said.points if one.verdict == "move"] == ["P7"]


def test_no_stake_is_moved_for_a_tape_that_is_to_be_taken_again(carport: Plan, pulls: Pulls) -> None:
    """Digits changed over in a second tape to P8: without the first one nothing checks where P8 stands."""
    first, second = between(pulls, "C3", "P8"), between(pulls, "C4", "P8")
    said = taped(carport, pulls, {}, {first: -1000.0, second: 45.0}, 6)
    assert [one.index for one in said.suspects] == [first]
    verdicts = {one.label: one.verdict for one in said.points}
    assert verdicts["P8"] == "not determined"
    assert verdicts["C3"] == "leave"


def test_two_misread_tapes_are_both_named(carport: Plan, pulls: Pulls) -> None:
    first, second = between(pulls, "P4", "P7"), between(pulls, "C2", "P3")
    said = taped(carport, pulls, {}, {first: -2000.0, second: 300.0}, 3)
    assert {one.index for one in said.suspects} == {first, second}
    assert all(one.alike == () for one in said.suspects)


@pytest.mark.parametrize("way", [(600.0, 0.0), (0.0, -800.0), (-300.0, 250.0)])
def test_a_stake_far_out_is_not_taken_for_misread_tapes(carport: Plan, pulls: Pulls, way: Vector) -> None:
    for pier in ("P2", "P5", "P7", "P9"):
        said = taped(carport, pulls, off(carport, pier, *way), {}, 5)
        assert "than planned" not in " ".join(one.says for one in said.suspects)


def test_sound_tapes_are_never_named(carport: Plan, pulls: Pulls) -> None:
    for seed in range(25):
        said = taped(carport, pulls, {}, {}, seed)
        assert not any("than planned" in one.says for one in said.suspects)


def test_a_metre_misread_in_any_pull_is_named(carport: Plan, pulls: Pulls) -> None:
    named = 0
    for wrong in range(len(pulls)):
        said = taped(carport, pulls, {}, {wrong: 1000.0}, wrong)
        named += [one.index for one in said.suspects] == [wrong]
    assert named >= len(pulls) - 1


def test_the_same_reading_twice_is_believed(carport: Plan, pulls: Pulls) -> None:
    """The sentence says to take the reading down again if the tape reads the same: then the stake is out."""
    twice = (*pulls, pulls[between(pulls, "C3", "P8")])
    said = taped(carport, twice, {}, {between(pulls, "C3", "P8"): -1000.0, len(pulls): -1000.0}, 2)
    assert not any("than planned" in one.says for one in said.suspects)


def test_millimetres_typed_where_metres_are_asked_are_said_at_once(carport: Plan, pulls: Pulls) -> None:
    wrong = between(pulls, "P1", "P6")
    few = pulls[: wrong + 3]
    said = taped(carport, few, {}, {wrong: pulls[wrong][2] * 999}, 4)
    (suspect,) = said.suspects
    assert suspect.index == wrong
    assert "metres taken for millimetres" in suspect.says
