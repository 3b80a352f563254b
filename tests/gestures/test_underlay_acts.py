"""What is done with a picture under the sheet: scaled, turned, straightened, moved; and tracing its lines."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.projective import apply, inverse, seen_clockwise, through_four
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.underlay_places import own_place
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.importers.linework import Linework, Shape
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.traced import Traced, traced_bytes, traced_from
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch, wall_only

FLAT = (10.0, 0.0, 0.0, 0.0, -10.0, 0.0, 0.0, 0.0, 1.0)
SCALE, TURN, STRAIGHTEN, MOVE = (
    "Scale by two points",
    "Turn square to a wall",
    "Straighten a photograph",
    "Move the picture",
)


def under(plan: Plan | None = None, **more: object) -> Plan:
    """Return a plan with a picture of 1000 by 800 pixels under it, 10 mm a pixel, its corner at (0, 0)."""
    base = wall_only() if plan is None else plan
    return edits.add_underlay(base, "/jobs/scan.png", (1000.0, 800.0), to_plan=FLAT, **more)  # type: ignore[arg-type]


def place_of(hand: Hand, own: Vector) -> Vector:
    return apply(hand.plan.underlays[0].to_plan, [own])[0]


# ---- scale


def test_two_points_and_their_distance_give_the_scale() -> None:
    hand = Hand(under(), SCALE)
    hand.click(1000, -1000).click(5000, -4000)
    assert hand.field("written distance").value == pytest.approx(5000)
    hand.enter(**{"written distance": 6000.0})
    assert place_of(hand, (100.0, 100.0)) == pytest.approx((1000, -1000))
    assert distance(place_of(hand, (100.0, 100.0)), place_of(hand, (500.0, 400.0))) == pytest.approx(6000, abs=1e-9)
    assert hand.document.undo_label == "Scale by two points: U1"
    hand.document.undo()
    assert hand.plan.underlays[0].to_plan == FLAT


def test_the_picture_grows_while_the_distance_is_typed() -> None:
    hand = Hand(under(), SCALE).click(1000, -1000).click(2000, -1000)
    before = hand.gesture.preview
    assert before.underlays is None
    hand.type(**{"written distance": 2000.0})
    shown = hand.gesture.preview.underlays
    assert shown is not None
    assert shown[0].to_plan[0] == pytest.approx(20)
    assert hand.gesture.preview.underlays is shown, "an unchanged preview must not be painted anew"


def test_scaling_asks_for_the_distance() -> None:
    hand = Hand(under(), SCALE).click(1000, -1000).click(2000, -1000)
    with pytest.raises(LayoutdeskError, match="Type the distance"):
        hand.enter()
    with pytest.raises(LayoutdeskError, match="more than nothing"):
        hand.type(**{"written distance": 0.0})


def test_escape_goes_a_step_back_at_a_time() -> None:
    hand = Hand(under(), SCALE).click(1000, -1000).click(2000, -1000)
    hand.type(**{"written distance": 2000.0})
    doings = [hand.gesture.doing]
    while hand.gesture.cancel():
        doings.append(hand.gesture.doing)
    assert doings == ["Scale U1", "Scale U1", "Scale U1, point 2 of 2", "Scale U1, point 1 of 2"]


def test_points_are_pressed_on_the_picture_and_apart() -> None:
    hand = Hand(under(), SCALE)
    with pytest.raises(LayoutdeskError, match="beside U1"):
        hand.click(-500, 500)
    hand.click(1000, -1000)
    with pytest.raises(LayoutdeskError, match="pressed already"):
        hand.click(1000, -1000)


def test_points_are_not_drawn_to_the_grid() -> None:
    hand = Hand(under(), SCALE).move(1003.3, -1001.7)
    assert hand.gesture.preview.near == (1003.3, -1001.7)


def test_points_can_be_typed() -> None:
    hand = Hand(under(), SCALE)
    hand.enter(station=1000.0, offset=1000.0).enter(station=2000.0, offset=1000.0)
    hand.enter(**{"written distance": 500.0})
    assert place_of(hand, (200.0, 100.0)) == pytest.approx((1500, -1000))


@pytest.mark.parametrize("name", [SCALE, TURN, STRAIGHTEN, MOVE])
def test_a_locked_picture_stays(name: str) -> None:
    hand = Hand(edits.set_underlay(under(), "U1", locked=True), name)
    assert "locked" in hand.gesture.hint
    with pytest.raises(LayoutdeskError, match="U1 is locked"):
        hand.click(1000, -1000)


@pytest.mark.parametrize("name", [SCALE, TURN, STRAIGHTEN, MOVE])
def test_with_nothing_under_the_sheet_it_says_how_to_lay_something(name: str) -> None:
    hand = Hand(wall_only(), name)
    assert "File menu" in hand.gesture.hint
    with pytest.raises(LayoutdeskError, match="Nothing lies under the sheet"):
        hand.click(1000, -1000)


def test_of_two_pictures_the_pressed_or_the_chosen_one_is_meant() -> None:
    far = (*FLAT[:2], 20_000.0, *FLAT[3:])
    plan = edits.add_underlay(under(), "/jobs/other.png", (1000.0, 800.0), to_plan=far)
    hand = Hand(plan, SCALE).move(1000, -1000)
    assert hand.field("picture").value == "U1 scan.png"
    assert hand.move(21_000, -1000).field("picture").value == "U2 other.png"
    hand.type(picture="U1")
    with pytest.raises(LayoutdeskError, match="beside U1"):
        hand.click(21_000, -1000)
    assert isinstance(hand.gesture, OnUnderlay)
    hand.gesture.aim("U2")
    assert hand.click(21_000, -1000).gesture.doing == "Scale U2, point 2 of 2"


def test_a_picture_that_goes_takes_its_points_along() -> None:
    hand = Hand(under(), SCALE).click(1000, -1000)
    hand.document.apply("Remove U1", lambda plan: edits.delete(plan, ("U1",)))
    assert hand.gesture.preview.ghosts == ()
    hand.document.undo()
    assert hand.gesture.doing.endswith("point 1 of 2")


# ---- turn


@pytest.mark.parametrize("degrees", [1.3, -7.0, 80.0, 170.0])
def test_a_line_comes_to_run_along_the_wall(degrees: float) -> None:
    """The nearer of the two ways round is taken."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    slanting = (10 * c, 10 * s, 0.0, 10 * s, -10 * c, 0.0, 0.0, 0.0, 1.0)
    hand = Hand(edits.add_underlay(wall_only(), "/a.png", (1000.0, 800.0), to_plan=slanting), TURN)
    first, second = place_of(hand, (100.0, 300.0)), place_of(hand, (900.0, 300.0))
    hand.click(*first).click(*second).enter()
    a, b = place_of(hand, (100.0, 300.0)), place_of(hand, (900.0, 300.0))
    assert a == pytest.approx(first)
    assert b[1] == pytest.approx(a[1], abs=1e-9)
    assert (b[0] > a[0]) == (abs(degrees) < 90)
    assert distance(a, b) == pytest.approx(8000)


