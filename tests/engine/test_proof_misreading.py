"""Which slip an error is taken for."""

from __future__ import annotations

import math

import pytest

from layoutdesk.engine.proof.misreading import mixed_units, slip_of
from layoutdesk.units import Units, default_step, parse_length

SIXTEENTH = 1.5875


@pytest.mark.parametrize(
    ("units", "read", "right", "kind", "also"),
    [
        ("ft-in", "17' 3 1/2\"", "18' 3 1/2\"", "whole feet", ()),
        ("ft-in", "18' 3 1/2\"", "17' 3 1/2\"", "whole feet", ("begun at a mark",)),
        ("ft-in", "12' 6 3/8\"", "10' 6 3/8\"", "whole feet", ()),
        ("ft-in", "12' 6 3/8\"", "21' 6 3/8\"", "swapped digits", ()),
        ("ft-in", "12' 6\"", "12' 9\"", "upside down", ("whole inches",)),
        ("ft-in", "6' 10\"", "10' 6\"", "swapped digits", ()),
        ("ft-in", "1' 3\"", "3' 1\"", "swapped digits", ()),
        ("ft-in", "16' 4\"", "19' 4\"", "upside down", ("whole feet",)),
        ("ft-in", "86' 4\"", "98' 4\"", "upside down", ()),
        ("ft-in", "40'", '40"', "one unit for another", ()),
        ("ft-in", "3.5 m", "3.5'", "one unit for another", ()),
        ("ft-in", "12.7'", "12' 7\"", "tenths for inches", ()),
        ("ft-in", "12.11'", "12' 11\"", "tenths for inches", ()),
        ("ft-in", "12' 8\"", "12.8'", "tenths for inches", ()),
        ("ft-in", "12.5'", "12' 5\"", "begun at a mark", ("tenths for inches", "whole inches")),
        ("ft-in", "10' 7 3/8\"", "10' 6 3/8\"", "begun at a mark", ("whole inches",)),
        ("ft-in", "10' 4 1/2\"", "10' 5 1/2\"", "whole inches", ()),
        ("ft-in", "10' 6\"", "10' 5 3/8\"", "other", ()),
        ("m", "9.310", "3.910", "swapped digits", ()),
        ("m", "5.34", "3.54", "swapped digits", ()),
        ("m", "4.310", "5.310", "whole metres", ()),
        ("m", "4.310", "4.210", "begun at a mark", ("whole decimetres",)),
        ("m", "4.110", "4.310", "whole decimetres", ()),
        ("m", "4.313", "4.323", "whole centimetres", ()),
        ("m", "4.68", "4.89", "upside down", ()),
        ("mm", "4310", "4130", "swapped digits", ()),
        ("mm", "4310", "4347", "other", ()),
    ],
)
def test_slips(units: Units, read: str, right: str, kind: str, also: tuple[str, ...]) -> None:
    was, should = parse_length(read, units), parse_length(right, units)
    slip = slip_of(was, was - should + 0.4, 0.8, units, default_step(units))
    assert (slip.kind, slip.also) == (kind, also)
    if kind != "other":
        assert slip.right == pytest.approx(should)


def test_an_inch_is_not_recognised_when_the_error_is_not_known_that_well() -> None:
    assert slip_of(3000.0, -25.4, 1.0, "ft-in", SIXTEENTH).kind == "whole inches"
    assert slip_of(3000.0, -25.4, 5.0, "ft-in", SIXTEENTH).kind == "other"


def test_a_worn_end_and_a_miscounted_inch_are_both_said() -> None:
    """An inch too much may come of either; an inch too little cannot come of a tape that was begun late."""
    much = slip_of(10 * 304.8 + 7.5 * 25.4, 25.4, 0.5, "ft-in", SIXTEENTH)
    assert much.words.startswith("the tape begun at its 1″ mark and that not taken off, or an inch miscounted")
    assert slip_of(3000.0, -100.0, 0.5, "mm", 1.0).words == "10\u00a0cm miscounted"
    assert slip_of(3000.0, 100.0, 0.5, "mm", 1.0).words.startswith("the tape begun at its 10\u00a0cm mark")


def test_another_right_reading_is_said_with_it() -> None:
    near = slip_of(9_943.0, 9.3, 0.8, "m", 1.0)
    assert near.words == "4 and 3 changed over, or 9.933\u00a0m, a centimetre miscounted"


def test_a_slip_of_a_kind_is_weighed_against_errors_of_any_origin() -> None:
    """Eleven inches and a bit more are as likely something else, where a bit more than one foot is still a foot."""
    assert slip_of(5000.0, 11 * 25.4 + 7.0, 3.2, "ft-in", SIXTEENTH).kind == "other"
    assert slip_of(5000.0, 12 * 25.4 + 7.0, 3.2, "ft-in", SIXTEENTH).kind == "whole feet"


def test_units_are_told_from_the_plan_alone() -> None:
    slip = mixed_units(480 * 25.4, 41 * 25.4)
    assert slip is not None
    assert slip.right == pytest.approx(40 * 25.4)
    assert mixed_units(3000.0, 2900.0) is None


def test_an_error_of_more_than_a_kilometre_is_nothing_but_a_slip() -> None:
    """No snagged tape makes it, so that there is nothing to weigh the slip of units against."""
    slip = slip_of(2_000.0, 2_000.0 - 2_000_000.0, 0.5, "mm", 1.0)
    assert (slip.kind, slip.right) == ("one unit for another", 2_000_000.0)
    assert slip.odds == math.inf
