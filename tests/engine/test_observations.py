"""What was measured on site, as weighted rows for the adjustment."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given

from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.observations import (
    ANGLE,
    BESIDE_LINE,
    DISTANCE,
    ON_STRING_MM,
    SQUARE_BY_EYE,
    Observations,
    observations_of,
)
from layoutdesk.engine.squaring import angle_deviation
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.plan.model import Control, Pier, Plan, ProofSettings, Tape
from tests.strategies import plans

CONTROLS = (Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(6000.0, 0.0)))
PIERS = (
    Pier(id="P1", at=(0.0, -3000.0), mark="west"),
    Pier(id="P2", at=(6000.0, -3000.0)),
    Pier(id="P3", at=(3000.0, 0.0)),
    Pier(id="P4", at=(6000.0, -3000.0)),
)


def taken(*tapes: Tape, read_to: float = 0.0) -> Observations:
    """Return the rows of measures on a small site: two control points on a line, four piers."""
    plan = Plan(controls=CONTROLS, piers=PIERS, tapes=tapes, proof=ProofSettings(read_to=read_to))
    return observations_of(plan, PointTable(plan, None))


def one(start: str, end: str, distance: float, *, read_to: float = 0.0, **more: Any) -> tuple[float, float]:
    """Return value and deviation of one measure, which must be usable."""
    rows = taken(Tape(start=start, end=end, distance=distance, **more), read_to=read_to)
    assert rows.trouble == ()
    assert len(rows) == 1
    return float(rows.value[0]), float(rows.deviation[0])


def test_nothing_measured_is_no_row() -> None:
    rows = taken()
    assert (len(rows), rows.trouble) == (0, ())
    assert rows.value.dtype == np.float64


def test_repeated_measures_stay_apart_and_keep_their_places() -> None:
    bad = Tape(start="C1", end="C1", distance=5.0)
    rows = taken(
        Tape(start="C1", end="P1", distance=3001.0),
        bad,
        Tape(start="P1", end="C1", distance=2999.0),
        Tape(start="C2", end="P1", distance=-40.0, kind="square", third="C1"),
    )
    assert rows.kind.tolist() == [DISTANCE, DISTANCE, BESIDE_LINE]
    assert rows.tape.tolist() == [0, 2, 3]
    assert (rows.i.tolist(), rows.j.tolist(), rows.k.tolist()) == ([0, 2, 1], [2, 0, 2], [-1, -1, 0])
    assert rows.value.tolist() == [3001.0, 2999.0, -40.0]
    assert [place for place, _ in rows.trouble] == [1]


def test_rows_are_taken_out_of_every_column() -> None:
    rows = taken(*(Tape(start="C1", end="P1", distance=d) for d in (3001.0, 0.0, 2999.0, 3003.0)))
    some = rows.take(rows.value != 2999.0)
    assert some.tape.tolist() == [0, 3]
    assert some.value.tolist() == [3001.0, 3003.0]
    assert len(some.deviation) == len(some.k) == 2
    assert some.trouble == rows.trouble


@pytest.mark.parametrize("tape_class", ["I", "II", "III"])
def test_a_class_of_the_directive_weighs_a_distance(tape_class: Any) -> None:
    assert one("C1", "P1", 3000.0, tape_class=tape_class) == (3000.0, tape_deviation(3000.0, tape_class))


def test_other_tapes_weigh_a_distance() -> None:
    """9 ft 10 in lie in the second band of Handbook 44; an own tape of 0.5 mm + 0.4 mm a metre."""
    assert one("C1", "P1", 3000.0, tape_class="H44") == pytest.approx((3000.0, 25.4 / 32))
    assert one("C1", "P1", 3000.0, tape_class="own", own=(0.5, 0.4)) == pytest.approx((3000.0, (0.5 + 1.2) / 2))


def test_reading_to_a_step_adds_the_variance_of_its_rounding() -> None:
    """The step divided by the root of twelve, JCGM 100:2008, 4.3.7: 0.458 mm of 1/16 in."""
    step = 1.5875 / math.sqrt(12)
    assert step == pytest.approx(0.45827, abs=1e-5)
    plain = tape_deviation(3000.0, "II")
    assert one("C1", "P1", 3000.0, read_to=1.5875) == pytest.approx((3000.0, math.hypot(plain, step)))
    assert one("C1", "P1", 3000.0, read_to=1.5875, slope=60.0)[1] == pytest.approx(math.hypot(plain, step) / 2)
    by_eye = 3000.0 * SQUARE_BY_EYE
    squared = one("C1", "P1", -3000.0, read_to=1.5875, kind="square", third="C2")
    assert squared[1] == pytest.approx(math.hypot(plain, step, by_eye))
    beside = one("C1", "P3", -100.0, read_to=1.5875, kind="string", third="C2")
    assert beside[1] == pytest.approx(math.hypot(ON_STRING_MM, tape_deviation(100.0, "II"), step))


def test_a_stake_on_a_string_has_no_reading_to_round() -> None:
    assert one("C1", "P3", 0.0, read_to=10.0, kind="string", third="C2") == (0.0, ON_STRING_MM)


def test_a_triangle_is_set_to_the_step_on_all_three_sides() -> None:
    """By the cosine rule at the right angle; each side is out by its tape and by its step."""
    a, b, c = 900.0, 1200.0, 1500.0
    sides = [side * math.hypot(tape_deviation(side, "II"), 5.0 / math.sqrt(12)) for side in (a, b, c)]
    found = one("C1", "P1", 90.0, third="C2", kind="right angle", legs=(a, b), read_to=5.0)[1]
    assert found == pytest.approx(math.hypot(*sides) / (a * b))
    assert found > 3 * one("C1", "P1", 90.0, third="C2", kind="right angle", legs=(a, b))[1]


def test_a_slope_makes_a_tape_shorter_and_two_heights_make_it_weigh_less() -> None:
    """3-4-5: 1800 mm up on 3000 mm of ground are 2400 mm on the level."""
    plain = tape_deviation(3000.0, "II")
    assert one("C1", "P1", 3000.0, rise=-1800.0) == pytest.approx((2400.0, plain / 0.8))
    assert one("C1", "P1", 3000.0, slope=60.0) == pytest.approx((1500.0, plain / 2))
    assert one("C1", "P1", 3000.0, slope=0.0) == one("C1", "P1", 3000.0, rise=0.0) == (3000.0, plain)


def test_the_deviation_of_a_slope_is_how_the_level_distance_changes_with_the_tape() -> None:
    for more in ({"rise": 700.0}, {"slope": 12.0}, {"rise": 700.0, "temperature": 35.0}):
        low, high = (one("C1", "P1", 3000.0 + d, **more)[0] for d in (-0.5, 0.5))
        share = one("C1", "P1", 3000.0, **more)[1] / tape_deviation(3000.0, "II")
        assert share == pytest.approx(high - low, rel=1e-3)


def test_a_warm_tape_reads_too_little_and_so_does_one_that_is_pulled_hard() -> None:
    assert one("C1", "P1", 3000.0, temperature=30.0)[0] == pytest.approx(3000.0 + 3000.0 * 1.16e-5 * 10)
    assert one("C1", "P1", 3000.0, pull=100.0)[0] == pytest.approx(3000.0 + 3000.0 * 50 / (2.6 * 200_000))
    assert one("C1", "P1", 3000.0, pull=100.0, section=5.2)[0] == pytest.approx(3000.0 + 3000.0 * 25 / 520_000)
    assert one("C1", "P1", 3000.0, temperature=10.0, pull=0.0)[0] < 3000.0


def test_an_offset_squared_by_eye_weighs_less_than_one_squared_by_a_triangle() -> None:
    square: dict[str, Any] = {"kind": "square", "third": "C2"}
    plain = tape_deviation(3000.0, "II")
    assert one("C1", "P1", -3000.0, **square) == pytest.approx((-3000.0, math.hypot(plain, 3000.0 * SQUARE_BY_EYE)))
    by_triangle = one("C1", "P1", -3000.0, legs=(900.0, 1200.0), **square)[1]
    assert plain < by_triangle < plain * 1.001


def test_a_stake_on_a_string_weighs_as_the_hand_does() -> None:
    assert one("C1", "P3", 0.0, kind="string", third="C2") == (0.0, ON_STRING_MM)
    beside = one("C1", "P3", -100.0, kind="string", third="C2")
    assert beside == pytest.approx((-100.0, math.hypot(ON_STRING_MM, tape_deviation(100.0, "II"))))


def test_the_smallest_number_there_is_beside_a_string_is_no_trouble() -> None:
    assert one("C1", "P3", 5e-324, kind="string", third="C2", rise=0.0)[1] > ON_STRING_MM
    assert one("C1", "P3", 1e-310, kind="string", third="C2", rise=9e-311)[1] > ON_STRING_MM


def test_a_right_angle_weighs_as_its_three_tapes_and_turns_as_it_is_drawn() -> None:
    right: dict[str, Any] = {"kind": "right angle", "legs": (900.0, 1200.0)}
    wanted = angle_deviation(900.0, 1200.0, "II")
    assert one("C1", "C2", 90.0, third="P1", **right) == pytest.approx((-math.pi / 2, wanted))
    assert one("C1", "P1", 90.0, third="C2", **right) == pytest.approx((math.pi / 2, wanted))
    rows = taken(Tape(start="C1", end="C2", distance=90.0, third="P1", **right))
    assert (rows.kind[0], rows.i[0], rows.j[0], rows.k[0]) == (ANGLE, 0, 1, 2)


def test_the_error_of_a_triangle_is_what_its_three_tapes_do_to_the_angle() -> None:
    """By simulation: the sides are taped with their errors, and the angle is that of the cosine rule."""
    own = (1.0, 2.0)
    a, b = 1500.0, 2000.0
    sides = np.array([a, b, math.hypot(a, b)])
    drawn = np.random.default_rng(7).normal(size=(40_000, 3))
    x, y, z = (sides + drawn * (own[0] / 2 + sides * own[1] / 2000)).T
    angles = np.arccos((x**2 + y**2 - z**2) / (2 * x * y))
    stated = one("C1", "C2", 90.0, third="P1", kind="right angle", legs=(a, b), tape_class="own", own=own)[1]
    assert angles.std() == pytest.approx(stated, rel=0.02)


def test_what_a_tape_out_of_square_adds_is_within_what_is_stated() -> None:
    """A triangle of small legs, laid out many times: the tape then reads the offset over the cosine."""
    legs = (300.0, 400.0)
    error = angle_deviation(*legs, "III")
    turned = np.random.default_rng(3).normal(size=40_000) * error
    added = 3000.0 / np.cos(turned) - 3000.0
    assert math.sqrt(float((added**2).mean())) < 3000.0 * error**2


TROUBLE = [
    (Tape(start="C1", end="P1", distance=0.0), "Tape 1, C1 to west: the distance must be more than 0."),
    (Tape(start="C1", end="C1", distance=9.0), "Tape 1, C1 to C1: the second point is C1 at both ends"),
    (Tape(start="C1", end="P9", distance=9.0), "Tape 1, C1 to P9: there is no point P9 in the plan."),
    (
        Tape(start="C1", end="P1", distance=9.0, kind="square"),
        "Tape 1, west square from the line C1 to ?: the third point is missing",
    ),
    (
        Tape(start="C1", end="P1", distance=9.0, kind="string", third="P1"),
        "Tape 1, west on the string C1 to west: the third point is P1 a second time",
    ),
    (
        Tape(start="P2", end="P1", distance=9.0, kind="string", third="P4"),
        "Tape 1, west on the string P2 to P4: both ends of its line are at one place on the drawing",
    ),
    (
        Tape(start="C1", end="C2", distance=90.0, kind="right angle", third="P3", legs=(900.0, 1200.0)),
        "Tape 1, the right angle at C1 from C2 to P3: its three points lie in one line",
    ),
    (
        Tape(start="P2", end="C2", distance=90.0, kind="right angle", third="P4", legs=(900.0, 1200.0)),
        "Tape 1, the right angle at P2 from C2 to P4: two of its points are at one place",
    ),
    (
        Tape(start="C1", end="P1", distance=90.0, kind="right angle", third="C2"),
        "Tape 1, the right angle at C1 from west to C2: the legs of the triangle are missing",
    ),
    (Tape(start="C1", end="P1", distance=100.0, rise=100.0), "Tape 1, C1 to west: the rise must be less"),
    (
        Tape(start="C1", end="P1", distance=100.0, rise=99.999, temperature=-20.0),
        "Tape 1, C1 to west: the rise must be less",
    ),
    (Tape(start="C1", end="P1", distance=100.0, tape_class="own"), "Tape 1, C1 to west: the error of the own tape"),
    (Tape(start="C1", end="P1", distance=math.inf), "Tape 1, C1 to west: the distance is not a finite number"),
]


@pytest.mark.parametrize(("tape", "sentence"), TROUBLE, ids=[sentence for _, sentence in TROUBLE])
def test_a_measure_that_cannot_be_used_is_said_by_name(tape: Tape, sentence: str) -> None:
    rows = taken(tape)
    assert len(rows) == 0
    ((place, said),) = rows.trouble
    assert place == 0
    assert said.startswith(sentence)
    assert said.endswith(".")


def test_a_number_in_the_wrong_unit_is_used_here() -> None:
    """40 ft instead of 40 in is a number as good as any; that it fits no other is for the proof to say."""
    assert one("C1", "P1", 40 * 304.8)[0] == 40 * 304.8


@given(plans(most=4))
def test_every_measure_is_a_sound_row_or_a_sentence(plan: Plan) -> None:
    rows = observations_of(plan, PointTable(plan, None))
    assert sorted([*rows.tape.tolist(), *(place for place, _ in rows.trouble)]) == list(range(len(plan.tapes)))
    assert np.isfinite(rows.value).all()
    assert np.isfinite(1 / rows.deviation).all()
    assert (rows.deviation > 0).all()
    assert (rows.i != rows.j).all()
    assert ((rows.k >= 0) == (rows.kind != DISTANCE)).all()
    assert (np.abs(rows.value[rows.kind == ANGLE]) < math.pi).all()


@given(plans(near=True, most=4))
def test_a_measure_on_the_level_is_never_longer_than_on_the_ground(plan: Plan) -> None:
    cold = plan.with_(tapes=tuple(t for t in plan.tapes if t.temperature is None and t.pull is None))
    rows = observations_of(cold, PointTable(cold, None))
    for kind, value, place in zip(rows.kind, rows.value, rows.tape, strict=True):
        if kind != ANGLE:
            read = cold.tapes[place].distance
            assert abs(value) <= abs(read) * (1 + 1e-12)
            assert value * read >= 0
