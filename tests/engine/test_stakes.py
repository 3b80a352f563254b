"""How each pier is put on the ground, and why so."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from layoutdesk.engine.derive import PlanLayout, derive
from layoutdesk.engine.layout import Stake, Strength
from layoutdesk.engine.ties import Ways, best_pairs, strength_of
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Baseline, BeamLine, Control, Pier, Plan, TapeAtHand, TapeClass, Wall
from tests.engine.scenes import tree


def yard(*controls: Vector, at: Vector = (0.0, -3000.0)) -> Plan:
    """Return a plan with control points and one pier."""
    named = tuple(Control(id=f"C{k}", at=place) for k, place in enumerate(controls, start=1))
    return Plan(units="mm", rounding=1.0, controls=named, piers=(Pier(id="P1", at=at),))


def stake(plan: Plan) -> Stake:
    """Return the stake of the only pier."""
    (one,) = derive(plan).stakes
    return one


@pytest.mark.parametrize(
    ("angle", "strength"),
    [(90, "strong"), (60, "strong"), (59.9, "fair"), (30, "fair"), (29.9, "weak"), (10.1, "weak")],
)
def test_strength_of_a_crossing(angle: float, strength: Strength) -> None:
    """Common practice, no source: strong from 60 degrees, fair from 30."""
    assert strength_of(angle) == strength
    half = math.radians(angle / 2)
    plan = yard((-1000 * math.sin(half), 0), (1000 * math.sin(half), 0), at=(0.0, -1000 * math.cos(half)))
    best = stake(plan).best
    assert best is not None
    assert best.crossing_deg == pytest.approx(angle)
    assert best.strength == strength


def test_crossing_folds_into_a_right_angle() -> None:
    """Tapes that come from nearly opposite sides cross as flatly as from nearly the same."""
    best = stake(yard((-4000, -2500), (4000, -1000))).best
    assert best is not None
    wide = math.degrees(math.atan2(500, 4000) + math.atan2(2000, 4000))
    assert best.crossing_deg == pytest.approx(wide)


def test_pairs_flatter_than_ten_degrees_are_not_offered() -> None:
    half = math.radians(4.9)
    flat = yard((-9000 * math.sin(half), 0), (9000 * math.sin(half), 0), at=(0.0, -9000 * math.cos(half)))
    assert stake(flat).best is None
    assert "no two open tapes cross there at a usable angle" in stake(flat).why


def test_error_of_two_tapes_at_a_right_angle() -> None:
    """Two class II tapes of 3 and 4 m: 2 √(0.45² + 0.55²) mm."""
    best = stake(yard((0.0, 0.0), (4000.0, -3000.0))).best
    assert best is not None
    assert best.within == pytest.approx(2 * math.hypot(0.45, 0.55))
    assert (best.first.control, best.second.control) == ("C1", "C2")


@pytest.mark.parametrize(("tape_class", "ratio"), [("I", 0.5), ("III", 2.0)])
def test_a_better_tape_puts_the_stake_down_better(tape_class: TapeClass, ratio: float) -> None:
    plan = yard((0.0, 0.0), (4000.0, -3000.0))
    better = plan.with_(tape_at_hand=replace(plan.tape_at_hand, tape_class=tape_class))
    one, other = stake(plan).best, stake(better).best
    assert one is not None
    assert other is not None
    assert other.within / one.within == pytest.approx(ratio, rel=0.15)


def test_blocked_tape_is_named_and_not_used() -> None:
    plan = yard((0.0, 0.0), (4000.0, -3000.0), (-4000.0, -2000.0)).with_(keepouts=(tree((0.0, -1500.0)),))
    one = stake(plan)
    assert [tie.blocked_by for tie in one.ties] == ["tree K1", None, None]
    assert one.best is not None
    assert (one.best.first.control, one.best.second.control) == ("C2", "C3")


def test_tape_that_is_too_short_is_not_used() -> None:
    plan = yard((0.0, 0.0), (40_000.0, -3000.0)).with_(tape_at_hand=TapeAtHand(length=20_000.0))
    one = stake(plan)
    assert one.best is None
    assert one.ties[1].blocked_by is None
    assert "beyond the tape are C2" in one.why


def test_of_equally_exact_pairs_the_earlier_is_taken() -> None:
    one = stake(yard((-3000.0, 0.0), (3000.0, 0.0), (-3000.0, -6000.0), (3000.0, -6000.0)))
    assert one.best is not None
    assert (one.best.first.control, one.best.second.control) == ("C1", "C2")


BASE = Baseline(origin=(0.0, 0.0), toward=(8000.0, 0.0), yard_side="right")


def test_square_from_the_baseline_adds_up_its_errors() -> None:
    """Station 2 m, offset 3 m: both tapes, and the offset times the error of the right angle."""
    plan = yard(at=(2000.0, -3000.0)).with_(baseline=BASE)
    layout = derive(plan)
    assert layout.square is not None
    turn = math.radians(layout.square.angle_within_deg / 2)
    one = stake(plan)
    assert one.square is not None
    assert one.square.within == pytest.approx(2 * math.sqrt(0.35**2 + 0.45**2 + (3000 * turn) ** 2))
    assert one.method == "square"
    assert one.best is None


def test_square_is_chosen_while_it_is_nearly_as_exact() -> None:
    plan = yard((0.0, 0.0), (8000.0, 0.0), at=(3500.0, -600.0)).with_(baseline=BASE)
    one = stake(plan)
    assert one.method == "square"
    assert "more exact" in one.why


def test_two_tapes_are_chosen_far_from_the_baseline() -> None:
    plan = yard((0.0, 0.0), (8000.0, 0.0), at=(4000.0, -6000.0)).with_(baseline=BASE)
    one = stake(plan)
    assert one.method == "two tapes"
    assert one.why.startswith("Tapes from C1 and C2, crossing at 67°, put it within ±")
    assert "square from the baseline only within ±" in one.why


@pytest.mark.parametrize("at", [(4000.0, -1500.0), (2000.0, 0.0)], ids=["square out", "along the baseline"])
def test_square_is_barred_by_what_stands_in_its_way(at: Vector) -> None:
    plan = yard((0.0, 0.0), (8000.0, 0.0), at=(4000.0, -3000.0)).with_(baseline=BASE, keepouts=(tree(at),))
    one = stake(plan)
    assert one.square is not None
    assert one.square.blocked_by == "tree K1"
    assert one.method == "two tapes"
    assert "barred by tree K1" in one.why


def test_square_needs_room_for_a_right_triangle() -> None:
    plan = yard((0.0, 0.0), (200.0, 0.0), at=(100.0, -300.0))
    short = Baseline(origin=(0.0, 0.0), toward=(200.0, 0.0), yard_side="right")
    one = stake(plan.with_(baseline=short))
    assert one.square is not None
    assert one.square.blocked_by == "too little room for a right triangle"
    assert one.method == "two tapes"


def test_pier_that_others_of_its_line_lead_to_is_set_along_it() -> None:
    """P1 and P2 can be taped to; P3 is behind a tree for both tapes, 2 m beyond P2 on the same line."""
    piers = tuple(Pier(id=f"P{k}", at=(2000.0 * k - 4000.0, -3000.0), line="L1") for k in (1, 2, 3))
    line = BeamLine(id="L1", start=(-3000.0, -3000.0), end=(3000.0, -3000.0))
    plan = yard((-4000.0, -1000.0), (-1500.0, -1000.0)).with_(piers=piers, lines=(line,))
    one = derive(plan.with_(keepouts=(tree((1000.0, -2350.0), 500.0),))).stakes.of("P3")
    assert one.method == "none"
    assert one.along is not None
    assert (one.along.line, one.along.near, one.along.other, one.along.distance) == ("L1", "P2", "P1", 2000.0)
    assert one.why.startswith("Set it along L1, 2000\u00a0mm from P2 in line with P1: there is no baseline")


def test_same_rounded_error_is_not_called_only() -> None:
    """Both are within 2 mm on the tape."""
    plan = yard((500.0, 0.0), (3500.0, 0.0), at=(2000.0, -1500.0)).with_(baseline=BASE)
    one = stake(plan)
    assert one.method == "two tapes"
    assert one.why.endswith("square from the baseline no better.")


def test_nothing_to_measure_from_is_said() -> None:
    one = stake(yard())
    assert one.method == "none"
    assert one.why == (
        "Nothing puts this pier on the ground: there is no baseline to go square from, and two tapes need two"
        " control points."
    )


def test_numbers_in_reasons_are_in_the_plans_units() -> None:
    plan = yard((0.0, 0.0), (8000.0, 0.0), at=(4000.0, -6000.0)).with_(baseline=BASE)
    feet = plan.with_(units="ft-in", rounding=1.5875)
    assert "″" in stake(feet).why
    assert "\u00a0mm" in stake(plan).why
    metres = stake(plan.with_(units="m")).why
    assert metres == stake(plan).why, "small amounts are millimetres in plans in metres too"


def test_stakes_by_id_and_columns_agree_with_rows() -> None:
    plan = yard((0.0, 0.0), (8000.0, 0.0)).with_(
        walls=(Wall(id="W1", points=((0.0, 0.0), (8000.0, 0.0)), house_side="left"),),
        piers=tuple(Pier(id=f"P{k}", at=(1000.0 * k, -400.0 * k)) for k in range(1, 8)),
    )
    stakes = derive(plan).stakes
    for i, row in enumerate(stakes):
        assert stakes.of(row.id) == row
        assert row.best is not None
        assert stakes.within[i] == row.best.within
        assert stakes.best_pair[i].tolist() == [0, 1]
        assert stakes.distance[:, i].tolist() == [tie.distance for tie in row.ties]
    with pytest.raises(KeyError):
        stakes.of("C1")
    with pytest.raises(KeyError):
        stakes.of("P9")


def test_control_points_are_tied_to_each_other() -> None:
    plan = yard((0.0, 0.0), (3000.0, 0.0), (0.0, -4000.0)).with_(keepouts=(tree((1500.0, 0.0)),))
    ties = [(t.first, t.second, t.distance, t.blocked_by) for t in derive(plan).control_ties]
    assert ties == [("C1", "C2", 3000.0, "tree K1"), ("C1", "C3", 4000.0, None), ("C2", "C3", 5000.0, None)]


def test_columns_without_control_points_are_empty_or_nan() -> None:
    stakes = derive(yard()).stakes
    assert stakes.distance.shape == (0, 1)
    assert stakes.best_pair.tolist() == [[-1, -1]]
    assert np.isnan(stakes.within).all()
    assert np.isnan(PlanLayout(yard()).stakes.crossing_deg).all()


def test_many_piers_are_reckoned_in_rounds_like_few() -> None:
    """Piers are taken a thousand at a time; the seams must not show."""
    rng = np.random.default_rng(7)
    (cx, cy), (px, py) = rng.uniform(-9000, 9000, (2, 5)), rng.uniform(-9000, 9000, (2, 2500))
    distance = np.hypot(px - cx[:, None], py - cy[:, None])
    usable = rng.random((5, 2500)) > 0.3
    whole = best_pairs(Ways(cx, cy, px, py), distance, usable, "II")
    for i in (0, 1023, 1024, 2047, 2048, 2499):
        one = slice(i, i + 1)
        alone = best_pairs(Ways(cx, cy, px[one], py[one]), distance[:, one], usable[:, one], "II")
        assert alone.pair.tolist() == whole.pair[one].tolist()
        assert alone.within == pytest.approx(whole.within[one], nan_ok=True)
