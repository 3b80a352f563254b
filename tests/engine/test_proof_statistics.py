"""Limits, ellipses and tests against textbook values."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.proof.statistics import (
    chance_of_less,
    chi_square_limits,
    ellipses,
    in_ellipse,
    in_own_deviations,
    limit_of,
)


def test_limit_is_that_of_one_in_a_thousand() -> None:
    """The normal distribution's two-sided 0.1 %: 3.29, from memory; held against the error function here."""
    assert limit_of(5) == limit_of(50) == pytest.approx(3.29, abs=0.005)
    assert math.erfc(limit_of(5) / math.sqrt(2)) == pytest.approx(0.001)
    assert 1000 * math.erfc(limit_of(1000) / math.sqrt(2)) == pytest.approx(0.05)


def test_chi_square_limits_of_one_and_ten_degrees() -> None:
    """Tables of chi-square at 2.5 % and 97.5 %: 0.001 and 5.024; 3.247 and 20.483 (from memory)."""
    assert chi_square_limits(1) == pytest.approx((0.000982, 5.0239), rel=1e-3)
    assert chi_square_limits(10) == pytest.approx((3.247, 20.483), rel=1e-3)
    assert chi_square_limits(0) == (0.0, 0.0)
    assert chance_of_less(20.483, 10) == pytest.approx(0.975, abs=1e-4)


def test_ellipse_of_a_turned_covariance() -> None:
    turn = math.radians(30)
    axes = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    covariance = axes @ np.diag([9.0, 1.0]) @ axes.T
    longer, shorter, degrees = ellipses(np.stack([covariance, np.full((2, 2), np.nan)]))
    assert longer[0] == pytest.approx(3 * 2.4477, rel=1e-4)
    assert shorter[0] == pytest.approx(2.4477, rel=1e-4)
    assert degrees[0] == pytest.approx(30)
    assert np.isnan(longer[1])
    assert in_ellipse(axes @ np.array([7.3, 0.0]), covariance)
    assert not in_ellipse(axes @ np.array([0.0, 7.3]), covariance)


def test_a_measure_that_nothing_checks_has_no_w() -> None:
    w = in_own_deviations(np.array([2.0, 2.0, np.nan]), np.array([1.0, 1.0, 1.0]), np.array([0.25, 1e-9, 0.5]))
    assert w.tolist() == [4.0, 0.0, 0.0]
