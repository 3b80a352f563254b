"""Every drawing gesture, by clicks and by typed values."""

from __future__ import annotations

import math

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch, wall_only


class TestWall:
    def test_by_clicks_ends_on_a_second_click_in_place(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).click(10 * FT, 0).click(10 * FT, 3 * FT).click(10 * FT, 3 * FT)
        assert list(hand.plan.walls[0].points) == [(0, 0), (3048.0, 0), (3048.0, 914.4)]
        assert list(hand.picked) == ["W1"]

    def test_first_wall_brings_a_baseline_along_its_first_face(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).click(10 * FT, 0).enter()
        base = hand.plan.baseline
        assert base is not None
        assert (base.origin, base.toward, base.yard_side) == ((0, 0), (10 * FT, 0), "right")
        hand.document.undo()
        assert hand.plan == Plan()

    def test_a_wall_drawn_with_the_house_on_the_right_has_its_baseline_seen_from_the_yard(self) -> None:
        hand = Hand(name="Wall")
        hand.click(10 * FT, 0).click(0, 0).enter()
        base = hand.plan.baseline
        assert base is not None
        assert hand.plan.walls[0].house_side == "right"
        assert (base.origin, base.toward, base.yard_side) == ((0, 0), (10 * FT, 0), "right")

    def test_closes_on_its_first_corner_with_the_house_inside(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).click(4000, 0).click(4000, 3000).click(0, 3000).click(0, 0)
        wall = hand.plan.walls[0]
        assert wall.points[0] == wall.points[-1]
        assert wall.house_side == "left"

    def test_typed_lengths_angles_and_turns(self) -> None:
        hand = Hand(name="Wall")
        hand.enter(x=0.0, y=0.0).enter(length=14 * FT, angle=0.0)
        hand.enter(length=2.5 * FT, turn=-90.0).enter(length=16 * FT, turn=90.0).enter()
        assert hand.plan.walls[0].points == ((0, 0), (14 * FT, 0), (14 * FT, 2.5 * FT), (30 * FT, 2.5 * FT))

    def test_angle_and_turn_say_the_same_and_free_each_other(self) -> None:
        hand = Hand(name="Wall")
        hand.enter(x=0.0, y=0.0).enter(length=1000.0, angle=30.0).type(turn=60.0)
        assert hand.field("angle").value == pytest.approx(90.0)
        hand.type(length=500.0, angle=0.0)
        assert not hand.field("turn").typed
        assert hand.field("turn").value == pytest.approx(-30.0)

    def test_typed_length_keeps_the_pointers_direction(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).move(800, 600, free=True).enter(length=5000.0).enter()
        assert hand.plan.walls[0].points[1] == pytest.approx((4000, 3000))

    def test_typed_angle_keeps_the_pointers_distance(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).move(1000, 50, free=True).enter(angle=0.0).enter()
        assert hand.plan.walls[0].points[1] == pytest.approx((1000, 0))

    def test_house_side_follows_the_yard_and_h_turns_it(self) -> None:
        plan = edits.add_pier(Plan(), (1000, 2000))
        hand = Hand(plan, "Wall")
        hand.click(0, 0).move(3000, 0)
        assert hand.field("house").value == "right"
        assert hand.gesture.letter("H")
        assert hand.field("house").value == "left"
        hand.type(house="right").click(3000, 0).enter()
        assert hand.plan.walls[0].house_side == "right"

    def test_esc_takes_one_corner_back_at_a_time(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0).click(1000, 0)
        assert hand.gesture.cancel()
        assert hand.gesture.doing == "Wall to"
        assert hand.gesture.cancel()
        assert hand.gesture.doing == "Wall from"
        assert not hand.gesture.cancel()


