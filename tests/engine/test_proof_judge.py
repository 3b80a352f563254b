"""The proof of small layouts: what is said of tapes, stakes and bays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.proof.bay_verdicts import joint_at_most
from layoutdesk.plan.model import Baseline, Bay, Control, Pier, Plan, ProofSettings, Tape
from tests.proof_jobs import Places, proof, taped

TIES = [("C1", "P1"), ("C2", "P1"), ("C1", "P2"), ("C2", "P2"), ("P1", "P2")]
SQUARE = [("P1", "P2"), ("P2", "P3"), ("P3", "P4"), ("P4", "P1"), ("P1", "P3"), ("P2", "P4")]
INCH = 25.4
NBSP, THIN = "\u00a0", "\u2009"


@pytest.fixture
def porch() -> Plan:
    """Return two control points and two piers, the house above, the yard below."""
    return Plan(
        controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(5000.0, 0.0))),
        piers=(Pier(id="P1", at=(500.0, -3000.0)), Pier(id="P2", at=(4500.0, -3000.0))),
        baseline=Baseline(origin=(0.0, 0.0), toward=(5000.0, 0.0), yard_side="right"),
        units="ft-in",
        rounding=INCH / 16,
    )


@pytest.fixture
def lone_bay() -> Plan:
    """Return four piers that no control point is near."""
    corners = ((0.0, 0.0), (4000.0, 0.0), (4000.0, -3000.0), (0.0, -3000.0))
    return Plan(
        piers=tuple(Pier(id=f"P{k + 1}", at=at) for k, at in enumerate(corners)),
        bays=(Bay(id="B1", corners=("P1", "P2", "P3", "P4")),),
        units="ft-in",
        rounding=INCH / 16,
    )


def places(plan: Plan, **moved: complex) -> Places:
    """Return where all points stand: as drawn, and some off by so much."""
    at = {point.id: complex(*point.at) for point in plan.controls}
    at |= {point.id: complex(*point.at) for point in plan.piers}
    return {name: place + moved.get(name, 0) for name, place in at.items()}


def codes(plan: Plan) -> list[str]:
    """Return the codes of the flags of the proof."""
    return [flag.code for flag in flags(plan)]


def flags(plan: Plan) -> Sequence[Flag]:
    """Return the flags of the proof."""
    return [flag for flag in derive(plan).flags if flag.stage == "proof"]


def test_without_measures_there_is_no_proof(porch: Plan) -> None:
    assert derive(porch).proof is None
    assert flags(porch) == []


def test_a_stake_that_is_out_is_moved_back_by_what_it_is_out(porch: Plan) -> None:
    """P1 stands 1 in toward C2 and 2 in too far into the yard."""
    said = proof(taped(porch, TIES, places(porch, P1=complex(INCH, -2 * INCH)), None))
    point = said.points[2]
    assert point.id == "P1"
    assert (point.along, point.away) == pytest.approx((-INCH, -2 * INCH), abs=1e-6)
    assert point.verdict == "move"
    assert point.says.startswith("Move P1 1″ toward C1 and 2″ toward the house: it is 2")
    assert said.points[3].verdict == "leave"
    assert codes(taped(porch, TIES, places(porch, P1=complex(INCH, -2 * INCH)), None)) == ["stake-to-move"]


def test_a_stake_inside_the_tolerance_is_left(porch: Plan) -> None:
    said = proof(taped(porch, TIES, places(porch, P1=complex(INCH / 8, 0)), None))
    assert said.points[2].says == "Leave P1: it is ¹⁄₈″ out, the tolerance is ¹⁄₂″."
    assert said.points[3].says.startswith("Leave P2: it stands where the plan has it")


def test_a_move_that_the_tapes_cannot_tell_is_not_asked_for(porch: Plan) -> None:
    own = [replace(tape, tape_class="own", own=(30.0, 0.0)) for tape in _out(porch, 14.0).tapes]
    said = proof(replace(porch, tapes=tuple(own)))
    assert said.points[2].verdict == "within the tapes"
    assert said.points[2].says.startswith("Do not move P1 yet")


def _out(plan: Plan, by: float) -> Plan:
    return taped(plan, TIES, places(plan, P1=complex(by, 0)), None)


def test_a_stake_with_one_tape_is_named_and_never_guessed(porch: Plan) -> None:
    said = proof(taped(porch, TIES[:3], places(porch), None))
    assert said.points[3].found is None
    assert math.isnan(said.points[3].out)
    assert said.points[3].verdict == "not determined"
    assert [one.ids for one in said.loose] == [("P2",)]
    assert said.passes is None
    assert codes(taped(porch, TIES[:3], places(porch), None)) == ["stake-not-determined"]


def test_a_stake_that_was_never_taped_is_named(porch: Plan) -> None:
    said = proof(taped(porch, TIES[:2], places(porch), None))
    assert said.points[3].says == "P2 was not measured."
    assert said.loose[-1].says == "P2 was not measured."


def test_one_tape_between_two_stakes_shows_no_place(porch: Plan) -> None:
    said = proof(taped(porch, [("P1", "P2")], places(porch), None))
    assert [point.found for point in said.points] == [None, None]
    assert "no measure goes to a control point" in said.points[0].says


def test_a_foot_misread_is_recognised(porch: Plan) -> None:
    third = replace(porch, controls=(*porch.controls, Control(id="C3", at=(2500.0, 500.0))))
    pulls = [*TIES, ("C3", "P1"), ("C3", "P2")]
    plan = taped(third, pulls, places(third), np.random.default_rng(3), misread={1: 304.8})
    said = proof(plan)
    (suspect,) = said.suspects
    assert (suspect.index, suspect.misreading, suspect.alike) == (1, "whole feet", ())
    assert suspect.size == pytest.approx(304.8, abs=4)
    assert suspect.right == pytest.approx(plan.tapes[1].distance - 304.8)
    assert "a foot miscounted" in suspect.says
    assert said.passes is False
    assert said.passes_without is True
    assert said.tapes[1].suspect
    assert said.tapes[1].residual == pytest.approx(-suspect.size)
    assert [point.verdict for point in said.points if point.kind == "pier"] == ["leave", "leave"]
    assert codes(plan) == ["tape-suspect"]


def test_inches_typed_as_feet_are_said_even_with_nothing_to_spare(porch: Plan) -> None:
    plan = taped(porch, TIES[:4], places(porch), None)
    tapes = list(plan.tapes)
    tapes[1] = replace(tapes[1], distance=tapes[1].distance * 12)
    said = proof(replace(plan, tapes=tuple(tapes)))
    (suspect,) = said.suspects
    assert suspect.misreading == "one unit for another"
    assert suspect.right == pytest.approx(plan.tapes[1].distance)
    assert "feet taken for inches" in suspect.says


def test_a_tape_that_ended_at_the_wrong_stake_is_recognised() -> None:
    controls = tuple(
        Control(id=f"C{k}", at=at) for k, at in enumerate(((0.0, 0.0), (5000.0, 0.0), (2200.0, 700.0)))
    )
    piers = tuple(Pier(id=f"P{k}", at=at) for k, at in enumerate(((520.0, -3010.0), (2617.0, -3333.0))))
    plan = Plan(controls=controls, piers=piers, units="mm", rounding=1.0)
    pulls = [(control.id, pier.id) for control in controls for pier in piers]
    true = places(plan)
    error = abs(true["C0"] - true["P1"]) - abs(true["C0"] - true["P0"])
    (suspect,) = proof(taped(plan, pulls, true, np.random.default_rng(2), misread={0: error})).suspects
    assert suspect.index == 0
    assert suspect.misreading == "wrong end"
    assert "fits C0 to P1" in suspect.says


def test_stakes_that_changed_places_are_named(porch: Plan) -> None:
    third = replace(porch, piers=(*porch.piers, Pier(id="P3", at=(2500.0, -4000.0))))
    pulls = [*TIES, ("C1", "P3"), ("C2", "P3"), ("P1", "P3"), ("P2", "P3")]
    at = places(third)
    at["P1"], at["P2"] = at["P2"], at["P1"]
    said = proof(taped(third, pulls, at, np.random.default_rng(4)))
    assert [one.ids for one in said.swapped] == [("P1", "P2")]
    assert "changed places" in said.swapped[0].says


def test_the_sides_and_diagonals_of_one_bay_prove_it_without_any_control(lone_bay: Plan) -> None:
    said = proof(taped(lone_bay, SQUARE, places(lone_bay), np.random.default_rng(5)))
    (bay,) = said.bays
    assert bay.square is True
    assert bay.says.startswith("Bay P1 P2 P3 P4 is square")
    racked = proof(taped(lone_bay, SQUARE, places(lone_bay, P3=30 + 0j), np.random.default_rng(5)))
    (bay,) = racked.bays
    assert bay.square is False
    assert "at corner P3" in bay.says
    assert all(point.found is None for point in racked.points)


def test_four_sides_alone_do_not_tell_whether_a_bay_is_square(lone_bay: Plan) -> None:
    (bay,) = proof(taped(lone_bay, SQUARE[:4], places(lone_bay), None)).bays
    assert bay.square is None
    assert math.isnan(bay.out)


def test_a_misread_diagonal_leaves_the_bay_unjudged(lone_bay: Plan) -> None:
    """With one measure to spare it is not known which tape is wrong, so the bay is not called square."""
    said = proof(taped(lone_bay, SQUARE, places(lone_bay), np.random.default_rng(6), misread={4: INCH}))
    assert said.bays[0].square is None
    assert "do not agree" in said.bays[0].says
    assert len(said.suspects[0].alike) == 5


def test_measures_that_cannot_be_used_are_said_with_their_reason(porch: Plan) -> None:
    plan = taped(porch, TIES, places(porch), np.random.default_rng(7))
    bad = (Tape(start="C1", end="P9", distance=1000.0), Tape(start="P1", end="P1", distance=1000.0))
    plan = replace(plan, tapes=(*plan.tapes, *bad))
    said = proof(plan)
    assert [index for index, _ in said.trouble] == [5, 6]
    assert "there is no point P9" in said.trouble[0][1]
    assert codes(plan) == ["tape-unusable", "tape-unusable"]


def test_a_right_angle_and_an_offset_take_part(porch: Plan) -> None:
    plan = taped(porch, TIES, places(porch), np.random.default_rng(8))
    more = (
        Tape(start="C1", third="C2", end="P1", kind="square", distance=-3000.0),
        Tape(start="C1", third="C2", end="P2", kind="string", distance=-3000.0),
        Tape(start="P1", end="P2", third="C1", kind="right angle", distance=90.0, legs=(900.0, 1200.0)),
    )
    said = proof(replace(plan, tapes=(*plan.tapes, *more)))
    assert said.tapes[5].adjusted == pytest.approx(-3000.0, abs=3)
    assert abs(said.tapes[5].w) < 3
    angle = said.tapes[7]
    assert angle.adjusted == pytest.approx(90 + math.degrees(math.atan2(500, 3000)), abs=0.2)
    assert [one.index for one in said.suspects] == [7]
    assert "is out by" in said.suspects[0].says


@pytest.mark.parametrize("control", ["uncertain", "free"])
def test_control_that_is_not_held_is_found_too(porch: Plan, control: str) -> None:
    settings = ProofSettings(control="free" if control == "free" else "uncertain")
    pulls = [*TIES, ("C1", "C2")]
    said = proof(taped(replace(porch, proof=settings), pulls, places(porch), np.random.default_rng(9)))
    assert not any(point.held for point in said.points)
    assert all(point.semi_major > 0 for point in said.points)
    assert "was found" in said.points[0].says


def test_many_stakes_to_move_are_one_flag(porch: Plan) -> None:
    piers = tuple(Pier(id=f"P{k}", at=(1000.0 * k, -3000.0)) for k in range(1, 5))
    plan = replace(porch, piers=piers)
    pulls = [(control, pier.id) for control in ("C1", "C2") for pier in piers]
    off = {pier.id: complex(0, -50) for pier in piers}
    found = flags(taped(plan, pulls, places(plan, **off), None))
    assert [flag.code for flag in found] == ["stake-to-move"]
    assert found[0].title == "4 stakes must move"
    assert found[0].about == ("P1", "P2", "P3", "P4")


def test_what_a_joint_covariance_is_at_most_is_never_less_than_it() -> None:
    """Whatever four places have to do with each other, the bound less the truth has no negative part."""
    rng = np.random.default_rng(10)
    for _ in range(50):
        root = rng.normal(size=(8, 8))
        joint = root @ root.T
        blocks = np.stack([joint[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] for k in range(4)])
        assert np.linalg.eigvalsh(joint_at_most(blocks) - joint).min() > -1e-9


def test_more_tapes_make_a_bay_surer(lone_bay: Plan) -> None:
    """More tapes make the shape surer, and never less sure."""
    held = replace(lone_bay, controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(4000.0, 0.0))))
    ties = [("C1", "P1"), ("C2", "P1"), ("C1", "P2"), ("C2", "P2")]
    held = replace(held, piers=tuple(replace(p, at=(p.at[0] + 10, p.at[1] - 500)) for p in held.piers))
    alone = proof(taped(lone_bay, SQUARE, places(lone_bay), None)).bays[0]
    tied = proof(taped(held, [*SQUARE, *ties], places(held), None)).bays[0]
    assert 0 < tied.within <= alone.within


def test_two_misread_tapes_at_one_stake_are_both_named_and_no_sound_one(porch: Plan) -> None:
    """P2 is taped seven times; a foot too little in two of them agree so badly that sound ones look worse."""
    more = ((2500.0, 500.0), (-800.0, -4000.0), (5800.0, -4500.0))
    wide = replace(
        porch, controls=(*porch.controls, *(Control(id=f"C{k + 3}", at=at) for k, at in enumerate(more)))
    )
    pulls = [(f"C{k}", p) for k in range(1, 6) for p in ("P1", "P2")] + [("P1", "P2")]
    rng = np.random.default_rng(8)
    for one, other in ((1, 3), (1, 5), (3, 7), (5, 10), (9, 1)):
        said = proof(taped(wide, pulls, places(wide), rng, misread={one: -304.8, other: 304.8}))
        assert all(suspect.alike == () for suspect in said.suspects)
        assert {suspect.index: suspect.size for suspect in said.suspects} == pytest.approx(
            {one: -304.8, other: 304.8}, abs=6
        )
        assert said.passes_without is True


def test_where_one_tape_is_to_spare_it_is_not_said_that_only_one_is_wrong(porch: Plan) -> None:
    said = proof(taped(porch, TIES, places(porch), None, misread={1: 45.0, 2: 45.0}))
    (suspect,) = said.suspects
    assert len(suspect.alike) >= 3
    assert "nor whether it is only one" in suspect.says
