"""Pick: selecting, moving, reshaping, boxes, typed places and keys."""

from __future__ import annotations

import pytest

from layoutdesk.errors import EditError
from layoutdesk.gestures.commands import delete_picked, nudge_picked
from layoutdesk.plan.model import BeamLine, Pier, Wall
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch


def pier(hand: Hand, pier_id: str) -> Pier:
    found = hand.plan.piece(pier_id)
    assert isinstance(found, Pier)
    return found


def test_click_selects_shift_adds_and_empty_ground_clears() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT)
    assert list(hand.picked) == ["P1"]
    hand.click(12 * FT, -8 * FT, add=True)
    assert list(hand.picked) == ["P1", "P4"]
    hand.click(2 * FT, -8 * FT, add=True)
    assert list(hand.picked) == ["P4"]
    hand.click(25 * FT, -12 * FT)
    assert list(hand.picked) == []


def test_clicks_leave_no_step_to_undo() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT).click(12 * FT, -8 * FT).click(25 * FT, -12 * FT)
    assert hand.document.undo_label is None


def test_hover_shows_what_a_click_would_pick() -> None:
    hand = Hand(porch())
    spots = ((2 * FT + 10, -8 * FT), (25 * FT, -15 * FT), (2 * FT, -11 * FT))
    assert [hand.move(*spot).view.hovered for spot in spots] == ["P1", None, "L1"]


def test_drag_moves_with_a_live_plan_and_one_step_to_undo() -> None:
    hand = Hand(porch())
    before = hand.plan
    start = (12 * FT, -8 * FT)
    hand.move(*start).press(*start)
    hand.move(12 * FT + 500, -8 * FT - 700, free=True)
    shown = hand.gesture.preview.plan
    assert shown is not None
    assert shown.piece("P4").at == pytest.approx((12 * FT + 500, -8 * FT - 700))  # type: ignore[union-attr]
    assert hand.plan is before
    hand.release(12 * FT + 500, -8 * FT - 700, free=True)
    assert pier(hand, "P4").at == pytest.approx((12 * FT + 500, -8 * FT - 700))
    assert hand.document.undo_label == "Move P4"
    hand.document.undo()
    assert hand.plan == before


def test_a_press_that_hardly_moves_is_a_click() -> None:
    hand = Hand(porch())
    hand.move(2 * FT, -8 * FT).press(2 * FT, -8 * FT).move(2 * FT + 20, -8 * FT).release(2 * FT + 20, -8 * FT)
    assert hand.document.undo_label is None


def test_dragging_one_of_several_moves_them_all() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT).click(2 * FT, -14 * FT, add=True)
    hand.drag((2 * FT, -8 * FT), (2 * FT + 400, -8 * FT - 300), free=True)
    assert pier(hand, "P1").at == pytest.approx((2 * FT + 400, -8 * FT - 300))
    assert pier(hand, "P2").at == pytest.approx((2 * FT + 400, -14 * FT - 300))
    assert list(hand.picked) == ["P1", "P2"]


def test_clicking_one_of_several_narrows_the_choice_to_it() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT).click(2 * FT, -14 * FT, add=True).click(2 * FT, -14 * FT)
    assert list(hand.picked) == ["P2"]


def test_a_dragged_pier_keeps_to_its_line_and_says_so() -> None:
    hand = Hand(porch())
    hand.move(12 * FT, -14 * FT).press(12 * FT, -14 * FT)
    hand.move(12 * FT + 30, -15.5 * FT)
    assert hand.reason.startswith("on line L2, square from the wall")
    hand.release(12 * FT + 30, -15.5 * FT)
    assert pier(hand, "P5").at[0] == pytest.approx(12 * FT, abs=1e-9)


def test_a_beam_line_carries_its_piers() -> None:
    hand = Hand(porch())
    hand.drag((12 * FT, -11 * FT), (12 * FT + 600, -11 * FT), free=True)
    assert pier(hand, "P4").at == pytest.approx((12 * FT + 600, -8 * FT))


def test_an_end_of_the_picked_line_is_moved_alone() -> None:
    hand = Hand(porch())
    hand.click(12 * FT, -11 * FT)
    assert list(hand.picked) == ["L2"]
    hand.drag((12 * FT, -20 * FT), (12 * FT, -23 * FT), free=True)
    line = hand.plan.piece("L2")
    assert isinstance(line, BeamLine)
    assert line.end == pytest.approx((12 * FT, -23 * FT))
    assert line.start == pytest.approx((12 * FT, 0.0))
    assert pier(hand, "P6").at == pytest.approx((12 * FT, -20 * FT))
    assert hand.document.undo_label == "Reshape L2"


def test_a_corner_of_the_picked_wall_is_moved_alone() -> None:
    hand = Hand(porch())
    hand.click(25 * FT, 0.0).drag((30 * FT, 0.0), (30 * FT, 900.0), free=True)
    wall = hand.plan.piece("W1")
    assert isinstance(wall, Wall)
    assert wall.points[0] == (0.0, 0.0)
    assert wall.points[1] == pytest.approx((30 * FT, 900.0))


