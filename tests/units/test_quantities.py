"""Volumes in the units that were typed, and other quantities through pint."""

from __future__ import annotations

import pytest

from layoutdesk.errors import LengthError
from layoutdesk.units import Units, parse_volume, to_unit


@pytest.mark.parametrize(
    ("text", "units", "m3"),
    [("17 l", "ft-in", 0.017), ("17 litres", "m", 0.017), ("1 cu ft", "m", 0.028316846592), ("17", "mm", 0.017)],
)
def test_a_volume_is_in_the_unit_that_was_typed(text: str, units: Units, m3: float) -> None:
    """1 ft³ is 0.3048³ m³ exactly."""
    assert parse_volume(text, units) == pytest.approx(m3, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "unit", "target", "expected"),
    [
        (1.0, "ft**3", "m**3", 0.028316846592),
        (2.0, "m**3", "litre", 2000.0),
        (1.0, "lb", "kg", 0.45359237),
        (1.0, "psi", "kPa", 6.894757293168361),
    ],
)
def test_quantities_change_their_units(value: float, unit: str, target: str, expected: float) -> None:
    """Exact by definition of the international pound (0.45359237 kg) and foot; the last follows from both."""
    assert to_unit(value, unit, target) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("unit", "target"), [("m", "kg"), ("wheelbarrow", "m**3"), ("m**3", ""), ("m +", "m")])
def test_quantities_that_do_not_measure_the_same_are_refused(unit: str, target: str) -> None:
    with pytest.raises(LengthError, match="cannot be given in"):
        to_unit(1.0, unit, target)
