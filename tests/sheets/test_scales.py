"""Standard scales: the largest that fits, and bars of whole units."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.sheets.scales import Scale, largest_that_fits, scale_bar, standard_scales
from layoutdesk.units import UNITS, Units, parse_length

units = st.sampled_from(UNITS)
grounds = st.floats(0, 1e6)
papers = st.floats(10, 1000)


@pytest.mark.parametrize("shown", UNITS)
def test_scales_go_from_the_largest_to_the_smallest(shown: Units) -> None:
    ratios = [scale.ratio for scale in standard_scales(shown)]
    assert ratios == sorted(set(ratios))


@given(grounds, grounds, papers, papers, units)
def test_the_chosen_scale_fits_and_the_next_larger_does_not(
    wide: float, high: float, paper_wide: float, paper_high: float, shown: Units
) -> None:
    def fits(scale: Scale) -> bool:
        return scale.on_paper(wide) <= paper_wide * (1 + 1e-8) and scale.on_paper(high) <= paper_high * (1 + 1e-8)

    scales = [scale for scale in standard_scales(shown) if scale.ratio >= 10]
    chosen = largest_that_fits(wide, high, paper_wide, paper_high, shown)
    assert chosen == next(filter(fits, scales), None)


def test_a_quarter_inch_plan() -> None:
    """48 ft at 1/4 in to the foot is 12 in of paper, to the hair."""
    scale = largest_that_fits(48 * 304.8, 1, 12 * 25.4, 100, "ft-in")
    assert scale == Scale('1/4" = 1\'-0"', 48.0)
    assert scale.on_paper(304.8) == pytest.approx(6.35)
    assert scale.on_ground(6.35) == pytest.approx(304.8)


def test_without_paper_there_is_no_scale() -> None:
    assert largest_that_fits(100, 100, 0, 100, "m") is None
    assert largest_that_fits(1e9, 100, 100, 100, "m") is None


def test_no_larger_than_wanted() -> None:
    assert largest_that_fits(0, 0, 100, 100, "m", no_larger=50) == Scale("1:50", 50.0)


@given(units, st.sampled_from(range(40)))
def test_a_bar_s_numbers_are_the_lengths_of_its_steps(shown: Units, index: int) -> None:
    scales = standard_scales(shown)
    scale = scales[index % len(scales)]
    bar = scale_bar(scale.ratio, shown)
    assert 1 <= bar.count <= 5
    assert len(bar.labels) == bar.count + 1
    for i, label in enumerate(bar.labels):
        assert parse_length(label, shown) == pytest.approx(i * bar.step)
    assert bar.step / scale.ratio >= 12 * (1 - 1e-9)
    mantissa = bar.step / (304.8 if shown == "ft-in" else 1000)
    leading = mantissa / 10 ** math.floor(math.log10(mantissa) + 1e-9)
    assert round(leading, 9) in {1, 2, 5}
