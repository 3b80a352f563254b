"""The fitted plane: against numpy and scipy, in words, and where spots do not fix it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from layoutdesk.engine.baseline import baseline_frame
from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.ground import BETWEEN, ground_of
from layoutdesk.plan.model import Plan
from tests.engine.scenes import PORCH
from tests.engine.yards import height_at, rough_yard, spots, yard, yards

FAR = 3e6


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("shift", [(0.0, 0.0), (FAR, -FAR)])
def test_plane_is_that_of_numpys_least_squares(seed: int, shift: tuple[float, float]) -> None:
    """The design matrix with a column of ones, solved whole: another way to the same plane, far out too."""
    places, heights = rough_yard(seed)
    ones = np.column_stack((np.ones(len(places)), places))
    (level, east, north), squares, _, _ = np.linalg.lstsq(ones, heights, rcond=None)
    plane = yard(places + np.array(shift), heights).plane
    assert plane is not None
    assert plane.slope == pytest.approx(math.hypot(east, north), rel=1e-9)
    assert plane.fall == pytest.approx((-east / plane.slope, -north / plane.slope), abs=1e-9)
    x, y = plane.centre[0] - shift[0], plane.centre[1] - shift[1]
    assert plane.elevation == pytest.approx(level + east * x + north * y, abs=1e-6)
    assert plane.deviation == pytest.approx(math.sqrt(squares[0] / (len(places) - 3)), rel=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_plane_is_that_of_a_general_optimiser(seed: int) -> None:
    places, heights = rough_yard(seed, 7)

    def off(parameters: Floats) -> Floats:
        level, east, north = parameters
        found: Floats = level + places @ np.array([east, north]) - heights
        return found

    best = optimize.least_squares(  # type: ignore[operator]
        off, [0.0, 0.0, 0.0], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac"
    )
    ground = yard(places, heights)
    assert ground.plane is not None
    assert ground.plane.slope == pytest.approx(math.hypot(best.x[1], best.x[2]), rel=1e-6)
    assert [spot.off for spot in ground.spots] == pytest.approx(list(-best.fun), abs=1e-4)


def test_plane_through_three_spots_by_hand() -> None:
    """100 mm higher 10 m east and 300 mm lower 10 m north: 1 % up, 3 % down."""
    plane = yard(np.array([[0.0, 0.0], [10_000.0, 0.0], [0.0, 10_000.0]]), np.array([0.0, 100.0, -300.0])).plane
    assert plane is not None
    assert plane.slope == pytest.approx(math.sqrt(10) / 100)
    assert plane.fall == pytest.approx((-1 / math.sqrt(10), 3 / math.sqrt(10)))
    assert plane.elevation == pytest.approx(-200 / 3)
    assert math.isnan(plane.deviation)
    assert "three spots fix this plane" in plane.says


@given(yards(), st.floats(-1000, 1000))
def test_what_all_spots_are_off_the_plane_adds_up_to_nothing(ground: tuple[Floats, Floats], up: float) -> None:
    """Normal equations: residuals sum to 0, and stay when the whole yard is raised."""
    places, heights = ground
    off = [spot.off for spot in yard(places, heights).spots]
    assert math.fsum(off) == pytest.approx(0.0, abs=1e-6)
    assert [spot.off for spot in yard(places, heights + up).spots] == pytest.approx(off, abs=1e-6)


def test_deviation_counts_the_degrees_of_freedom() -> None:
    """Four corners of a square, one pair of opposite ones raised by 4: each is off by 2, with one left over."""
    square = np.array([[0.0, 0.0], [1000.0, 0.0], [1000.0, 1000.0], [0.0, 1000.0]])
    plane = yard(square, np.array([4.0, 0.0, 4.0, 0.0])).plane
    assert plane is not None
    assert plane.deviation == pytest.approx(4.0)
    assert plane.slope == pytest.approx(0.0, abs=1e-12)
    assert plane.says.startswith("The ground is level; the spots lie up to 2\u00a0mm off that plane")


def test_level_ground_falls_nowhere() -> None:
    plane = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [0.0, 1000.0]]), np.array([5.0, 5.0, 5.0])).plane
    assert plane is not None
    assert plane.slope == 0.0
    assert plane.fall == (0.0, 0.0)


WAYS = {
    (0.0, -1.0): "falls 2.0\u00a0% away from the house;",
    (0.0, 1.0): "falls 2.0\u00a0% toward the house;",
    (1.0, 0.0): "falls 2.0\u00a0% along the baseline;",
    (-1.0, 0.0): "falls 2.0\u00a0% back along the baseline;",
    (0.6, -0.8): "falls 2.0\u00a0% away from the house and along the baseline;",
    (-0.6, 0.8): "falls 2.0\u00a0% toward the house and back along the baseline;",
}


@pytest.mark.parametrize(("way", "words"), WAYS.items(), ids=WAYS.values())
def test_fall_is_told_as_seen_from_the_house(way: tuple[float, float], words: str) -> None:
    """The house lies at y = 0 with the yard below it, the baseline runs along x."""
    places = np.array([[0.0, 0.0], [5000.0, 0.0], [0.0, -5000.0], [5000.0, -5000.0]])
    plan = PORCH.with_(spots=spots(places.tolist(), (-0.02 * (places @ np.array(way))).tolist()))
    plane = ground_of(plan, baseline_frame(plan), None).plane
    assert plane is not None
    assert words in plane.says.replace(" %", "\u00a0%")
    assert plane.away == pytest.approx(-0.02 * way[1])
    assert plane.along == pytest.approx(0.02 * way[0])


def test_slope_is_told_in_inches_to_the_foot() -> None:
    places = np.array([[0.0, 0.0], [5000.0, 0.0], [0.0, -5000.0], [5000.0, -5000.0]])
    plan = PORCH.with_(units="ft-in", rounding=1.5875, spots=spots(places.tolist(), (places[:, 1] / 48).tolist()))
    plane = ground_of(plan, baseline_frame(plan), None).plane
    assert plane is not None
    assert plane.says == (
        "The ground falls ¹⁄₄″ per ft (2.1 %) away from the house; the spots lie up to 0″ off that plane."
    )


def test_a_slope_too_small_for_a_sixteenth_is_not_told_as_none() -> None:
    places = np.array([[0.0, 0.0], [5000.0, 0.0], [0.0, -5000.0], [5000.0, -5000.0]])
    plan = PORCH.with_(units="ft-in", rounding=1.5875, spots=spots(places.tolist(), (places[:, 1] / 500).tolist()))
    plane = ground_of(plan, baseline_frame(plan), None).plane
    assert plane is not None
    assert plane.says.startswith("The ground falls less than ¹⁄₁₆″ per ft (0.2 %) away from the house;")


def test_without_a_baseline_the_fall_is_told_by_the_sheet() -> None:
    plane = yard(np.array([[0.0, 0.0], [1000.0, 0.0], [0.0, 1000.0]]), np.array([0.0, 0.0, -30.0])).plane
    assert plane is not None
    assert plane.away is None
    assert plane.along is None
    assert "up the sheet" in plane.says


def test_no_spot_and_one_spot_give_no_plane() -> None:
    assert ground_of(Plan(), None, None).plane is None
    ground = yard(np.array([[100.0, 200.0]]), np.array([7.0]))
    assert ground.plane is None
    assert height_at(ground, (100.0, 200.0), "typed") == 7.0
    assert ground.at((100.0, 200.0))[2] == pytest.approx(1.96 * 1.5)
    assert ground.at((150.0, 200.0))[:2] == (None, "none")
    assert ground.lowest((100.0, 200.0), 300.0) == 7.0
    assert ground.lowest((900.0, 200.0), 300.0) is None
    assert ground.hull == ((100.0, 200.0),)
    assert ground.profile((0.0, 0.0), (1.0, 1.0)) == ()


def test_spots_in_one_line_tell_the_slope_along_it_only() -> None:
    places = np.array([[0.0, 0.0], [3000.0, 4000.0], [6000.0, 8000.0]])
    ground = yard(places, np.array([0.0, -100.0, -200.0]))
    assert ground.plane is not None
    assert ground.plane.slope == pytest.approx(0.02)
    assert ground.plane.fall == pytest.approx((0.6, 0.8))
    assert "one line" in ground.plane.says
    on_line, beside = (1500.0, 2000.0), (1500.0 - 800.0, 2000.0 + 600.0)
    assert height_at(ground, on_line, "surface") == pytest.approx(-50.0)
    assert height_at(ground, beside, "beyond the spots") == pytest.approx(-50.0)
    assert ground.at(beside)[2] > ground.at(on_line)[2]
    assert height_at(ground, (9000.0, 12_000.0), "beyond the spots") == pytest.approx(-300.0)
    assert ground.contours == ()


def test_two_spots_are_a_line() -> None:
    ground = yard(np.array([[0.0, 0.0], [1000.0, 0.0]]), np.array([0.0, 10.0]))
    assert ground.plane is not None
    assert ground.plane.slope == pytest.approx(0.01)
    assert math.isnan(ground.plane.deviation)
    assert ground.at((500.0, 0.0))[0] == pytest.approx(5.0)


def held_in(rng: np.random.Generator, rough: float, *, smooth: bool) -> float:
    """Return the share of places between 20 spots of rough ground that lie within what is said of them.

    Smooth ground is a sum of 60 waves of some 12 m; other ground has every place of its own.
    """
    held, total = 0, 0
    for _ in range(150):
        places, asked = rng.uniform(-4000, 4000, (20, 2)), rng.uniform(-4000, 4000, (20, 2))
        both = np.concatenate((places, asked))
        if smooth:
            waves, phase = rng.normal(0, 1 / 2000, (60, 2)), rng.uniform(0, 2 * math.pi, 60)
            bumps = rough * math.sqrt(2 / 60) * np.cos(both @ waves.T + phase).sum(axis=1)
        else:
            bumps = rng.normal(0, rough, 40)
        true = -0.02 * both[:, 1] + bumps
        look = yard(places, true[:20] + rng.normal(0, 1.5, 20)).look(asked)
        between = look.how == BETWEEN
        held += int((np.abs(look.z - true[20:]) <= look.within)[between].sum())
        total += int(between.sum())
    return held / total


@pytest.mark.parametrize("rough", [5.0, 12.7, 40.0])
def test_what_is_said_of_the_error_holds_between_the_spots(rough: float) -> None:
    """Read with errors of 1.5 mm: on smooth ground 95 in 100; where no place says anything of the next, 88."""
    rng = np.random.default_rng(7)
    assert held_in(rng, rough, smooth=True) > 0.95
    assert held_in(rng, rough, smooth=False) > 0.88
