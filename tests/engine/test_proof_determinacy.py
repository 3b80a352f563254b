"""What measures do not determine gets one clear sentence, however control is trusted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from layoutdesk.engine.proof.entries import Proof
from layoutdesk.plan.model import Control, ControlTrust, Pier, Plan, ProofSettings, Tape
from tests.proof_jobs import Pull, proof, taped

CONTROL: Final = {"C1": (0.0, 0.0), "C2": (9000.0, 0.0), "C3": (4000.0, 800.0)}
PIERS: Final = {"P1": (1000.0, -3000.0), "P2": (5000.0, -3500.0), "P3": (8000.0, -2500.0), "P4": (3000.0, -6000.0)}
FRAME: Final = [("C1", "C2"), ("C3", "C1"), ("C3", "C2")]
SOUND: Final = [("C1", "P1"), ("C2", "P1"), ("C3", "P1"), ("C1", "P2"), ("C2", "P2"), ("P1", "P2")]
TRUSTS: Final[tuple[ControlTrust, ...]] = ("held", "uncertain", "free")


def said(
    trust: ControlTrust,
    piers: str,
    pulls: Sequence[Pull],
    *more: Tape,
    controls: str = "C1 C2 C3",
    at: dict[str, tuple[float, float]] | None = None,
) -> Proof:
    """Return the proof of a small job in which all points stand where they are drawn, or as ``at`` says."""
    drawn = PIERS | (at or {})
    plan = Plan(
        controls=tuple(Control(id=name, at=CONTROL[name]) for name in controls.split()),
        piers=tuple(Pier(id=name, at=drawn[name]) for name in piers.split()),
        units="mm",
        rounding=1.0,
        proof=ProofSettings(control=trust),
    )
    places = {name: complex(*place) for name, place in (CONTROL | drawn).items()}
    plan = taped(plan, pulls, places, np.random.default_rng(1))
    return proof(replace(plan, tapes=(*plan.tapes, *more)))


def sentences(found: Proof) -> list[str]:
    """Return what is said of points without a place, when those and no others have none."""
    named = {name for one in found.loose for name in one.ids}
    assert named == {point.id for point in found.points if point.found is None}
    return [one.says for one in found.loose]


@pytest.mark.parametrize("trust", TRUSTS)
def test_an_isolated_stake(trust: ControlTrust) -> None:
    assert sentences(said(trust, "P1 P2 P3", SOUND + FRAME)) == ["P3 was not measured."]


@pytest.mark.parametrize("trust", TRUSTS)
def test_a_group_that_is_taped_only_within(trust: ControlTrust) -> None:
    assert sentences(said(trust, "P1 P2 P3 P4", [*SOUND, *FRAME, ("P3", "P4")])) == [
        "P3 and P4 are tied to no control point: tape them from two of those, or from stakes that are."
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_fewer_tapes_than_needed(trust: ControlTrust) -> None:
    assert sentences(said(trust, "P1 P2 P3", [*SOUND, *FRAME, ("C1", "P3")])) == [
        "P3 has too few measures: it takes two for each stake, and one to check."
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_two_tapes_from_the_same_point(trust: ControlTrust) -> None:
    assert sentences(said(trust, "P1 P2 P3", [*SOUND, *FRAME, ("C1", "P3"), ("C1", "P3")])) == [
        "P3 is measured from one point only: tape it from another one, off that line."
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_all_control_in_one_line_with_a_stake(trust: ControlTrust) -> None:
    pulls = [pull for pull in SOUND if "C3" not in pull]
    found = said(
        trust,
        "P1 P2 P3",
        [*pulls, ("C1", "C2"), ("C1", "P3"), ("C2", "P3")],
        controls="C1 C2",
        at={"P3": (6000.0, 0.0)},
    )
    assert sentences(found) == [
        "P3 is taped from points nearly in one line with it: tape it from the side too.",
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_a_stake_that_stands_on_a_string_and_nothing_else(trust: ControlTrust) -> None:
    string = Tape(start="P1", third="P2", end="P3", kind="string", distance=0.0)
    assert sentences(said(trust, "P1 P2 P3", SOUND + FRAME, string)) == [
        "P3 has too few measures: it takes two for each stake, and one to check."
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_a_stake_with_one_right_angle_and_nothing_else(trust: ControlTrust) -> None:
    angle = Tape(start="P2", third="C1", end="P3", kind="right angle", distance=90.0, legs=(900.0, 1200.0))
    assert sentences(said(trust, "P1 P2 P3", SOUND + FRAME, angle)) == [
        "P3 has too few measures: it takes two for each stake, and one to check."
    ]


@pytest.mark.parametrize("trust", TRUSTS)
def test_a_string_and_a_right_angle_that_contradict_each_other_do_not_meet_in_a_point_of_theirs(
    trust: ControlTrust,
) -> None:
    """On the string through P2, and at P2 square to another line: only P2 itself would fit both."""
    string = Tape(start="P1", third="P2", end="P3", kind="string", distance=0.0)
    angle = Tape(start="P2", third="C1", end="P3", kind="right angle", distance=90.0, legs=(900.0, 1200.0))
    found = said(trust, "P1 P2 P3", SOUND + FRAME, string, angle)
    assert "P3" in {name for one in found.loose for name in one.ids}
    assert sentences(found)


@pytest.mark.parametrize("trust", TRUSTS)
def test_a_string_and_a_right_angle_that_cross_are_a_place(trust: ControlTrust) -> None:
    string = Tape(start="C1", third="C2", end="P3", kind="string", distance=0.0)
    angle = Tape(start="P3", third="C1", end="P1", kind="right angle", distance=90.0, legs=(900.0, 1200.0))
    found = said(trust, "P1 P2 P3", SOUND + FRAME, string, angle, at={"P3": (1000.0, 0.0)})
    assert sentences(found) == []


@pytest.mark.parametrize("trust", TRUSTS)
def test_strings_and_right_angles_alone_name_every_stake(trust: ControlTrust) -> None:
    string = Tape(start="C1", third="C2", end="P1", kind="string", distance=0.0)
    angle = Tape(start="P1", third="C1", end="P2", kind="right angle", distance=90.0, legs=(900.0, 1200.0))
    found = said(trust, "P1 P2", [], string, angle, controls="C1 C2", at={"P1": (1000.0, 0.0)})
    assert len(sentences(found)) >= 2
    assert all(says.endswith("one to check.") for says in sentences(found))


def test_a_figure_on_one_control_point_can_turn() -> None:
    pulls = [("C1", "P1"), ("C1", "P2"), ("P1", "P2"), ("C1", "P3"), ("P1", "P3"), ("P2", "P3")]
    found = said("held", "P1 P2 P3", pulls)
    assert sentences(found) == [
        "P1, P2 and P3 are not held against turning or shifting: tape them from one more point."
    ]


@pytest.mark.parametrize("trust", TRUSTS[:2])
def test_a_figure_on_no_control_point_has_a_shape_and_no_place(trust: ControlTrust) -> None:
    found = said(trust, "P1 P2 P3", [("P1", "P2"), ("P2", "P3"), ("P1", "P3")])
    assert sentences(found) == [
        "P1, P2 and P3 are tied to no control point: tape them from two of those, or from stakes that are."
    ]


@pytest.mark.parametrize("trust", TRUSTS[:2])
def test_two_tapes_that_cross_on_both_sides_of_a_stake_near_their_line(trust: ControlTrust) -> None:
    """P3 is drawn 100 mm off the line of its two tapes, and staked 700 mm off it."""
    stands = CONTROL | PIERS | {"P3": (5000.0, -700.0)}
    far = {one: abs(complex(*stands[one]) - complex(*stands["P3"])) for one in ("C1", "C2")}
    tapes = [Tape(start=one, end="P3", distance=far[one], tape_class="II") for one in far]
    found = said(trust, "P1 P2 P3", SOUND + FRAME, *tapes, at={"P3": (5000.0, -100.0)})
    (says,) = sentences(found)
    assert says.startswith("P3 fits in two places, ")
    assert says.endswith("one more tape from the side tells which.")