class TestMarks:
    def test_attachment_on_the_wall_with_its_kind(self) -> None:
        hand = Hand(wall_only(), "Attachment")
        hand.type(kind="side").click(5 * FT, 10.0)
        found = hand.plan.attachments[0]
        assert found.at == pytest.approx((5 * FT, 0.0))
        assert found.kind == "side-bolted"
        hand.enter(station=9 * FT, offset=0.0)
        assert hand.plan.attachments[1].kind == "side-bolted"

    def test_unknown_kind_is_refused_with_the_choices(self) -> None:
        with pytest.raises(EditError, match="ledger"):
            Hand(wall_only(), "Attachment").type(kind="glued")

    def test_control_point_catches_the_corner(self) -> None:
        hand = Hand(wall_only(), "Control point")
        hand.click(30 * FT + 20, 15)
        assert hand.plan.controls[0].at == (30 * FT, 0.0)

    def test_pier_on_a_line_belongs_to_it_and_takes_the_last_detail(self) -> None:
        hand = Hand(porch(), "Pier")
        hand.click(12 * FT + 20, -10 * FT)
        new = hand.plan.piers[-1]
        assert (new.line, new.detail) == ("L2", "D1")
        assert new.at[0] == pytest.approx(12 * FT)

    def test_pier_beside_every_line_belongs_to_none(self) -> None:
        hand = Hand(porch(), "Pier")
        hand.enter(station=7 * FT, offset=9 * FT, detail="none")
        new = hand.plan.piers[-1]
        assert (new.at, new.line, new.detail) == ((7 * FT, -9 * FT), None, None)

    def test_typed_station_lets_the_offset_follow_the_pointer(self) -> None:
        hand = Hand(porch(), "Pier")
        hand.type(station=7 * FT).move(9 * FT, -9.3 * FT, free=True)
        hand.enter()
        assert hand.plan.piers[-1].at == pytest.approx((7 * FT, -9.3 * FT))


class TestBeamLine:
    def test_from_an_attachment_square_into_the_yard_by_length_alone(self) -> None:
        plan = edits.add_attachment(wall_only(), (6 * FT, 0.0))
        hand = Hand(plan, "Beam line")
        hand.click(6 * FT, 5.0).enter(length=16 * FT, angle=90.0)
        line = hand.plan.lines[0]
        assert (line.start, line.end, line.attachment) == ((6 * FT, 0.0), (6 * FT, -16 * FT), "A1")

    def test_without_a_pointer_a_length_goes_into_the_yard(self) -> None:
        hand = Hand(wall_only(), "Beam line")
        hand.enter(station=3 * FT, offset=0.0).enter(length=10 * FT)
        assert hand.plan.lines[0].end == pytest.approx((3 * FT, -10 * FT))

    def test_pointer_is_drawn_square_from_the_wall(self) -> None:
        hand = Hand(wall_only(), "Beam line", reach=20.0)
        hand.click(7.03 * FT, 0.0)
        start = hand.gesture.preview.ghosts[0].points[0]
        hand.move(start[0] + 12, -11.21 * FT)
        assert "square from the wall" in hand.reason
        hand.press(start[0] + 12, -11.21 * FT)
        assert hand.plan.lines[0].end[0] == pytest.approx(start[0])

    def test_no_length_is_refused(self) -> None:
        hand = Hand(wall_only(), "Beam line")
        hand.enter(station=3 * FT, offset=0.0)
        with pytest.raises(EditError, match="length"):
            hand.enter()


