"""Millimetres as text: rounding to the tape, carrying, and exact text for entry fields."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.units import (
    UNITS,
    LengthParts,
    Units,
    default_step,
    format_exact,
    format_length,
    length_parts,
    parse_length,
    round_half_away,
    round_to_step,
    round_up_to_step,
    small_fraction,
    write_parts,
)

INCH = 25.4
SIXTEENTH = INCH / 16
SIXTY_FOURTH = INCH / 64


@pytest.mark.parametrize(
    ("mm", "step", "text"),
    [
        (0.0, SIXTEENTH, '0"'),
        (-0.0, SIXTEENTH, '0"'),
        (0.7, SIXTEENTH, '0"'),
        (-0.7, SIXTEENTH, '0"'),
        (9.525, SIXTEENTH, '3/8"'),
        (-9.525, SIXTEENTH, '-3/8"'),
        (25.4, SIXTEENTH, '1"'),
        (288.925, SIXTEENTH, '11 3/8"'),
        (304.8, SIXTEENTH, "1' 0\""),
        (314.325, SIXTEENTH, "1' 0 3/8\""),
        (3819.525, SIXTEENTH, "12' 6 3/8\""),
        (3819.525, SIXTY_FOURTH, "12' 6 3/8\""),
        (3819.525, INCH / 4, "12' 6 1/2\""),
        (3819.525, INCH, "12' 6\""),
        (3819.525, 1000.0, "12' 6\""),
        (3819.525, 1.0, "12' 6 3/8\""),
        (-3819.525, SIXTEENTH, "-12' 6 3/8\""),
        # These carry: to the inch, to the foot, and over the foot.
        (25.3, SIXTEENTH, '1"'),
        (304.7, SIXTEENTH, "1' 0\""),
        (609.5, SIXTEENTH, "2' 0\""),
        (-304.7, SIXTEENTH, "-1' 0\""),
    ],
)
def test_feet_and_inches(mm: float, step: float, text: str) -> None:
    assert format_length(mm, "ft-in", step) == text


@pytest.mark.parametrize(
    ("mm", "units", "step", "text"),
    [
        (3810.0, "m", 1.0, "3.810 m"),
        (3810.0, "m", 10.0, "3.81 m"),
        (3810.4, "m", 1.0, "3.810 m"),
        (3810.5, "m", 1.0, "3.811 m"),
        (-3810.5, "m", 1.0, "-3.811 m"),
        (3810.0, "mm", 1.0, "3810 mm"),
        (3810.25, "mm", 0.5, "3810.5 mm"),
        (3.0, "mm", 5.0, "5 mm"),
        (-0.2, "mm", 1.0, "0 mm"),
        (0.0, "m", 1.0, "0.000 m"),
        (1.5875, "mm", 1.5875, "1.5875 mm"),
        (1.0, "mm", 1 / 3, "1.0000000 mm"),
        (0.0000015, "mm", 0.000001, "0.000002 mm"),
        (3810.0, "m", 2000.0, "4 m"),
    ],
)
def test_metres_and_millimetres(mm: float, units: Units, step: float, text: str) -> None:
    assert format_length(mm, units, step) == text


def test_a_unit_can_be_left_out_but_never_the_marks_of_feet_and_inches() -> None:
    assert format_length(3810.0, "m", 1.0, unit=False) == "3.810"
    assert format_length(3810.0, "mm", 1.0, unit=False) == "3810"
    assert format_length(3810.0, "ft-in", SIXTEENTH, unit=False) == "12' 6\""


def test_text_for_the_screen_has_true_primes_and_small_fractions() -> None:
    assert format_length(-3819.525, "ft-in", SIXTEENTH, pretty=True) == "−12′ 6\u2009³⁄₈″"
    assert format_length(9.525, "ft-in", SIXTEENTH, pretty=True) == "³⁄₈″"
    assert format_length(3810.0, "m", 1.0, pretty=True) == "3.810 m"
    assert small_fraction(13, 64) == "¹³⁄₆₄"


def test_the_pieces_of_a_length_are_what_its_text_is_made_of() -> None:
    parts = length_parts(-3819.525, "ft-in", SIXTEENTH)
    assert parts == LengthParts(negative=True, whole="12' 6", over=3, under=8, mark='"')
    assert write_parts(parts) == "-12' 6 3/8\""
    assert length_parts(3810.0, "m", 1.0) == LengthParts(negative=False, whole="3.810", over=0, under=1, mark=" m")


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_what_is_no_finite_length_is_not_written(mm: float) -> None:
    for units in UNITS:
        with pytest.raises(ValueError, match="cannot write the length"):
            format_length(mm, units, 1.0)
        with pytest.raises(ValueError, match="cannot write the length"):
            format_exact(mm, units)


@pytest.mark.parametrize("step", [0.0, -1.0, math.nan])
def test_a_step_must_be_positive(step: float) -> None:
    with pytest.raises(ValueError, match="in steps of"):
        format_length(1.0, "mm", step)


@pytest.mark.parametrize(
    ("value", "step", "count"),
    [
        (0.5, 1.0, 1),
        (-0.5, 1.0, -1),
        (1.5, 1.0, 2),
        (2.5, 1.0, 3),
        (-2.5, 1.0, -3),
        (2.4999, 1.0, 2),
        (0.49999999, 1.0, 0),
        (INCH / 32, SIXTEENTH, 1),
        (-INCH / 32, SIXTEENTH, -1),
        (0.35, 0.1, 4),  # 0.35 / 0.1 is 3.4999999999999996 in floats
    ],
)
def test_halves_go_away_from_zero(value: float, step: float, count: int) -> None:
    assert round_half_away(value, step) == count
    assert round_to_step(value, step) == count * step


@given(st.integers(-(10**7), 10**7), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_every_odd_half_of_a_step_goes_away_from_zero(count: int, under: int) -> None:
    """The middle between two marks of the tape, as the float nearest to its true value."""
    middle = float(Fraction(2 * count + 1, 2 * under) * Fraction(127, 5))
    away = count + 1 if middle > 0 else count
    assert round_half_away(middle, INCH / under) == away


@given(st.floats(-9.99e6, 9.99e6), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_feet_and_inches_never_show_twelve_inches_and_are_within_half_a_step(mm: float, under: int) -> None:
    text = format_length(mm, "ft-in", INCH / under)
    parts = length_parts(mm, "ft-in", INCH / under)
    inches = parts.whole.split("' ")[-1]
    assert not inches or int(inches) < 12
    assert parts.over < parts.under
    assert math.gcd(parts.over, parts.under) == 1
    assert parse_length(text, "ft-in") == pytest.approx(mm, abs=INCH / under / 2 + 1e-6)


@given(st.floats(-9.99e6, 9.99e6), st.sampled_from(UNITS), st.booleans())
def test_what_is_shown_is_read_back_as_what_is_shown(mm: float, units: Units, pretty: bool) -> None:  # noqa: FBT001
    step = default_step(units)
    text = format_length(mm, units, step, pretty=pretty)
    assert format_length(parse_length(text, units), units, step, pretty=pretty) == text


@given(st.floats(-1e7, 1e7), st.floats(1e-6, 1000.0))
def test_rounding_up_never_belittles(mm: float, step: float) -> None:
    up = round_up_to_step(mm, step)
    assert up >= mm - 2e-9 * step - 1e-9
    assert up - step <= mm + 1e-9 * abs(mm) + 1e-9


def test_rounding_up_leaves_what_lies_on_a_step() -> None:
    assert round_up_to_step(3 * SIXTEENTH, SIXTEENTH) == 3 * SIXTEENTH
    assert round_up_to_step(3 * SIXTEENTH + 0.01, SIXTEENTH) == 4 * SIXTEENTH
    assert round_up_to_step(-0.5, 1.0) == 0.0


@given(st.one_of(st.floats(-1e7, 1e7), st.integers(-(10**6), 10**6).map(lambda n: n * 127 / 320)))
def test_entry_fields_show_text_that_is_read_back_as_the_very_same_float(mm: float) -> None:
    for units in UNITS:
        read = parse_length(format_exact(mm, units), units)
        assert read == mm or (abs(mm) < 1e-3 and abs(read - mm) <= 1e-20)


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (3819.525, "ft-in", "12' 6 3/8\""),
        (3819.5, "ft-in", "3819.5 mm"),
        (3810.0, "m", "3.81 m"),
        (3810.0, "mm", "3810 mm"),
        (-0.0, "m", "0 m"),
        (0.1 + 0.2, "m", "0.30000000000000004 mm"),
        (1e-7, "mm", "0.0000001 mm"),
        (2e7, "mm", "20000000 mm"),
        (2e7, "m", "20000000 mm"),
    ],
)
def test_entry_fields_show_the_plans_units_where_those_are_exact(mm: float, units: Units, text: str) -> None:
    assert format_exact(mm, units) == text


def test_the_usual_step_of_a_tape() -> None:
    assert default_step("ft-in") == 1.5875
    assert default_step("m") == default_step("mm") == 1.0
