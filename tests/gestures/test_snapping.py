"""What catches the pointer, and the reason that is shown."""

from __future__ import annotations

import math

import pytest

from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.gestures.gesture import Pointer, Snap
from layoutdesk.gestures.guides import Guide, said_together
from layoutdesk.gestures.plan_index import index_of
from layoutdesk.gestures.snapping import Snapper
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT
from tests.gestures.scenes import porch, wall_only


def caught(
    plan: Plan,
    at: tuple[float, float],
    *,
    reach: float = 60.0,
    start: tuple[float, float] | None = None,
    add: bool = False,
    moving: tuple[str, ...] = (),
) -> Snap:
    snap = Snapper(plan, moving=frozenset(moving)).snap(Pointer(at, reach, add=add), start=start)
    assert snap is not None
    return snap


def test_points_corners_ends_and_middles() -> None:
    plan = porch()
    for at, place, reason in (
        ((12 * FT + 20, 10.0), (12 * FT, 0.0), "at attachment A2"),
        ((30 * FT - 15, 12.0), (30 * FT, 0.0), "at control point C2"),
        ((2 * FT + 9, -8 * FT), (2 * FT, -8 * FT), "at pier P1"),
        ((8 * FT + 9, -5 * FT + 9), (8 * FT, -5 * FT), "corner of slab S1"),
        ((15 * FT + 20, 9.0), (15 * FT, 0.0), "middle of wall W1"),
        ((20 * FT, -6 * FT + 5), (20 * FT, -6 * FT), "corner of tree K1"),
    ):
        snap = caught(plan, at)
        assert snap.at == pytest.approx(place)
        assert snap.reason == reason


def test_an_end_without_a_point_on_it_is_named_by_its_line() -> None:
    plan = edits.add_line(wall_only(), (4 * FT, 0.0), (4 * FT, -9 * FT))
    assert caught(plan, (4 * FT + 5, -9 * FT)).reason == "end of line L1"


def test_on_a_wall_at_a_step_of_the_grid() -> None:
    snap = caught(wall_only(), (7.1 * FT, 25.0))
    assert snap.at == pytest.approx((7 * FT, 0.0))
    assert snap.reason == "on wall W1, station 7′ 0″"
    assert snap.on == ("W1",)


def test_the_grid_alone() -> None:
    snap = caught(wall_only(), (7.1 * FT, -9.9 * FT))
    assert snap.at == (2133.6, -3048.0)
    assert snap.reason == "on the grid"


def test_on_one_line_of_the_grid_both_numbers_are_said() -> None:
    """Along the grid line the place falls on whole steps as well."""
    snap = caught(edits.set_units(Plan(), "m"), (4003.0, 2510.0), reach=60.0)
    assert snap.at == pytest.approx((4000.0, 2500.0))
    assert snap.reason == "x 4.000 m, y 2.500 m"
    snap = caught(wall_only(), (7 * FT + 5, -9.76 * FT), reach=60.0)
    assert snap.reason == "station 7′ 0″, offset 9′ 9″"


def test_square_from_the_wall_where_the_stroke_begins() -> None:
    snap = caught(wall_only(), (7.33 * FT + 30, -9.45 * FT), start=(7.33 * FT, 0.0), reach=40.0)
    assert snap.at[0] == pytest.approx(7.33 * FT)
    assert snap.reason.startswith("square from the wall")
    assert snap.guides[0][0] == (7.33 * FT, 0.0)


def test_with_two_walls_the_wall_is_named() -> None:
    plan = edits.add_wall(wall_only(), [(0.0, 0.0), (0.0, 5000.0)], house_side="right")
    snap = caught(plan, (7.33 * FT + 30, -9.45 * FT), start=(7.33 * FT, 0.0), reach=40.0)
    assert snap.reason.startswith("square from wall W1")


def test_on_the_line_and_square_from_the_wall_are_said_together() -> None:
    snap = caught(porch(), (12 * FT + 20, -10.3 * FT), start=(12 * FT, 0.0), moving=("P4",), reach=30.0)
    assert snap.at[0] == pytest.approx(12 * FT)
    assert snap.reason.startswith("on line L2, square from the wall")


def test_level_with_another_pier_where_lines_cross() -> None:
    plan = edits.add_pier(porch(), (17.37 * FT, -3.1 * FT))
    snap = caught(plan, (17.37 * FT + 20, -8 * FT - 20), reach=30.0)
    assert snap.at == pytest.approx((17.37 * FT, -8 * FT))
    assert snap.reason == "in line with P7 and P4"


def test_same_spacing_along_the_line() -> None:
    snap = caught(porch(), (12 * FT + 5, -26 * FT - 7), reach=30.0)
    assert snap.at[1] == pytest.approx(-26 * FT)
    plan = edits.add_line(wall_only(), (5.1 * FT, 0.0), (5.1 * FT, -30 * FT))
    for y in (3.3, 7.9):
        plan = edits.add_pier(plan, (5.1 * FT, -y * FT), line="L1")
    snap = caught(plan, (5.1 * FT + 5, -12.5 * FT - 9), reach=30.0)
    assert snap.at == pytest.approx((5.1 * FT, -12.5 * FT))
    assert snap.reason == "on line L1, same spacing as P1 to P2"


def test_halfway_between_two_piers_of_the_line() -> None:
    plan = edits.add_line(wall_only(), (5.1 * FT, 0.0), (5.1 * FT, -30 * FT))
    for y in (3.3, 8.04):
        plan = edits.add_pier(plan, (5.1 * FT, -y * FT), line="L1")
    snap = caught(plan, (5.1 * FT + 5, -5.67 * FT - 9), reach=20.0)
    assert snap.at == pytest.approx((5.1 * FT, -5.67 * FT))
    assert "halfway from P1 to P2" in snap.reason


