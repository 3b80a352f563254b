"""The lowest ground within a circle, against dense samples and a general optimiser."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from layoutdesk.engine.columns import Floats
from tests.engine.yards import rough_yard, yard, yards

RINGS = np.concatenate(([0.0], np.sqrt(np.arange(1, 41) / 40)))
TURNS = np.arange(180) * math.pi / 90
ROUND = np.array([(r * math.cos(t), r * math.sin(t)) for r in RINGS.tolist() for t in TURNS.tolist()])
"""7,380 places in a circle of 1 mm, 180 of them on it."""


@settings(max_examples=60)
@given(yards(), st.floats(-4000, 4000), st.floats(-4000, 4000), st.floats(1, 2500))
def test_no_sample_is_lower(ground: tuple[Floats, Floats], x: float, y: float, radius: float) -> None:
    """7,380 samples of the circle, many of them beyond the hull and on sides of triangles."""
    found = yard(*ground)
    lowest = found.lowest((x, y), radius)
    assert lowest is not None
    sampled = float(found.heights(np.array([x, y]) + radius * ROUND).min())
    assert lowest <= sampled + 1e-6
    assert lowest <= (found.at((x, y))[0] or 0.0) + 1e-9


@pytest.mark.parametrize("seed", range(20))
def test_lowest_is_where_a_search_from_every_sample_ends(seed: int) -> None:
    """Dense samples, and then the finest of them bettered by a search that only knows heights."""
    rng = np.random.default_rng(seed)
    ground = yard(*rough_yard(seed, 15, rough=60.0))
    centre, radius = rng.uniform(-3500, 3500, 2), float(rng.uniform(150, 2000))

    def height(polar: Floats) -> float:
        share, turn = min(1.0, abs(polar[0])), polar[1]
        place = centre + radius * share * np.array([math.cos(turn), math.sin(turn)])
        return float(ground.heights(place[None])[0])

    samples = ground.heights(centre + radius * ROUND)
    best = math.inf
    for k in np.argsort(samples)[:12].tolist():
        start = np.array([np.hypot(*ROUND[k]), math.atan2(ROUND[k][1], ROUND[k][0])])
        simplex = start + np.array([[0, 0], [0.02, 0], [0, 0.03]])
        options = {"initial_simplex": simplex, "xatol": 1e-10, "fatol": 1e-9, "maxiter": 400}
        best = min(best, float(optimize.minimize(height, start, method="Nelder-Mead", options=options).fun))
    lowest = ground.lowest((float(centre[0]), float(centre[1])), radius)
    assert lowest is not None
    assert lowest <= best + 1e-3
    assert lowest == pytest.approx(best, abs=0.05)


def test_on_one_slope_the_lowest_is_a_radius_down() -> None:
    """5 % over 150 mm is 7.5 mm, between the spots and beyond them."""
    square = np.array([[0.0, 0.0], [9000.0, 0.0], [9000.0, 9000.0], [0.0, 9000.0], [4000.0, 5000.0]])
    ground = yard(square, square @ np.array([0.03, 0.04]))
    for place in ((3000.0, 3000.0), (4000.0, 5000.0), (0.0, 0.0), (-5000.0, 20_000.0)):
        flat = place[0] * 0.03 + place[1] * 0.04
        assert ground.lowest(place, 150.0) == pytest.approx(flat - 7.5, abs=1e-6)
        assert ground.lowest(place, 0.0) == pytest.approx(flat, abs=1e-6)


def test_a_pit_within_the_circle_is_its_lowest_place() -> None:
    places = np.array([[-1000.0, -1000.0], [1000.0, -1000.0], [1000.0, 1000.0], [-1000.0, 1000.0], [20.0, 30.0]])
    ground = yard(places, np.array([0.0, 0.0, 0.0, 0.0, -80.0]))
    assert ground.lowest((100.0, 100.0), 200.0) == pytest.approx(-80.0)
    beside = ground.lowest((100.0, 100.0), 50.0)
    assert beside is not None
    assert -80.0 < beside < 0.0


def test_ground_that_the_circle_reaches_beyond_the_hull_is_the_plane() -> None:
    """Four corners, two opposite ones 8 high: the plane is level at 4, and below all that is near a high corner."""
    square = np.array([[0.0, 0.0], [1000.0, 0.0], [1000.0, 1000.0], [0.0, 1000.0]])
    ground = yard(square, np.array([8.0, 0.0, 8.0, 0.0]))
    assert ground.lowest((0.0, 0.0), 50.0) == pytest.approx(4.0)
    assert ground.lowest((-500.0, -500.0), 100.0) == pytest.approx(4.0)
    assert ground.lowest((500.0, 500.0), 100.0) == pytest.approx(8 - 8 * (math.hypot(1, 1) * 100 / 1000))


def test_many_circles_at_once_are_as_one_by_one() -> None:
    ground = yard(*rough_yard(5))
    rng = np.random.default_rng(5)
    xy, radius = rng.uniform(-5000, 5000, (60, 2)), rng.uniform(0, 900, 60)
    one_by_one = [ground.lowest((x, y), r) for (x, y), r in zip(xy.tolist(), radius.tolist(), strict=True)]
    assert ground.lowest_many(xy, radius).tolist() == pytest.approx(one_by_one, abs=1e-9)


def test_along_spots_in_one_line_the_lowest_is_found_along_it() -> None:
    ground = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [2000.0, 0.0]]), np.array([0.0, -50.0, 0.0]))
    assert ground.lowest((900.0, 0.0), 200.0) == pytest.approx(-50.0)
    assert ground.lowest((500.0, 0.0), 200.0) == pytest.approx(-35.0)
    assert ground.lowest((500.0, 300.0), 200.0) == pytest.approx(-35.0)
    assert ground.lowest((3000.0, 0.0), 200.0) == pytest.approx(-50 / 3)
