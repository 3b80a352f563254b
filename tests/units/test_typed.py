"""Typed lengths, lists of lengths and angles to millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import LengthError
from layoutdesk.units import UNITS, Units, format_length, parse_angle, parse_length, parse_lengths, registry

INCH = 25.4
FOOT = 304.8

# What is typed in a plan in feet and inches, and the millimetres that it means, worked out by hand.
FEET_AND_INCHES = [
    ("12' 6 3/8\"", 3819.525),
    ("12'6 3/8\"", 3819.525),
    ("12' - 6 3/8\"", 3819.525),
    ("12'-6 3/8\"", 3819.525),
    ("12-6 3/8", 3819.525),
    ("12-6", 3810.0),
    ("12-3/8", 3667.125),
    ("12.5'", 3810.0),
    ("12' 6", 3810.0),
    ("12'", 3657.6),
    ('150 3/8"', 3819.525),
    ("150 3/8", 3819.525),
    ("3/8", 9.525),
    ('3/8"', 9.525),
    ('10.25"', 260.35),
    ("12 ft 6 in", 3810.0),
    ("12ft6in", 3810.0),
    ("12 feet 6 inches", 3810.0),
    ("1 foot 1 inch", 330.2),
    ("12 FT 6 IN", 3810.0),
    ("12", 3657.6),
    (".5", 152.4),
    ("12.", 3657.6),
    ("0", 0.0),
    ("-3'", -914.4),
    ("- 3' 6\"", -1066.8),
    ("−3'", -914.4),
    ('12\' 6" + 3 1/2"', 3898.9),
    ("-1' + 1'", -609.6),
    ("1' + 1 m + 10", 4352.8),
    ("  5'  ", 1524.0),
    ("5′ 6″", 1676.4),
    ("5’ 6”", 1676.4),
    ("5' 6''", 1676.4),
    ('6½"', 165.1),
    ("5' 6 ⅞\"", 1698.625),
    ("5′ 6 ³⁄₁₆″", 1681.1625),
    ("5′ ¹⁄₆₄″", 1524.396875),
    ("3.81 m", 3810.0),
    ("381 cm", 3810.0),
    ("3810mm", 3810.0),
    ("3.81 M", 3810.0),
]


@pytest.mark.parametrize(("text", "mm"), FEET_AND_INCHES)
def test_what_is_typed_in_feet_and_inches_is_read_exactly(text: str, mm: float) -> None:
    assert parse_length(text, "ft-in") == mm


@pytest.mark.parametrize(
    ("text", "units", "mm"),
    [
        ("3810", "mm", 3810.0),
        ("3.81", "m", 3810.0),
        ("381 cm", "m", 3810.0),
        ("12' 6 3/8\"", "mm", 3819.525),
        ("12-6 3/8", "m", 3819.525),
        ('12-6"', "mm", 3810.0),
        ('150 3/8"', "m", 3819.525),
        ("0.1", "mm", 0.1),
        ("3.81 + 12'", "m", 7467.6),
        ("-2.5", "m", -2500.0),
        ("10000", "m", 1e7),
        ("1234.56789012345678", "mm", 1234.56789012345678),
    ],
)
def test_what_is_typed_in_a_metric_plan_is_read_exactly(text: str, units: Units, mm: float) -> None:
    assert parse_length(text, units) == mm


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "is empty"),
        ("   ", "is empty"),
        ("-", "is no length"),
        ("--5", "one way"),
        ("five", "one way"),
        ("5 6", "one way"),
        ("5' 6' ", "one way"),
        ("5\" 6'", "one way"),
        ("1e3", "one way"),
        ("0x10", "one way"),
        ("1_000", "one way"),
        ("nan", "one way"),
        ("inf", "one way"),
        ("+5", "one way"),
        ("5 +", "one way"),
        ("5' + -3'", "one way"),
        ("5 * 3", "one way"),
        ("5 yd", "one way"),
        ("3 miles", "one way"),
        ("12 fts", "one way"),
        ("3,5 m", "a comma"),
        ("1,000", "a comma"),
        ("5' 12\"", "12 inches or more"),
        ("5' 11 8/8\"", "no part of an inch"),
        ('3/0"', "no part of an inch"),
        ("5.5' 6\"", "decimal feet"),
        ('6.5 3/8"', "a decimal and a fraction"),
        ("11 km", "one way"),
        ("10001 m", "longer than 10 km"),
        ("-10001 m", "longer than 10 km"),
        ("999999999 m", "longer than 10 km"),
        ("9" * 81, "too long"),
        ('1/99999 "', "one way"),
    ],
)
def test_what_cannot_be_read_in_one_way_is_refused_with_an_example(text: str, problem: str, units: Units) -> None:
    with pytest.raises(LengthError, match=problem) as refused:
        parse_length(text, units)
    assert refused.value.text == text
    assert "for example " + refused.value.example in str(refused.value)
    assert parse_length(refused.value.example, units) > 0


@pytest.mark.parametrize("text", ["12-6", "150 3/8", "3/8"])
def test_inches_without_a_mark_are_refused_in_a_metric_plan(text: str) -> None:
    for units in ("m", "mm"):
        with pytest.raises(LengthError, match="one way"):
            parse_length(text, units)


def test_a_refusal_shows_what_was_typed_as_one_short_line() -> None:
    with pytest.raises(LengthError) as refused:
        parse_length("5\n" + "x" * 60, "mm")
    assert str(refused.value).startswith("“5�xxx")
    assert len(str(refused.value)) < 120


def test_the_nearest_float_is_returned() -> None:
    """A third of a foot has no end in binary: the float nearest to the exact value is the only right one."""
    assert parse_length('5 1/3"', "mm") == float(Fraction(16, 3) * Fraction(127, 5))
    assert parse_length("0.3 + 0.6", "mm") == 0.9  # and not the sum of the two floats, 0.8999999999999999
    assert math.copysign(1, parse_length("-0", "mm")) == 1


def _outcome(read: Callable[[str, Units], object], text: str, units: Units) -> object:
    """Return what a text is read as, or the sentence of the refusal."""
    try:
        return read(text, units)
    except LengthError as refused:
        return str(refused)


@given(st.text(max_size=90), st.sampled_from(UNITS))
def test_any_text_is_read_or_refused_in_one_line(text: str, units: Units) -> None:
    outcome = _outcome(parse_length, text, units)
    assert "\n" not in outcome if isinstance(outcome, str) else abs(cast("float", outcome)) <= 1e7


@given(st.text(alphabet="0123456789'\"/ .-+ftinmc½⅜′″,;@x", max_size=30), st.sampled_from(UNITS))
def test_any_text_of_the_signs_that_lengths_are_made_of_is_read_or_refused(text: str, units: Units) -> None:
    assert isinstance(_outcome(parse_length, text, units), float | str)
    assert isinstance(_outcome(parse_lengths, text, units), tuple | str)


ORACLE_UNITS = {"'": "foot", '"': "inch", " m": "metre", " cm": "centimetre", " mm": "millimetre"}


@given(st.sampled_from(list(ORACLE_UNITS)), st.integers(0, 30_000), st.integers(0, 4))
def test_pint_agrees_where_it_reads_rightly(unit: str, digits: int, decimals: int) -> None:
    """Pint, a library for quantities, reads one decimal number with one unit; feet with inches it misreads."""
    number = f"{digits / 10**decimals:.{decimals}f}"
    oracle = registry().Quantity(float(number), ORACLE_UNITS[unit]).to("millimetre").magnitude
    try:
        assert parse_length(number + unit, "mm") == pytest.approx(oracle, rel=1e-14, abs=0)
    except LengthError:
        assert oracle > 1e7


@pytest.mark.parametrize(
    ("text", "units", "mm"),
    [
        ("2 m", "mm", (2000.0,)),
        ("2 m, 3 m", "mm", (2000.0, 3000.0)),
        ("8'; 8' 2\"", "ft-in", (2438.4, 2489.2)),
        ("8,8,9", "ft-in", (2438.4, 2438.4, 2743.2)),
        ("3 @ 8' 2\"", "ft-in", (2489.2,) * 3),
        ("3 x 2400; 1200", "mm", (2400.0, 2400.0, 2400.0, 1200.0)),
        ("2×2.4", "m", (2400.0, 2400.0)),
        (", 5 ;; 6 ,", "mm", (5.0, 6.0)),
        ("2 @ 1' + 6\"", "ft-in", (457.2, 457.2)),
    ],
)
def test_a_list_of_spacings_is_read(text: str, units: Units, mm: tuple[float, ...]) -> None:
    assert parse_lengths(text, units) == mm


@pytest.mark.parametrize(
    ("text", "units", "problem"),
    [
        ("", "mm", "is empty"),
        (" , ;", "mm", "is empty"),
        ("5, six", "mm", "one way"),
        ("0 @ 5", "mm", "0 times"),
        ("3 @", "mm", "one way"),
        ("10001 @ 5", "mm", "more than 10 000"),
        ("9999 @ 5, 2 @ 5", "mm", "more than 10 000"),
        ("2,4; 2,4", "m", "decimal point"),
        ("2400,2400", "mm", "decimal point"),
    ],
)
def test_a_list_that_cannot_be_read_is_refused(text: str, units: Units, problem: str) -> None:
    with pytest.raises(LengthError, match=problem):
        parse_lengths(text, units)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("30", 30.0), ("30.5°", 30.5), ("-12", -12.0), ("− 12 deg", -12.0), (" 360 ", 360.0), ("0", 0.0)],
)
def test_an_angle_is_read(text: str, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("text", ["", "north", "361", "-360.1", "1e1", "30 30", "٣٠°°", "nan"])
def test_what_is_no_angle_is_refused(text: str) -> None:
    with pytest.raises(LengthError, match="is no angle; type for example 30°"):
        parse_angle(text)


def test_every_sixty_fourth_up_to_a_thousand_feet_survives_being_written_and_read() -> None:
    """All 768 000 of them, each as the exact float of its true value."""
    for count in range(1000 * 12 * 64 + 1):
        mm = count * 127 / 320  # 25.4 / 64, in whole numbers: the float nearest to the true value
        if parse_length(format_length(mm, "ft-in", INCH / 64), "ft-in") != mm:
            pytest.fail(f"{count}/64 in came back as another length")
