"""Volumes as text and back."""

from __future__ import annotations

import pytest

from layoutdesk.errors import LengthError
from layoutdesk.units import Units, format_volume, format_water, parse_volume


@pytest.mark.parametrize(
    ("m3", "units", "small", "text"),
    [
        # 0.6 cubic feet, common practice for an 80 lb bag: 0.6 · 0.3048³.
        (0.0169901079552, "ft-in", True, "0.60 cu ft"),
        (0.0594, "ft-in", False, "2.10 cu ft"),
        (0.375 * 0.3048**3, "ft-in", True, "0.375 cu ft"),
        (0.1 / 3, "ft-in", True, "1.18 cu ft"),
        (0.012, "m", True, "12.0 l"),
        (0.0594, "mm", False, "0.059 m³"),
    ],
)
def test_a_volume_is_written_in_the_plans_units(m3: float, units: Units, small: bool, text: str) -> None:  # noqa: FBT001
    assert format_volume(m3, units, small=small) == text


def test_volumes_that_are_alike_but_for_the_dust_of_floats_are_written_alike() -> None:
    """An opening of 18 by 21 by 4 in, 0.875 cu ft, reckoned in two ways."""
    exact = 18 * 21 * 4 * 0.0254**3
    assert {format_volume(exact * (1 + dust), "ft-in") for dust in (-1e-12, 0.0, 1e-12)} == {"0.88 cu ft"}


@pytest.mark.parametrize(
    ("litres", "units", "text"),
    [(3.785411784, "ft-in", "1.0 gal"), (14.04, "m", "14.0 l"), (1234.56, "mm", "1,234.6 l")],
)
def test_water_is_written_in_gallons_or_litres(litres: float, units: Units, text: str) -> None:
    assert format_water(litres, units) == text


@pytest.mark.parametrize(
    ("text", "units", "m3"),
    [("0.6", "ft-in", 0.0169901079552), ("0.6 cu ft", "ft-in", 0.0169901079552), ("12 l", "m", 0.012)],
)
def test_what_a_bag_makes_is_read(text: str, units: Units, m3: float) -> None:
    assert parse_volume(text, units) == pytest.approx(m3, rel=1e-12)


@pytest.mark.parametrize("text", ["", "a lot", "0", "-1", "1e9", "5000", "0,6"])
def test_what_is_no_volume_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(LengthError, match="for example"):
        parse_volume(text, "ft-in")