class TestRow:
    def test_listed_spacings_run_from_the_house(self) -> None:
        plan = edits.add_attachment(wall_only(), (6 * FT, 0.0))
        hand = Hand(plan, "Row of piers")
        hand.click(6 * FT, 0.0).enter(length=20 * FT, angle=90.0).enter(spacings=(8 * FT, 6 * FT, 5 * FT))
        assert [p.at for p in hand.plan.piers] == [pytest.approx((6 * FT, -y * FT)) for y in (8, 14, 19)]
        assert hand.plan.lines[0].attachment == "A1"
        assert hand.document.undo_label == "Set row of 3 piers"
        assert set(hand.view.selected) == {"L1", "P1", "P2", "P3"}

    def test_away_from_the_house_the_first_pier_stands_at_the_start(self) -> None:
        hand = Hand(wall_only(), "Row of piers")
        hand.enter(station=5 * FT, offset=10 * FT).enter(length=12 * FT, angle=0.0).enter(count=4, spacing=4 * FT)
        assert [p.at for p in hand.plan.piers] == [pytest.approx((x * FT, -10 * FT)) for x in (5, 9, 13, 17)]

    def test_equal_spacing_fills_the_way_until_one_is_typed(self) -> None:
        hand = Hand(wall_only(), "Row of piers")
        hand.enter(station=5 * FT, offset=10 * FT).enter(length=12 * FT, angle=0.0)
        assert hand.field("spacing").value == pytest.approx(6 * FT)
        hand.type(count=5)
        assert hand.field("spacing").value == pytest.approx(3 * FT)
        hand.type(first=2 * FT)
        assert hand.field("spacing").value == pytest.approx(2.5 * FT)
        assert [p[0] for p in hand.gesture.preview.ghosts[-1].points] == pytest.approx(
            [(5 + 2 + 2.5 * k) * FT for k in range(5)]
        )

    def test_a_list_and_an_equal_spacing_exclude_each_other(self) -> None:
        hand = Hand(wall_only(), "Row of piers")
        hand.enter(station=5 * FT, offset=10 * FT).enter(length=12 * FT, angle=0.0)
        hand.type(spacings=(0.0, 1 * FT, 2 * FT))
        assert hand.field("count").value == 3
        hand.type(count=2)
        assert not hand.field("spacings").typed
        assert len(hand.gesture.preview.ghosts[-1].points) == 2

    @pytest.mark.parametrize(
        ("name", "value"),
        [("spacing", 0.0), ("first", -1.0), ("spacings", (1.0, 0.0)), ("count", 2.5), ("count", 0)],
    )
    def test_what_makes_no_row_is_refused_at_its_field(self, name: str, value: float | tuple[float, ...]) -> None:
        hand = Hand(wall_only(), "Row of piers")
        hand.enter(station=5 * FT, offset=10 * FT).enter(length=12 * FT, angle=0.0)
        with pytest.raises(EditError):
            hand.type(**{name: value})

    def test_esc_goes_back_step_by_step(self) -> None:
        hand = Hand(wall_only(), "Row of piers")
        hand.enter(station=5 * FT, offset=10 * FT).enter(length=12 * FT, angle=0.0)
        assert hand.gesture.doing == "Row of"
        assert hand.gesture.cancel()
        assert hand.gesture.doing == "Row toward"
        assert hand.gesture.cancel()
        assert hand.gesture.doing == "Row from"
        assert not hand.gesture.cancel()


class TestGrid:
    def test_rows_from_the_house_side_by_side_toward_growing_stations(self) -> None:
        hand = Hand(wall_only(), "Grid of piers")
        hand.enter(station=5 * FT, offset=8 * FT).enter(length=12 * FT, angle=90.0)
        hand.enter(spacings=(0.0, 6 * FT, 5 * FT)).enter(rows=3, gap=7 * FT)
        places = [p.at for p in hand.plan.piers]
        assert places == [pytest.approx(((5 + 7 * r) * FT, -(8 + d) * FT)) for r in range(3) for d in (0, 6, 11)]
        assert len(hand.plan.lines) == 3

    def test_listed_gaps_and_the_other_hand(self) -> None:
        hand = Hand(wall_only(), "Grid of piers")
        hand.enter(station=20 * FT, offset=8 * FT).enter(length=6 * FT, angle=90.0)
        hand.enter(count=2).enter(gaps=(3 * FT, 4 * FT), toward="left")
        assert sorted({round(p.at[0] / FT, 6) for p in hand.plan.piers}) == [13, 17, 20]

    def test_the_pointer_says_how_far_the_next_row_is_and_on_which_side(self) -> None:
        hand = Hand(wall_only(), "Grid of piers")
        hand.enter(station=20 * FT, offset=8 * FT).enter(length=6 * FT, angle=90.0).enter(count=2)
        hand.move(14 * FT + 9, -10 * FT)
        assert hand.field("gap").value == pytest.approx(6 * FT)
        assert hand.field("toward").value == "left"
        hand.press(14 * FT + 9, -10 * FT)
        assert sorted({round(p.at[0] / FT, 6) for p in hand.plan.piers}) == [14, 20]

    def test_esc_returns_from_the_rows_to_the_piers_of_a_row(self) -> None:
        hand = Hand(wall_only(), "Grid of piers")
        hand.enter(station=20 * FT, offset=8 * FT).enter(length=6 * FT).enter(count=2)
        assert hand.gesture.doing == "Rows"
        assert hand.gesture.cancel()
        assert hand.gesture.doing == "Each row"


