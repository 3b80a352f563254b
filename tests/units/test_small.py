"""Small amounts in sentences."""

from __future__ import annotations

import pytest

from layoutdesk.units import Units, format_small


@pytest.mark.parametrize(
    ("mm", "units", "step", "text"),
    [
        (2.0, "m", 1.0, "2\u00a0mm"),
        (-2.4, "m", 1.0, "−2\u00a0mm"),
        (99.9, "m", 0.5, "100.0\u00a0mm"),
        (100.0, "m", 1.0, "0.100\u00a0m"),
        (2500.0, "m", 1.0, "2.500\u00a0m"),
        (2.0, "mm", 1.0, "2\u00a0mm"),
        (2500.0, "mm", 1.0, "2500\u00a0mm"),
        (6.35, "ft-in", 1.5875, "¹⁄₄″"),
        (393.7, "ft-in", 1.5875, "1′\u00a03\u2009¹⁄₂″"),
    ],
)
def test_small_amounts_are_short_and_held_together(mm: float, units: Units, step: float, text: str) -> None:
    assert format_small(mm, units, step) == text
