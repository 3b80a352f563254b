"""Whatever slabs and piers there are: openings lie in the slab, hold their holes and leave no weak strip."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import pytest
import shapely
import shapely.ops
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate

from layoutdesk.engine.derive import derive
from layoutdesk.engine.holes.opening_cuts import in_pieces
from layoutdesk.geometry.polygon import area_within
from layoutdesk.geometry.vector import Vector, distance, turned
from layoutdesk.plan.holes import Holes, OpeningRule
from layoutdesk.plan.model import Baseline, Detail, Pier, Plan, Slab
from tests.strategies import plans

_NEAR = 1e-3
"""Areas in mm² and lengths in mm that outlines on their grid may be off, far from the plan's origin too."""

# Outlines whose own strips are all wider than any limit tried: a rectangle, an L, a U and a T.
_OUTLINES: tuple[tuple[Vector, ...], ...] = (
    ((0, 0), (4000, 0), (4000, 2600), (0, 2600)),
    ((0, 0), (5000, 0), (5000, 1500), (2000, 1500), (2000, 4000), (0, 4000)),
    ((0, 0), (5200, 0), (5200, 3000), (3600, 3000), (3600, 1400), (1500, 1400), (1500, 3000), (0, 3000)),
    ((0, 1200), (1500, 1200), (1500, 0), (3200, 0), (3200, 1200), (5000, 1200), (5000, 2900), (0, 2900)),
)


@st.composite
def _sawn(draw: st.DrawFn) -> tuple[Plan, float]:
    """Return a plan with one slab along the baseline and piers in and around it, and the angle of the baseline."""
    angle = draw(st.sampled_from((0.0, 90.0)) | st.floats(0, 360))
    outline = draw(st.sampled_from(_OUTLINES))
    step = draw(st.sampled_from((1.0, 50.0)))
    axis = st.floats(-300, 5400).map(lambda value: round(value / step) * step)
    widths = st.sampled_from((250.0, 300.0, 450.0))
    places = draw(st.lists(st.tuples(axis, axis), min_size=1, max_size=7))
    details = [
        Detail(id=f"D{k}", profile=((0.0, draw(widths)), (900.0, draw(widths))), square_from=edge)
        for k, edge in enumerate((None, 0.0, 500.0))
    ]
    rule = OpeningRule(
        shape=draw(st.sampled_from(("square", "round"))),
        margin=draw(st.sampled_from((0.0, 75.0, 100.0))),
        least_strip=draw(st.sampled_from((0.0, 100.0, 300.0, 450.0))),
        carry=draw(st.sampled_from((12.0, 45.0, 1000.0))),
    )
    return Plan(
        units="mm",
        rounding=1.0,
        baseline=Baseline(origin=(0.0, 0.0), toward=turned((1000.0, 0.0), angle), yard_side="left"),
        details=tuple(details),
        piers=tuple(
            Pier(id=f"P{k}", at=turned(at, angle), detail=f"D{draw(st.integers(0, 2))}")
            for k, at in enumerate(places)
        ),
        slabs=(
            Slab(
                id="S1",
                outline=tuple(turned(corner, angle) for corner in outline),
                thickness=draw(st.sampled_from((75.0, 100.0, 150.0))),
            ),
        ),
        holes=Holes(openings=rule),
    ), angle


def _hole(plan: Plan, pier: Pier, angle: float, *, less: float) -> Any:
    """Return the hole of a pier from above, so much less all round; its square parts lie along the baseline."""
    detail = plan.detail(pier.detail)
    assert detail is not None
    (_, first), (deep, last) = detail.profile
    edge = deep if detail.square_from is None else detail.square_from
    at_edge = first + (last - first) * edge / deep
    middle = shapely.Point(pier.at)
    shapes = []
    if edge > 0:
        shapes.append(middle.buffer(max(first, at_edge) / 2 - less, quad_segs=64))
    if edge < deep:
        square = middle.buffer(max(at_edge, last) / 2 - less, cap_style="square")
        shapes.append(rotate(square, angle, origin="centroid"))
    return shapely.union_all(shapes)


@settings(max_examples=25)
@given(_sawn())
def test_openings_lie_in_the_slab_and_hold_their_holes(drawn: tuple[Plan, float]) -> None:
    """By shapely: nothing is sawn outside, what is sawn and what is left are the slab, no hole meets concrete."""
    plan, angle = drawn
    slab = area_within((plan.slabs[0].outline,))
    openings = derive(plan).openings
    shapes = [shapely.Polygon(opening.outline) for opening in openings]
    sawn = shapely.union_all(shapes)
    assert sawn.difference(slab).area <= _NEAR * (1 + sawn.length)
    assert sum(shape.area for shape in shapes) == pytest.approx(sawn.area, abs=_NEAR * (1 + sawn.length))
    left = slab.difference(sawn)
    assert left.area + sawn.area == pytest.approx(slab.area, abs=_NEAR * (1 + sawn.length))
    for opening, shape in zip(openings, shapes, strict=True):
        corners = len(opening.outline)
        share = 1.0 if corners < 96 else 2 * math.pi / 96 / math.sin(2 * math.pi / 96)
        assert opening.area == pytest.approx(shape.area * share, rel=1e-6)
        assert opening.rubble == pytest.approx(opening.area * plan.slabs[0].thickness / 1e9)
        assert shape.exterior.is_ccw
    within = {pier for opening in openings for pier in opening.pier_ids}
    for pier in plan.piers:
        # A hole that comes into the slab by less than a millimetre only touches it; a circle here has corners.
        if _hole(plan, pier, angle, less=1.1).intersects(slab):
            assert pier.id in within
        if pier.id in within:
            hole = _hole(plan, pier, angle, less=0.15)  # as deep as a side of 96 cuts into the largest circle
            assert hole.intersects(slab)
            assert hole.intersection(left).area <= _NEAR * (1 + hole.length)


