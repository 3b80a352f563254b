"""Points, directions and frames."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from layoutdesk.geometry import vector as v
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector
from tests.strategies import places


def test_sums_and_products() -> None:
    assert v.plus((1, 2), (3, 5)) == (4, 7)
    assert v.minus((1, 2), (3, 5)) == (-2, -3)
    assert v.times((1, 2), 3) == (3, 6)
    assert v.dot((1, 2), (3, 5)) == 13
    assert v.cross((1, 2), (3, 5)) == -1
    assert v.length((3, 4)) == 5
    assert v.distance((1, 1), (4, 5)) == 5
    assert v.left((1, 0)) == (0, 1)
    assert v.middle((0, 0), (4, 6)) == (2, 3)
    assert v.along((0, 0), (4, 8), 0.25) == (1, 2)


@pytest.mark.parametrize("degrees", [90, -270, 450])
def test_turning_a_quarter_is_turning_left(degrees: float) -> None:
    assert v.turned((3, 1), degrees) == pytest.approx(v.left((3, 1)))


def test_two_points_at_one_place_give_no_direction() -> None:
    with pytest.raises(ValueError, match="no direction"):
        v.unit((0, SAME_MM))
    with pytest.raises(ValueError, match="no direction"):
        v.foot((1, 1), (2, 2), (2, 2))
    with pytest.raises(ValueError, match="no direction"):
        v.mirrored((1, 1), (2, 2), (2, 2))
    with pytest.raises(ValueError, match="no direction"):
        Frame.through((1, 1), (1, 1), yard_on_right=True)


@pytest.mark.parametrize(
    ("p", "nearest"), [((5, 5), (5, 0)), ((-3, 4), (0, 0)), ((14, -1), (10, 0)), ((10, 0), (10, 0))]
)
def test_nearest_point_of_a_segment(p: Vector, nearest: Vector) -> None:
    assert v.nearest_on_segment(p, (0, 0), (10, 0)) == pytest.approx(nearest)


def test_nearest_point_of_a_segment_without_length_is_its_start() -> None:
    assert v.nearest_on_segment((3, 3), (1, 1), (1, 1)) == (1, 1)


def test_crossing_of_two_lines() -> None:
    assert v.crossing((0, 0), (1, 1), (0, 4), (4, 0)) == pytest.approx((2, 2))
    assert v.crossing((0, 0), (1, 1), (0, 1), (1, 2)) is None


@given(places, places, places)
def test_mirroring_twice_is_nothing_and_keeps_the_line(p: Vector, a: Vector, b: Vector) -> None:
    assume(v.distance(a, b) > 1)
    image = v.mirrored(p, a, b)
    assert v.mirrored(image, a, b) == pytest.approx(p, abs=1e-6)
    assert v.middle(p, image) == pytest.approx(v.foot(p, a, b), abs=1e-6)
    assert v.dot(v.minus(p, v.foot(p, a, b)), v.unit(v.minus(b, a))) == pytest.approx(0, abs=1e-6)


@given(places, places, places, st.booleans())
def test_frame_leads_there_and_back(p: Vector, origin: Vector, toward: Vector, right: bool) -> None:  # noqa: FBT001
    assume(v.distance(origin, toward) > 1)
    frame = Frame.through(origin, toward, yard_on_right=right)
    station, offset = frame.station_offset(p)
    assert frame.point(station, offset) == pytest.approx(p, abs=1e-6)
    assert math.hypot(station, offset) == pytest.approx(v.distance(origin, p), abs=1e-6)
    assert frame.station_offset(toward) == pytest.approx((v.distance(origin, toward), 0), abs=1e-6)
    assert (v.cross(frame.along, frame.away) < 0) is right
