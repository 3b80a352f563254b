"""Inches as numbers are the very lengths that typing them gives."""

from __future__ import annotations

import pytest

from layoutdesk.gestures.chain import USUAL_ROW_MM
from layoutdesk.gestures.grid import STEPS
from layoutdesk.units import MM_PER_INCH, inches, parse_length


@pytest.mark.parametrize("count", [0.0625, 0.25, 1, 3, 6, 12, 14, 32, 41, 144])
def test_inches_are_what_typing_them_gives(count: float) -> None:
    assert inches(count) == parse_length(f'{count:g}"', "ft-in")


def test_a_foot_of_twelve_times_an_inch_is_a_hair_off() -> None:
    """Why there is a function at all."""
    assert 12 * MM_PER_INCH != inches(12) == 304.8


def test_steps_of_the_grid_and_the_usual_row_are_such_lengths() -> None:
    assert {76.2, 152.4, 304.8} <= set(STEPS["ft-in"])
    assert USUAL_ROW_MM["ft-in"] == parse_length("12'", "ft-in")
