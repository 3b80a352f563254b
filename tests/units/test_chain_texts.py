"""Chains of dimensions as a paper plan writes them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import LengthError
from layoutdesk.units import format_length, parse_chain


def test_parts_and_overall() -> None:
    parts, overall = parse_chain("6'-0\", 8'-2\", 8'-2\" = 22'-4\"", "ft-in")
    assert parts == (1828.8, 2489.2, 2489.2)
    assert overall == 6807.2
    assert parse_chain("1.8; 2 @ 2.5", "m") == ((1800, 2500, 2500), None)
    assert parse_chain("2 @ 8' 2\" = 16' 4\"", "ft-in") == ((2489.2, 2489.2), 4978.4)


@pytest.mark.parametrize("text", ["", "=", "6' =", "= 6'", "6' = 3' = 3'", "6', 0 = 6'", "-1' = 6'", "a, b = c"])
def test_what_is_no_chain_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(LengthError, match="type for example"):
        parse_chain(text, "ft-in")


@given(st.lists(st.integers(1, 768_000), min_size=1, max_size=20), st.integers(1, 768_000))
def test_every_chain_of_sixty_fourths_survives(parts: list[int], overall: int) -> None:
    step = 25.4 / 64
    text = ", ".join(format_length(n * step, "ft-in", step) for n in parts)
    read, whole = parse_chain(f"{text} = {format_length(overall * step, 'ft-in', step)}", "ft-in")
    assert [round(mm / step) for mm in read] == parts
    assert whole is not None
    assert round(whole / step) == overall
