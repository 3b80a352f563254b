"""Readings in a wrong unit: what they probably were is said, and sound books are left in peace."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from layoutdesk.engine.levels.book_slips import slips_of
from layoutdesk.engine.levels.entries import LevelBook
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan, Reading, SpotHeight
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, UNITS, Units
from tests.engine.level_runs import back, book, booked, fore

FEET = Plan(units="ft-in", rounding=1.5875)
METRES = Plan(units="m", rounding=1.0)


def yard(chance: random.Random, units: Units = "mm", *, closes: bool = True) -> Plan:
    """Return a book of a sloping yard with ten spots, read from two setups with errors of a level."""
    step = MM_PER_INCH / 16 if units == "ft-in" else 1.0
    slope, along = chance.uniform(0.0, 0.06), chance.uniform(-0.02, 0.02)
    places = [(1500.0 * (n % 5), -1800.0 * (1 + n // 5) - 1500.0 * (n % 2)) for n in range(10)]
    ground = [-150 + slope * y + along * x + chance.gauss(0, 10) for x, y in places]

    def shown(line: float, height: float) -> float:
        return round((line - height + chance.gauss(0, 1.0)) / step) * step

    first, turn = chance.uniform(1000, 1700), chance.uniform(-600, -100)
    second = turn + chance.uniform(1000, 1700)
    rows = [back(1, "B1", shown(first, 0.0))]
    rows += [fore(1, f"G{n}", shown(first, ground[n])) for n in range(5)]
    rows += [fore(1, "T1", shown(first, turn)), back(2, "T1", shown(second, turn))]
    rows += [fore(2, f"G{n}", shown(second, ground[n])) for n in range(5, 10)]
    rows += [fore(2, "B1", shown(second, 0.0))] if closes else []
    spots = [SpotHeight(id=f"G{n}", at=at) for n, at in enumerate(places)]
    return booked(rows, {"B1": 0.0}, spots=spots, plan=Plan(units=units, rounding=step))


def mistyped(plan: Plan, row: int, factor: float) -> LevelBook:
    """Return the book of a plan with one reading typed as ``1 / factor`` of what it was."""
    readings = list(plan.levels.readings)
    readings[row] = replace(readings[row], reading=readings[row].reading / factor)
    return book(plan.with_(levels=replace(plan.levels, readings=tuple(readings))))


def test_inches_typed_as_feet_in_a_loop_are_said_with_the_likely_reading() -> None:
    rows = [
        back(1, "B1", 48.0 * MM_PER_INCH),
        fore(1, "T1", 54.25 * MM_PER_FOOT),
        back(2, "T1", 60.0 * MM_PER_INCH),
        fore(2, "B1", 53.75 * MM_PER_INCH),
    ]
    found = book(booked(rows, {"B1": 0.0}, plan=FEET))
    assert found.rows[1].trouble == (
        "T1 reads 54′\u00a03″ from setup 1: probably 4′\u00a06\u2009¹⁄₄″, read in inches and typed as feet; with it"
        " the way closes."
    )
    assert [row.trouble is None for row in found.rows] == [True, False, True, True]
    assert found.rows[1].trouble in found.troubles


@pytest.mark.parametrize(
    ("units", "factor", "says"),
    [
        ("ft-in", 1 / 12, "read in inches and typed as feet"),
        ("ft-in", 12.0, "read in feet and typed as inches"),
        ("m", 0.001, "read in millimetres and typed as metres"),
        ("m", 0.01, "read in centimetres and typed as metres"),
        ("mm", 10.0, "read in centimetres and typed as millimetres"),
        ("mm", 1000.0, "read in metres and typed as millimetres"),
        ("mm", 25.4, "read in inches and typed as millimetres"),
        ("m", MM_PER_FOOT / 1000, "read in feet and typed as metres"),
    ],
)
@pytest.mark.parametrize("closes", [True, False])
def test_each_slip_of_units_is_found_in_loops_and_by_the_ground(
    units: Units,
    factor: float,
    says: str,
    closes: bool,  # noqa: FBT001
) -> None:
    """Every reading of a yard in turn, where the book closes and where only the ground round it tells."""
    for seed in range(3):
        plan = yard(random.Random(seed), units, closes=closes)  # noqa: S311 - numbers for tests
        for row, reading in enumerate(plan.levels.readings):
            if row == 0 and not closes:
                continue  # the first backsight alone lifts all the ground, and nothing tells
            found = mistyped(plan, row, factor)
            told = [r.index for r in found.rows if r.trouble]
            sentences = [r.trouble for r in found.rows if r.trouble]
            names = {reading.point for reading in (plan.levels.readings[n] for n in told)}
            assert row in told or (reading.point == "T1" and "T1" in names), (seed, row, told)
            # Where nothing closes, the sights on T1 are told apart by how usual a slip is, and that may err.
            assert any(says in sentence for sentence in sentences) or (reading.point == "T1" and not closes)


def test_sound_books_are_left_in_peace() -> None:
    """Two hundred yards in each unit, with and without a closing shot: no reading is suspected."""
    for units in UNITS:
        for seed in range(200):
            found = book(yard(random.Random(1000 + seed), units, closes=seed % 2 == 0))  # noqa: S311 - as above
            assert [row.trouble for row in found.rows if row.trouble] == []


def test_a_bank_in_the_yard_is_no_slip() -> None:
    """Ground that steps down by half a metre is not fitted by any change of units."""
    chance = random.Random(5)  # noqa: S311 - as above
    for _ in range(50):
        plan = yard(chance)
        step = chance.uniform(300, 700)
        readings = [
            replace(r, reading=r.reading + step) if r.point in {"G7", "G8", "G9"} else r
            for r in plan.levels.readings
        ]
        found = book(plan.with_(levels=replace(plan.levels, readings=tuple(readings))))
        assert [row.trouble for row in found.rows if row.trouble] == []


def test_what_is_longer_than_any_rod_is_said() -> None:
    found = book(booked([back(1, "B1", 1_234_000.0), fore(1, "G1", 1_300.0)], {"B1": 0.0}, plan=METRES))
    assert found.rows[0].trouble == (
        "B1 reads 1234.000\u00a0m from setup 1: probably 1.234\u00a0m, read in millimetres and typed as metres;"
        " no rod is so long."
    )


def test_a_loop_that_no_unit_explains_is_only_said_to_be_off() -> None:
    rows = [back(1, "B1", 1000.0), fore(1, "T1", 1500.0), back(2, "T1", 1400.0), fore(2, "B1", 1000.0)]
    found = book(booked(rows, {"B1": 0.0}))
    assert found.troubles == (found.loops[0].says,)


def test_the_slips_of_every_unit_begin_with_its_own_system() -> None:
    assert [slip.factor for slip in slips_of("ft-in")[:2]] == pytest.approx([1 / 12, 12])
    assert [slip.factor for slip in slips_of("m")[:2]] == pytest.approx([0.01, 0.001])
    for units in UNITS:
        factors = [slip.factor for slip in slips_of(units)]
        assert len(set(factors)) == len(factors)
        assert 1.0 not in factors


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.layout.json")), ids=lambda path: path.name.split(".")[0])
def test_the_samples_close_and_hold(path: object) -> None:
    plan = read_plan(path)  # type: ignore[arg-type]
    found = book(plan)
    assert found.troubles == ()
    assert found.check_holds is True
    assert all(loop.closes for loop in found.loops)
    assert {loop.end for loop in found.loops} >= {"BM1"}
    assert {pier.id for pier in plan.piers} <= {p.id for p in found.points if p.elevation is not None}


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.layout.json")), ids=lambda path: path.name.split(".")[0])
def test_any_one_reading_of_a_sample_in_a_wrong_unit_is_named(path: object) -> None:
    plan = read_plan(path)  # type: ignore[arg-type]
    factor = 12.0 if plan.units == "ft-in" else 0.001
    for row, reading in enumerate(plan.levels.readings):
        found = mistyped(plan, row, factor)
        named = [r.label for r in found.rows if r.trouble and "probably" in r.trouble]
        assert named == [reading.point], (row, reading)


def test_a_reading_of_nothing_is_never_blamed() -> None:
    rows: list[Reading] = [back(1, "B1", 0.0), fore(1, "T1", 0.0), back(2, "T1", 0.0), fore(2, "B1", 900.0)]
    found = book(booked(rows, {"B1": 0.0}))
    assert all(row.trouble is None or row.reading for row in found.rows)
