"""Spot: a click and a number, or a click alone; spots are picked, moved and deleted like other points."""

from __future__ import annotations

import pytest

from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.gestures.hits import piece_at
from layoutdesk.plan import edits
from layoutdesk.plan.model import SpotHeight
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch, wall_only


@pytest.fixture
def hand() -> Hand:
    return Hand(porch(), "Spot")


def spots(hand: Hand) -> list[tuple[float, float, float | None]]:
    return [(round(s.at[0] / FT, 6), round(s.at[1] / FT, 6), s.elevation) for s in hand.plan.spots]


def test_a_click_then_a_height_and_enter_set_a_spot(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True)
    assert [f.name for f in hand.gesture.fields] == ["height"]
    assert spots(hand) == []
    hand.enter(height="-1' 6\"")
    assert spots(hand) == [(25.0, -10.0, -457.2)]
    assert hand.document.undo_label == "Set spot"
    assert hand.view.selected == (hand.plan.spots[0].id,)


def test_enter_alone_leaves_the_height_to_the_book(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True).enter()
    assert spots(hand) == [(25.0, -10.0, None)]


def test_the_next_click_sets_the_spot_before_and_begins_another(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True).click(26 * FT, -12 * FT, free=True)
    assert spots(hand) == [(25.0, -10.0, None)]
    hand.enter(height="+2'")
    assert spots(hand) == [(25.0, -10.0, None), (26.0, -12.0, 2 * FT)]


def test_a_whole_spot_is_typed_without_a_pointer(hand: Hand) -> None:
    hand.enter(station=25 * FT, offset=10 * FT)
    hand.enter(height="-3")
    assert spots(hand) == [(25.0, -10.0, -914.4)]


def test_a_height_that_cannot_be_read_is_refused_and_nothing_is_set(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True)
    with pytest.raises(LayoutdeskError, match="no length"):
        hand.type(height="low")
    assert spots(hand) == []
    assert hand.field("height").value == ""


def test_escape_goes_back_to_the_place_and_then_leaves(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True).type(height="-1'")
    assert hand.gesture.cancel()
    assert hand.gesture.cancel()
    assert hand.gesture.fields[0].name == "station"
    assert not hand.gesture.cancel()
    assert spots(hand) == []


def test_another_gesture_keeps_the_spot_that_was_placed(hand: Hand) -> None:
    hand.click(25 * FT, -10 * FT, free=True)
    hand._do(hand.gesture.put_down())
    assert spots(hand) == [(25.0, -10.0, None)]


def test_a_benchmark_is_zero_unless_it_is_said(hand: Hand) -> None:
    hand.type(**{"is": "benchmark"})
    hand.click(25 * FT, -10 * FT, free=True).enter()
    hand.click(26 * FT, -10 * FT, free=True).enter(height="4'")
    marks = hand.plan.levels.benchmarks
    assert [(m.id, m.elevation) for m in marks] == [("BM1", 0.0), ("BM2", 4 * FT)]
    assert marks[0].at == pytest.approx((25 * FT, -10 * FT))
    assert hand.document.undo_label == "Benchmark BM2"
    assert hand.plan.spots == ()


def test_a_spot_is_picked_moved_and_deleted_like_any_point() -> None:
    plan = edits.add_spot(wall_only(), (20 * FT, -10 * FT), elevation=-300.0)
    spot = plan.spots[0].id
    assert piece_at(plan, (20 * FT + 20, -10 * FT), 60.0) == spot
    hand = Hand(plan)
    hand.drag((20 * FT, -10 * FT), (22 * FT, -13 * FT), free=True)
    moved = hand.plan.piece(spot)
    assert isinstance(moved, SpotHeight)
    assert moved.at == pytest.approx((22 * FT, -13 * FT))
    assert moved.elevation == -300.0
    hand.enter(station=5 * FT, offset=6 * FT)
    assert hand.plan.spots[0].at == pytest.approx((5 * FT, -6 * FT))
    hand.document.apply("Delete", lambda p: edits.delete(p, hand.view.selected))
    assert hand.plan.spots == ()


def test_a_tape_does_not_catch_a_spot() -> None:
    plan = edits.add_spot(porch(), (28 * FT, -10 * FT))
    hand = Hand(plan, "Tape")
    with pytest.raises(EditError, match="goes from point to point"):
        hand.click(28 * FT, -10 * FT, free=True)
