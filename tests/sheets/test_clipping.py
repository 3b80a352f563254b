"""What a window shows, against shapely where shapely can tell."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.sheets.clipping import clipped_lines, clipped_outline
from layoutdesk.sheets.paper import Box

WINDOW = Box(0.0, 0.0, 100.0, 60.0)
places = st.tuples(st.floats(-300, 300), st.floats(-300, 300))
paths = st.lists(places, min_size=2, max_size=6).map(tuple)
rings = st.lists(places, min_size=3, max_size=6).map(tuple)


def area(ring: tuple[Vector, ...]) -> float:
    """Return the area inside a ring by its corners."""
    pairs = zip(ring, (*ring[1:], *ring[:1]), strict=True)
    return abs(math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


@given(path=paths)
def test_lines_are_as_long_inside_as_shapely_finds(path: tuple[Vector, ...]) -> None:
    parts = clipped_lines(path, WINDOW)
    for part in parts:
        assert all(WINDOW.holds(Box(x, y, x, y)) for x, y in part)
    seen = sum(distance(a, b) for part in parts for a, b in pairwise(part))
    window = shapely.box(WINDOW.left, WINDOW.bottom, WINDOW.right, WINDOW.top)
    true = sum(shapely.LineString(pair).intersection(window).length for pair in pairwise(path))
    assert seen == pytest.approx(true, abs=1e-6)


@given(ring=rings)
def test_simple_areas_are_as_large_inside_as_shapely_finds(ring: tuple[Vector, ...]) -> None:
    part = clipped_outline(ring, WINDOW)
    assert all(WINDOW.holds(Box(x, y, x, y)) for x, y in part)
    whole = shapely.Polygon(ring)
    if whole.is_valid and part:
        window = shapely.box(WINDOW.left, WINDOW.bottom, WINDOW.right, WINDOW.top)
        assert area(part) == pytest.approx(whole.intersection(window).area, abs=1e-6)


def test_what_lies_inside_is_not_touched() -> None:
    path = ((10.0, 10.0), (20.0, 30.0), (90.0, 5.0))
    assert clipped_lines(path, WINDOW) == [path]
    assert clipped_outline(path, WINDOW) == path


def test_a_line_that_leaves_and_comes_back_is_two() -> None:
    path = ((50.0, 50.0), (50.0, 80.0), (60.0, 80.0), (60.0, 50.0))
    assert clipped_lines(path, WINDOW) == [((50.0, 50.0), (50.0, 60.0)), ((60.0, 60.0), (60.0, 50.0))]


@pytest.mark.parametrize("ring", [((5.0, 5.0),) * 4, ((200.0, 5.0), (300.0, 5.0), (250.0, 9.0)), ()])
def test_areas_without_size_or_beyond_the_window(ring: tuple[Vector, ...]) -> None:
    assert area(clipped_outline(ring, WINDOW)) == 0
