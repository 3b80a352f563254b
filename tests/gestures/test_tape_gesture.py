"""The Tape gesture: points are pressed or named, then what was read is typed."""

from __future__ import annotations

import pytest

from layoutdesk.errors import EditError
from layoutdesk.gestures.tape import TapeGesture
from layoutdesk.plan.model import Control, Pier, Plan
from tests.gestures.hand import Hand

PLAN = Plan(
    units="mm",
    controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(6000.0, 0.0))),
    piers=(Pier(id="P1", at=(0.0, -3000.0)), Pier(id="P2", at=(3000.0, -3000.0), mark="F2")),
)


@pytest.fixture
def hand() -> Hand:
    return Hand(PLAN, "Tape")


def test_two_points_are_pressed_and_the_distance_is_typed(hand: Hand) -> None:
    hand.press(0.0, 0.0)
    assert hand.gesture.doing == "Tape to"
    hand.press(3010.0, -2990.0)
    assert hand.gesture.doing == "Tape C1 to F2"
    hand.gesture.type_in(0, 4240.0)
    hand._do(hand.gesture.commit())
    (tape,) = hand.plan.tapes
    assert (tape.start, tape.end, tape.distance, tape.kind) == ("C1", "P2", 4240.0, "distance")
    assert hand.gesture.doing == "Tape from"
    assert hand.document.undo_label == "Tape C1 to F2"


def test_points_are_named_by_typing_their_marks(hand: Hand) -> None:
    hand.gesture.type_in(0, "c2")
    hand.gesture.commit()
    hand.gesture.type_in(0, "f2")
    hand.gesture.commit()
    hand.gesture.type_in(0, 4243.0)
    hand._do(hand.gesture.commit())
    assert (hand.plan.tapes[0].start, hand.plan.tapes[0].end) == ("C2", "P2")


def test_the_planned_distance_is_never_taken_for_a_reading(hand: Hand) -> None:
    hand.press(0.0, 0.0).press(0.0, -3000.0)
    assert hand.gesture.fields[0].value == pytest.approx(3000.0)
    with pytest.raises(EditError, match="Type what the tape reads"):
        hand.gesture.commit()
    assert hand.plan.tapes == ()


@pytest.mark.parametrize("kind", ["square", "string"])
def test_measures_from_a_line_go_from_its_two_ends_to_the_stake(hand: Hand, kind: str) -> None:
    hand.gesture.type_in(1, kind)
    hand.press(0.0, 0.0).press(6000.0, 0.0).press(3000.0, -3000.0)
    hand.gesture.type_in(0, -3002.0 if kind == "square" else 0.0)
    hand._do(hand.gesture.commit())
    (tape,) = hand.plan.tapes
    assert (tape.start, tape.third, tape.end, tape.kind) == ("C1", "C2", "P2", kind)


def test_a_right_angle_has_the_legs_of_its_triangle(hand: Hand) -> None:
    hand.gesture.type_in(1, "right angle")
    hand.press(0.0, 0.0).press(6000.0, 0.0).press(0.0, -3000.0)
    assert [f.name for f in hand.gesture.fields] == ["first leg", "second leg"]
    hand._do(hand.gesture.commit())
    (tape,) = hand.plan.tapes
    assert (tape.start, tape.end, tape.third, tape.distance) == ("C1", "C2", "P1", 90.0)
    assert tape.legs == (900.0, 1200.0)


def test_the_same_point_twice_and_the_bare_ground_are_refused(hand: Hand) -> None:
    hand.press(0.0, 0.0)
    with pytest.raises(EditError, match="picked already"):
        hand.press(0.0, 0.0)
    with pytest.raises(EditError, match="from point to point"):
        hand.press(1500.0, -1500.0)
    with pytest.raises(EditError, match="is called P9"):
        hand.gesture.type_in(0, "P9")


def test_a_distance_of_nothing_is_refused_where_it_is_typed(hand: Hand) -> None:
    hand.press(0.0, 0.0).press(0.0, -3000.0)
    with pytest.raises(EditError, match="more than nothing"):
        hand.gesture.type_in(0, 0.0)


def test_esc_goes_back_point_by_point(hand: Hand) -> None:
    hand.press(0.0, 0.0).press(0.0, -3000.0)
    assert hand.gesture.cancel()
    assert hand.gesture.doing == "Tape to"
    assert hand.gesture.cancel()
    assert not hand.gesture.cancel()


def test_it_begins_with_both_points_picked(hand: Hand) -> None:
    gesture = hand.gesture
    assert isinstance(gesture, TapeGesture)
    gesture.begin("C2", "P1")
    assert gesture.doing == "Tape C2 to P1"
    assert len(gesture.preview.ghosts) == 1


def test_points_that_are_deleted_meanwhile_are_dropped(hand: Hand) -> None:
    hand.press(0.0, 0.0).press(0.0, -3000.0)
    hand.document.apply("Delete", lambda p: p.with_(piers=p.piers[1:]))
    assert hand.gesture.doing == "Tape to"
