"""The surface between the spots: against scipy's, over grids and lines, and however the plan is turned."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.ground import BETWEEN, TYPED, Ground
from layoutdesk.geometry.vector import turned
from layoutdesk.plan.heights import SpotHeight
from layoutdesk.plan.model import Plan
from tests.engine.yards import height_at, rough_yard, spots, yard, yards


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("count", [3, 4, 10, 200])
def test_surface_is_that_of_scipy(seed: int, count: int) -> None:
    places, heights = rough_yard(seed, count)
    asked = np.random.default_rng(seed).uniform(-5000, 5000, (500, 2))
    known = LinearNDInterpolator(places, heights)(asked)
    look = yard(places, heights).look(asked)
    inside = ~np.isnan(known)
    assert inside.any()
    assert np.abs(look.z - known)[inside].max() < 1e-8
    assert (look.how[inside] == BETWEEN).all()


@pytest.mark.parametrize("shift", [1e5, 1e7])
def test_surface_far_from_the_origin_is_the_same(shift: float) -> None:
    places, heights = rough_yard(3)
    asked = np.random.default_rng(3).uniform(-3000, 3000, (200, 2))
    near, far = yard(places, heights), yard(places + shift, heights)
    assert np.abs(near.heights(asked) - far.heights(asked + shift)).max() < 1e-4


@given(yards())
def test_at_every_spot_the_ground_is_that_spot(ground: tuple[Floats, Floats]) -> None:
    places, heights = ground
    look = yard(places, heights).look(places)
    assert np.abs(look.z - heights).max() < 1e-6
    assert (look.how == TYPED).all()


@given(yards(least=4), st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=5))
def test_between_the_spots_the_ground_is_no_higher_and_no_lower_than_they(
    ground: tuple[Floats, Floats], shares: list[tuple[float, float]]
) -> None:
    """Every share of the way between two spots lies within the hull."""
    places, heights = ground
    first, last = places[0], places[-1]
    asked = np.array([first + share * (last - first) for share, _ in shares])
    z = yard(places, heights).heights(asked)
    assert (z >= heights.min() - 1e-6).all()
    assert (z <= heights.max() + 1e-6).all()


def net_of(ground: Ground) -> set[tuple[int, ...]]:
    """Return the triangles by their corners."""
    return {tuple(sorted(corners)) for corners in ground.triangles.tolist()}


@given(yards(least=4), st.floats(0, 360), st.floats(-1e5, 1e5), st.sampled_from([1.0, -1.0]))
def test_a_plan_that_is_turned_moved_or_mirrored_keeps_its_net(
    ground: tuple[Floats, Floats], degrees: float, by: float, east: float
) -> None:
    """Spots on a grid lie on circles and lines by fours and more: rounding must not choose between the nets."""
    places, heights = ground
    carried = places * np.array([east, 1.0])
    carried = np.array([turned((x, y), degrees) for x, y in carried.tolist()]) + by
    assert net_of(yard(places, heights)) == net_of(yard(carried, heights))


@given(yards(least=4), st.floats(-5000, 5000))
def test_a_yard_that_is_raised_is_raised_everywhere(ground: tuple[Floats, Floats], up: float) -> None:
    places, heights = ground
    asked = np.random.default_rng(1).uniform(-4000, 4000, (30, 2))
    low, high = yard(places, heights), yard(places, heights + up)
    assert high.heights(asked) == pytest.approx(low.heights(asked) + up, abs=1e-6)
    radius = np.full(30, 300.0)
    assert high.lowest_many(asked, radius) == pytest.approx(low.lowest_many(asked, radius) + up, abs=1e-6)


@given(yards(least=4))
def test_triangles_fill_the_hull_without_overlap(ground: tuple[Floats, Floats]) -> None:
    """Their areas add up to that of shapely's hull, and each runs anticlockwise."""
    places, heights = ground
    found = yard(places, heights)
    if not len(found.triangles):  # spots in one line
        return
    p = places[found.triangles]
    (ux, uy), (vx, vy) = (p[:, 1] - p[:, 0]).T, (p[:, 2] - p[:, 0]).T
    areas = (ux * vy - uy * vx) / 2
    hull = shapely.MultiPoint(places).convex_hull
    assert (areas > 0).all()
    assert float(areas.sum()) == pytest.approx(hull.area, rel=1e-9)
    assert shapely.Polygon(found.hull).area == pytest.approx(hull.area, rel=1e-9)


