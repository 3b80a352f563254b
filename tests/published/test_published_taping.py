"""What a reading of a steel tape is worth, against worked examples that were published, and what is assumed."""

from __future__ import annotations

from typing import Any

import pytest

from layoutdesk.engine.proof import corrections
from layoutdesk.engine.proof.corrections import as_steel, on_the_level, pull_correction, temperature_correction
from layoutdesk.engine.proof.observations import ON_STRING_MM, SQUARE_BY_EYE
from layoutdesk.engine.tapes import handbook_tolerance, taken_deviation
from layoutdesk.plan.model import Tape
from tests.published.checks import published

FOOT = 304.8
LB = 4.4482216152605
PSI = LB / 25.4**2


def of(name: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    """Return inputs, expected values and tolerance of a published check."""
    check = published()[name]
    return check["inputs"], check["expected"], check["tolerance"]


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def tape(length: float, **more: Any) -> Tape:
    return Tape(start="a", end="b", distance=length, **more)


def test_tolerance_of_handbook_44_at_the_end_of_each_band_and_just_beyond() -> None:
    inputs, expected, near = of("tape-handbook-44")
    wanted = [inch * 25.4 for inch in expected["tolerance_in"]]
    assert [handbook_tolerance(feet * FOOT) for feet in inputs["upper_ft"]] == pytest.approx(wanted, abs=near)
    beyond = [handbook_tolerance((feet + 1) * FOOT) for feet in inputs["upper_ft"][:-1]]
    assert beyond == pytest.approx(wanted[1:], abs=near)
    assert taken_deviation(30 * FOOT, "H44") == pytest.approx(25.4 / 32)


def test_beyond_its_table_the_tolerance_grows_in_proportion() -> None:
    assert handbook_tolerance(200 * FOOT) == pytest.approx(25.4 / 2)
    assert handbook_tolerance(-200 * FOOT) == handbook_tolerance(200 * FOOT)


def test_a_cold_tape_in_fahrenheit_with_the_coefficient_of_the_example() -> None:
    inputs, expected, near = of("tape-temperature-fahrenheit")
    got = temperature_correction(
        inputs["length_ft"], celsius(inputs["temperature_f"]), per_celsius=inputs["per_f"] * 1.8
    )
    assert got == pytest.approx(expected["correction_ft"], abs=near)
    assert inputs["length_ft"] + got == pytest.approx(expected["true_ft"], abs=near)


def test_a_cold_tape_with_the_coefficient_of_the_program() -> None:
    """Two coefficients for steel are in use; what they differ by is far below what a tape shows."""
    inputs, expected, near = of("tape-temperature-usual-steel")
    length = inputs["length_ft"] * FOOT
    got = as_steel(tape(length, temperature=celsius(inputs["temperature_f"]))) - length
    assert got / FOOT == pytest.approx(expected["correction_ft"], abs=5e-5)
    exact = temperature_correction(inputs["length_ft"], celsius(inputs["temperature_f"]), per_celsius=6.45e-6 * 1.8)
    assert exact == pytest.approx(expected["correction_ft"], abs=near)


def test_a_warm_tape_in_celsius() -> None:
    inputs, expected, near = of("tape-temperature-celsius")
    got = as_steel(tape(inputs["length_m"] * 1000, temperature=inputs["temperature_c"])) / 1000
    assert got == pytest.approx(expected["true_m"], abs=near)
    assert got - inputs["length_m"] == pytest.approx(expected["correction_m"], abs=near)


def test_a_cold_tape_of_another_steel() -> None:
    inputs, expected, near = of("tape-temperature-other-steel")
    got = temperature_correction(inputs["length_m"] * 1000, inputs["temperature_c"], per_celsius=inputs["per_c"])
    assert got == pytest.approx(expected["correction_mm"], abs=near)


def test_a_tape_that_is_pulled_harder_than_when_it_was_graduated() -> None:
    inputs, expected, near = of("tape-pulled")
    got = pull_correction(
        inputs["length_ft"],
        inputs["pull_lb"] * LB,
        standard=inputs["standard_lb"] * LB,
        section=inputs["section_in2"] * 25.4**2,
    )
    assert got == pytest.approx(expected["correction_ft"], abs=near)
    assert inputs["modulus_psi"] * PSI == pytest.approx(corrections.STEEL_N_MM2, rel=3e-4)


def test_a_slope_by_its_angle_and_by_two_heights() -> None:
    inputs, expected, near = of("tape-on-a-slope")
    length = inputs["slope_ft"] * FOOT
    for taken in (tape(length, slope=inputs["degrees"]), tape(length, rise=inputs["rise_ft"] * FOOT)):
        assert on_the_level(taken)[0] / FOOT == pytest.approx(expected["level_ft"], abs=near)


def test_conditions_in_which_a_tape_reads_right() -> None:
    expected = of("tape-conditions-of-the-directive")[1]
    assert expected["temperature_c"] == corrections.GRADUATED_AT_C
    assert expected["pull_n"] == corrections.standard_pull("II") == corrections.standard_pull("own")
    pounds = of("tape-pull-of-handbook-44")[1]["pull_lb"]
    assert corrections.standard_pull("H44") == pytest.approx(pounds * LB, abs=1e-3)
    right = tape(10_000.0, temperature=20.0, pull=50.0)
    assert on_the_level(right) == (10_000.0, 1.0)


def test_what_hands_add_is_what_is_written_down_as_common_practice() -> None:
    assert of("square-by-eye")[1]["share_of_offset"] == SQUARE_BY_EYE
    assert of("stake-on-a-string")[1]["deviation_mm"] == ON_STRING_MM
    assert of("section-of-a-steel-tape")[1]["section_mm2"] == corrections.USUAL_SECTION_MM2