@settings(max_examples=25)
@given(_sawn())
def test_no_strip_thinner_than_the_limit_is_left(drawn: tuple[Plan, float]) -> None:
    """Openings keep the limit from each other, and a square as wide as it goes everywhere beside them."""
    plan, angle = drawn
    least = plan.holes.openings.least_strip
    openings = derive(plan).openings
    shapes = [shapely.Polygon(opening.outline) for opening in openings]
    for one, other in combinations(shapes, 2):
        away = one.distance(other)
        assert away >= least - _NEAR
    if least == 0 or not shapes:
        return
    slab = area_within((plan.slabs[0].outline,))
    sawn = shapely.union_all(shapes)
    half = 0.49 * least  # outlines are rounded by a hundredth when they are drawn in or out by the library
    left = rotate(slab.difference(sawn.buffer(_NEAR, join_style="mitre")), -angle, origin=(0, 0))
    wide = left.buffer(-half, join_style="mitre").buffer(half + _NEAR, join_style="mitre")
    strips = left.difference(wide)
    if all(len(opening.outline) < 96 for opening in openings):
        # Round ones leave corners between square edges; their distances are looked at by themselves.
        assert strips.area <= 1.0
    for opening, shape in zip(openings, shapes, strict=True):
        if len(opening.outline) == 96:
            assert shape.distance(slab.exterior) >= least - _NEAR
        for corner in slab.exterior.coords[:-1]:
            # A neck to a corner of the outline: what lies along an edge, or across it, was looked at above.
            near, _ = shapely.ops.nearest_points(shape, shapely.Point(corner))
            across, along = turned((near.x - corner[0], near.y - corner[1]), -angle)
            neck = shapely.LineString([near, corner])
            if min(abs(across), abs(along)) > 0.1 and slab.buffer(-0.05).contains(neck.centroid):
                assert neck.length >= least - _NEAR


@settings(max_examples=25)
@given(_sawn())
def test_cuts_are_the_sides_within_the_slab_and_pieces_can_be_carried(drawn: tuple[Plan, float]) -> None:
    """Cuts and the slab's edge make up the outline; sawn apart there are as many pieces as said, none too heavy."""
    plan, _ = drawn
    slab, rule = plan.slabs[0], plan.holes.openings
    edge = area_within((slab.outline,)).exterior
    for opening in derive(plan).openings:
        shape = shapely.Polygon(opening.outline)
        for cut in opening.cuts:
            assert cut.passes == math.ceil(slab.thickness / rule.blade - 1e-9)
        ways = shapely.MultiLineString([cut.points for cut in opening.cuts])
        on_edge = shape.exterior.intersection(edge.buffer(_NEAR)).length
        assert ways.length + on_edge == pytest.approx(shape.exterior.length, abs=0.1)
        assert shape.exterior.buffer(_NEAR).contains(ways)
        total = sum(cut.length for cut in (*opening.cuts, *opening.inner))
        assert opening.saw_length == pytest.approx(total)
        assert opening.heaviest <= rule.carry * (1 + 1e-6)
        knife = shapely.MultiLineString([cut.points for cut in opening.inner]).buffer(_NEAR)
        assert shape.buffer(_NEAR).contains(knife.buffer(-_NEAR / 2)) or not opening.inner
        apart = [part for part in shapely.get_parts(shape.difference(knife)) if part.area > 1.0]
        assert len(apart) == opening.pieces
        heaviest = max(part.area for part in apart) * slab.thickness / 1e9 * 2400
        assert heaviest <= opening.heaviest * 1.0001
        assert opening.heaviest <= heaviest * 1.01 + 0.1


@settings(max_examples=25)
@given(st.floats(200, 5000), st.floats(200, 5000), st.integers(1, 60).map(float))
def test_no_other_even_parting_of_a_rectangle_saws_less(wide: float, high: float, share: float) -> None:
    """Against every number of columns and rows up to 61, none of which has pieces light enough with less sawing."""
    most = wide * high / share
    found = in_pieces(shapely.box(0, 0, wide, high), most=most)
    sawn = sum(distance(*way) for way in found.cuts)
    assert found.largest <= most * (1 + 1e-6)
    assert found.count * found.largest == pytest.approx(wide * high)
    least = min(
        (nu - 1) * high + (nv - 1) * wide
        for nu in range(1, 62)
        for nv in range(1, 62)
        if wide * high / (nu * nv) <= most * (1 + 1e-9)
    )
    assert sawn == pytest.approx(least, abs=1e-6)


@settings(max_examples=10)
@given(plans(near=True))
def test_openings_and_holes_follow_from_any_plan(plan: Plan) -> None:
    """Plans of any kind, degenerate ones among them, have a row for every pier and openings with an outline."""
    layout = derive(plan)
    assert [row.pier for row in layout.holes] == [pier.id for pier in plan.piers]
    for opening in layout.openings:
        assert len(opening.outline) >= 3
        assert opening.area > 0
        assert min((distance(*cut.points[:2]) for cut in opening.cuts), default=1.0) > 0
    covered = [label for cover in layout.covers for label in cover.piers]
    assert len(covered) == sum((row.planned_top or row.top) is not None and not row.poured for row in layout.holes)
    assert all(flag.text for flag in layout.plan_flags)