def test_hull_runs_anticlockwise_round_the_spots() -> None:
    square = np.array([[0.0, 0.0], [0.0, 1000.0], [1000.0, 1000.0], [1000.0, 0.0], [400.0, 500.0]])
    ground = yard(square, np.zeros(5))
    assert set(ground.hull) == {(0, 0), (0, 1000), (1000, 1000), (1000, 0)}
    assert shapely.LinearRing(ground.hull).is_ccw


def test_a_grid_takes_the_nets_that_meet_at_the_first_spots() -> None:
    """Of the two ways through a square the one from its first corner: that the others lie higher does not count."""
    square = np.array([[0.0, 0.0], [1000.0, 0.0], [1000.0, 1000.0], [0.0, 1000.0]])
    ground = yard(square, np.array([0.0, 100.0, 0.0, 100.0]))
    assert net_of(ground) == {(0, 1, 2), (0, 2, 3)}
    assert ground.at((500.0, 500.0))[0] == pytest.approx(0.0, abs=1e-9)
    assert yard(np.roll(square, 1, axis=0), np.array([100.0, 0.0, 100.0, 0.0])).at((500.0, 500.0))[0] == (
        pytest.approx(100.0)
    )


def test_spots_on_a_circle_make_one_fan() -> None:
    turns = np.arange(12) * math.pi / 6
    ground = yard(2000 * np.column_stack((np.cos(turns), np.sin(turns))), np.arange(12.0))
    assert net_of(ground) == {(0, k, k + 1) for k in range(1, 11)}


def test_many_spots_along_the_edges_leave_no_slivers() -> None:
    """Rounding puts a thousand spots of a turned square's sides off the straight line by a hair."""
    side = np.linspace(0.0, 10_000.0, 251)[:-1]
    nought = np.zeros(250)
    ring = np.concatenate(
        (
            np.column_stack((side, nought)),
            np.column_stack((nought + 10_000, side)),
            np.column_stack((10_000 - side, nought + 10_000)),
            np.column_stack((nought, 10_000 - side)),
        )
    )
    places = np.array([turned((x, y), 31.0) for x, y in ring.tolist()] + [turned((5200.0, 4700.0), 31.0)])
    heights = places[:, 0] * 0.02 - places[:, 1] * 0.03
    ground = yard(places, heights)
    asked = np.array([turned((x, y), 31.0) for x, y in np.random.default_rng(2).uniform(0, 1e4, (200, 2)).tolist()])
    look = ground.look(asked)
    assert (look.how == BETWEEN).all()
    assert look.z == pytest.approx(asked[:, 0] * 0.02 - asked[:, 1] * 0.03, abs=1e-6)


def test_two_heights_at_one_place_are_averaged_and_told() -> None:
    places = [(0.0, 0.0), (1000.0, 0.0), (0.0, 1000.0), (0.0, 0.5)]
    plan = Plan(units="mm", rounding=1.0, spots=spots(places, [0.0, 0.0, 0.0, 40.0]))
    ground = yard(np.array(places), np.array([0.0, 0.0, 0.0, 40.0]), plan)
    assert ground.at((0.0, 0.25))[0] == pytest.approx(20.0)
    (clash,) = ground.clashes
    assert clash.ids == ("S1", "S4")
    assert clash.apart == 40.0
    assert clash.allowed == pytest.approx(math.hypot(1.96 * 1.5, 1.96 * 1.5))
    assert ground.at((0.0, 0.25))[2] >= 20.0


