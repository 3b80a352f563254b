"""Tape classes against Directive 2014/32/EU, annex X (MI-008), chapter I, table 1."""

from __future__ import annotations

from typing import get_args

import pytest

from layoutdesk.engine.tapes import PERMISSIBLE_MM, permissible_error, tape_deviation
from layoutdesk.plan.model import TapeClass
from tests.published.checks import published

CLASSES: tuple[TapeClass, ...] = get_args(TapeClass)


@pytest.mark.parametrize("tape_class", CLASSES)
def test_class_has_its_published_constants(tape_class: TapeClass) -> None:
    expected = published()["tape-classes"]["expected"]
    assert list(PERMISSIBLE_MM[tape_class]) == expected[tape_class]
    assert set(expected) == set(CLASSES)


@pytest.mark.parametrize("tape_class", CLASSES)
@pytest.mark.parametrize("name", ["tape-at-7.3-m", "tape-at-30-m"])
def test_permissible_error_of_a_length(name: str, tape_class: TapeClass) -> None:
    check = published()[name]
    error = permissible_error(check["inputs"]["length_m"] * 1000, tape_class)
    assert error == pytest.approx(check["expected"][tape_class], abs=check["tolerance"])


@pytest.mark.parametrize("tape_class", CLASSES)
def test_standard_deviation_is_half_the_permissible_error_at_whole_metres(tape_class: TapeClass) -> None:
    """Between whole metres it grows smoothly and stays below the directive's step."""
    for length in (1000.0, 7000.0, 30_000.0):
        assert tape_deviation(length, tape_class) == pytest.approx(permissible_error(length, tape_class) / 2)
    assert tape_deviation(7300.0, tape_class) < permissible_error(7300.0, tape_class) / 2
