"""Sizes, bends, hooks, cover, ties and laps against published tables.

Sources: shared/published.toml, beside each value.
"""

from __future__ import annotations

import math

import pytest

from layoutdesk.engine.steel.bends import bend_diameter, bent_length, hook
from layoutdesk.engine.steel.circle import least_clear, least_cover
from layoutdesk.engine.steel.hoops import greatest_spacing, lap, least_tie, round_hoop
from layoutdesk.engine.steel.sizes import STEEL_DENSITY, bar, bars
from tests.published.checks import published

INCH = 25.4
LB_PER_FT = 0.45359237 / 0.3048


def test_american_sizes_are_those_of_the_published_table() -> None:
    check = published()["bars-astm"]
    expected = check["expected"]
    assert [one.name for one in bars("astm")] == [f"No. {n}" for n in check["inputs"]["bar"]]
    assert [one.diameter / INCH for one in bars("astm")] == pytest.approx(expected["d_in"], rel=1e-12)
    assert [one.area / INCH**2 for one in bars("astm")] == pytest.approx(expected["area_in2"], rel=1e-12)
    assert [one.mass / LB_PER_FT for one in bars("astm")] == pytest.approx(expected["lb_per_ft"], rel=1e-12)


def test_american_sizes_are_those_of_the_metric_table() -> None:
    """Half a unit of the last place; areas follow square inches of two digits; masses to a thousandth."""
    expected = published()["bars-astm-metric"]["expected"]
    assert [one.diameter for one in bars("astm")] == pytest.approx(expected["d_mm"], abs=0.051)
    assert [one.area for one in bars("astm")] == pytest.approx(expected["area_mm2"], rel=0.006)
    assert [one.mass for one in bars("astm")] == pytest.approx(expected["kg_per_m"], rel=1e-3)


def test_european_sizes_are_those_of_the_published_table() -> None:
    check = published()["bars-en"]
    for size, area, mass in zip(
        check["inputs"]["d_mm"], check["expected"]["area_mm2"], check["expected"]["kg_per_m"], strict=True
    ):
        one = bar(f"{size} mm")
        assert one.area == pytest.approx(area, rel=1e-3)
        assert one.mass == pytest.approx(mass, rel=3e-3)


@pytest.mark.parametrize("one", [*bars("astm"), *bars("en")], ids=lambda one: one.name)
def test_a_bar_is_as_heavy_as_a_round_of_its_diameter(one: object) -> None:
    """Source: EN 10080:2005 for the density; areas are printed to two digits, masses to three."""
    found = bar(str(getattr(one, "name", "")))
    round_area = math.pi / 4 * found.diameter**2
    assert found.area == pytest.approx(round_area, rel=0.02)
    assert found.mass == pytest.approx(round_area * 1e-6 * STEEL_DENSITY, rel=0.005)


def test_hooks_of_bars_are_those_of_the_published_table() -> None:
    check = published()["hooks-of-bars"]
    expected = check["expected"]
    sizes = [bar(f"No. {n}") for n in check["inputs"]["bar"]]
    assert [bend_diameter(one) / INCH for one in sizes[:6]] == pytest.approx(expected["bend_to_no_8_in"], rel=1e-12)
    turned = [hook(one, 180) for one in sizes]
    assert [one.adds / INCH for one in turned] == pytest.approx(expected["adds_180_in"], abs=check["tolerance"])
    assert [one.wide / INCH for one in turned] == pytest.approx(expected["wide_180_in"], abs=check["tolerance"])
    square = [hook(one, 90).leg / INCH for one in sizes]
    assert square == pytest.approx(expected["leg_90_in"], abs=check["tolerance"])


def test_hooks_of_ties_are_those_of_the_published_table() -> None:
    check = published()["hooks-of-ties"]
    expected = check["expected"]
    sizes = [bar(f"No. {n}") for n in check["inputs"]["bar"]]
    bends = [bend_diameter(one, use="tie") / INCH for one in sizes]
    assert bends == pytest.approx(expected["bend_in"], rel=1e-12)
    legs = [hook(one, 90, use="tie").leg / INCH for one in sizes]
    assert legs == pytest.approx(expected["leg_90_in"], abs=check["tolerance"])
    adds = [hook(one, 135, use="tie").adds / INCH for one in sizes]
    assert adds == pytest.approx(expected["adds_135_in"], abs=check["tolerance"])


