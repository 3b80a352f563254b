"""Flags of the level book: each trouble has its own, with its numbers, and the samples have none."""

from __future__ import annotations

from dataclasses import replace

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Flag
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.engine.level_runs import back, booked, fore, run

CODES = ("levels-do-not-close", "benchmarks-disagree", "reading-doubtful", "level-book-doubtful")


def flags(plan: Plan) -> list[Flag]:
    """Return the flags of the level book."""
    return [flag for flag in derive(plan).flags if flag.code in CODES]


def test_the_samples_have_no_flag_of_the_book() -> None:
    for path in SAMPLES.glob("*.layout.json"):
        assert flags(read_plan(path)) == []


def test_a_loop_that_does_not_close_is_flagged_once() -> None:
    plan = booked(run([1200.0, 1500.0], [800.0, 1850.0], ["B1", "T1", "B1"]), {"B1": 0.0})
    (flag,) = flags(plan)
    assert (flag.code, flag.severity, flag.stage, flag.about) == ("levels-do-not-close", "warning", "levels", ())
    assert flag.text == (
        "Setups 1 and 2 come back to B1 50\u00a0mm too high; only 4\u00a0mm are allowed: level it again."
    )


def test_benchmarks_that_disagree_name_those_that_are_on_the_sheet() -> None:
    plan = edits.add_control(Plan(units="mm", rounding=1.0), (0, 0))
    rows = run([1000.0], [1100.0], ["C1", "B2"])
    plan = booked(rows, {"C1": 0.0, "B2": -300.0}, plan=plan)
    (flag,) = flags(plan)
    assert (flag.code, flag.about) == ("benchmarks-disagree", ("C1",))
    assert flag.text.startswith(
        "C1 and B2 disagree: from C1 over setup 1 the book comes out at B2 200\u00a0mm too high"
    )


def test_doubtful_readings_are_flagged_one_by_one_and_then_together() -> None:
    plan = edits.add_pier(Plan(units="mm", rounding=1.0), (0, 0))
    rows = [back(1, "B1", 1000.0)]
    for n in range(4):
        rows += [fore(1, f"T{n}" if n else "P1", 1200.0), fore(1, f"T{n}" if n else "P1", 1250.0)]
    one = flags(booked(rows[:3], {"B1": 0.0}, plan=plan))
    assert [(f.code, f.title, f.about) for f in one] == [
        ("reading-doubtful", "The reading at P1 is doubtful", ("P1",))
    ]
    (flag,) = flags(booked(rows, {"B1": 0.0}, plan=plan))
    assert flag.title == "4 readings are doubtful"
    assert flag.text.startswith("The readings at P1, T1, T2 and T3 are doubtful; the first: P1 is read twice")


def test_setups_that_hang_on_nothing_are_flagged() -> None:
    rows = [back(1, "B1", 1000.0), fore(1, "T1", 1200.0)]
    rows += [sight for n in (2, 3, 4) for sight in (back(n, f"X{n}", 1000.0), fore(n, f"Y{n}", 1000.0))]
    two = flags(booked(rows[:6], {"B1": 0.0}))
    assert [f.code for f in two] == ["level-book-doubtful"] * 2
    assert two[0].text.startswith("Setup 2 connects to nothing: X2 and Y2 are no benchmark")
    (all_of_them,) = flags(booked(rows, {"B1": 0.0}))
    assert all_of_them.text.startswith(
        "3 things are wrong in the level book; the first: Setup 2 connects to nothing"
    )


def test_a_reading_in_a_wrong_unit_in_a_sample_is_flagged_with_its_pier() -> None:
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    readings = list(plan.levels.readings)
    row = next(n for n, reading in enumerate(readings) if reading.point == "P8")
    readings[row] = replace(readings[row], reading=readings[row].reading * 12)
    (flag,) = flags(plan.with_(levels=replace(plan.levels, readings=tuple(readings))))
    assert flag.about == ("P8",)
    assert "probably 5′\u00a01\u2009⁷⁄₈″, read in inches and typed as feet" in flag.text
