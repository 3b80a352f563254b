"""Slopes are read and written as they are said on site."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import LengthError
from layoutdesk.units import SLOPE_EXAMPLE, UNITS, Units, exact_slope, format_slope, parse_slope


@pytest.mark.parametrize(
    ("text", "units", "ratio"),
    [
        ('1/4" per ft', "ft-in", 1 / 48),
        ("1/4", "ft-in", 1 / 48),
        ("0.25", "ft-in", 1 / 48),
        ('1/8"/ft', "m", 1 / 96),
        ("2 %", "ft-in", 0.02),
        ("2", "m", 0.02),
        ("−1.5 %", "mm", -0.015),
        ("1:48", "ft-in", 1 / 48),
        ("1 in 50", "m", 0.02),
        ("-1/4", "ft-in", -1 / 48),
        ("0", "ft-in", 0.0),
        ("0", "mm", 0.0),
    ],
)
def test_a_slope_is_read_as_it_is_said(text: str, units: Units, ratio: float) -> None:
    assert parse_slope(text, units) == pytest.approx(ratio, abs=1e-15)


@pytest.mark.parametrize(
    ("text", "units"), [("", "ft-in"), ("steep", "m"), ("2'", "ft-in"), ("1:0", "m"), ("150 %", "m"), ("%", "mm")]
)
def test_what_is_no_slope_is_refused_with_an_example(text: str, units: Units) -> None:
    with pytest.raises(LengthError) as told:
        parse_slope(text, units)
    assert SLOPE_EXAMPLE[units] in str(told.value)


@pytest.mark.parametrize("units", UNITS)
def test_the_example_is_a_slope_of_about_two_per_cent(units: Units) -> None:
    assert parse_slope(SLOPE_EXAMPLE[units], units) == pytest.approx(0.02, abs=0.001)


def test_a_slope_is_written_in_inches_to_the_foot_or_per_cent() -> None:
    assert format_slope(1 / 48, "ft-in") == "¹⁄₄″ per ft"
    assert format_slope(-1 / 48, "ft-in", pretty=False) == '-1/4" per ft'
    assert format_slope(1 / 48, "m") == "2.1 %"
    assert format_slope(0.0, "ft-in") == "0″ per ft"


@given(st.floats(-1, 1, allow_nan=False), st.sampled_from(UNITS))
def test_what_stands_in_a_box_reads_back_as_the_same_slope(ratio: float, units: Units) -> None:
    assert parse_slope(exact_slope(ratio, units), units) == pytest.approx(ratio, rel=1e-9, abs=1e-14)


def test_a_round_slope_stands_in_a_box_as_it_is_said() -> None:
    assert exact_slope(1 / 48, "ft-in") == '1/4" per ft'
    assert exact_slope(1 / 60, "m") == "1:60"
    assert exact_slope(0.025, "mm") == "1:40"
    assert exact_slope(0.013, "ft-in") == "1.3 %"
    assert exact_slope(0.0, "m") == "0 %"