@pytest.mark.parametrize("size", [8, 10, 12, 16, 20, 25])
def test_bent_bar_is_cut_as_long_as_a_standard_shape(size: int) -> None:
    """Source: BS 8666:2020, which rounds what a bend takes."""
    check = published()["bent-bar-by-shape"]
    one = bar(f"{size} mm")
    radius = bend_diameter(one) / 2
    taken = check["expected"]["radius_share"] * radius + check["expected"]["diameter_share"] * one.diameter
    sides = check["inputs"]["sides_mm"]
    found = sum(sides) - bent_length(tuple(float(side) for side in sides), one)
    assert found == pytest.approx(taken, abs=check["tolerance"] * one.diameter)


def test_cover_is_that_of_the_published_table() -> None:
    ground, formed = published()["cover-cast-against-ground"], published()["cover-formed"]
    tie, thick = bar("No. 3"), bar("No. 6")
    assert least_cover(tie, against="earth", units="ft-in") == ground["expected"]["cover_in"] * INCH
    assert least_cover(tie, against="earth", units="mm") == ground["expected"]["cover_mm"]
    expected = formed["expected"]
    assert least_cover(tie, against="formed", units="ft-in") == expected["no_5_and_under_in"] * INCH
    assert least_cover(thick, against="formed", units="ft-in") == expected["no_6_and_over_in"] * INCH


def test_ties_are_spaced_by_the_published_rule() -> None:
    check = published()["tie-spacing"]
    given = check["inputs"]
    found = greatest_spacing(bar(f"No. {given['bar']}"), bar(f"No. {given['tie']}"), given["pier_in"] * INCH)
    assert found / INCH == pytest.approx(check["expected"]["greatest_in"], abs=check["tolerance"])


def test_laps_are_those_of_the_published_tables() -> None:
    check = published()["laps-in-compression"]
    found = [lap(bar(f"No. {n}"), "compression") / INCH for n in check["inputs"]["bar"]]
    assert found == pytest.approx(check["expected"]["lap_in"], abs=check["tolerance"])
    check = published()["laps-in-tension"]
    sizes = [bar(f"No. {n}") for n in check["inputs"]["bar"]]
    weak = [lap(one, "tension, grade 40") / INCH for one in sizes]
    strong = [lap(one, "tension, grade 60") / INCH for one in sizes]
    assert weak == pytest.approx(check["expected"]["grade_40_in"], abs=check["tolerance"])
    assert strong == pytest.approx(check["expected"]["grade_60_in"], abs=check["tolerance"])


def test_european_bars_and_ties_follow_the_published_rules() -> None:
    check = published()["clear-between-bars-en"]
    given = zip(check["inputs"]["d_mm"], check["inputs"]["stone_mm"], strict=True)
    found = [least_clear(bar(f"{d} mm"), stone=float(stone)) for d, stone in given]
    assert found == pytest.approx(check["expected"]["clear_mm"], abs=check["tolerance"])
    check = published()["tie-size-en"]
    found = [least_tie(bar(f"{d} mm")) for d in check["inputs"]["d_mm"]]
    assert found == pytest.approx(check["expected"]["tie_mm"], abs=check["tolerance"])
    check = published()["tie-spacing-en"]
    near, elsewhere = check["expected"], check["inputs"]["away_from_beams"]
    for d, width in zip(check["inputs"]["d_mm"], check["inputs"]["width_mm"], strict=True):
        printed = elsewhere * min(near["of_diameter"] * d, near["of_width"] * width)
        found_one = greatest_spacing(bar(f"{d} mm"), bar("8 mm"), float(width))
        assert found_one == pytest.approx(printed, rel=check["tolerance"])


def test_ring_goes_around_a_column_as_in_the_published_example() -> None:
    check = published()["ring-around-a-column"]
    given = check["inputs"]
    outside = float(given["width_mm"] - 2 * given["cover_mm"])
    around = round_hoop(outside, bar(f"{given['tie_mm']} mm"), overlap=0.0, turn=None)
    assert around == pytest.approx(check["expected"]["around_mm"], abs=check["tolerance"])
    assert around / (2 * math.pi) == pytest.approx(check["expected"]["radius_mm"])