def test_points_that_were_made_one_place_have_its_ground_each() -> None:
    """Their mean lies within the hull of the others, and they themselves a little beyond it."""
    places = np.array([[0.0, 0.0], [1000.0, 0.0], [0.0, 1000.0], [-3.0, 0.0]])
    ground = yard(places, np.array([0.0, 0.0, 0.0, 2.0]))
    for place in ((0.0, 0.0), (-3.0, 0.0)):
        assert height_at(ground, place, "typed") == pytest.approx(1.0)


def test_two_heights_at_one_place_that_readings_explain_are_no_clash() -> None:
    ground = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [0.0, 1000.0], [0.0, 0.0]]), np.array([0.0, 0, 0, 2.0]))
    assert ground.clashes == ()
    assert ground.at((0.0, 0.0))[0] == pytest.approx(1.0)


def test_ten_thousand_spots_at_one_place_are_one() -> None:
    everywhere = (SpotHeight(id=f"S{k}", at=(5.0, 5.0), elevation=float(k % 2)) for k in range(10_000))
    ground = Ground(Plan(spots=tuple(everywhere)), None, yard(np.full((10_000, 2), 5.0), np.arange(1e4) % 2).points)
    assert ground.plane is None
    assert ground.at((5.0, 5.0))[0] == pytest.approx(0.5)


@pytest.mark.parametrize("seed", range(4))
def test_profile_breaks_where_it_crosses_sides_of_triangles(seed: int) -> None:
    """Dense samples lie on the straight pieces between its breaks, but for a step of the hull at each end."""
    places, heights = rough_yard(seed)
    ground = yard(places, heights)
    a, b = (-6000.0, -700.0 * seed), (6500.0, 900.0)
    (part,) = ground.profile(a, b)
    long = math.dist(a, b)
    assert (*part[0], *part[-1]) == pytest.approx((0.0, height_at(ground, a), long, height_at(ground, b)))
    assert all(p[0] <= q[0] for p, q in pairwise(part))
    share = (np.arange(5000) + 0.5) / 5000
    asked = np.array(a) + share[:, None] * (np.array(b) - np.array(a))
    x, z = np.array(part).T
    clear = np.abs(share[:, None] * long - x).min(axis=1) > 1e-6
    assert np.interp(share * long, x, z)[clear] == pytest.approx(ground.heights(asked)[clear], abs=1e-6)
    sides = [q for p, q in pairwise(part) if q[0] == p[0]]
    assert len(sides) <= 2


@pytest.mark.parametrize("degrees", [0.0, 17.0, 45.0, 211.0])
def test_profile_through_a_spot_breaks_there(degrees: float) -> None:
    """A peak in the middle of a square, run over from side to side through it."""
    square = [(500.0, 500.0), (0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)]
    ground = yard(np.array([turned(p, degrees) for p in square]), np.array([100.0, 0.0, 0.0, 0.0, 0.0]))
    (part,) = ground.profile(turned((0.0, 500.0), degrees), turned((1000.0, 500.0), degrees))
    assert np.interp([0.0, 250.0, 500.0, 750.0, 1000.0], *np.array(part).T) == pytest.approx([0, 50, 100, 50, 0])


def test_profile_along_a_side_and_of_no_length() -> None:
    square = np.array([[0.0, 0.0], [1000.0, 0.0], [1000.0, 1000.0], [0.0, 1000.0]])
    ground = yard(square, np.array([0.0, 10.0, 0.0, 10.0]))
    ((start, end),) = ground.profile((0.0, 0.0), (1000.0, 0.0))
    assert (*start, *end) == pytest.approx((0.0, 0.0, 1000.0, 10.0))
    ((point,),) = ground.profile((500.0, 0.0), (500.0, 0.0))
    assert point == pytest.approx((0.0, 5.0))


def test_profile_along_spots_in_one_line_breaks_at_every_spot() -> None:
    ground = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [2000.0, 0.0]]), np.array([0.0, 50.0, 0.0]))
    ((start, middle, end),) = ground.profile((0.0, 0.0), (2000.0, 0.0))
    assert (*start, *middle, *end) == pytest.approx((0.0, 0.0, 1000.0, 50.0, 2000.0, 0.0))
