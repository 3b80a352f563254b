"""Walls, marks, beam lines, rows and grids, by clicks and by typed values."""

from __future__ import annotations

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
        [
            ("spacing", 0.0),
            ("spacing", 1e300),
            ("first", -1.0),
            ("spacings", (1.0, 0.0)),
            ("count", 2.5),
            ("count", 0),
        ],
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
