"""Bad input to the proof: one sentence says what is wrong with it, and the other measures are judged."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.errors import EditError, PlanError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan import edits
from layoutdesk.plan.edits.tapes_text import tapes_from_text
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import Control, Pier, Plan, Tape
from tests.proof_jobs import proof

Pair = tuple[str, str]
TIES: list[Pair] = [(control, pier) for control in ("C1", "C2", "C3") for pier in ("P1", "P2")]
HOUSE = ((0.0, 0.0), (5000.0, 0.0), (2500.0, 600.0))
THREE = "the measure needs three points."
IN_LINE = ((0.0, 0.0), (5000.0, 0.0), (9000.0, 0.0))


def yard(
    pairs: list[Pair],
    *,
    controls: tuple[Vector, ...] = HOUSE,
    piers: tuple[Vector, ...] = ((500, -3000), (4500, -3000)),
) -> Plan:
    """Return a plan with these distances taped without any error."""
    at = {f"C{k}": place for k, place in enumerate(controls, 1)} | {f"P{k}": at for k, at in enumerate(piers, 1)}
    return Plan(
        controls=tuple(Control(id=key, at=at[key]) for key in at if key[0] == "C"),
        piers=tuple(Pier(id=key, at=at[key]) for key in at if key[0] == "P"),
        units="ft-in",
        rounding=25.4 / 16,
        tapes=tuple(Tape(start=a, end=b, distance=distance(at[a], at[b])) for a, b in pairs),
    )


@pytest.mark.parametrize(
    ("tape", "sentence"),
    [
        (
            Tape(start="P1", end="P1", distance=100.0),
            "Tape 8, P1 to P1: the second point is P1 at both ends; a tape needs two points.",
        ),
        (Tape(start="P1", end="P2", distance=0.0), "Tape 8, P1 to P2: the distance must be more than 0."),
        (Tape(start="P1", end="P2", distance=-9.0), "Tape 8, P1 to P2: the distance must be more than 0."),
        (Tape(start="P1", end="P2", distance=math.nan), "Tape 8, P1 to P2: the distance is not a finite number."),
        (Tape(start="P1", end="P9", distance=9.0), "Tape 8, P1 to P9: there is no point P9 in the plan."),
        (
            Tape(start="C1", end="P2", third="C1", distance=9.0, kind="square"),
            "Tape 8, P2 square from the line C1 to C1: the third point is C1 a second time; " + THREE,
        ),
    ],
)
def test_a_measure_that_cannot_be_is_left_out_with_one_sentence(tape: Tape, sentence: str) -> None:
    sound = yard([*TIES, ("P1", "P2")])
    said = proof(replace(sound, tapes=(*sound.tapes, tape)))
    assert said.trouble == ((7, sentence),)
    assert [point.found for point in said.points] == [point.found for point in proof(sound).points]
    assert len(said.tapes) == 7
    flags = [
        flag.text for flag in derive(replace(sound, tapes=(*sound.tapes, tape))).flags if flag.stage == "proof"
    ]
    assert flags == [sentence]


@pytest.mark.parametrize("pairs", [[*TIES, ("P1", "P2")], TIES[:4]], ids=["checked", "nothing to spare"])
def test_forty_feet_typed_for_forty_inches_is_said(pairs: list[Pair]) -> None:
    plan = yard(pairs, piers=((500.0, -884.44), (4500.0, -3000.0)))
    right = plan.tapes[0].distance
    assert right == pytest.approx(40 * 25.4, abs=0.1)
    said = proof(replace(plan, tapes=(replace(plan.tapes[0], distance=40 * 304.8), *plan.tapes[1:])))
    (suspect,) = said.suspects
    assert (suspect.index, suspect.misreading, suspect.alike) == (0, "one unit for another", ())
    assert suspect.says.startswith("Tape 1, C1 to P1, reads 40′\u00a00″, 36′\u00a08")
    assert "probably 3′\u00a04″, feet taken for inches. Tape it again." in suspect.says


@pytest.mark.parametrize(
    ("pairs", "controls", "piers", "sentence"),
    [
        (TIES, HOUSE, ((500, -3000), (4500, -3000), (2500, -5000)), "P3 was not measured."),
        (
            [*TIES, ("P3", "P4")],
            HOUSE,
            ((500, -3000), (4500, -3000), (2500, -5000), (3500, -5000)),
            "P3 and P4 are tied to no control point: tape them from two of those, or from stakes that are.",
        ),
        (
            [*TIES, ("C1", "P3")],
            HOUSE,
            ((500, -3000), (4500, -3000), (2500, -5000)),
            "P3 has too few measures: it takes two for each stake, and one to check.",
        ),
        (
            TIES,
            IN_LINE,
            ((2500, 0), (4500, -3000)),
            "P1 is taped from points nearly in one line with it: tape it from the side too.",
        ),
    ],
    ids=["not taped", "isolated pair", "one tape", "in line with all control"],
)
def test_a_stake_that_nothing_determines_is_said_once(
    pairs: list[Pair], controls: tuple[Vector, ...], piers: tuple[Vector, ...], sentence: str
) -> None:
    said = proof(yard(pairs, controls=controls, piers=piers))
    assert [one.says for one in said.loose] == [sentence]
    found = {point.id: point.found for point in said.points if point.kind == "pier"}
    assert all(found[name] is not None for name in ("P1", "P2") if name not in said.loose[0].ids)
    assert all(found[name] is None for name in said.loose[0].ids)


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("P1 P1 10'", "row 1: the second point is P1 at both ends; a tape needs two points"),
        ("C1 P1 0", "row 1: the distance must be more than 0"),
        ("C1 P1 -3'", "row 1: the distance must be more than 0"),
        ("C1 P9 3'", "row 1: there is no control point, attachment or pier “P9” in this plan"),
    ],
)
def test_a_pasted_row_that_cannot_be_is_said(row: str, sentence: str) -> None:
    read = tapes_from_text(row, yard(TIES))
    assert read.trouble == (sentence,)
    assert read.tapes == ()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda file: file["tapes"][0].update(to="C1"), "tapes[0].to: is C1 at both ends; a tape needs two points"),
        (lambda file: file["tapes"][0].update(distance=0), "tapes[0].distance: must be more than 0"),
        (
            lambda file: file["tapes"][0].update(to="P77"),
            "tapes[0].to: there is no control point, attachment or pier P77",
        ),
        (
            lambda file: file["piers"][1].update(id="P1"),
            "piers[1].id: P1 is used twice, also at piers[0].id; each needs an id of its own",
        ),
        (
            lambda file: file["piers"][1].update(id="C1"),
            "piers[1].id: C1 is used twice, also at controls[0].id; each needs an id of its own",
        ),
    ],
)
def test_a_file_that_cannot_be_is_refused_at_its_place(
    change: Callable[[dict[str, Any]], None], sentence: str
) -> None:
    file = json.loads(plan_to_json(yard(TIES)))
    change(file)
    with pytest.raises(PlanError) as caught:
        plan_from_json(json.dumps(file), "porch.layout.json")
    assert str(caught.value) == f"porch.layout.json: {sentence}"


def test_an_edit_that_cannot_be_is_refused() -> None:
    with pytest.raises(EditError, match=r"^the second point is P1 at both ends; a tape needs two points$"):
        edits.add_tape(yard(TIES), "P1", "P1", 100.0)


def test_the_same_distance_taken_twice_is_two_measures() -> None:
    """Nothing is wrong with that: both count, and the stake is known the better."""
    once, twice = proof(yard([*TIES, ("P1", "P2")])), proof(yard([*TIES, ("P1", "P2"), ("P2", "P1")]))
    assert twice.trouble == ()
    assert len(twice.tapes) == 8
    assert twice.points[-1].semi_major < once.points[-1].semi_major
