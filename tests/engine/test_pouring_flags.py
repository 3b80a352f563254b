"""Flags of what is cast in and does not go in, and of bags, mixers and pours that do not do for a pier."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.plan.model import BagProduct, CastIn, Detail, DigRule, HoleLog, Holes, Pier, Plan
from layoutdesk.units import Units

PIER = Detail(id="D1", profile=((0.0, 400.0), (1000.0, 400.0)), reveal=100.0)
POST = CastIn(kind="post", width=300.0, depth=300.0, foot=150.0)
CODES = {"cast-in-too-wide", "bag-not-there", "mixer-too-small", "cold-joint", "pour-too-small"}


def flags_of(detail: Detail, *, dig: DigRule | None = None, units: Units = "mm", details: int = 1) -> list[Flag]:
    """Return the flags of pouring for piers of so many details that are alike."""
    alike = tuple(replace(detail, id=f"D{k}") for k in range(1, details + 1))
    piers = tuple(Pier(id=f"P{k}", at=(3000.0 * k, -3000.0), detail=d.id) for k, d in enumerate(alike, start=1))
    bag = BagProduct(product="40 kg bag", yield_m3=0.019, mass_kg=40.0)
    holes = Holes(dig=dig or DigRule())
    plan = Plan(units=units, rounding=1.0, details=alike, piers=piers, bags=(bag,), holes=holes)
    return [flag for flag in derive(plan).plan_flags if flag.code in CODES]


def test_a_sound_detail_and_a_large_mixer_raise_none() -> None:
    sound = replace(PIER, cast_in=CastIn(kind="post", width=140.0, depth=140.0, foot=300.0))
    assert flags_of(sound, dig=DigRule(batch_m3=0.1, pour_m3=1.0, bag="40 kg bag")) == []


@pytest.mark.parametrize(
    ("detail", "dig", "code", "numbers"),
    [
        (replace(PIER, cast_in=POST), None, "cast-in-too-wide", "12 mm"),
        (PIER, DigRule(bag="30 kg bag"), "bag-not-there", "40 kg bag"),
        (PIER, DigRule(batch_m3=0.01), "mixer-too-small", "1.9 times"),
        (PIER, DigRule(batch_m3=0.02, minutes=15.0), "cold-joint", "105 min"),
        (PIER, DigRule(pour_m3=0.1), "pour-too-small", "0.151 m³"),
    ],
)
def test_each_is_told_in_one_sentence_with_its_numbers(
    detail: Detail, dig: DigRule | None, code: str, numbers: str
) -> None:
    """A pier takes 0.126 m³ in the ground, 10 % more as it comes out, and 0.013 m³ above it."""
    (flag,) = flags_of(detail, dig=dig)
    assert flag.code == code
    assert numbers in flag.text.replace("\u00a0", " ")
    assert flag.text.endswith(".")
    assert flag.stage == ("piers" if code == "cast-in-too-wide" else "buy")


def test_many_details_are_told_together() -> None:
    wide = replace(PIER, cast_in=CastIn(width=300.0, depth=300.0))
    found = flags_of(wide, dig=DigRule(batch_m3=0.02, pour_m3=0.1, minutes=15.0), details=8)
    assert [flag.code for flag in found] == ["cast-in-too-wide", "pour-too-small", "cold-joint"]
    assert all("D1, D2, D3, D4, D5, D6 and 2 more" in flag.text for flag in found)
    assert all(flag.about == tuple(f"P{k}" for k in range(1, 9)) for flag in found)


def test_piers_without_depth_raise_none() -> None:
    flat = Detail(id="D1", profile=((0.0, 300.0),), cast_in=CastIn())
    assert flags_of(flat, dig=DigRule(batch_m3=0.02, pour_m3=0.1)) == []


def test_of_piers_that_are_all_poured_nothing_is_said() -> None:
    def codes(*poured: str) -> list[str]:
        log = tuple(HoleLog(pier=name, depth=1000.0, top=400.0, bottom=400.0, poured=True) for name in poured)
        piers = tuple(Pier(id=f"P{k}", at=(3000.0 * k, -3000.0), detail="D1") for k in (1, 2))
        plan = Plan(units="mm", details=(PIER,), piers=piers, holes=Holes(log=log, dig=DigRule(pour_m3=0.1)))
        return [flag.code for flag in derive(plan).plan_flags if flag.code in CODES]

    assert codes("P1") == ["pour-too-small"]
    assert codes("P1", "P2") == []