def test_it_turns_the_other_way_round_square_and_on_to_a_corner() -> None:
    hand = Hand(under(), TURN).click(1000, -1000).click(3000, -1100)
    assert hand.gesture.letter("H")
    hand.enter(**{"line runs": "square to", "what": "the baseline", "first point": "W1 corner 2"})
    a, b = place_of(hand, (100.0, 100.0)), place_of(hand, (300.0, 110.0))
    assert a == pytest.approx((30 * FT, 0.0), abs=1e-9)
    assert b[0] == pytest.approx(a[0], abs=1e-9)
    hand.click(*place_of(hand, (100.0, 100.0)))
    assert [f.value for f in hand.click(*place_of(hand, (300.0, 110.0))).gesture.fields] == [
        "along",
        "wall W1",
        "stays",
    ]


def test_without_a_wall_it_turns_square_to_the_sheet() -> None:
    hand = Hand(under(Plan()), TURN).click(1000, -1000).click(3000, -1200).enter()
    assert place_of(hand, (300.0, 120.0))[1] == pytest.approx(-1000)


# ---- straighten

GROUND = ((0.0, 0.0), (9000.0, 400.0), (8600.0, 6100.0), (500.0, 5600.0))
SEEN = ((120.0, 720.0), (900.0, 690.0), (700.0, 230.0), (310.0, 240.0))
PIERS = tuple((x, y) for x in (1000.0, 4000.0, 7900.0) for y in (800.0, 2800.0, 5100.0))
SIDES = {"1 to 2": (0, 1), "2 to 3": (1, 2), "3 to 4": (2, 3), "4 to 1": (3, 0)}


def sides(hand: Hand, ground: Sequence[Vector]) -> Hand:
    """Type the four sides and go on to the diagonals."""
    return hand.enter(**{name: distance(ground[a], ground[b]) for name, (a, b) in SIDES.items()})


def measured(hand: Hand, ground: Sequence[Vector]) -> Hand:
    """Type the four sides and one diagonal."""
    return sides(hand, ground).enter(**{"1 to 3": distance(ground[0], ground[2])})


def photographed(hand: Hand) -> Hand:
    """Press the four points of the photograph, as exactly as a half pixel."""
    for own in SEEN:
        hand.click(*place_of(hand, (own[0] + 0.2, own[1] - 0.3)))
    return hand


