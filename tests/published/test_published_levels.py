"""The level book against published field books, loops and nets with their printed digits."""

from __future__ import annotations

import math
from typing import Any

import pytest

from layoutdesk.engine.levels.entries import LevelBook
from layoutdesk.plan.model import Reading, Setup
from tests.engine.level_runs import back, book, booked, fore
from tests.published.checks import on_topic


def book_of(check: dict[str, Any]) -> LevelBook:
    """Return a published field book, worked out."""
    given = check["inputs"]
    unit = given["unit_mm"]
    readings = [
        Reading(setup=setup, point=point, kind=kind, reading=reading * unit)
        for setup, point, kind, reading in given["book"]
    ]
    return book(booked(readings, {name: height * unit for name, height in given["benchmarks"].items()}))


@pytest.mark.parametrize("check", on_topic("levelling"), ids=lambda check: check["id"])
def test_field_book(check: dict[str, Any]) -> None:
    """Heights of the lines, every elevation carried forward, and the sums at the foot of the page."""
    expected, unit, near = check["expected"], check["inputs"]["unit_mm"], check["tolerance"]
    found = book_of(check)
    lines = [row.height_of_line / unit for row in found.rows if row.height_of_line is not None]
    assert lines == pytest.approx(expected["lines"], abs=near)
    heights = {row.point: (row.booked or 0.0) / unit for row in found.rows if row.kind == "fore"}
    assert heights == pytest.approx(expected["booked"], abs=near)
    assert found.back_sum is not None
    assert found.fore_sum is not None
    assert found.back_sum / unit == pytest.approx(expected["back_sum"], abs=near)
    assert found.fore_sum / unit == pytest.approx(expected["fore_sum"], abs=near)
    assert found.check_holds is True
    if "misclosure" in expected:
        assert found.loops[0].misclosure / unit == pytest.approx(expected["misclosure"], abs=near)
        assert not found.loops[0].closes
        adjusted = {p.id: (p.elevation or 0.0) / unit for p in found.points if p.id in expected["adjusted"]}
        assert adjusted == pytest.approx(expected["adjusted"], abs=near)
    else:
        assert found.troubles == ()


@pytest.mark.parametrize("check", on_topic("level loop"), ids=lambda check: check["id"])
def test_loop_whose_parts_differ_in_length(check: dict[str, Any]) -> None:
    """A part of a loop is a setup whose variance grows with its length: corrections then grow with the distance."""
    given, expected, unit = check["inputs"], check["expected"], check["inputs"]["unit_mm"]
    heights = [given["start"], *given["observed"]]
    ends = [0.0, *given["kilometres"]]
    readings, setups = [], []
    for n in range(1, len(heights)):
        names = ["B1" if k in {0, len(heights) - 1} else f"B{k + 1}" for k in (n - 1, n)]
        readings += [back(n, names[0], (heights[n] - heights[n - 1]) * unit), fore(n, names[1], 0.0)]
        setups.append(Setup(setup=n, deviation=math.sqrt(ends[n] - ends[n - 1])))
    found = book(booked(readings, {"B1": given["start"] * unit}, setups=setups))
    assert found.loops[0].misclosure / unit == pytest.approx(expected["misclosure"], abs=1e-9)
    adjusted = [(row.adjusted or 0.0) / unit for row in found.rows if row.kind == "fore"]
    assert adjusted == pytest.approx(expected["adjusted"], abs=check["tolerance"])


NETS = [check for check in on_topic("adjustment") if "lines" in check["inputs"] and "observed" in check["inputs"]]


@pytest.mark.parametrize("check", NETS, ids=lambda check: check["id"])
def test_level_net(check: dict[str, Any]) -> None:
    """Several loops at once: each line of a net is a setup of two readings, which share its variance."""
    given, expected = check["inputs"], check["expected"]
    count = len(given["lines"])
    deviations = given.get("deviations") or [weight**-0.5 for weight in given.get("weights", [1.0] * count)]
    readings: list[Reading] = []
    setups = []
    for n, ((start, end), rise, deviation) in enumerate(
        zip(given["lines"], given["observed"], deviations, strict=True), start=1
    ):
        readings += [back(n, start or "datum", rise), fore(n, end or "datum", 0.0)]
        setups.append(Setup(setup=n, deviation=deviation / math.sqrt(2)))
    found = book(booked(readings, {"datum": 0.0}, setups=setups))
    names = sorted({name for line in given["lines"] for name in line} - {""})
    points = {point.id: point for point in found.points}
    heights = [points[name].elevation for name in names]
    assert heights == pytest.approx(expected["heights"], abs=check["tolerance"])
    # The printed deviations are those of the measures as they came out, times the deviation of unit weight.
    deviation_of = [points[name].within / 1.96 * expected["unit"] for name in names]
    assert deviation_of == pytest.approx(expected["deviations"], abs=check["tolerance"])
