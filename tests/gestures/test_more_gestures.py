"""Baselines, outlines, copies, mirrors and bays, by clicks and by typed values."""

from __future__ import annotations

import math

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch, wall_only


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