def test_a_photograph_of_known_slant_comes_out_flat_within_two_pixels() -> None:
    """The camera is known here, so every pier's place in the photograph is known, and where it must come out."""
    camera = through_four(GROUND, SEEN)
    hand = photographed(Hand(under(), STRAIGHTEN))
    measured(hand, GROUND)
    to_plan = hand.plan.underlays[0].to_plan
    flat = apply(to_plan, apply(camera, (*GROUND, *PIERS)))
    for k, p in enumerate((*GROUND, *PIERS)):
        for j, q in enumerate((*GROUND, *PIERS)):
            if j > k:
                assert distance(flat[k], flat[j]) == pytest.approx(distance(p, q), rel=0.006, abs=25.0)
    # The true place, brought back into the photograph, lies within two of its pixels.
    shift = through_four(GROUND, flat[:4])
    for true, got in zip(PIERS, flat[4:], strict=True):
        back = apply(inverse(to_plan), (apply(shift, (true,))[0], got))
        assert distance(*back) < 2.0
    assert not seen_clockwise(flat[:4], y_down=False), "nothing is mirrored"


def test_the_first_point_stays_and_the_first_side_keeps_its_direction() -> None:
    hand = Hand(under(), STRAIGHTEN)
    first, second = place_of(hand, SEEN[0]), place_of(hand, SEEN[1])
    for own in SEEN:
        hand.click(*place_of(hand, own))
    measured(hand, GROUND)
    now = [place_of(hand, own) for own in SEEN]
    assert now[0] == pytest.approx(first)
    assert distance(now[0], now[1]) == pytest.approx(distance(*GROUND[:2]))
    assert (now[1][1] - now[0][1]) / (now[1][0] - now[0][0]) == pytest.approx(
        (second[1] - first[1]) / (second[0] - first[0])
    )


def test_points_pressed_clockwise_are_not_mirrored_either() -> None:
    hand = Hand(under(), STRAIGHTEN)
    for own in reversed(SEEN):
        hand.click(*place_of(hand, own))
    measured(hand, GROUND[::-1])
    assert not seen_clockwise([place_of(hand, own) for own in SEEN], y_down=False)


def test_the_second_diagonal_says_how_far_it_is_off() -> None:
    hand = photographed(Hand(under(), STRAIGHTEN))
    hand.document.apply("mm", lambda plan: edits.set_units(plan, "mm"))
    sides(hand, GROUND)
    hand.type(**{"1 to 3": distance(GROUND[0], GROUND[2])})
    true = distance(GROUND[1], GROUND[3])
    assert hand.field("2 to 4").value == pytest.approx(true)
    assert not hand.field("2 to 4").typed
    hand.type(**{"2 to 4": true + 12.0})
    said = hand.gesture.preview.ghosts[-1].label.replace("\N{NO-BREAK SPACE}", " ")
    assert said == "2 to 4: 12 mm too long for the others"
    hand.type(**{"2 to 4": true})
    assert hand.gesture.preview.ghosts[-1].label == "2 to 4 agrees"


def test_escape_goes_back_through_diagonals_and_sides() -> None:
    hand = sides(photographed(Hand(under(), STRAIGHTEN)), GROUND).type(**{"1 to 3": 9000.0})
    doings = [hand.gesture.doing]
    while hand.gesture.cancel():
        doings.append(hand.gesture.doing)
    assert doings[:5] == [
        "Straighten U1, diagonals",
        "Straighten U1, diagonals",
        "Straighten U1, sides",
        "Straighten U1, sides",
        "Straighten U1, point 4 of 4",
    ]
    assert len(doings) == 8


def test_a_rectangle_needs_two_sides() -> None:
    hand = Hand(under(), STRAIGHTEN)
    hand.type(known="rectangle")
    for own in SEEN:
        hand.click(*place_of(hand, own))
    assert hand.gesture.letter("H")
    assert len(hand.gesture.fields) == 4
    assert hand.gesture.letter("H")
    hand.enter(**{"1 to 2": 6000.0, "2 to 3": 3000.0})
    now = [place_of(hand, own) for own in SEEN]
    assert distance(now[0], now[2]) == pytest.approx(math.hypot(6000, 3000))
    assert distance(now[1], now[3]) == pytest.approx(math.hypot(6000, 3000))


def test_missing_and_impossible_distances_are_told() -> None:
    hand = photographed(Hand(under(), STRAIGHTEN))
    with pytest.raises(LayoutdeskError, match="Type all four sides"):
        hand.enter(**{"1 to 2": 1000.0})
    sides(hand, ((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)))
    with pytest.raises(LayoutdeskError, match="Type the diagonal from 1 to 3"):
        hand.enter()
    hand.type(**{"1 to 3": 9000.0})
    assert "longer than the way round" in hand.gesture.hint
    with pytest.raises(LayoutdeskError, match="longer than the way round"):
        hand.enter()
    assert hand.plan.underlays[0].to_plan == FLAT


