"""Which slip an error is taken for."""

from __future__ import annotations

import pytest

from layoutdesk.engine.proof.misreading import mixed_units, slip_of
from layoutdesk.units import Units, default_step, parse_length

SIXTEENTH = 1.5875


@pytest.mark.parametrize(
    ("units", "read", "right", "kind"),
    [
        ("ft-in", "18' 3 1/2\"", "17' 3 1/2\"", "whole feet"),
        ("ft-in", "12' 6 3/8\"", "10' 6 3/8\"", "whole feet"),
        ("ft-in", "12' 6 3/8\"", "21' 6 3/8\"", "swapped digits"),
        ("ft-in", "5' 8\"", "8' 5\"", "swapped digits"),
        ("ft-in", "40'", '40"', "one unit for another"),
        ("ft-in", "3.5 m", "3.5'", "one unit for another"),
        ("ft-in", "10' 6\"", "10' 5\"", "whole inches"),
        ("ft-in", "10' 6\"", "10' 5 3/8\"", "other"),
        ("m", "9.310", "3.910", "swapped digits"),
        ("m", "4.310", "5.310", "whole metres"),
        ("m", "4.310", "4.210", "whole decimetres"),
        ("mm", "4310", "4130", "swapped digits"),
        ("mm", "4310", "4347", "other"),
    ],
)
def test_slips(units: Units, read: str, right: str, kind: str) -> None:
    was, should = parse_length(read, units), parse_length(right, units)
    slip = slip_of(was, was - should + 0.4, 0.8, units, default_step(units))
    assert slip.kind == kind
    if kind != "other":
        assert slip.right == pytest.approx(should)


def test_an_inch_is_not_recognised_when_the_error_is_not_known_that_well() -> None:
    assert slip_of(3000.0, 25.4, 1.0, "ft-in", SIXTEENTH).kind == "whole inches"
    assert slip_of(3000.0, 25.4, 5.0, "ft-in", SIXTEENTH).kind == "other"


def test_units_are_told_from_the_plan_alone() -> None:
    slip = mixed_units(480 * 25.4, 41 * 25.4)
    assert slip is not None
    assert slip.right == pytest.approx(40 * 25.4)
    assert mixed_units(3000.0, 2900.0) is None
