"""Booking levels, and giving heights to spots, beam lines, piers and columns."""

from __future__ import annotations

import math
from typing import Any

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import (
    Benchmark,
    ColumnRule,
    HeightSettings,
    LineHeights,
    PierHeights,
    Plan,
    Reading,
    Setup,
)


def site() -> Plan:
    """Return a plan with a control point, a beam line of two piers, of which one has a mark, and a spot."""
    plan = edits.add_control(Plan(), (0, 0))
    plan = edits.add_line(plan, (0, 0), (0, -5000))
    plan = edits.add_pier(plan, (0, -2000), line="L1")
    plan = edits.add_pier(plan, (0, -4000), line="L1")
    plan = edits.rename(plan, "P2", "corner")
    return edits.add_spot(plan, (1000, -1000))


def back(point: str, reading: float = 1000.0, setup: int = 1) -> Reading:
    return Reading(setup=setup, point=point, kind="back", reading=reading)


def fore(point: str, reading: float = 1500.0, setup: int = 1) -> Reading:
    return Reading(setup=setup, point=point, kind="fore", reading=reading)


def test_readings_are_booked_in_order_or_before_another() -> None:
    plan = edits.add_reading(site(), fore("TP1"))
    plan = edits.add_reading(plan, back("B1"), index=0)
    plan = edits.add_readings(plan, [back("TP1", setup=2), fore("P1", setup=2)])
    assert [r.point for r in plan.levels.readings] == ["B1", "TP1", "TP1", "P1"]
    with pytest.raises(EditError, match="there is no reading number 10 to book before"):
        edits.add_reading(plan, back("B1"), index=9)


def test_a_point_is_booked_under_its_id_however_it_is_written() -> None:
    names = {
        "corner": "P2",
        "CORNER": "P2",
        "p1": "P1",
        "Corner  top": "P2 top",
        "p1 support": "P1 support",
        "g1": "G1",
        "nail in the fence": "nail in the fence",
        "fence top": "fence top",
    }
    for written, booked in names.items():
        assert edits.add_reading(site(), fore(written)).levels.readings[-1].point == booked
    plan = edits.add_reading(edits.set_benchmark(site(), "Sill"), fore("sill"))
    assert plan.levels.readings[-1].point == "Sill"
    plan = edits.add_reading(edits.add_reading(plan, fore("TP1")), back("tp1", setup=2))
    assert plan.levels.readings[-1].point == "TP1"


def test_a_mark_that_two_piers_share_is_asked_about() -> None:
    plan = edits.rename(site(), "P1", "corner")
    with pytest.raises(EditError, match="P1 and P2 are both called “corner”; write the id"):
        edits.add_reading(plan, fore("corner"))


def test_a_reading_is_booked_anew_and_struck_out() -> None:
    plan = edits.add_readings(site(), [back("B1"), fore("P1"), fore("P2")])
    changed = edits.replace_reading(plan, 1, fore("corner", 1600.0))
    assert changed.levels.readings[1] == fore("P2", 1600.0)
    assert edits.replace_reading(plan, 1, fore("P1")) is plan
    assert [r.point for r in edits.remove_readings(plan, [0, 2]).levels.readings] == ["P1"]
    assert edits.remove_readings(plan, []) is plan
    with pytest.raises(EditError, match="there is no reading number 4 in the book"):
        edits.replace_reading(plan, 3, fore("P1"))
    with pytest.raises(EditError, match="there is no reading number 0 in the book"):
        edits.remove_readings(plan, [0, -1])


@pytest.mark.parametrize(
    ("reading", "sentence"),
    [
        (back("", 1.0), "the point is empty"),
        (back("P1", math.nan), "the reading at P1 is not a finite number"),
        (back("P1", 1e9), "the reading at P1 is more than 10 km (6 miles)"),
        (back("P1", setup=-1), "the setup at P1 must be a whole number from 0 to 1 000 000"),
        (Reading(setup=1, point="P1", kind="side", reading=1.0), "the kind of sight must be one of back, fore"),  # type: ignore[arg-type]
    ],
)
def test_a_reading_that_cannot_be_is_refused(reading: Reading, sentence: str) -> None:
    with pytest.raises(EditError) as refusal:
        edits.add_reading(site(), reading)
    assert sentence in str(refusal.value)


