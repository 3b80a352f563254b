"""How exact a tape is."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.tapes import permissible_error, reading_deviation, taken_deviation, tape_deviation


def test_deviation_grows_with_the_length_and_ignores_its_sign() -> None:
    """Class II: half of 0.3 mm + 0.2 mm a metre."""
    assert tape_deviation(0.0, "II") == 0.15
    assert tape_deviation(10_000.0, "II") == pytest.approx(1.15)
    assert tape_deviation(-10_000.0, "II") == tape_deviation(10_000.0, "II")


def test_columns_give_the_same_as_single_lengths() -> None:
    lengths = np.array([0.0, 1.0, 2500.0, -7300.0])
    assert tape_deviation(lengths, "III").tolist() == [tape_deviation(float(x), "III") for x in lengths]


def test_a_length_as_taken_is_as_exact_as_its_class_and_not_a_digit_else() -> None:
    assert (
        taken_deviation(7300.0, "II") == taken_deviation(7300.0, "II", read_to=0.0) == tape_deviation(7300.0, "II")
    )
    assert reading_deviation(0.0) == 0.0


def test_a_step_as_wide_as_the_error_adds_to_it_as_variances_do() -> None:
    """Half of 0.3 mm + 0.2 mm a metre at 1 m is 0.25 mm; readings spread evenly over a step of 0.25 √12 as much."""
    assert taken_deviation(1000.0, "II", read_to=0.25 * math.sqrt(12)) == pytest.approx(0.25 * math.sqrt(2))
    assert reading_deviation(1.0) == pytest.approx(float(np.linspace(-0.5, 0.5, 100_001).std()), rel=1e-4)


def test_permissible_error_steps_at_whole_metres() -> None:
    assert permissible_error(7000.0, "I") == pytest.approx(0.8)
    assert permissible_error(7000.1, "I") == pytest.approx(0.9)
