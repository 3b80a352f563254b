"""Ground and holes against what is published."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.flags.level_ground import STEEPEST
from layoutdesk.engine.flags.level_holes import DEEPEST_MM, SHALLOWEST_MM
from layoutdesk.engine.levels.ground_plane import fit_plane
from layoutdesk.engine.levels.ground_points import GroundPoint, ground_places
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH
from tests.published.checks import published

UNIT = (10_000.0, 100.0)
"""So many mm the published x and y are taken for: in single mm some lie at one place, and all in one line."""


def test_plane_through_25_points_is_the_published_one() -> None:
    check = published()["plane-through-25-points"]
    given, expected = check["inputs"], check["expected"]
    points = [
        GroundPoint(f"S{k}", f"S{k}", (UNIT[0] * x, UNIT[1] * y), z, 0.0, "typed")
        for k, (x, y, z) in enumerate(zip(given["x"], given["y"], given["z"], strict=True))
    ]
    fit = fit_plane(ground_places(points))
    assert fit is not None
    near = check["tolerance"]
    assert fit.free == expected["free"]
    assert fit.deviation**2 == pytest.approx(expected["mean_square"], abs=near)
    assert float(fit.gradient[0]) * UNIT[0] == pytest.approx(expected["by_x"], abs=near)
    assert float(fit.gradient[1]) * UNIT[1] == pytest.approx(expected["by_y"], abs=near / 100)
    assert float(fit.heights(np.zeros((1, 2)))[0]) == pytest.approx(expected["constant"], abs=near)


def test_limits_of_holes_and_slopes_are_the_published_ones() -> None:
    known = published()
    assert known["excavation-protected-from"]["expected"]["depth_ft"] * MM_PER_FOOT == DEEPEST_MM
    assert known["footing-depth-least"]["expected"]["below_undisturbed_in"] * MM_PER_INCH == SHALLOWEST_MM
    steep = known["footings-on-slopes"]
    assert pytest.approx(steep["expected"]["steeper_than_per_cent"], abs=steep["tolerance"]) == 100 * STEEPEST


def test_quarter_inch_per_foot_is_two_per_cent() -> None:
    check = published()["slope-quarter-inch-per-foot"]
    slope = check["inputs"]["inch_per_foot"] * MM_PER_INCH / MM_PER_FOOT
    assert 100 * slope == pytest.approx(check["expected"]["per_cent"], abs=check["tolerance"])