def test_a_benchmark_is_added_changed_and_taken_away() -> None:
    plan = edits.set_benchmark(site(), " B1 ", at=(1, 2))
    assert plan.levels.benchmarks == (Benchmark(id="B1", elevation=0.0, at=(1.0, 2.0)),)
    plan = edits.set_benchmark(plan, "B1", elevation=250)
    assert plan.levels.benchmarks == (Benchmark(id="B1", elevation=250.0, at=(1.0, 2.0)),)
    assert edits.set_benchmark(plan, "B1", elevation=250.0) is plan
    booked = edits.add_reading(plan, back("B1"))
    assert edits.remove_benchmark(booked, "B1").levels.readings == booked.levels.readings
    with pytest.raises(EditError, match="there is no benchmark B2"):
        edits.remove_benchmark(plan, "B2")
    with pytest.raises(EditError, match="the elevation of the benchmark B1 is not a finite number"):
        edits.set_benchmark(plan, "B1", elevation=math.inf)


def test_a_setup_says_its_method_until_it_is_the_usual_one_again() -> None:
    plan = edits.set_setup(site(), 2, method="water level")
    plan = edits.set_setup(plan, 1, deviation=0.5)
    assert plan.levels.setups == (Setup(setup=1, deviation=0.5), Setup(setup=2, method="water level"))
    assert edits.set_setup(plan, 2, method="water level") is plan
    plan = edits.set_setup(edits.set_setup(plan, 1, deviation=None), 2, method="level")
    assert plan.levels.setups == ()
    assert edits.set_setup(plan, 3, method="level") is plan
    with pytest.raises(EditError, match=r"the deviation of setup 1 must be from 0.01 to 1000 mm"):
        edits.set_setup(plan, 1, deviation=0.0)
    with pytest.raises(EditError, match="the method must be one of level, water level, string"):
        edits.set_setup(plan, 1, method="guess")  # type: ignore[arg-type]


def test_spots_are_pieces_of_the_sheet() -> None:
    plan = edits.add_spot(site(), (2000, -2000), elevation=-300)
    assert [(s.id, s.elevation) for s in plan.spots] == [("G1", None), ("G2", -300.0)]
    moved = edits.move(plan, ["G2"], (100, 0))
    assert (moved.spots[1].at, moved.spots[1].elevation) == ((2100.0, -2000.0), -300.0)
    copied = edits.copy(plan, ["G2"], (0, -500))
    assert (copied.spots[2].id, copied.spots[2].elevation) == ("G3", None)  # a height is of its place
    mirrored = edits.mirror(plan, ["G2"], (0, 0), (0, 1), keep=False)
    assert mirrored.spots[1].at == (-2000.0, -2000.0)
    turned = edits.turn(plan, ["G2"], (0, 0), 90)
    assert turned.spots[1].at == pytest.approx((2000.0, 2000.0))
    assert edits.set_spot(plan, "G2", None).spots[1].elevation is None
    assert edits.set_spot(plan, "G1", None) is plan
    with pytest.raises(EditError, match="P1 is no spot"):
        edits.set_spot(plan, "P1", 0.0)
    with pytest.raises(EditError, match="the elevation of G1 is more than 10 km"):
        edits.set_spot(plan, "G1", 1e8)


def test_renaming_a_spot_or_a_benchmark_renames_it_in_the_book() -> None:
    plan = edits.set_benchmark(site(), "B1", elevation=0)
    plan = edits.add_readings(plan, [back("B1"), fore("G1"), fore("TP1")])
    plan = edits.rename(edits.rename(plan, "G1", "low corner"), "B1", "sill")
    assert [r.point for r in plan.levels.readings] == ["sill", "low corner", "TP1"]
    assert (plan.spots[0].id, plan.levels.benchmarks[0].id) == ("low corner", "sill")
    with pytest.raises(EditError, match="the level book has readings on another point called TP1"):
        edits.rename(plan, "low corner", "TP1")


def test_renaming_a_beam_line_keeps_its_heights() -> None:
    plan = edits.rename(edits.set_line_heights(site(), ["L1"], seat=2400), "L1", "north")
    assert plan.levels.lines == (LineHeights(line="north", seat=2400.0),)