def test_same_spacing_as_the_rows_before() -> None:
    plan = wall_only()
    for x in (2.3, 9.41):
        plan = edits.add_pier(plan, (x * FT, -7.7 * FT))
    snap = caught(plan, (16.52 * FT + 8, -7.7 * FT + 5), reach=20.0)
    assert snap.at == pytest.approx((16.52 * FT, -7.7 * FT))
    assert "in line with P2" in snap.reason
    assert "same spacing" in snap.reason


def test_what_moves_catches_nothing() -> None:
    snap = Snapper(porch(), moving=frozenset({"P1", "L1", "P2", "P3", "A1"})).snap(
        Pointer((2 * FT + 9, -8 * FT - 9), 20.0)
    )
    assert snap is not None
    assert "P1" not in snap.reason
    assert "L1" not in snap.reason


def test_free_is_caught_by_nothing() -> None:
    assert Snapper(porch()).snap(Pointer((2 * FT + 9, -8 * FT), 60.0, free=True)) is None


def test_shift_keeps_to_eight_directions() -> None:
    snap = caught(wall_only(), (3100.0, -2950.0), start=(0.0, 0.0), add=True, reach=20.0)
    assert snap.at[0] == pytest.approx(-snap.at[1])
    assert snap.reason.startswith("at 45°")
    snap = caught(wall_only(), (3100.0, -90.0), start=(0.0, -50.0), add=True, reach=20.0)
    assert snap.at[1] == pytest.approx(-50.0)
    assert "along the baseline" in snap.reason


def test_guides_turn_with_a_skewed_baseline() -> None:
    plan = edits.set_baseline(Plan(units="m", rounding=1.0), (1000, 500), (5000, 3500), yard_side="right")
    names = bearings_of(plan)
    snap = caught(plan, names.place(1990.0, 3010.0), reach=20.0)
    assert names.read(snap.at) == pytest.approx((2000.0, 3000.0))
    assert snap.reason == "on the grid"


def test_an_empty_plan_has_its_grid() -> None:
    assert caught(Plan(), (290.0, 10.0)).at == (304.8, 0.0)


@pytest.mark.parametrize("reach", [0.02, 1.0, 60.0, 5000.0])
def test_a_snap_is_never_far_away(reach: float) -> None:
    plan = porch()
    for k in range(60):
        at = (k * 173.3 % 9000, -(k * 311.7 % 7000))
        snap = Snapper(plan).snap(Pointer(at, reach), start=(2 * FT, 0.0))
        if snap is not None:
            assert math.dist(snap.at, at) <= max(1.5 * reach, reach + plan.rounding)
            assert snap.reason


def test_a_track_is_not_left() -> None:
    plan = porch()
    track = Guide((0.0, -1000.0), (1.0, 0.0), "", 0)
    snap = Snapper(plan).snap(Pointer((12 * FT + 10, -1030.0), 60.0), track=track)
    assert snap is not None
    assert snap.at == pytest.approx((12 * FT, -1000.0))
    assert snap.reason == "on line L2"


def test_guides_that_run_nearly_the_same_way_fix_no_place() -> None:
    a = Guide((0.0, 0.0), (1.0, 0.0), "a", 0)
    b = Guide((0.0, 1.0), (math.cos(0.05), math.sin(0.05)), "b", 0)
    assert a.meets(b) is None
    assert a.meets(Guide((5.0, 5.0), (0.0, 1.0), "c", 0)) == pytest.approx((5.0, 0.0))
    assert a.meets(Guide((5.0, 5.0), (0.0, 1.0), "c", 0, low=0.0)) is None


def test_reasons_are_joined_in_plain_words() -> None:
    words = ["on line L2", "in line with P1", "in line with P4", "on line L2"]
    assert said_together(words) == "on line L2, in line with P1 and P4"


def test_the_index_is_kept_for_the_same_plan() -> None:
    plan = porch()
    assert index_of(plan) is index_of(plan)


def test_what_nothing_catches_falls_on_whole_steps_of_the_tape() -> None:
    plan = porch()
    names = bearings_of(plan)
    at, snap = Snapper(plan).catch(Pointer((5123.4567, -7345.6789), 0.2))
    assert snap is None
    for value in names.read(at):
        assert value / plan.rounding == pytest.approx(round(value / plan.rounding), abs=1e-6)
    assert math.dist(at, (5123.4567, -7345.6789)) < plan.rounding
    assert Snapper(plan).catch(Pointer((5123.4567, -7345.6789), 0.2, free=True)) == ((5123.4567, -7345.6789), None)


def test_on_one_guide_what_is_left_open_falls_on_whole_steps() -> None:
    snap = caught(porch(), (12 * FT + 0.1, -5002.9), reach=0.2)
    assert snap.reason == "on line L2"
    assert snap.at[0] == pytest.approx(12 * FT)
    assert -snap.at[1] / 1.5875 == pytest.approx(round(-snap.at[1] / 1.5875), abs=1e-6)
    askew = edits.add_line(wall_only(), (1000.0, -1000.0), (4000.0, -5000.0))
    snap = caught(askew, (1600.9, -1801.2), reach=0.3)
    run = math.dist(snap.at, (1000.0, -1000.0))
    assert run / 1.5875 == pytest.approx(round(run / 1.5875), abs=1e-6)