# ---- move


def test_a_picture_is_dragged() -> None:
    hand = Hand(under(Plan()), MOVE).drag((1000, -1000), (3013.7, -2511.1), free=True)
    hand.gesture.moved(hand.pointer(0, 0))
    assert place_of(hand, (100.0, 100.0)) == pytest.approx((3013.7, -2511.1))
    assert hand.document.undo_label == "Move the picture: U1"


def test_a_point_of_it_is_laid_on_a_corner_of_the_wall() -> None:
    hand = Hand(under(), MOVE).click(1003, -1007).click(30 * FT + 20, 15)
    assert place_of(hand, (100.3, 100.7)) == pytest.approx((30 * FT, 0.0), abs=1e-6)


def test_a_move_is_typed() -> None:
    hand = Hand(under(), MOVE).click(1000, -1000)
    hand.enter(length=500.0, angle=0.0)
    assert place_of(hand, (100.0, 100.0)) == pytest.approx((1500, -1000))


# ---- tracing


def drawing() -> Traced:
    """Return two crossing lines and a circle's centre, in the coordinates of a page."""
    return Traced(np.array([[100.0, 100.0, 300.0, 100.0], [200.0, 50.0, 200.0, 180.0]]), np.array([[400.0, 150.0]]))


def tracing(name: str) -> Hand:
    """Return a hand that draws over a page with lines."""
    hand = Hand(None, name, reach=60.0)
    hand.view.traced[("/jobs/plan.pdf", 1)] = drawing()
    plan = edits.add_underlay(Plan(), "/jobs/plan.pdf", (1000.0, 800.0), page=1, to_plan=FLAT)
    hand.document.apply("lay", lambda _: plan)
    return hand


@pytest.mark.parametrize(
    ("near", "at", "reason"),
    [
        ((1030, -1020), (1000, -1000), "end of a line of the drawing"),
        ((2025, -1020), (2000, -1000), "crossing of two lines of the drawing"),
        ((4030, -1520), (4000, -1500), "centre of a circle of the drawing"),
    ],
)
def test_points_of_the_drawing_catch_a_pier(near: Vector, at: Vector, reason: str) -> None:
    hand = tracing("Pier").move(*near)
    assert hand.reason == reason
    hand.click(*near)
    assert hand.plan.piers[0].at == pytest.approx(at)


def test_lines_of_the_drawing_catch_the_pointer_on_their_way() -> None:
    hand = tracing("Wall").move(1513, -1021)
    assert "on a line of the drawing" in hand.reason
    assert hand.gesture.preview.snap is not None
    assert hand.gesture.preview.snap.at[1] == pytest.approx(-1000)


def test_what_is_hidden_or_not_wanted_catches_nothing() -> None:
    hand = tracing("Pier").move(1030, -1020, free=True)
    assert hand.reason == ""
    hand.document.apply("hide", lambda plan: edits.set_underlay(plan, "U1", shown=False))
    assert "drawing" not in hand.move(1030, -1020).reason


def test_pressed_points_are_drawn_to_the_ends_of_the_drawing_only() -> None:
    hand = tracing(SCALE).click(1030, -1020).click(3020, -1010)
    assert hand.field("written distance").value == pytest.approx(2000)


def test_a_page_goes_from_one_process_to_the_other_as_columns() -> None:
    """Paper is in mm with y up, what lies under the sheet in points with y down."""
    shapes = (
        Shape(layer="a", points=((0.0, 0.0), (25.4, 0.0), (25.4, 12.7)), closed=True),
        Shape(layer="a", centre=(25.4, 25.4), radius=3.0),
        Shape(layer="off", points=((0.0, 0.0), (1.0, 1.0))),
        Shape(layer="a", points=((5.0, 5.0),)),
    )
    work = Linework(name="it", kind="pdf", unit=1.0, shapes=shapes, frozen=("off",), paper=(254.0, 127.0))
    traced = traced_from(*traced_bytes(work))
    assert traced.lines == pytest.approx(np.array([[0, 360, 72, 360], [72, 360, 72, 324], [72, 324, 0, 360]]))
    assert traced.centres == pytest.approx(np.array([[72, 288]]))


def test_beyond_the_horizon_there_is_no_picture() -> None:
    plan = edits.add_underlay(
        porch(), "/a.jpg", (1000.0, 800.0), to_plan=(1.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 0.01, 1.0)
    )
    assert own_place(plan.underlays[0], (0.0, 5000.0)) is None