def test_deleting_keeps_what_was_booked_and_its_name() -> None:
    plan = edits.set_benchmark(site(), "C1", elevation=0)
    plan = edits.add_readings(plan, [back("C1"), fore("G1"), fore("corner top")])
    plan = edits.set_line_heights(plan, ["L1"], seat=2400)
    plan = edits.set_pier_heights(plan, ["P1", "P2"], top=100)
    gone = edits.delete(plan, ["C1", "G1", "L1", "P2"])
    assert gone.levels.readings == plan.levels.readings
    assert gone.levels.benchmarks[0].at == (0.0, 0.0)
    assert gone.levels.lines == ()
    assert gone.levels.piers == (PierHeights(pier="P1", top=100.0),)
    assert edits.added(gone, edits.add_pier(gone, (9, 9))) == ("P3",)
    assert edits.added(gone, edits.add_spot(gone, (9, 9))) == ("G2",)
    assert plan_from_json(plan_to_json(gone), "gone") == gone


def test_lines_and_piers_are_given_heights_together() -> None:
    plan = edits.add_line(site(), (3000, 0), (3000, -5000))
    plan = edits.set_line_heights(plan, ["L2", "L1"], seat=2400, fall=1 / 48)
    plan = edits.set_line_heights(plan, ["L1"], top="level", pier_top=-50)
    assert plan.levels.lines == (
        LineHeights(line="L1", seat=2400.0, fall=1 / 48, top="level", pier_top=-50.0),
        LineHeights(line="L2", seat=2400.0, fall=1 / 48),
    )
    assert edits.set_line_heights(plan, ["L2"], seat=2400.0) is plan
    assert edits.set_line_heights(plan, ["L2"], seat=None, fall=0).levels.lines == plan.levels.lines[:1]
    plan = edits.set_pier_heights(plan, ["P2", "P1"], ground=-200, support=0)
    plan = edits.set_pier_heights(plan, ["P2"], ground=None)
    assert plan.levels.piers == (
        PierHeights(pier="P1", ground=-200.0, support=0.0),
        PierHeights(pier="P2", support=0.0),
    )
    assert edits.set_pier_heights(plan, ["P1", "P2"], ground=None, support=None).levels.piers == ()


def test_columns_and_judging_are_set_by_parts() -> None:
    plan = edits.set_columns(site(), width=90, stock=(3048, 2438.4, 3048))
    assert plan.levels.columns == ColumnRule(width=90.0, stock=(2438.4, 3048.0))
    assert edits.set_columns(plan, width=90.0) is plan
    plan = edits.set_heights(plan, frost=900, contour=100)
    assert plan.levels.settings == HeightSettings(frost=900.0, contour=100.0)
    assert edits.set_heights(plan, frost=None, contour=None).levels.settings == HeightSettings()


@pytest.mark.parametrize(
    ("edit", "fields", "sentence"),
    [
        (edits.set_columns, {"width": 0}, "the width of the columns must be more than 0 and at most 2000 mm"),
        (edits.set_columns, {"cap": -1}, "the height of the cap of the columns must be from 0 to 50000 mm"),
        (edits.set_columns, {"stock": (0.0,)}, "the stock lengths of the columns must be more than 0"),
        (edits.set_heights, {"frost": math.nan}, "the frost depth of the levels must be from 0 to 10000 mm"),
        (edits.set_heights, {"line_pull": 0}, "the pull on the line of the levels must be from 0.001 to 1000 N"),
        (edits.set_heights, {"exaggeration": 0.5}, "the exaggeration of the levels must be from 1 to 100"),
    ],
)
def test_a_rule_that_cannot_be_is_refused(edit: Any, fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(EditError) as refusal:
        edit(site(), **fields)
    assert str(refusal.value).startswith(sentence)


def test_heights_of_what_is_not_there_are_refused() -> None:
    with pytest.raises(EditError, match="there is no beam line L9"):
        edits.set_line_heights(site(), ["L9"], seat=0)
    with pytest.raises(EditError, match="C1 is no pier"):
        edits.set_pier_heights(site(), ["C1"], top=0)
    with pytest.raises(EditError, match="the fall of the beam of L1 must be a slope from -1 to 1"):
        edits.set_line_heights(site(), ["L1"], fall=math.nan)
    with pytest.raises(EditError, match="what the pier tops follow must be one of reveal, level, string"):
        edits.set_line_heights(site(), ["L1"], top="sky")  # type: ignore[arg-type]
