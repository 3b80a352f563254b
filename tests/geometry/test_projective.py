"""Plane projective maps, against exact arithmetic, against singular value decomposition, and against themselves."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
import sympy
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.linalg import null_space

from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry import projective as pm
from layoutdesk.geometry.projective import Four, Map9
from layoutdesk.geometry.vector import Vector, cross, distance, minus

pixels = st.tuples(st.floats(0, 6000), st.floats(0, 4000))
ground = st.tuples(st.floats(-20_000, 20_000), st.floats(-20_000, 20_000))


@st.composite
def outlines(draw: st.DrawFn, reach: float) -> Four:
    """Draw four corners in order round a convex outline, either way round, of any size and turn within reach."""
    wide, high = draw(st.floats(0.05, 1)), draw(st.floats(0.05, 1))
    turn, way = draw(st.floats(0, 2 * math.pi)), draw(st.sampled_from((1, -1)))
    dx, dy = draw(st.floats(-reach, reach)), draw(st.floats(-reach, reach))
    wobble = st.floats(-0.35, 0.35)
    corners = []
    for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))[::way]:
        p = reach / 2 * wide * (x + draw(wobble)), reach / 2 * high * (y + draw(wobble))
        c, s = math.cos(turn), math.sin(turn)
        corners.append((c * p[0] - s * p[1] + dx, s * p[0] + c * p[1] + dy))
    one, two, three, four = corners
    return one, two, three, four


quads = outlines(4000)
places = outlines(20_000)


@st.composite
def photographs(draw: st.DrawFn) -> tuple[Map9, Four, Four]:
    """Draw four points of a picture, four places, and the map through them."""
    seen, lying = draw(quads), draw(places)
    return pm.through_four(seen, lying), seen, lying


@given(photographs())
def test_four_points_come_out_where_they_lie(photo: tuple[Map9, Four, Four]) -> None:
    m, seen, lying = photo
    for got, wanted in zip(pm.apply(m, seen), lying, strict=True):
        assert got == pytest.approx(wanted, abs=1e-6)


@given(photographs(), st.tuples(*[st.floats(0.01, 1)] * 4))
def test_inverse_leads_back(photo: tuple[Map9, Four, Four], shares: tuple[float, ...]) -> None:
    m, seen, _ = photo
    p = (
        sum(k * q[0] for k, q in zip(shares, seen, strict=True)) / sum(shares),
        sum(k * q[1] for k, q in zip(shares, seen, strict=True)) / sum(shares),
    )
    assert pm.on_ground(m, p)  # all that lies between four points on the ground does as well
    assert pm.apply(pm.inverse(m), pm.apply(m, [p]))[0] == pytest.approx(p, abs=1e-6)


@given(photographs(), quads)
def test_maps_go_one_after_the_other(photo: tuple[Map9, Four, Four], others: Four) -> None:
    m, seen, lying = photo
    back = pm.through_four(others, seen)
    both = pm.composed(back, m)
    for got, wanted in zip(pm.apply(both, others), lying, strict=True):
        assert got == pytest.approx(wanted, abs=1e-5)


@given(photographs())
def test_null_space_of_the_eight_equations_agrees(photo: tuple[Map9, Four, Four]) -> None:
    m, seen, lying = photo
    # In units of about 1, because the oracle has no care of its own for large numbers.
    s, t = np.array(seen) / 3000 - 1, np.array(lying) / 20_000
    rows = []
    for (x, y), (u, v) in zip(s, t, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    kernel = null_space(np.array(rows), rcond=1e-10)
    assume(kernel.shape[1] == 1)
    oracle = kernel[:, 0].reshape(3, 3)
    middle = np.array(seen).mean(axis=0)
    x, y, z = oracle @ [*(middle / 3000 - 1), 1]
    assert pm.apply(m, [tuple(middle)])[0] == pytest.approx((20_000 * x / z, 20_000 * y / z), abs=1e-3)


def test_exact_arithmetic_agrees() -> None:
    seen = ((310, 420), (2875, 515), (3410, 2290), (95, 2015))
    lying = ((0, 0), (6096, 0), (6096, -3048), (0, -3048))
    unknown = sympy.symbols("a:h")
    a, b, c, d, e, f, g, h = unknown
    equations = []
    for (x, y), (u, v) in zip(seen, lying, strict=True):
        equations += [a * x + b * y + c - u * (g * x + h * y + 1), d * x + e * y + f - v * (g * x + h * y + 1)]
    exact = [sympy.solve(equations, unknown)[s] for s in unknown]
    m = pm.through_four(seen, lying)
    assert m == pytest.approx([*(float(v) for v in exact), 1.0], rel=1e-11, abs=1e-15)


@given(a1=pixels, a2=pixels, b1=ground, b2=ground, mirrored=st.booleans())
def test_two_points_give_a_shift_a_turn_and_a_scale(
    *, a1: Vector, a2: Vector, b1: Vector, b2: Vector, mirrored: bool
) -> None:
    assume(distance(a1, a2) > 1 and distance(b1, b2) > 1)
    m = pm.similarity(a1, a2, b1, b2, mirrored=mirrored)
    got = pm.apply(m, [a1, a2])
    assert got[0] == pytest.approx(b1, abs=1e-6)
    assert got[1] == pytest.approx(b2, abs=1e-6)
    scale = distance(b1, b2) / distance(a1, a2)
    assert pm.scale_at(m, (17.0, -3.0)) == pytest.approx(scale)
    assert pm.mapped_distance(m, (0, 0), (3, 4)) == pytest.approx(5 * scale, rel=1e-6)
    determinant = m[0] * m[4] - m[1] * m[3]
    assert (determinant < 0) == mirrored


def test_picture_stands_upright_in_the_plan() -> None:
    m = pm.similarity((0, 100), (200, 100), (1000, 0), (3000, 0), mirrored=True)
    assert pm.apply(m, [(0, 0), (0, 200)]) == ((1000, 1000), (1000, -1000))


@given(photographs())
def test_scale_at_a_place_is_what_a_small_square_shows(photo: tuple[Map9, Four, Four]) -> None:
    m, seen, _ = photo
    x, y = (sum(p[i] for p in seen) / 4 for i in (0, 1))
    a, b, c = pm.apply(m, [(x, y), (x + 1e-3, y), (x, y + 1e-3)])
    grown = math.sqrt(abs(cross(minus(b, a), minus(c, a)))) / 1e-3
    assert pm.scale_at(m, (x, y)) == pytest.approx(grown, rel=1e-2)


@given(corners=places, clockwise=st.booleans())
def test_distances_give_the_four_points_back(*, corners: Four, clockwise: bool) -> None:
    sides = [distance(corners[i], corners[(i + 1) % 4]) for i in range(4)]
    diagonals = distance(corners[0], corners[2]), distance(corners[1], corners[3])
    found, off = pm.quad_from_distances(sides, *diagonals, clockwise=clockwise)
    assert off == pytest.approx(0, abs=1e-4)
    for (i, p), (j, q) in combinations(enumerate(found), 2):
        assert distance(p, q) == pytest.approx(distance(corners[i], corners[j]), abs=1e-4)
    assert pm.seen_clockwise(found, y_down=False) == clockwise
    assert found[0] == pytest.approx((0, 0))
    assert found[1][1] == 0


def test_second_diagonal_tells_by_how_much_it_disagrees() -> None:
    corners, off = pm.quad_from_distances((4000, 3000, 4000, 3000), 5000, 5012.5)
    assert np.array(corners) == pytest.approx(np.array(pm.rectangle(4000, 3000)))
    assert off == pytest.approx(12.5)
    assert pm.rectangle(4000, 3000) == ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0))
    assert pm.rectangle(4000, 3000, clockwise=True)[2] == (4000, -3000)


def test_horizon_bounds_the_ground() -> None:
    # A camera over a level yard: the horizon is the picture's row 500, what lies above it is sky.
    m = pm.through_four(((1000, 1000), (2000, 1000), (2500, 2000), (500, 2000)), pm.rectangle(1000, 2000))
    assert m[7] != 0
    horizon = -(m[8] + 1500 * m[6]) / m[7]
    assert horizon == pytest.approx(0, abs=1e-9)
    assert pm.on_ground(m, (1500, 1))
    assert not pm.on_ground(m, (1500, -1))
    with pytest.raises(LayoutdeskError, match="horizon"):
        pm.apply(m, [(1500, 1000), (1500, -1)])
    with pytest.raises(LayoutdeskError, match="horizon"):
        pm.scale_at(m, (1500, horizon - 1))
    picture = ((0.0, -1000.0), (3000.0, -1000.0), (3000.0, 2000.0), (0.0, 2000.0))
    shown = pm.part_on_ground(m, picture, least=0.1)
    assert min(p[1] for p in shown) == pytest.approx(200)  # a tenth of the way from the horizon to the foot
    assert max(p[1] for p in shown) == 2000
    assert pm.part_on_ground(m, [(0, -5), (10, -5), (5, -9)]) == ()


def test_plain_map_shows_all_of_its_picture() -> None:
    corners = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))
    assert pm.part_on_ground(pm.SAME, corners) == corners


@pytest.mark.parametrize(
    ("three", "named"), [((0, 1, 2), "1, 2 and 3"), ((0, 1, 3), "1, 2 and 4"), ((1, 2, 3), "2, 3 and 4")]
)
def test_three_points_in_a_line_are_refused(three: tuple[int, int, int], named: str) -> None:
    points = [(0.0, 0.0), (90.0, 10.0), (100.0, 80.0), (5.0, 95.0)]
    a, b, c = three
    points[b] = ((points[a][0] + points[c][0]) / 2, (points[a][1] + points[c][1]) / 2)
    with pytest.raises(LayoutdeskError, match=named):
        pm.through_four(points, pm.rectangle(10, 10))
    with pytest.raises(LayoutdeskError, match=named):
        pm.through_four(pm.rectangle(10, 10), points)


def test_impossible_places_are_refused_with_a_sentence() -> None:
    square = pm.rectangle(10, 10)
    crossed = (square[0], square[2], square[1], square[3])
    with pytest.raises(LayoutdeskError, match="same order on both sides"):
        pm.through_four(square, crossed)
    with pytest.raises(LayoutdeskError, match="one place"):
        pm.through_four([(1, 1)] * 4, square)
    with pytest.raises(LayoutdeskError, match="by four points"):
        pm.through_four(square[:3], square[:3])
    with pytest.raises(LayoutdeskError, match="between points 1 and 2 is longer"):
        pm.quad_from_distances((9000, 3000, 4000, 3000), 5000)
    with pytest.raises(LayoutdeskError, match="between points 3 and 4 is longer"):
        pm.quad_from_distances((4000, 3000, 9000, 3000), 5000)
    for bad in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(LayoutdeskError, match="more than 0"):
            pm.quad_from_distances((4000, 3000, 4000, bad), 5000)
        with pytest.raises(LayoutdeskError, match="more than 0"):
            pm.rectangle(bad, 3000)
    with pytest.raises(LayoutdeskError, match="same place"):
        pm.similarity((5, 5), (5, 5), (0, 0), (1, 0))
    with pytest.raises(LayoutdeskError, match="squeezes"):
        pm.inverse((1, 2, 0, 2, 4, 0, 0, 0, 1))
