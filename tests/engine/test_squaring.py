"""The largest right triangle that fits: where it stands, how large it is, and what keeps it smaller."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import SquareTriangle
from layoutdesk.engine.squaring import angle_deviation
from layoutdesk.plan.model import Attachment, Baseline, Control, Pier, Plan, TapeAtHand, TapeClass, Wall
from tests.engine.scenes import tree

YARD = Plan(
    units="mm",
    rounding=1.0,
    baseline=Baseline(origin=(0.0, 0.0), toward=(8000.0, 0.0), yard_side="right"),
    controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(8000.0, 0.0))),
    piers=(Pier(id="P1", at=(4000.0, -6000.0)),),
)


def square(plan: Plan) -> SquareTriangle:
    """Return the triangle of a plan that has one."""
    found = derive(plan).square
    assert found is not None
    return found


def test_largest_triangle_in_an_open_yard() -> None:
    """Along a baseline of 8 m in a yard 7 m deep."""
    found = square(YARD)
    assert found.ratio == (3, 4, 5)
    assert (found.leg_along, found.leg_out) == (8000.0, 6000.0)
    assert found.hypotenuse == 10_000.0
    assert (found.corner, found.corner_label) == ((0.0, 0.0), "C1")
    assert found.on_line == (8000.0, 0.0)
    assert found.out == (0.0, -6000.0)


def test_the_other_ratio_is_given_too() -> None:
    other = derive(YARD).square_other
    assert other is not None
    assert other.ratio == (5, 12, 13)
    assert (other.leg_along, other.leg_out) == (7200.0, 3000.0)


def test_five_twelve_thirteen_is_used_when_it_is_clearly_better() -> None:
    """Along a baseline of half a metre 3-4-5 is 300 by 400 mm, and 5-12-13 is 500 by 1200 mm."""
    narrow = YARD.with_(
        baseline=Baseline(origin=(0.0, 0.0), toward=(500.0, 0.0), yard_side="right"),
        controls=(Control(id="C1", at=(0.0, 0.0)),),
        piers=(Pier(id="P1", at=(300.0, -900.0)),),
    )
    one, other = derive(narrow).square, derive(narrow).square_other
    assert one is not None
    assert other is not None
    assert (one.ratio, other.ratio) == ((5, 12, 13), (3, 4, 5))
    assert one.angle_within_deg <= 0.85 * other.angle_within_deg


def test_tape_at_hand_limits_the_hypotenuse() -> None:
    found = square(YARD.with_(tape_at_hand=TapeAtHand(length=5000.0)))
    assert found.hypotenuse == 5000.0


def test_sides_are_whole_steps_of_six_inches_in_feet() -> None:
    found = square(YARD.with_(units="ft-in", rounding=1.5875))
    steps = [side / 152.4 for side in (found.leg_along, found.leg_out, found.hypotenuse)]
    assert steps == pytest.approx([round(step) for step in steps], abs=1e-9)


def test_tree_on_the_hypotenuse_makes_the_triangle_smaller() -> None:
    found = square(YARD.with_(keepouts=(tree((4000.0, -3000.0), 200.0),)))
    assert found.hypotenuse < 10_000.0


def test_right_angle_moves_to_the_other_corner_when_the_first_is_blocked() -> None:
    """A tree just out from C1."""
    found = square(YARD.with_(keepouts=(tree((0.0, -400.0)),)))
    assert found.corner_label == "C2"
    assert found.on_line == (0.0, 0.0)
    assert found.out == (8000.0, -6000.0)


def test_right_angle_stands_at_the_origin_when_no_point_is_there() -> None:
    found = square(YARD.with_(controls=()))
    assert found.corner_label == "the baseline's origin"


def test_right_angle_may_stand_at_an_attachment() -> None:
    """The ends of the baseline are blocked by trees; an attachment in the middle is free."""
    plan = YARD.with_(
        attachments=(Attachment(id="A1", at=(4000.0, 0.0), kind="ledger"),),
        keepouts=(tree((0.0, -310.0)), tree((8000.0, -310.0), name="K2")),
    )
    assert square(plan).corner_label == "A1"


def test_leg_along_may_follow_the_wall_beyond_the_drawn_baseline() -> None:
    short = YARD.with_(baseline=Baseline(origin=(0.0, 0.0), toward=(1000.0, 0.0), yard_side="right"))
    wall = Wall(id="W1", points=((0.0, 0.0), (8000.0, 0.0)), house_side="left")
    beyond = Wall(id="W2", points=((0.0, -20_000.0), (8000.0, -20_000.0)), house_side="right")
    assert square(short).leg_along <= 1000.0
    assert square(short.with_(walls=(wall, beyond))).leg_along == 8000.0


def test_no_triangle_fits_between_trees() -> None:
    blocked = YARD.with_(keepouts=(tree((0.0, -310.0)), tree((8000.0, -310.0), name="K2")))
    assert derive(blocked).square is None
    assert derive(blocked).square_other is None
    assert derive(YARD.with_(baseline=None)).square is None


def test_five_twelve_thirteen_alone() -> None:
    """A stump where both small 3-4-5 would have their long sides."""
    tight = YARD.with_(
        baseline=Baseline(origin=(0.0, 0.0), toward=(500.0, 0.0), yard_side="right"),
        controls=(Control(id="C1", at=(0.0, 0.0)),),
        keepouts=(tree((171.4, -171.4), 30.0),),
    )
    assert square(tight).ratio == (5, 12, 13)
    assert derive(tight).square_other is None


@pytest.mark.parametrize("tape_class", ["I", "II", "III"])
@pytest.mark.parametrize(("a", "b"), [(3000.0, 4000.0), (6000.0, 2500.0), (300.0, 400.0)])
def test_error_of_the_angle_is_that_of_a_simulation(tape_class: TapeClass, a: float, b: float) -> None:
    """Oracle: the angle between sides drawn at random, by the cosine rule, 200 000 times."""
    from layoutdesk.engine.tapes import tape_deviation

    rng = np.random.default_rng(20_260_312)
    sides = [
        side + tape_deviation(side, tape_class) * rng.standard_normal(200_000) for side in (a, b, math.hypot(a, b))
    ]
    angle = np.arccos((sides[0] ** 2 + sides[1] ** 2 - sides[2] ** 2) / (2 * sides[0] * sides[1]))
    assert angle_deviation(a, b, tape_class) == pytest.approx(float(angle.std()), rel=0.01)


def test_angle_of_the_plan_is_twice_its_standard_error() -> None:
    found = square(YARD)
    expected = 2 * math.degrees(angle_deviation(found.leg_along, found.leg_out, "II"))
    assert found.angle_within_deg == pytest.approx(expected)


def test_huge_tape_and_yard_take_no_longer() -> None:
    """No triangle is larger than a tape can be, whatever the plan says."""
    huge = YARD.with_(
        baseline=Baseline(origin=(0.0, 0.0), toward=(1e7, 0.0), yard_side="right"),
        piers=(replace(YARD.piers[0], at=(5e6, -5e6)),),
        tape_at_hand=TapeAtHand(length=1e7),
    )
    assert square(huge).hypotenuse == 100_000.0
