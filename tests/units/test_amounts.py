"""Masses, loads, prices and shares as they are typed."""

from __future__ import annotations

import pytest

from layoutdesk.errors import LengthError
from layoutdesk.units import (
    exact_mass,
    format_load,
    format_share,
    load_price,
    parse_load,
    parse_load_price,
    parse_mass,
    parse_minutes,
    parse_money,
    parse_share,
)


def test_what_is_typed_is_taken_in_the_units_of_the_plan_or_in_its_own() -> None:
    yard = 0.9144**3
    assert parse_load("0.25", "ft-in") == pytest.approx(yard / 4, rel=1e-12)
    assert parse_load("27 cu ft", "ft-in") == pytest.approx(yard, rel=1e-12)
    assert parse_load("1.5 m³", "ft-in") == 1.5
    assert parse_load("750 l", "mm") == 0.75
    assert parse_mass("80", "ft-in") == pytest.approx(36.2873896, rel=1e-12)
    assert parse_mass("25 kg", "ft-in") == 25.0
    assert parse_money("$6.45") == 6.45
    assert parse_money(" ") == 0.0
    assert parse_share("−5 %") == -0.05
    assert parse_minutes("8 min") == 8.0
    assert load_price(parse_load_price("175.50", "ft-in"), "ft-in") == "175.50"


def test_what_is_shown_has_no_more_decimals_than_it_needs() -> None:
    assert format_load(0.191, "ft-in") == "0.25 cu yd"
    assert format_load(0.25, "m") == "0.25 m³"
    assert exact_mass(36.2873896, "ft-in") == "80 lb"
    assert format_share(0.04, tenths=True) == "4.0%"
    assert [format_share(x) for x in (0.0, 0.0001, 0.019, 0.05, 0.1234, 1.0)] == [
        "0%",
        "<0.1%",
        "1.9%",
        "5%",
        "12%",
        "100%",
    ]


@pytest.mark.parametrize(
    "read", [lambda t: parse_load(t, "m"), lambda t: parse_mass(t, "m"), parse_money, parse_share]
)
def test_what_is_no_number_is_refused_with_an_example(read: object) -> None:
    assert callable(read)
    with pytest.raises(LengthError, match="type for example"):
        read("-- some")