def test_an_end_dragged_onto_the_other_is_refused_and_nothing_changes() -> None:
    hand = Hand(porch())
    before = hand.plan
    hand.click(12 * FT, -11 * FT)
    with pytest.raises(EditError):
        hand.drag((12 * FT, -20 * FT), (12 * FT, 0.0))
    assert hand.plan is before


def test_a_box_picks_what_lies_wholly_inside() -> None:
    hand = Hand(porch())
    hand.move(15 * FT, -7 * FT).press(15 * FT, -7 * FT).move(10 * FT, -21 * FT)
    assert hand.gesture.preview.ghosts[0].kind == "box"
    hand.release(10 * FT, -21 * FT)
    assert list(hand.picked) == ["P4", "P5", "P6"]


def test_a_box_with_shift_adds() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT)
    hand.move(15 * FT, -7 * FT).press(15 * FT, -7 * FT, add=True).move(10 * FT, -12 * FT)
    hand.release(10 * FT, -12 * FT)
    assert list(hand.picked) == ["P1", "P4"]


def test_inside_an_outline_a_drag_draws_a_box_and_a_click_picks_it() -> None:
    hand = Hand(porch())
    before = hand.plan
    hand.drag((5 * FT, -2 * FT), (7 * FT, -4 * FT))
    assert hand.plan is before
    hand.click(6 * FT, -3 * FT)
    assert list(hand.picked) == ["S1"]
    hand.drag((6 * FT, -3 * FT), (6 * FT, -4 * FT), free=True)
    assert hand.document.undo_label == "Move S1"


def test_typed_station_and_offset_are_set_exactly() -> None:
    hand = Hand(porch())
    hand.click(12 * FT, -8 * FT)
    assert hand.gesture.doing == "Move P4 to"
    assert hand.field("station").value == pytest.approx(12 * FT)
    hand.enter(station=12.5 * FT, offset=9 * FT)
    assert pier(hand, "P4").at == (12.5 * FT, -9 * FT)
    assert [f.typed for f in hand.gesture.fields] == [False, False]


def test_typing_shows_the_plan_as_it_would_be() -> None:
    hand = Hand(porch())
    hand.click(12 * FT, -8 * FT).type(station=13 * FT)
    plan = hand.gesture.preview.plan
    assert plan is not None
    assert plan.piece("P4").at == pytest.approx((13 * FT, -8 * FT))  # type: ignore[union-attr]
    assert hand.gesture.cancel()
    assert hand.gesture.preview.plan is None


def test_several_pieces_move_by_typed_values() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT).click(12 * FT, -8 * FT, add=True)
    assert hand.gesture.doing == "Move 2 pieces by"
    hand.enter(along=1 * FT, away=2 * FT)
    assert pier(hand, "P1").at == pytest.approx((3 * FT, -10 * FT))


def test_without_a_baseline_fields_are_x_and_y() -> None:
    from layoutdesk.plan import edits

    hand = Hand(edits.clear_baseline(porch()))
    hand.click(2 * FT, -8 * FT)
    assert [f.name for f in hand.gesture.fields] == ["x", "y"]
    hand.enter(x=100.0, y=200.0)
    assert pier(hand, "P1").at == pytest.approx((100.0, 200.0))


def test_typing_with_nothing_picked_is_refused() -> None:
    with pytest.raises(EditError):
        Hand(porch()).gesture.type_in(0, 5.0)


def test_esc_leaves_the_drag_and_then_the_selection() -> None:
    hand = Hand(porch())
    before = hand.plan
    hand.move(2 * FT, -8 * FT).press(2 * FT, -8 * FT).move(5 * FT, -9 * FT)
    assert hand.gesture.cancel()
    hand.release(5 * FT, -9 * FT)
    assert hand.plan is before
    assert list(hand.picked) == ["P1"]
    assert hand.gesture.cancel()
    assert list(hand.picked) == []
    assert not hand.gesture.cancel()


def test_nudges_go_by_the_tapes_step_and_are_one_step_to_undo() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT)
    for _ in range(3):
        hand._do(nudge_picked(hand.plan, hand.view.selected, 1, 0))
    hand._do(nudge_picked(hand.plan, hand.view.selected, 0, 1, coarse=True))
    assert pier(hand, "P1").at == pytest.approx((2 * FT + 3 * 1.5875, -8 * FT - 15.875))
    hand.document.undo()
    assert pier(hand, "P1").at == pytest.approx((2 * FT, -8 * FT))


def test_delete_takes_what_is_picked() -> None:
    hand = Hand(porch())
    hand.click(2 * FT, -8 * FT)._do(delete_picked(hand.plan, ("P1",)))
    assert hand.plan.piece("P1") is None
    assert list(hand.picked) == []
    assert delete_picked(hand.plan, ()) is None
    assert nudge_picked(hand.plan, (), 1, 0) is None
