"""Flags of steel and of details: one sentence each, with numbers in the plan's units and what to do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.plan.edits import usual_steel
from layoutdesk.plan.model import CastIn, Detail, HeightSettings, Levels, Pier, Plan
from layoutdesk.units import UNITS

SP = "\u00a0"
SHAFT = Detail(id="D1", profile=((0.0, 300.0), (800.0, 300.0)), reveal=150.0, steel=usual_steel("mm"))


def flags_of(*details: Detail, frost: float | None = None, apart: float = 2400.0) -> list[Flag]:
    """Return the flags of a plan with two piers of each detail, those of the stage of piers and of the plan."""
    piers = tuple(
        Pier(id=f"P{k + 1}", at=(k * apart, 0.0), detail=details[k // 2].id) for k in range(2 * len(details))
    )
    plan = Plan(
        units="mm", rounding=1.0, details=details, piers=piers, levels=Levels(settings=HeightSettings(frost=frost))
    )
    return [flag for flag in derive(plan).flags if flag.stage == "piers" or flag.code == "piers-overlap"]


def with_steel(detail: Detail = SHAFT, **steel: object) -> Detail:
    """Return a detail with some of its steel changed."""
    return replace(detail, steel=replace(usual_steel("mm"), **steel))  # type: ignore[arg-type]


@pytest.mark.parametrize("units", UNITS)
def test_usual_steel_in_a_usual_pier_has_no_flag(units: str) -> None:
    """A pier of 12 in or 300 mm: what a new detail starts with is good as it is."""
    width, steel = (304.8, usual_steel("ft-in")) if units == "ft-in" else (300.0, usual_steel("mm"))
    assert flags_of(replace(SHAFT, profile=((0.0, width), (800.0, width)), steel=steel)) == []
    assert flags_of(replace(SHAFT, steel=None)) == []


@pytest.mark.parametrize(
    ("detail", "code", "words"),
    [
        (
            with_steel(bars=12),
            "bars-too-close",
            "at least 24 mm must be clear between two (EN 1992-1-1, 8.2): 10 fit.",
        ),
        (
            with_steel(cover=50.0),
            "cover-too-thin",
            "Beside the steel in the ground: cover of 50 mm is 25 mm too little",
        ),
        (with_steel(cover_ends=50.0), "cover-too-thin", "Under the bars: cover of 50 mm is 25 mm too little"),
        (with_steel(bar="20 mm", hook=90), "hooks-without-room", "Hooks of 90° reach 190 mm out of their bars"),
        (with_steel(spacing=400.0), "hoops-too-far-apart", "and 240 mm is the most (EN 1992-1-1, 9.5.3)."),
        (with_steel(bar="28 mm", hoop="6 mm", bars=2), "hoops-too-thin", "7 mm is the least"),
        (
            with_steel(replace(SHAFT, profile=((0.0, 300.0), (12_500.0, 300.0)))),
            "bars-longer-than-stock",
            "its bars are cut to 12500 mm, and the longest that is sold is 12000 mm",
        ),
        (with_steel(bars=100_000), "steel-not-reckoned", "100,000 bars cannot stand on a circle"),
        (
            replace(SHAFT, cast_in=CastIn(kind="post", width=140.0, depth=140.0, foot=600.0)),
            "post-in-cage",
            "The post is 198 mm across its corners and the bars stand 110 mm clear inside",
        ),
        (
            replace(SHAFT, cast_in=CastIn(foot=1000.0)),
            "cast-in-too-deep",
            "column base reaches 1000 mm down and the pier is only 950 mm high: 50 mm of it stands in the earth",
        ),
    ],
)
def test_a_detail_is_flagged_with_its_numbers_and_what_to_do(detail: Detail, code: str, words: str) -> None:
    (flag,) = [flag for flag in flags_of(detail) if flag.code == code]
    assert words in flag.text.replace(SP, " ")
    assert flag.text.startswith("Detail D1")
    assert flag.text.endswith(".")
    assert "D1" in flag.title
    assert flag.about == ("P1", "P2")


def test_details_that_no_pier_has_are_not_flagged() -> None:
    spare = replace(with_steel(bars=100_000), id="D2")
    plan = Plan(
        units="mm", rounding=1.0, details=(SHAFT, spare), piers=(Pier(id="P1", at=(0.0, 0.0), detail="D1"),)
    )
    assert [flag.code for flag in derive(plan).flags if flag.stage == "piers"] == []


def test_one_flag_tells_of_many_details() -> None:
    many = [replace(with_steel(cover=40.0), id=f"D{k}") for k in range(1, 5)]
    (flag,) = [flag for flag in flags_of(*many) if flag.code == "cover-too-thin"]
    assert flag.title == "There is too little cover on the steel of 4 details"
    assert flag.text.startswith("The steel of details D1, D2, D3 and D4 has too little cover.")
    assert len(flag.about) == 8


def test_base_above_the_frost_is_flagged_without_any_heights() -> None:
    (flag,) = flags_of(SHAFT, frost=1100.0)
    assert flag.code == "base-above-frost"
    assert f"Detail D1 goes 800{SP}mm deep" in flag.text
    assert f"its base is 300{SP}mm above the frost" in flag.text
    assert flags_of(SHAFT, frost=800.0) == []


def test_a_bell_wider_than_the_spacing_of_piers_is_flagged() -> None:
    bell = replace(SHAFT, profile=((0.0, 300.0), (500.0, 300.0), (800.0, 900.0)))
    (flag,) = flags_of(bell, apart=800.0)
    assert flag.severity == "error"
    assert flag.text.replace(SP, " ").startswith("Piers P1 and P2 are 800 mm apart and need 900 mm at their widest")
    assert flags_of(bell, apart=900.0) == []
