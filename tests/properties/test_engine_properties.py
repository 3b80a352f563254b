"""What holds of every Layout, whatever the plan: motions change nothing, and independent reckoning agrees."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from layoutdesk.engine.concrete.sections import gross_volume, parts_of
from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import BayCheck, Layout, Stake
from layoutdesk.engine.order import whole_bags
from layoutdesk.engine.tapes import PERMISSIBLE_MM
from layoutdesk.geometry.vector import Vector, cross, minus
from layoutdesk.plan.heights import NO_LEVELS
from layoutdesk.plan.model import Baseline, Control, Plan, Wall
from tests.engine.motions import Motion, carried
from tests.engine.scenes import by_the_wall, rows_plan, tree
from tests.strategies import places, plans, profiles

motions = st.builds(
    Motion,
    by=st.tuples(st.floats(-50_000, 50_000), st.floats(-50_000, 50_000)),
    degrees=st.floats(-360, 360),
    mirror=st.booleans(),
)
steps = st.integers(6, 40).map(lambda n: n * 100.0)


def running(spacings: list[float], start: float = 0.0) -> list[float]:
    """Return places along a line from their spacings."""
    return [start, *(start + sum(spacings[: k + 1]) for k in range(len(spacings)))]


@st.composite
def porches(draw: st.DrawFn) -> Plan:
    """Return rows beside a wall: of unequal counts and spacings, leaning, with a tree in the yard."""
    count = draw(st.integers(1, 4))
    offsets = running(draw(st.lists(steps, min_size=count, max_size=count)))[1:]
    stations = [
        running(draw(st.lists(steps, min_size=0, max_size=5)), draw(st.integers(0, 10)) * 97.3 + 0.11 * k)
        for k in range(count)
    ]
    plan = by_the_wall(
        rows_plan(stations, [-y for y in offsets], lean=draw(st.sampled_from((0.0, 0.0973, -0.3871))))
    )
    at = (draw(st.integers(-50, 110)) * 100.0 + 37.0, draw(st.integers(-80, -10)) * 100.0 + 13.0)
    return plan.with_(keepouts=(tree(at),))


def spacings(layout: Layout) -> list[float]:
    """Return all spacings and distances of rows."""
    stops = [stop.spacing for run in layout.runs for stop in run.stops]
    return [*stops, *(x for gap in layout.gaps for x in (gap.at_start, gap.at_end))]


def flat(plan: Plan) -> Plan:
    """Return a plan that says nothing of heights: ground that is reckoned anew elsewhere differs by a hair."""
    return plan.with_(spots=(), levels=NO_LEVELS)


@given(plans(near=True), motions)
def test_moving_the_whole_plan_changes_no_number(plan: Plan, motion: Motion) -> None:
    one, other = derive(plan), derive(carried(plan, motion))
    assert other.stakes.distance == pytest.approx(one.stakes.distance, abs=1e-6)
    assert other.points.station == pytest.approx(one.points.station, abs=1e-6, nan_ok=True)
    assert other.points.offset == pytest.approx(one.points.offset, abs=1e-6, nan_ok=True)
    assert derive(flat(carried(plan, motion))).concrete == derive(flat(plan)).concrete
    named = [[bay.diagonals for bay in layout.bays if bay.source == "named"] for layout in (one, other)]
    assert np.array(named[1]) == pytest.approx(np.array(named[0]), abs=1e-6)


@given(porches(), motions)
def test_moving_a_porch_changes_no_spacing_bay_or_tie(plan: Plan, motion: Motion) -> None:
    one, other = derive(plan), derive(carried(plan, motion))
    assert spacings(other) == pytest.approx(spacings(one), abs=1e-6)
    assert [bay.id for bay in other.bays] == [bay.id for bay in one.bays]
    assert other.bays.diagonal == pytest.approx(one.bays.diagonal, abs=1e-6)
    assert other.stakes.within == pytest.approx(one.stakes.within, abs=1e-6, nan_ok=True)
    assert other.stakes.blocked.tolist() == one.stakes.blocked.tolist()
    assert [flag.code for flag in other.flags] == [flag.code for flag in one.flags]


@given(porches(), places, places)
def test_moving_the_baseline_changes_no_spacing_and_no_diagonal(plan: Plan, origin: Vector, toward: Vector) -> None:
    moved = plan.with_(baseline=Baseline(origin=origin, toward=toward, yard_side="left"))
    one, other = derive(plan), derive(moved)
    assert spacings(other) == spacings(one)
    assert [(bay.id, bay.diagonals) for bay in other.bays] == [(bay.id, bay.diagonals) for bay in one.bays]
    assert other.stakes.distance.tolist() == one.stakes.distance.tolist()


@given(plans(near=True))
def test_station_and_offset_lead_back_to_the_point(plan: Plan) -> None:
    layout = derive(plan)
    for point in layout.points:
        if layout.frame is None:
            assert point.station is None
            assert point.offset is None
        else:
            assert point.station is not None
            assert point.offset is not None
            assert layout.frame.point(point.station, point.offset) == pytest.approx(point.at, abs=1e-6)
            assert layout.frame.station_offset(point.at) == pytest.approx((point.station, point.offset), abs=1e-6)


@given(plans(near=True))
def test_ties_are_the_straight_distances(plan: Plan) -> None:
    """Oracle: math.dist."""
    for stake in derive(plan).stakes:
        expected = [math.dist(control.at, stake.at) for control in plan.controls]
        assert [tie.distance for tie in stake.ties] == pytest.approx(expected, abs=1e-6)


def error_of(plan: Plan, stake: Stake, pair: tuple[int, int]) -> float:
    """Return twice the standard error of a stake by two tapes, from the inverse of its normal equations."""
    a, b = PERMISSIBLE_MM[plan.tape_at_hand.tape_class]
    ways = np.array([minus(stake.at, plan.controls[k].at) for k in pair])
    far = np.hypot(*ways.T)
    if far.min() <= 0 or abs(cross(ways[0], ways[1])) < math.sin(math.radians(10)) * far.prod():
        return math.inf
    design = ways / far[:, None]
    deviation = (a + b * far / 1000) / 2
    normal = design.T @ np.diag(deviation**-2) @ design
    return 2 * math.sqrt(np.trace(np.linalg.inv(normal)))


@given(plans(near=True, most=5))
def test_best_pair_is_the_best_of_all(plan: Plan) -> None:
    """Oracle: every pair tried, each with the inverse of its normal equations."""
    for stake in derive(plan).stakes:
        open_ = [
            k
            for k, tie in enumerate(stake.ties)
            if tie.blocked_by is None and tie.distance <= plan.tape_at_hand.length
        ]
        errors = {pair: error_of(plan, stake, pair) for pair in combinations(open_, 2)}
        best = min(errors.values(), default=math.inf)
        if stake.best is None:
            assert math.isinf(best) or any(_is_flat(plan, stake, pair) for pair in errors)
        else:
            assert stake.best.within == pytest.approx(best, rel=1e-6)
            names = [control.id for control in plan.controls]
            chosen = (names.index(stake.best.first.control), names.index(stake.best.second.control))
            assert errors[chosen] == pytest.approx(best, rel=1e-6)


def _is_flat(plan: Plan, stake: Stake, pair: tuple[int, int]) -> bool:
    """Return whether a pair crosses within a hair of the least angle, where either answer is right."""
    a, b = (minus(stake.at, plan.controls[k].at) for k in pair)
    sine = abs(cross(a, b)) / (math.hypot(*a) * math.hypot(*b))
    return math.isclose(sine, math.sin(math.radians(10)), rel_tol=1e-9)


@given(porches(), st.sampled_from([30, 40]))
def test_many_controls_are_paired_nearest_first(plan: Plan, count: int) -> None:
    """With more control points than are paired, the best of the nearest open ones is taken."""
    ring = [(9000 * math.cos(k), 9000 * math.sin(k) - 12_000) for k in range(count)]
    crowd = plan.with_(controls=tuple(Control(id=f"C{k}", at=at) for k, at in enumerate(ring)))
    for stake in derive(crowd).stakes:
        usable = [k for k, tie in enumerate(stake.ties) if tie.blocked_by is None]
        near = sorted(usable, key=lambda k: stake.ties[k].distance)[:24]
        errors = [error_of(crowd, stake, pair) for pair in combinations(sorted(near), 2)]
        within = math.inf if stake.best is None else stake.best.within
        assert within == pytest.approx(min(errors, default=math.inf), rel=1e-6)


@given(porches())
def test_blocked_ties_are_those_that_enter_the_tree(plan: Plan) -> None:
    """Oracle: the length of the tie inside the tree; within the thickness of a touch either answer is right."""
    inner, outer = (shapely.Polygon(plan.keepouts[0].outline).buffer(by) for by in (-1.5, 0.01))
    for stake in derive(plan).stakes:
        for control, tie in zip(plan.controls, stake.ties, strict=True):
            way = shapely.LineString((control.at, stake.at))
            if shapely.length(way.intersection(inner)) > 0:
                assert tie.blocked_by == "tree K1"
            elif not way.intersects(outer):
                assert tie.blocked_by is None


grid = st.integers(-8, 8).map(lambda n: n * 500.0)


@given(
    st.lists(st.tuples(grid, grid), min_size=2, max_size=6),
    st.sampled_from(("left", "right")),
    st.integers(0, 4),
    st.tuples(st.floats(20, 4000), st.floats(20, 4000)),
    st.floats(0.1, 0.9),
)
def test_no_tape_crosses_a_wall(
    points: list[Vector], side: str, straight: int, beyond: tuple[float, float], share: float
) -> None:
    """A tape from one side of a wall to the other is blocked, however the wall runs."""
    assume(len(points) > straight + 1)
    (ax, ay), (bx, by) = points[straight : straight + 2]
    size = math.hypot(bx - ax, by - ay)
    assume(size > 0)
    at = (ax + (bx - ax) * share, ay + (by - ay) * share)
    across = (-(by - ay) / size, (bx - ax) / size)
    ends = [(at[0] + across[0] * s, at[1] + across[1] * s) for s in (beyond[0], -beyond[1])]
    plan = Plan(
        walls=(Wall(id="W1", points=tuple(points), house_side="left" if side == "left" else "right"),),
        controls=tuple(Control(id=f"C{k}", at=end) for k, end in enumerate(ends)),
    )
    (tie,) = derive(plan).control_ties
    assert tie.blocked_by == "the house"


def polygon(bay: BayCheck) -> shapely.Polygon:
    """Return a bay as a polygon."""
    return shapely.Polygon(bay.places)


@given(porches())
def test_bays_are_convex_and_do_not_overlap(plan: Plan) -> None:
    """Oracle: shapely."""
    bays = [bay for bay in derive(plan).bays if bay.source == "found"]
    for bay in bays:
        assert len(set(bay.corners)) == 4
        shape = polygon(bay)
        assert shape.is_valid
        assert shape.convex_hull.area == pytest.approx(shape.area, rel=1e-9)
    for one, other in combinations(bays, 2):
        assert polygon(one).intersection(polygon(other)).area <= 1e-6 * polygon(one).area


@given(
    st.lists(steps, min_size=1, max_size=5),
    st.lists(steps, min_size=1, max_size=5),
    st.sampled_from((0.0, 0.2, -0.3)),
)
def test_bays_of_a_grid_cover_it(along: list[float], out: list[float], lean: float) -> None:
    stations, offsets = running(along), running(out)
    layout = derive(rows_plan([stations] * len(offsets), [-y for y in offsets], lean=lean))
    found = [polygon(bay) for bay in layout.bays if bay.source == "found"]
    assert len(found) == len(along) * len(out)
    whole = shapely.MultiPoint(layout.points.xy).convex_hull
    assert sum(shape.area for shape in found) == pytest.approx(whole.area, rel=1e-9)
    outlines = [bay for bay in layout.bays if bay.source == "outline"]
    assert len(outlines) == (0 if len(found) == 1 else 1)
    assert all(polygon(bay).area == pytest.approx(whole.area, rel=1e-9) for bay in outlines)


@given(porches())
def test_spacings_add_up_to_the_running_dimension(plan: Plan) -> None:
    layout = derive(plan)
    for run in layout.runs:
        assert [stop.running for stop in run.stops] == sorted(stop.running for stop in run.stops)
        if run.stops:
            total = sum(stop.spacing for stop in run.stops)
            assert run.stops[0].running + total == pytest.approx(run.stops[-1].running, abs=1e-9)


def linkage(lengths: tuple[float, float, float, float], angle: float) -> tuple[Vector, Vector]:
    """Return corners 3 and 4 of a frame with fixed sides 1-2, 2-3, 3-4, 4-1, side 2-3 turned to ``angle``."""
    base, b, coupler, d = lengths
    p3 = (base + b * math.cos(angle), b * math.sin(angle))
    far = math.hypot(*p3)
    along = (far**2 + d**2 - coupler**2) / (2 * far)
    beside = math.sqrt(max(0.0, d**2 - along**2))
    ux, uy = p3[0] / far, p3[1] / far
    return p3, (along * ux - beside * uy, along * uy + beside * ux)


convex = st.tuples(
    st.tuples(st.floats(2000, 4000), st.floats(-500, 500)),
    st.tuples(st.floats(2000, 4500), st.floats(1500, 4000)),
    st.tuples(st.floats(-600, 600), st.floats(1500, 4000)),
)


@given(convex)
def test_far_corner_per_difference_is_that_of_the_linkage(corners: tuple[Vector, Vector, Vector]) -> None:
    """Oracle: the frame as a linkage of four bars, leant a little both ways and measured."""
    p2, p3, p4 = corners
    # Turned so that corner 2 lies on the x axis, where the linkage has it.
    size, turn = math.hypot(*p2), math.atan2(p2[1], p2[0])
    p3, p4 = (
        (x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)) for x, y in (p3, p4)
    )
    sides = (size, math.dist((size, 0.0), p3), math.dist(p3, p4), math.hypot(*p4))
    angle = math.atan2(p3[1], p3[0] - size)
    assume(shapely.Polygon(((0, 0), (size, 0), p3, p4)).is_valid)
    assume(shapely.Polygon(((0, 0), (size, 0), p3, p4)).exterior.is_ccw)
    step = 1e-5
    leant = [linkage(sides, angle + s) for s in (-step, step)]
    assume(math.dist(linkage(sides, angle)[1], p4) < 1e-6)
    moved = math.dist(leant[0][0], leant[1][0])
    difference = [math.hypot(*q3) - math.dist((size, 0.0), q4) for q3, q4 in leant]
    assume(abs(difference[1] - difference[0]) > 1e-4)
    plan = rows_plan([(0.0, size)], (0.0,))
    bay = _named(plan, [(0.0, 0.0), (size, 0.0), p3, p4])
    assert bay.per_difference == pytest.approx(moved / abs(difference[1] - difference[0]), rel=1e-3)


def _named(plan: Plan, corners: list[Vector]) -> BayCheck:
    """Return the check of a bay with these corners."""
    from layoutdesk.plan.model import Bay, Pier

    piers = tuple(Pier(id=f"Q{k}", at=at) for k, at in enumerate(corners))
    (bay,) = derive(plan.with_(lines=(), piers=piers, bays=(Bay(id="B1", corners=("Q0", "Q1", "Q2", "Q3")),))).bays
    return bay


@given(st.floats(500, 9000), st.floats(500, 9000))
def test_rectangle_leans_by_its_diagonal_over_twice_its_side(a: float, b: float) -> None:
    """For a rectangle the ratio is d / (2 a)."""
    bay = _named(Plan(), [(0.0, 0.0), (a, 0.0), (a, b), (0.0, b)])
    assert bay.per_difference == pytest.approx(math.hypot(a, b) / (2 * a), rel=1e-9)
    assert bay.equal


@given(st.floats(0, 50), st.floats(1e-4, 10))
def test_bags_are_enough_and_not_one_too_many(volume: float, per_bag: float) -> None:
    count = whole_bags(volume, per_bag)
    assert count * per_bag >= volume * (1 - 1e-6) - 1e-9 * per_bag
    assert count == 0 or (count - 1) * per_bag < volume


@given(profiles, st.floats(0, 3000), st.floats(0, 3000))
def test_less_of_a_hole_takes_less_concrete(
    profile: tuple[tuple[float, float], ...], one: float, other: float
) -> None:
    """The volume below a sunken top shrinks as the top sinks, from all to nothing."""
    high, low = sorted((one, other))
    parts = parts_of(profile)
    whole, more, less = (gross_volume(parts, top=top) for top in (0.0, high, low))
    assert 0 <= less <= more * (1 + 1e-12) <= whole * (1 + 2e-12)
    assert gross_volume(parts, top=profile[-1][0]) == 0
    depths = [0.0, *(depth for depth, _ in profile)]
    assert all(a <= b for a, b in pairwise(depths))
