"""Texts of dimensions are read as people draw them, in one way or not at all."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.importers.written import Unread, WrittenText, read_or_why, read_written, readings
from layoutdesk.units import MM_PER_INCH, Units, format_length

IN = MM_PER_INCH


def _read(text: str, units: Units | None = None) -> WrittenText:
    found = read_written(text, units)
    assert found is not None, read_or_why(text, units)
    return found


@pytest.mark.parametrize(
    ("text", "mm", "step"),
    [
        ("12'-4 1/2\"", 148.5 * IN, IN / 2),
        ("12'-4½\"", 148.5 * IN, IN / 2),
        ("12′-4 ½″", 148.5 * IN, IN / 2),
        ('12’ – 4"', 148 * IN, IN),
        ("8' 2''", 98 * IN, IN),
        ("8'-2-1/2\"", 98.5 * IN, IN / 2),
        ("8-2 1/2", 98.5 * IN, IN / 2),
        ("8'-2", 98 * IN, IN),
        ("11′ 0 ³⁄₁₆″", 132.1875 * IN, IN / 16),
        ("2'", 24 * IN, 12 * IN),
        ('6"', 6 * IN, IN),
        ('6-1/2"', 6.5 * IN, IN / 2),
        ('11/16"', 11 / 16 * IN, IN / 16),
        ('98.5"', 98.5 * IN, IN / 10),
        ("12.25'", 147 * IN, 0.12 * IN),
        ("8 FT. 2 IN.", 98 * IN, IN),
        ("1,200'", 14400 * IN, 12 * IN),
        ("2.40 m", 2400, 10),
        ("2,40 m", 2400, 10),
        ("3.500 m", 3500, 1),
        ("3500 mm", 3500, 1),
        ("12 450 mm", 12450, 1),
        ("350 cm", 3500, 10),
    ],
)
def test_lengths_that_carry_their_unit(text: str, mm: float, step: float) -> None:
    found = _read(text)
    assert not found.bare
    assert found.value == pytest.approx(mm, abs=1e-9)
    assert found.step == pytest.approx(step, abs=1e-9)


def test_stacked_fractions_that_lost_their_blank() -> None:
    """2 and 1/2 over one another become 21/2; where two readings are left, neither is taken."""
    assert _read("8'-21/2\"").value == pytest.approx(98.5 * IN)
    assert _read("8'-103/4\"").value == pytest.approx(106.75 * IN)
    assert _read("\\A1;8'-2{\\H0.7x;\\S1#2;}\"").value == pytest.approx(98.5 * IN)
    found = read_or_why("8'-11/16\"", None)
    assert isinstance(found, Unread)
    assert "2 ways" in found.why


@pytest.mark.parametrize(
    ("text", "units", "value", "bare"),
    [
        ("3500", None, 3500, True),
        ("3 500", None, 3500, True),
        ("0.500", None, 0.5, True),
        ("2,40", None, 2.4, True),
        ("98 1/2", None, 98.5, True),
        ("12.450.000", None, 12_450_000, True),
        ("3500", "mm", 3500, False),
        ("3,500", "mm", 3500, False),
        ("3.500", "mm", 3500, False),
        ("3.500", "m", 3500, False),
        ("3,500", "m", 3500, False),
        ("8-2", "ft-in", 98 * IN, False),
        ("98 1/2", "ft-in", 98.5 * IN, False),
    ],
)
def test_bare_numbers(text: str, units: Units | None, value: float, bare: bool) -> None:  # noqa: FBT001
    found = _read(text, units)
    assert found.value == pytest.approx(value, rel=1e-12)
    assert found.bare is bare


@pytest.mark.parametrize("text", ["3,500", "3.500"])
def test_thousands_or_decimals_of_an_unknown_unit_are_not_guessed(text: str) -> None:
    assert read_written(text, None) is None
    both = readings(text, None)
    assert not isinstance(both, Unread)
    assert sorted(r.value or 0 for r in both) == [3.5, 3500]


def test_a_wall_of_250_metres_is_not_read_into_a_point() -> None:
    """250.000 in millimetres is a quarter of a metre from a program, or a quarter of a kilometre."""
    assert read_written("250.000", "mm") is None


@pytest.mark.parametrize(
    ("text", "value", "count", "repeats", "overall"),
    [
        ("4 @ 8'-2\" = 32'-8\"", 98, 4, True, 392),
        ("39 @ 8'-2\"", 98, 39, True, None),
        ("(2) 8'-0\"", 96, 2, False, None),
        ("3 x 8'-2\"", 98, 3, True, None),
        ("4 EQ. SP. @ 8'-2\" = 32'-8\"", 98, 4, True, 392),
        ("5 BAYS @ 8'-0\"", 96, 5, True, None),
        ("4 EQ. SP. = 32'-8\"", None, 4, True, 392),
        ("4 EQ. SP.", None, 4, True, None),
    ],
)
def test_repeats(text: str, value: float | None, count: int, repeats: bool, overall: float | None) -> None:  # noqa: FBT001
    found = _read(text)
    assert found.value == (None if value is None else pytest.approx(value * IN))
    assert (found.count, found.repeats) == (count, repeats)
    assert found.overall == (None if overall is None else pytest.approx(overall * IN))


def test_the_total_is_the_overall_length_even_where_it_is_wrong() -> None:
    assert _read("4 @ 8'-2\" = 33'-8\"").total == pytest.approx(404 * IN)
    assert _read("4 @ 8'-2\"").total == pytest.approx(392 * IN)
    assert _read("4 EQ. SP.").total is None
    assert _read("4 @ 2400 = 9600").total == 9600


def test_words_and_marks_around() -> None:
    assert _read("8'-2\" TYP.").words == ("TYP.",)
    assert _read("8'-2\" O.C.").usual
    assert _read("12'-4\" V.I.F.").usual
    assert not _read("8'-2\" TO OAK").usual
    assert _read('Ø12"').mark == _read('12" DIA.').mark == _read('%%c12"').mark == "diameter"
    assert _read('R6"').mark == _read('6" R').mark == _read('R = 6"').mark == "radius"
    assert _read("±8'-0\"").about
    assert _read("8'-0\" +/-").about
    assert _read("8'-0\" MIN.").bound == "least"
    assert _read("≤ 8'-0\"").bound == "most"
    assert _read("(8'-0\")").value == pytest.approx(96 * IN)
    tolerance = _read('8\'-2" ±1/8"')
    assert (tolerance.about, tolerance.within) == (False, IN / 8)


def test_a_second_length_in_other_units_is_a_check() -> None:
    assert _read("8'-2\" [2489]").value == _read("2489 [8'-2\"]").value == pytest.approx(2489.2)
    found = read_or_why("8'-2\" [2589]", None)
    assert found == Unread("holds 2 lengths that differ")


_NO_LENGTHS = [
    "", "EAST", "A-101", "P1", '#4 @ 12" O.C.', '2x10 @ 16" O.C.', "4 x 6", "ROOM 12'-0\" x 14'-0\"", "90°",
    "SCALE: 1:50", "1/4\" = 1'-0\"", "8'-14\"", "8-2", "8-1/2", "4'-0\"x4'-0\"", "0 @ 8'-2\"", "= 8'", "1 = 2 = 3",
    "x" * 200, '3/2"', "12 m²", "4.5.2026",
]  # fmt: skip


@pytest.mark.parametrize("text", _NO_LENGTHS)
def test_what_is_no_length_has_a_reason(text: str) -> None:
    assert read_written(text, None) is None
    found = read_or_why(text, None)
    assert isinstance(found, Unread)
    assert found.why


@given(st.integers(0, 64 * 12 * 500), st.sampled_from([1, 2, 4, 8, 16, 32, 64]), st.booleans())
@settings(deadline=None)
def test_every_length_in_feet_and_inches_reads_back(count: int, under: int, pretty: bool) -> None:  # noqa: FBT001
    """Whatever the program writes on a sheet, it reads from a drawing as the same length."""
    mm = count * IN / under
    found = _read(format_length(mm, "ft-in", IN / under, pretty=pretty))
    assert found.value == pytest.approx(mm, abs=1e-9)
    assert not found.bare


@given(
    st.integers(0, 500_000),
    st.sampled_from([0.1, 0.5, 1.0, 5.0, 10.0]),
    st.sampled_from(["m", "mm"]),
    st.booleans(),
)
@settings(deadline=None)
def test_every_metric_length_reads_back(count: int, step: float, units: Units, pretty: bool) -> None:  # noqa: FBT001
    for unit in (True, False):
        text = format_length(count * step, units, step, unit=unit, pretty=pretty)
        found = _read(text, None if unit else units)
        assert found.value == pytest.approx(count * step, abs=1e-7)


_PIECES = st.sampled_from(
    "8|12|'|\"|-| |1/2|½|@|=|(|)|x|.|,|500|±|Ø|R|TYP.|EQ|m|mm".split("|")  # noqa: SIM905 shorter to read
    + "\\S1/2;|{|%%c|[|]|0|+/-|MIN|⁄|″|1e9|٣|\x00|4 SP|/".split("|")  # noqa: SIM905 as above
)


@given(
    st.one_of(st.text(max_size=60), st.lists(_PIECES, max_size=14).map("".join)),
    st.sampled_from([None, "ft-in", "m", "mm"]),
)
@settings(deadline=None, max_examples=600)
def test_nothing_ever_fails(text: str, units: Units | None) -> None:
    found = read_or_why(text, units)
    if isinstance(found, Unread):
        assert found.why
        assert read_written(text, units) is None
    else:
        assert all(math.isfinite(v) for v in (found.value, found.overall, found.total) if v is not None)
        assert found.step >= 0
