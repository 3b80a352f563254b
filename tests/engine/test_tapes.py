"""How exact a tape is."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.tapes import permissible_error, tape_deviation


def test_deviation_grows_with_the_length_and_ignores_its_sign() -> None:
    """Class II: half of 0.3 mm + 0.2 mm a metre."""
    assert tape_deviation(0.0, "II") == 0.15
    assert tape_deviation(10_000.0, "II") == pytest.approx(1.15)
    assert tape_deviation(-10_000.0, "II") == tape_deviation(10_000.0, "II")


def test_columns_give_the_same_as_single_lengths() -> None:
    lengths = np.array([0.0, 1.0, 2500.0, -7300.0])
    assert tape_deviation(lengths, "III").tolist() == [tape_deviation(float(x), "III") for x in lengths]


def test_permissible_error_steps_at_whole_metres() -> None:
    assert permissible_error(7000.0, "I") == pytest.approx(0.8)
    assert permissible_error(7000.1, "I") == pytest.approx(0.9)
