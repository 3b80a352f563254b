"""Circles and arcs are found again from the curves that stand for them, and other curves are not taken for them."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.importers.pdf_curves import Piece, arc_points, flattened, round_of, round_polygon

centres = st.tuples(st.floats(0, 1200), st.floats(0, 900))
radii = st.floats(0.3, 400)
turns = st.floats(0, 2 * math.pi)


def arc(
    centre: Vector, radius: float, start: float, swept: float, count: int, *, flat: float = 1.0
) -> tuple[Vector, list[Piece]]:
    """Return an arc as so many Béziers of the usual form; with ``flat`` below 1 one of an ellipse."""

    def on(turn: float, out: float = 0.0) -> Vector:
        c, s = math.cos(turn), math.sin(turn)
        return centre[0] + radius * (c - out * s), centre[1] + flat * radius * (s + out * c)

    step = swept / count
    k = 4 / 3 * math.tan(step / 4)
    bounds = [start + step * n for n in range(count + 1)]
    return on(start), [(on(a, k), on(b, -k), on(b)) for a, b in pairwise(bounds)]


@given(centres, radii, turns, st.integers(4, 16), st.booleans())
def test_whole_circles(centre: Vector, radius: float, start: float, count: int, rounded: bool) -> None:  # noqa: FBT001
    first, pieces = arc(centre, radius, start, 2 * math.pi, count)
    off = 1e-9
    if rounded:  # to a hundredth of a point, as many programs write

        def grid(p: Vector) -> Vector:
            return round(p[0] / 0.003528) * 0.003528, round(p[1] / 0.003528) * 0.003528

        first, pieces = grid(first), [tuple(map(grid, piece)) for piece in pieces]
        off = 0.003
    found = round_of(first, pieces)
    assert found is not None
    assert found[0][0] == pytest.approx(centre, abs=off)
    assert found[0][1] == pytest.approx(radius, abs=off)
    assert found[1] == pytest.approx(2 * math.pi, abs=0.05)


@given(centres, st.floats(2, 400), turns, st.floats(0.3, 6.0), st.booleans())
def test_arcs_either_way_round(centre: Vector, radius: float, start: float, swept: float, back: bool) -> None:  # noqa: FBT001
    swept = -swept if back else swept
    first, pieces = arc(centre, radius, start, swept, max(1, math.ceil(abs(swept) / (math.pi / 2))))
    found = round_of(first, pieces)
    assert found is not None
    assert found[0][0] == pytest.approx(centre, abs=1e-6 * radius + 0.05 * radius * (abs(swept) < 1))
    assert found[1] == pytest.approx(swept, rel=0.02)
    points = arc_points(found[0], first, found[1])
    assert distance(points[0], first) < 0.003 + 1e-3 * radius
    assert distance(points[-1], pieces[-1][-1]) < 0.003 + 2e-3 * radius
    chord = 2 * radius * math.sin(math.radians(7.5))
    assert all(distance(p, q) <= chord * 1.05 for p, q in pairwise(points))


@given(centres, st.floats(5, 400), turns, st.floats(0.1, 0.985))
def test_ellipses_are_no_circles(centre: Vector, radius: float, start: float, flat: float) -> None:
    assert round_of(*arc(centre, radius, start, 2 * math.pi, 8, flat=flat)) is None


def test_other_curves_are_no_circles() -> None:
    wave = [((1.0, 2.0), (2.0, 2.0), (3.0, 0.0)), ((4.0, -2.0), (5.0, -2.0), (6.0, 0.0))]
    assert round_of((0.0, 0.0), wave) is None
    assert round_of((0.0, 0.0), [((1.0, 0.0), (2.0, 0.0), (3.0, 0.0))]) is None  # a straight one
    assert round_of((0.0, 0.0), [((9.0, 9.0), (-6.0, 9.0), (3.0, 0.0))]) is None  # a loop
    assert round_of((0.0, 0.0), []) is None
    first, pieces = arc((0.0, 0.0), 10.0, 0.0, 3.0, 2)
    assert round_of(first, [*pieces, ((0.0, 0.0),)]) is None  # a line belongs to it


@given(centres, st.floats(1, 400), turns, st.integers(12, 128))
def test_polygons_of_many_sides_are_circles(centre: Vector, radius: float, start: float, sides: int) -> None:
    corners = [
        (
            centre[0] + radius * math.cos(start + 2 * math.pi * n / sides),
            centre[1] + radius * math.sin(start + 2 * math.pi * n / sides),
        )
        for n in range(sides)
    ]
    found = round_polygon(corners)
    assert found is not None
    assert found[0] == pytest.approx(centre, abs=1e-6)
    assert found[1] == pytest.approx(radius, abs=1e-6)
    assert round_polygon(corners[: sides // 2]) is None  # half of one is none
    assert round_polygon(corners[::2][:11]) is None


@given(centres, st.floats(1, 400), turns, st.floats(0.2, 6))
def test_flattened_curves_keep_to_their_curve(centre: Vector, radius: float, start: float, swept: float) -> None:
    first, pieces = arc(centre, radius, start, swept, 4)
    points = flattened(first, pieces)
    assert points[0] == first
    assert points[-1] == pieces[-1][-1]
    assert all(abs(distance(p, centre) - radius) < 1e-2 * radius for p in points)
    # A chord of 15 degrees leaves the arc by 0.9 % of the radius.
    middles = [((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in pairwise(points)]
    assert all(abs(distance(p, centre) - radius) < 1.2e-2 * radius for p in middles)