class TestBaseline:
    def test_two_clicks_with_the_yard_away_from_the_house(self) -> None:
        hand = Hand(edits.clear_baseline(porch()), "Baseline")
        hand.click(0.0, -30 * FT, free=True).click(20 * FT, -30 * FT, free=True)
        base = hand.plan.baseline
        assert base is not None
        assert base.yard_side == "left"

    def test_shift_takes_the_whole_face_under_the_pointer(self) -> None:
        hand = Hand(edits.clear_baseline(porch()), "Baseline")
        hand.press(21 * FT, 12.0, add=True)
        base = hand.plan.baseline
        assert base is not None
        assert (base.origin, base.toward, base.yard_side) == ((0.0, 0.0), (30 * FT, 0.0), "right")

    def test_a_face_is_chosen_by_name_from_the_keyboard(self) -> None:
        plan = edits.add_wall(Plan(), [(0, 0), (0, 3000), (5000, 3000)], house_side="right")
        hand = Hand(plan, "Baseline")
        hand.enter(along="W1 side 2")
        base = hand.plan.baseline
        assert base is not None
        assert (base.origin, base.toward, base.yard_side) == ((5000, 3000), (0, 3000), "right")

    def test_h_turns_the_yard(self) -> None:
        hand = Hand(wall_only(), "Baseline")
        hand.click(0.0, -1000.0, free=True).move(3000.0, -1000.0, free=True)
        side = hand.field("yard").value
        assert hand.gesture.letter("H")
        assert hand.field("yard").value != side

    def test_origin_moves_along_the_line_and_spacings_stay(self) -> None:
        hand = Hand(porch(), "Move baseline origin")
        hand.enter(station=2 * FT)
        base = hand.plan.baseline
        assert base is not None
        assert base.origin == pytest.approx((2 * FT, 0.0))
        assert base.toward == pytest.approx((30 * FT, 0.0))

    def test_origin_beyond_the_far_end_keeps_the_direction(self) -> None:
        hand = Hand(porch(), "Move baseline origin")
        hand.enter(station=40 * FT)
        base = hand.plan.baseline
        assert base is not None
        assert base.origin[0] < base.toward[0]

    def test_origin_without_a_baseline_is_refused(self) -> None:
        with pytest.raises(EditError, match="no baseline"):
            Hand(Plan(), "Move baseline origin").enter()


class TestOutlines:
    def test_slab_by_two_corners_square_to_the_baseline(self) -> None:
        plan = edits.set_baseline(Plan(), (0, 0), (4000, 3000), yard_side="right")
        hand = Hand(plan, "Slab")
        hand.enter(station=1000.0, offset=0.0).enter(along=2000.0, away=1500.0)
        slab = hand.plan.slabs[0]
        sides = [math.dist(a, b) for a, b in zip(slab.outline, (*slab.outline[1:], slab.outline[0]), strict=True)]
        assert sides == pytest.approx([2000, 1500, 2000, 1500])
        assert slab.outline[0] == pytest.approx((800, 600))
        assert slab.thickness == pytest.approx(101.6)

    @pytest.mark.parametrize("how", ["enter", "first corner"])
    def test_slab_corner_by_corner(self, how: str) -> None:
        hand = Hand(wall_only(), "Slab")
        corners = [(0.0, -1000.0), (3000.0, -1000.0), (3000.0, -3000.0)]
        hand.type(shape="corners")
        for x, y in corners:
            hand.click(x, y, free=True)
        if how == "enter":
            hand.enter()
        else:
            hand.press(*corners[0])
        assert list(hand.plan.slabs[0].outline) == [pytest.approx(c) for c in corners]

    def test_slab_takes_a_typed_thickness_with_its_sizes(self) -> None:
        hand = Hand(wall_only(), "Slab")
        hand.enter(station=0.0, offset=0.0).enter(thickness=150.0, along=1000.0, away=2000.0)
        assert hand.plan.slabs[0].thickness == 150.0

    def test_round_keepout_holds_its_whole_circle(self) -> None:
        hand = Hand(wall_only(), "Keep-out")
        hand.type(shape="round", kind="tree").enter(station=5000.0, offset=3000.0).enter(radius=450.0)
        ring = hand.plan.keepouts[0].outline
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
        assert [math.dist(m, (5000, -3000)) for m in middles] == pytest.approx([450.0] * 24)
        assert hand.plan.keepouts[0].kind == "tree"

    def test_an_outline_of_nothing_is_refused(self) -> None:
        hand = Hand(wall_only(), "Keep-out")
        hand.enter(station=0.0, offset=1000.0)
        with pytest.raises(EditError, match="encloses nothing"):
            hand.enter()


