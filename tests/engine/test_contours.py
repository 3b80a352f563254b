"""Contours: on the surface, at their height, whole, and at a step that fits."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.contours import fitting_interval, interval_of
from layoutdesk.engine.levels.ground import Ground
from layoutdesk.plan.heights import HeightSettings
from layoutdesk.plan.model import Levels, Plan
from tests.engine.yards import rough_yard, yard, yards


def stepped(step: float) -> Plan:
    """Return a plan whose contours have a step."""
    return Plan(units="mm", rounding=1.0, levels=Levels(settings=HeightSettings(contour=step)))


def ends(ground: Ground) -> list[tuple[float, float]]:
    """Return the ends of all open contours."""
    return [end for c in ground.contours if c.points[0] != c.points[-1] for end in (c.points[0], c.points[-1])]


@given(yards(), st.sampled_from([7.0, 20.0, 50.0, 100.0]))
def test_every_point_of_a_contour_lies_on_the_surface_at_its_height(
    ground: tuple[Floats, Floats], step: float
) -> None:
    found = yard(*ground, stepped(step))
    points = [(c.elevation, p) for c in found.contours for p in c.points]
    if points:
        z = found.heights(np.array([p for _, p in points]))
        assert z == pytest.approx(np.array([level for level, _ in points]), abs=1e-6)


@given(yards(least=4), st.sampled_from([20.0, 50.0, 100.0]))
def test_a_contour_ends_on_the_hull_or_nowhere(ground: tuple[Floats, Floats], step: float) -> None:
    """Heights are whole numbers, so that most contours run through spots: none breaks or branches there."""
    found = yard(*ground, stepped(step))
    if found.contours:
        ring = shapely.LinearRing(found.hull)
        assert max((ring.distance(shapely.Point(p)) for p in ends(found)), default=0.0) < 1e-6


@given(yards(least=4), st.sampled_from([30.0, 50.0]))
def test_contours_part_the_high_from_the_low(ground: tuple[Floats, Floats], step: float) -> None:
    """From one spot to another every contour between their heights is met, along the ground between them."""
    places, heights = ground
    found = yard(places, heights, stepped(step))
    if not len(found.triangles):
        return
    way = shapely.LineString([places[0], places[-1]])
    low, high = sorted((float(heights[0]), float(heights[-1])))
    for k in range(math.floor(low / step) + 1, math.ceil(high / step)):
        lines = [shapely.LineString(c.points) for c in found.contours if c.elevation == k * step]
        assert min(line.distance(way) for line in lines) < 1e-6


def test_contour_through_a_spot_at_its_very_height_is_one_line() -> None:
    """A slope of three rows of spots, with a contour through all of the middle row."""
    places = np.array([[x, y] for y in (0.0, 1000.0, 2000.0) for x in (0.0, 900.0, 2100.0, 3000.0)])
    ground = yard(places, places[:, 1] / 10, stepped(50.0))
    middle = [c for c in ground.contours if c.elevation == 100.0]
    assert len(middle) == 1
    assert set(middle[0].points) >= {(0.0, 1000.0), (900.0, 1000.0), (2100.0, 1000.0), (3000.0, 1000.0)}
    assert [c.elevation for c in ground.contours] == [50.0, 100.0, 150.0, 200.0]


def test_contour_at_a_saddle_that_is_a_spot_does_not_branch() -> None:
    """Two ridges and two valleys meet at a spot of height 0."""
    turns = np.arange(8) * math.pi / 4
    places = np.concatenate(([[0.0, 0.0]], 1000 * np.column_stack((np.cos(turns), np.sin(turns)))))
    heights = np.concatenate(
        ([0.0], np.where(np.arange(8) % 4 == 0, 50.0, np.where(np.arange(8) % 4 == 2, -50, 0)))
    )
    lines = [c for c in yard(places, heights, stepped(100.0)).contours if c.elevation == 0.0]
    assert lines
    assert all(c.points[0] != c.points[-1] for c in lines)
    assert len(lines) == 2


def test_a_hill_has_closed_contours() -> None:
    turns = np.arange(9) * 2 * math.pi / 9
    places = np.concatenate(([[10.0, 20.0]], 1000 * np.column_stack((np.cos(turns), np.sin(turns)))))
    ground = yard(places, np.concatenate(([100.0], np.zeros(9))), stepped(25.0))
    assert [c.elevation for c in ground.contours if c.points[0] == c.points[-1]] == [25.0, 50.0, 75.0]
    areas = [shapely.Polygon(c.points).area for c in ground.contours if c.elevation in {25.0, 50.0, 75.0}]
    hull = shapely.Polygon(ground.hull).area
    assert [a / hull for a in areas] == pytest.approx([0.75**2, 0.5**2, 0.25**2])


@pytest.mark.parametrize("seed", range(4))
def test_area_above_each_contour_is_that_of_the_clipped_triangles(seed: int) -> None:
    """An independent way: every triangle is cut by hand at the height, and what is above added up."""
    places, heights = rough_yard(seed, 30)
    ground = yard(places, heights, stepped(40.0))
    for level in sorted({c.elevation for c in ground.contours}):
        hull = shapely.Polygon(ground.hull)
        lines = [shapely.LineString(c.points) for c in ground.contours if c.elevation == level]
        net = shapely.union_all([hull.exterior, *lines], grid_size=0.01)
        parts = shapely.get_parts(shapely.polygonize(shapely.get_parts(net)))
        above = sum(
            part.area
            for part in parts
            if (at := part.representative_point()) and (ground.at((at.x, at.y))[0] or 0.0) >= level
        )
        cut = sum(above_of(places[t], heights[t], level) for t in ground.triangles.tolist())
        assert above == pytest.approx(cut, rel=1e-3)


def above_of(corners: Floats, heights: Floats, level: float) -> float:
    """Return the area of a triangle that lies above a height."""
    kept = []
    for k in range(3):
        (p, u), (q, v) = (corners[k], heights[k]), (corners[(k + 1) % 3], heights[(k + 1) % 3])
        if u >= level:
            kept.append(p)
        if (u >= level) != (v >= level):
            kept.append(p + (level - u) / (v - u) * (q - p))
    return shapely.Polygon(kept).area if len(kept) > 2 else 0.0


def test_level_ground_has_no_contours() -> None:
    ground = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [0.0, 1000.0]]), np.array([100.0, 100.0, 100.0]))
    assert ground.contours == ()
    assert ground.interval == 10.0


STEPS = {
    ("ft-in", 100.0): 25.4,
    ("ft-in", 400.0): 50.8,
    ("ft-in", 700.0): 76.2,
    ("ft-in", 1500.0): 152.4,
    ("ft-in", 3000.0): 304.8,
    ("ft-in", 6000.0): 609.6,
    ("ft-in", 15_000.0): 1524.0,
    ("mm", 50.0): 10.0,
    ("m", 150.0): 20.0,
    ("m", 500.0): 50.0,
    ("mm", 1000.0): 100.0,
    ("mm", 1001.0): 200.0,
    ("m", 50_000.0): 5000.0,
}


@pytest.mark.parametrize(("case", "step"), STEPS.items(), ids=map(str, STEPS))
def test_step_fits_the_ground_and_the_units(case: tuple[str, float], step: float) -> None:
    units, high = case
    assert fitting_interval(0.0, high, units) == pytest.approx(step)  # type: ignore[arg-type]
    assert high / step <= 10


def test_chosen_step_is_taken_unless_nobody_could_read_the_contours() -> None:
    assert interval_of(0.0, 1000.0, "mm", 25.0) == 25.0
    assert interval_of(0.0, 1000.0, "mm", 5.0) == 5.0
    assert interval_of(0.0, 1000.0, "mm", 1.0) == 8.0
    assert interval_of(0.0, 1000.0, "mm", 0.0) == 100.0
