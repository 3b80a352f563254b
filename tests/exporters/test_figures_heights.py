"""Heights in the figures and in the table of points, worked out again by plain arithmetic; null when unknown."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.figures import figures, figures_json
from layoutdesk.exporters.tables import points_csv
from layoutdesk.plan.model import (
    Baseline,
    BeamLine,
    Benchmark,
    ColumnRule,
    Detail,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    PierHeights,
    Plan,
    Reading,
    SpotHeight,
)
from tests.strategies import plans

HEIGHTS = ("ground", "top", "bottom", "cut_length")
FALL, SEAT, DEPTH, FROST, REVEAL, FOOT, CAP = 1 / 48, 2500.0, 700.0, 900.0, 75.0, 25.4, 3.0
PLACES = (1000.0, 3500.0, 6000.0)
READ = (1930.0, 2041.0, 2188.0)
"""What the rod shows at the three piers, from a line of sight 1500 above the zero."""


@cache
def booked() -> Layout:
    """Return a beam line of three piers whose ground was read from one setup, its columns on stand-off bases."""
    readings = (
        Reading(setup=1, point="B1", kind="back", reading=1500.0),
        *(Reading(setup=1, point=f"P{n}", kind="fore", reading=read) for n, read in enumerate(READ, 1)),
        Reading(setup=1, point="B1", kind="fore", reading=1500.0),
    )
    return derive(
        Plan(
            baseline=Baseline(origin=(0.0, 0.0), toward=(9000.0, 0.0), yard_side="right"),
            details=(Detail(id="D1", profile=((0.0, 1.0), (DEPTH, 1.0)), reveal=REVEAL),),
            lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(7000.0, 0.0)),),
            piers=tuple(Pier(id=f"P{n}", at=(x, 0.0), line="L1", detail="D1") for n, x in enumerate(PLACES, 1)),
            levels=Levels(
                benchmarks=(Benchmark(id="B1", elevation=0.0),),
                readings=readings,
                lines=(LineHeights(line="L1", seat=SEAT, fall=FALL),),
                columns=ColumnRule(foot=FOOT, cap=CAP),
                settings=HeightSettings(frost=FROST),
            ),
        )
    )


def test_every_height_of_a_pier_is_plain_arithmetic_from_its_reading() -> None:
    """A hole 1 mm wide takes its centre's ground, so that nothing stands between reading and figure."""
    for pier, x, read in zip(figures(booked())["piers"], PLACES, READ, strict=True):
        ground = 1500.0 - read
        top = ground + REVEAL
        assert pier["ground"] == pytest.approx(ground, abs=1e-6)
        assert pier["top"] == pytest.approx(top, abs=1e-6)
        assert pier["bottom"] == pytest.approx(ground - max(DEPTH, FROST), abs=0.1)
        assert pier["cut_length"] == pytest.approx(SEAT - FALL * x - CAP - (top + FOOT), abs=1e-6)
        assert pier["ground_from"] == "reading"


def test_columns_say_both_edges_and_the_sum_of_their_parts() -> None:
    rule = booked().plan.levels.columns
    for column in figures(booked())["columns"]:
        assert column["long"] - column["short"] == pytest.approx(FALL * rule.depth, abs=1e-9)
        assert column["head"] - column["foot"] == pytest.approx(column["length"], abs=1e-9)
        assert column["slope"] == pytest.approx(math.degrees(math.atan(FALL)), abs=1e-9)
        assert column["stock"] >= column["rough"]


def test_strings_stand_above_ground_and_tops_by_what_is_said() -> None:
    made = figures(booked())
    piers = {pier["id"]: pier for pier in made["piers"]}
    stops = [stop for run in made["strings"] for stop in run["piers"]]
    assert {stop["id"] for stop in stops} == set(piers)
    for stop in stops:
        assert stop["string"] - piers[stop["id"]]["ground"] == pytest.approx(stop["above_ground"], abs=1e-6)
        assert stop["string"] - piers[stop["id"]]["top"] == pytest.approx(stop["above_top"], abs=1e-6)


def test_the_book_is_told_reading_by_reading() -> None:
    book = figures(booked())["levels"]["book"]
    assert [row["reading"] for row in book["readings"]] == [1500.0, *READ, 1500.0]
    assert book["readings"][0]["level_line"] == 1500.0
    assert {point["id"]: point["elevation"] for point in book["points"]} == pytest.approx(
        {"B1": 0.0, **{f"P{n}": 1500.0 - read for n, read in enumerate(READ, 1)}}, abs=1e-6
    )
    assert all(row["trouble"] is None for row in book["readings"])


def test_the_plane_is_the_one_through_three_spots() -> None:
    spots = tuple(
        SpotHeight(id=f"G{n}", at=at, elevation=-0.03 * at[0] - 0.04 * at[1])
        for n, at in enumerate(((0.0, 0.0), (5000.0, 0.0), (0.0, 4000.0)), 1)
    )
    plane = figures(derive(Plan(spots=spots)))["levels"]["ground"]["plane"]
    assert plane["slope"] == pytest.approx(0.05, abs=1e-12)
    assert plane["fall"] == pytest.approx([0.6, 0.8], abs=1e-9)


def test_what_is_not_known_is_null() -> None:
    """One pier has a typed ground and no seat: its neighbour has nothing, and neither has a column."""
    plan = replace(booked().plan, levels=Levels(piers=(PierHeights(pier="P1", ground=-100.0),)))
    known, unknown, _ = figures(derive(plan))["piers"]
    assert (known["ground"], known["top"], known["cut_length"]) == (-100.0, -25.0, None)
    assert known["ground_from"] == "typed"
    assert [unknown[key] for key in HEIGHTS] == [None] * 4
    assert unknown["ground_within"] is None


def test_without_heights_every_key_stands_and_is_empty() -> None:
    made = figures(derive(replace(booked().plan, levels=Levels())))
    assert all(pier[key] is None for pier in made["piers"] for key in HEIGHTS)
    assert made["levels"] == {"book": None, "ground": None}
    assert made["strings"] == made["crossings"] == made["columns"] == made["stock"] == []


def test_points_have_heights_behind_their_old_columns() -> None:
    rows = list(csv.reader(io.StringIO(points_csv(booked()), newline="")))
    assert rows[0] == ["id", "x", "y", "station", "offset", "mark", *HEIGHTS]
    for row, pier in zip(rows[1:], figures(booked())["piers"], strict=True):
        assert [float(cell) for cell in row[6:]] == pytest.approx([pier[key] for key in HEIGHTS], abs=1e-6)


def test_points_without_heights_are_as_they_always_were() -> None:
    plain = replace(booked().plan, levels=Levels())
    heading = points_csv(derive(plain)).splitlines()[0]
    assert heading == "id,x,y,station,offset,mark"


def nothing_infinite(text: str) -> Any:
    """Return JSON read strictly: a number that is none stops the test."""

    def refuse(word: str) -> None:
        raise AssertionError(word)

    return json.loads(text, parse_constant=refuse)


@settings(max_examples=60)
@given(plan=plans(near=True))
def test_any_heights_give_figures_that_json_can_hold_and_a_square_table(plan: Plan) -> None:
    layout = derive(plan)
    made = nothing_infinite(figures_json(layout))
    assert figures_json(derive(plan)) == figures_json(layout)
    assert len(made["columns"]) == sum(pier["cut_length"] is not None for pier in made["piers"])
    rows = list(csv.reader(io.StringIO(points_csv(layout), newline="")))
    assert {len(row) for row in rows} == {10 if layout.has_heights else 6}