class TestRepeat:
    def test_copy_by_typed_values_several_times(self) -> None:
        hand = Hand(porch())
        hand.click(12 * FT, -8 * FT).take_up("Copy").enter(along=5 * FT, away=0.0, copies=3)
        assert [p.at[0] / FT for p in hand.plan.piers[-3:]] == pytest.approx([17, 22, 27])
        assert list(hand.picked) == ["P7", "P8", "P9"]

    def test_copy_by_two_clicks(self) -> None:
        hand = Hand(porch())
        hand.click(12 * FT, -8 * FT).take_up("Copy")
        hand.click(12 * FT, -8 * FT).move(15 * FT, -9 * FT, free=True)
        assert hand.gesture.preview.plan is not None
        hand.press(15 * FT, -9 * FT, free=True)
        assert hand.plan.piers[-1].at == pytest.approx((15 * FT, -9 * FT))

    def test_copy_and_mirror_need_something_picked(self) -> None:
        for name in ("Copy", "Mirror"):
            with pytest.raises(EditError, match="Nothing is picked"):
                Hand(porch(), name).enter()

    def test_mirror_in_a_line_square_from_the_wall(self) -> None:
        hand = Hand(porch())
        hand.click(12 * FT, -8 * FT).take_up("Mirror")
        hand.enter(station=15 * FT, offset=0.0).enter(angle=90.0)
        assert hand.plan.piers[-1].at == pytest.approx((18 * FT, -8 * FT))
        assert hand.plan.piece("P4") is not None

    def test_mirror_without_keeping_the_original(self) -> None:
        hand = Hand(porch())
        hand.click(12 * FT, -8 * FT).take_up("Mirror").type(keep="only")
        hand.enter(station=15 * FT, offset=0.0).enter(angle=90.0)
        assert len(hand.plan.piers) == 6


class TestBay:
    def test_four_clicks_round_it(self) -> None:
        hand = Hand(porch(), "Bay")
        for x, y in ((2, -8), (12, -8), (12, -14), (2, -14)):
            hand.click(x * FT, y * FT)
        assert hand.plan.bays[0].corners == ("P1", "P4", "P5", "P2")

    def test_typed_marks_and_attachments(self) -> None:
        hand = Hand(edits.rename(porch(), "P1", "Corner"), "Bay")
        for name in ("A1", "a2", "P4", "corner"):
            hand.enter(corner=name)
        assert hand.plan.bays[0].corners == ("A1", "A2", "P4", "P1")

    def test_a_corner_twice_or_unknown_is_refused(self) -> None:
        hand = Hand(porch(), "Bay")
        hand.enter(corner="P1")
        with pytest.raises(EditError, match="already"):
            hand.enter(corner="P1")
        with pytest.raises(EditError, match="P99"):
            hand.enter(corner="P99")
        with pytest.raises(EditError):
            hand.press(25 * FT, -20 * FT)


class TestPutDown:
    """Taking up another gesture keeps what is whole enough."""

    def test_a_wall_of_two_corners_is_kept_and_one_corner_is_not(self) -> None:
        hand = Hand(name="Wall")
        hand.click(0, 0)
        assert hand.gesture.put_down() is None
        hand.click(10 * FT, 0)._do(hand.gesture.put_down())
        assert len(hand.plan.walls) == 1

    def test_an_outline_of_three_corners_is_kept(self) -> None:
        hand = Hand(wall_only(), "Slab").type(shape="corners")
        hand.click(0, -1000, free=True).click(3000, -1000, free=True)
        assert hand.gesture.put_down() is None
        hand.click(3000, -3000, free=True)._do(hand.gesture.put_down())
        assert len(hand.plan.slabs) == 1

    def test_nothing_else_is_kept(self) -> None:
        for name in ("Pick", "Beam line", "Row of piers", "Baseline", "Bay"):
            hand = Hand(porch(), name)
            hand.click(12 * FT, -8 * FT)
            assert hand.gesture.put_down() is None
