"""The real house against the drawn one, and the layout that follows it or not."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize
from scipy.spatial.transform import Rotation

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.entries import Proof, ProofPoint
from layoutdesk.engine.proof.house import SURE_95, best_turn_and_shift, fitted, house_found, house_from, placed
from layoutdesk.geometry.vector import Vector, distance, minus, plus, turned
from layoutdesk.plan.model import (
    Attachment,
    Baseline,
    BeamLine,
    Control,
    HouseChoice,
    Pier,
    Plan,
    ProofSettings,
    Tape,
    Wall,
)

EQUAL = np.eye(2)
CORNERS: tuple[Vector, ...] = ((0.0, 0.0), (8000.0, 0.0), (8000.0, -3000.0))


def house_plan(choice: HouseChoice = "hold the design", held: str | None = None) -> Plan:
    """Return a porch in the corner of a house, its three corners to be measured, and a hub in the yard."""
    return Plan(
        units="mm",
        rounding=1.0,
        walls=(Wall(id="W1", points=CORNERS, house_side="left"),),
        controls=(
            *(Control(id=f"C{k}", at=at, measured=True) for k, at in enumerate(CORNERS, start=1)),
            Control(id="C4", at=(0.0, -7000.0)),
        ),
        attachments=(Attachment(id="A1", at=(2000.0, 0.0), kind="ledger"),),
        lines=(BeamLine(id="L1", start=(2000.0, 0.0), end=(2000.0, -5000.0), attachment="A1"),),
        piers=(Pier(id="P1", at=(2000.0, -2500.0), line="L1"), Pier(id="P2", at=(2000.0, -5000.0), line="L1")),
        baseline=Baseline(origin=(0.0, 0.0), toward=(8000.0, 0.0), yard_side="right"),
        proof=ProofSettings(house=choice, held_attachment=held),
    )


def stands(plan: Plan, turn: float, shift: Vector) -> dict[str, tuple[Vector, Floats]]:
    """Return where the corners are found when the whole house is turned and shifted."""
    return {c.id: (plus(turned(c.at, turn), shift), EQUAL) for c in plan.controls if c.measured}


turns = st.floats(-179.0, 179.0)
shifts = st.tuples(st.floats(-5e4, 5e4), st.floats(-5e4, 5e4))
places = st.lists(st.tuples(st.floats(-2e4, 2e4), st.floats(-2e4, 2e4)), min_size=2, max_size=8)


@given(turn=turns, shift=shifts)
def test_a_known_turn_and_shift_is_recovered(turn: float, shift: Vector) -> None:
    plan = house_plan()
    found = house_from(plan, stands(plan, turn, shift))
    assert found is not None
    assert found.turn == pytest.approx(turn, abs=1e-9)
    assert found.shift == pytest.approx(shift, abs=1e-6)
    for _, left in found.left_over:
        assert left == pytest.approx((0, 0), abs=1e-6)


@given(drawn=places, data=st.data())
def test_what_is_left_over_sums_to_nothing_and_does_not_turn(drawn: list[Vector], data: st.DataObject) -> None:
    """The weighted remainders sum to zero, and have no moment about the middle: no turn can better them."""
    count = len(drawn)
    p = np.array([complex(*at) for at in drawn])
    noise = data.draw(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=count, max_size=count))
    q = p * cmath.rect(1, 0.02) + complex(300, -200) + np.array([complex(*n) for n in noise])
    w = np.array(data.draw(st.lists(st.floats(0.1, 10), min_size=count, max_size=count)))
    spin, shift = best_turn_and_shift(p, q, w)
    rest = q - (spin * p + shift)
    assert abs(spin) == pytest.approx(1)
    assert abs((w * rest).sum()) == pytest.approx(0, abs=1e-6)
    middle = (w * p).sum() / w.sum()
    if np.abs(p - middle).max() > 1000:
        moment = (w * np.conj(spin * (p - middle)) * rest).sum().imag
        assert moment / (w * np.abs(p - middle)).sum() == pytest.approx(0, abs=1e-6)


def test_against_the_general_solvers() -> None:
    """Against scipy.spatial.transform.Rotation.align_vectors and scipy.optimize.least_squares, 20 random houses."""
    rng = np.random.default_rng(11)
    solve: Any = optimize.least_squares
    for _ in range(20):
        count = int(rng.integers(2, 7))
        p = rng.uniform(-1e4, 1e4, (count, 2))
        turn = rng.uniform(-3, 3)
        c, s = math.cos(turn), math.sin(turn)
        q = p @ np.array([[c, s], [-s, c]]) + rng.uniform(-500, 500, 2) + rng.normal(0, 15, (count, 2))
        w = rng.uniform(0.2, 5, count)
        spin, shift = best_turn_and_shift(p[:, 0] + 1j * p[:, 1], q[:, 0] + 1j * q[:, 1], w)
        pm, qm = w @ p / w.sum(), w @ q / w.sum()
        up = np.zeros((count, 1))
        both = (np.hstack((q - qm, up)), np.hstack((p - pm, up)))
        # A heavy third axis keeps the turn in the plane.
        rotation, _ = Rotation.align_vectors(
            np.vstack((both[0], [0, 0, 1e4])), np.vstack((both[1], [0, 0, 1e4])), weights=[*w, 100 * w.sum()]
        )
        turned_by = math.atan2(spin.imag, spin.real)
        assert turned_by == pytest.approx(rotation.as_rotvec()[2], abs=1e-9)

        def off(x: Floats, p: Floats = p, q: Floats = q, w: Floats = w) -> Floats:
            rest = (q - p @ np.array([[math.cos(x[0]), math.sin(x[0])], [-math.sin(x[0]), math.cos(x[0])]])) - x[1:]
            weighted: Floats = (rest * np.sqrt(w)[:, None]).ravel()
            return weighted

        general = solve(off, [turn, 0, 0], x_scale=[1e-4, 1, 1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
        assert (turned_by, shift.real, shift.imag) == pytest.approx(tuple(general.x), abs=1e-4)


def test_the_more_exactly_found_corner_counts_more() -> None:
    plan = house_plan()
    places = stands(plan, 0.0, (0.0, 0.0))
    places["C2"] = ((8000.0, 60.0), 900 * EQUAL)
    found = house_from(plan, places)
    alike = house_from(plan, {key: (at, EQUAL) for key, (at, _) in places.items()})
    assert found is not None
    assert alike is not None
    assert abs(found.turn) < abs(alike.turn) / 20
    assert dict(found.left_over)["C2"][1] == pytest.approx(60, abs=1)


def test_a_side_that_is_turned_by_itself_is_told() -> None:
    """Corner C2 stands 40 mm into the yard: the side from C1 is turned clockwise, and its end lies 40 mm out."""
    plan = house_plan()
    places = stands(plan, 0.0, (0.0, 0.0))
    places["C2"] = ((8000.0, -40.0), EQUAL)
    found = house_from(plan, places)
    assert found is not None
    first, second = found.walls
    assert (first.wall, first.side, first.ends) == ("W1", 0, ("C1", "C2"))
    assert first.square == pytest.approx((0, 40))
    assert first.turned == pytest.approx(-math.degrees(math.atan2(40, 8000)))
    assert (second.side, second.ends) == (1, ("C2", "C3"))
    assert second.square == pytest.approx((0, 0))
    assert second.turned == pytest.approx(0)


def test_one_corner_shifts_and_does_not_turn() -> None:
    plan = house_plan()
    found = house_from(plan, {"C2": ((8010.0, -20.0), EQUAL)})
    assert found is not None
    assert found.turn == 0.0
    assert found.shift == pytest.approx((10, -20))
    assert "one corner does not show whether the house is turned" in found.says


def test_nothing_measured_is_no_house() -> None:
    plan = house_plan()
    assert house_from(plan, {}) is None
    drawn = plan.with_(controls=tuple(replace(c, measured=False) for c in plan.controls))
    assert house_from(drawn, stands(plan, 1.0, (5.0, 5.0))) is None
    assert placed(plan, None) is plan


TURN, SHIFT = 0.8, (35.0, -12.0)


@pytest.mark.parametrize("choice", ["hold the design", "turn with the house", "hold one attachment"])
def test_the_choice_says_where_the_piers_go(choice: HouseChoice) -> None:
    plan = house_plan(choice, "A1")
    found = house_from(plan, stands(plan, TURN, SHIFT))
    assert found is not None
    put = placed(plan, found)
    held = plan.attachments[0].at

    def goes(p: Vector) -> Vector:
        if choice == "hold the design":
            return p
        if choice == "turn with the house":
            return plus(turned(p, TURN), SHIFT)
        return plus(held, turned(minus(p, held), TURN))

    assert [p.at for p in put.piers] == [pytest.approx(goes(p.at)) for p in plan.piers]
    assert put.attachments[0].at == pytest.approx(goes(held))
    assert put.lines[0].start == pytest.approx(goes(plan.lines[0].start))
    assert put.lines[0].end == pytest.approx(goes(plan.lines[0].end))
    assert put.baseline is not None
    assert put.baseline.toward == pytest.approx(goes((8000.0, 0.0)))
    for corner, drawn in zip(put.controls[:3], CORNERS, strict=True):
        assert corner.at == pytest.approx(plus(turned(drawn, TURN), SHIFT))
    assert put.controls[3] == plan.controls[3]
    assert put.walls[0].points == tuple(c.at for c in put.controls[:3])
    assert distance(put.piers[0].at, put.piers[1].at) == pytest.approx(2500)


def test_without_the_attachment_the_layout_goes_with_the_house() -> None:
    plan = house_plan("hold one attachment", "A9")
    found = house_from(plan, stands(plan, TURN, SHIFT))
    assert found is not None
    assert placed(plan, found).piers[0].at == pytest.approx(fitted(found, plan.piers[0].at))


def test_a_plan_put_in_place_lies_where_it_is_found() -> None:
    """Put in place once, the corners are drawn where they stand: nothing is left to fit."""
    plan = house_plan("turn with the house")
    places = stands(plan, TURN, SHIFT)
    places["C2"] = (plus(places["C2"][0], (3.0, 4.0)), EQUAL)
    put = placed(plan, house_from(plan, places))
    again = house_from(put, places)
    assert again is not None
    assert again.turn == pytest.approx(0, abs=1e-9)
    assert again.shift == pytest.approx((0, 0), abs=1e-6)


def point_row(corner: Control, at: Vector, axes: tuple[float, float]) -> ProofPoint:
    """Return the row of a proof for a corner whose ellipse lies along the axes."""
    return ProofPoint(
        id=corner.id,
        label=corner.id,
        kind="control",
        planned=corner.at,
        found=at,
        held=False,
        along=0.0,
        away=0.0,
        out=0.0,
        semi_major=axes[0],
        semi_minor=axes[1],
        turn=0.0,
        verdict="leave",
        says="",
    )


def test_the_rows_of_a_proof_give_the_weights() -> None:
    """An ellipse of 95 % is turned back into the covariance it stands for."""
    plan = house_plan()
    places = stands(plan, TURN, SHIFT)
    places["C2"] = (plus(places["C2"][0], (30.0, 0.0)), np.diag([100.0, 25.0]))
    rows = []
    for c in plan.controls[:3]:
        at, cov = places[c.id]
        a, b = SURE_95 * np.sqrt(np.diag(cov))
        rows.append(point_row(c, at, (a, b)))
    proof = Proof("held", tuple(rows), (), (), (), (), 0, 0.0, 0.0, 0.0, None, (), "")
    assert house_found(plan, proof) == house_from(plan, places)


@pytest.mark.parametrize("choice", ["hold the design", "turn with the house"])
def test_from_the_tapes_to_the_stakes(choice: HouseChoice) -> None:
    """The house stands turned, two corners are taped from hubs: ties follow the choice, the plan stays."""
    hubs: tuple[Vector, ...] = ((-500.0, -8000.0), (9000.0, -8000.0), (4000.0, -9500.0))
    plan = house_plan(choice)
    plan = plan.with_(
        controls=(
            *(replace(c, measured=c.id in ("C1", "C2")) for c in plan.controls[:2]),
            *(Control(id=f"H{k}", at=at) for k, at in enumerate(hubs, 1)),
        )
    )
    real = {c.id: plus(turned(c.at, TURN), SHIFT) for c in plan.controls[:2]}
    tapes = [
        Tape(start=f"H{k}", end=key, distance=distance(at, hub))
        for key, at in real.items()
        for k, hub in enumerate(hubs, 1)
    ]
    layout = derive(plan.with_(tapes=tuple(tapes)))
    found = layout.house_found
    assert found is not None
    assert found.turn == pytest.approx(TURN, abs=1e-6)
    assert found.shift == pytest.approx(SHIFT, abs=1e-3)
    site = layout.on_site
    pier = plan.piers[0].at
    there = plus(turned(pier, TURN), SHIFT) if choice == "turn with the house" else pier
    assert site.plan.piers[0].at == pytest.approx(there, abs=1e-3)
    assert layout.plan.piers[0].at == pier
    ties = {tie.control: tie.distance for tie in site.stakes.of("P1").ties}
    assert ties["C1"] == pytest.approx(distance(real["C1"], there), abs=1e-3)
    assert ties["H1"] == pytest.approx(distance(hubs[0], there), abs=1e-3)
    if choice == "turn with the house":
        assert site.stakes.of("P1").station == pytest.approx(layout.stakes.of("P1").station, abs=1e-6)


def test_a_house_that_is_not_measured_leaves_the_layout_alone() -> None:
    plan = house_plan()
    layout = derive(plan.with_(controls=tuple(replace(c, measured=False) for c in plan.controls)))
    assert layout.house_found is None
    assert layout.on_site is layout
