"""The level book: carried forward, checked at the foot of the page, closed, and spread by least squares."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.derive import derive
from layoutdesk.engine.levels.book import level_book
from layoutdesk.plan import edits
from layoutdesk.plan.model import HeightSettings, Plan, Reading, Setup
from tests.engine.level_runs import back, book, booked, fore, run
from tests.strategies import plans

LOOP = run([1200.0, 1500.0, 900.0], [800.0, 1100.0, 1694.0], ["B1", "T1", "T2", "B1"])
"""Three setups that come back 6 mm too high."""


def test_a_run_is_carried_forward_as_on_paper() -> None:
    found = book(booked(LOOP, {"B1": 100.0}))
    assert [row.height_of_line for row in found.rows] == [1300.0, None, 2000.0, None, 1800.0, None]
    assert [row.booked for row in found.rows] == [100.0, 500.0, 500.0, 900.0, 900.0, 106.0]
    assert [row.index for row in found.rows] == list(range(6))


def test_the_page_check_of_a_loop_holds() -> None:
    found = book(booked(LOOP, {"B1": 100.0}))
    assert (found.back_sum, found.fore_sum) == (3600.0, 3594.0)
    assert (found.check_start, found.check_end, found.check_holds) == (100.0, 106.0, True)


def test_a_single_loop_is_off_by_the_same_in_every_setup() -> None:
    """Corrections of a loop grow by equal steps from setup to setup: a third of 6 mm each."""
    found = book(booked(LOOP, {"B1": 100.0}))
    (loop,) = found.loops
    assert (loop.setups, loop.start, loop.end, loop.misclosure) == ((1, 2, 3), "B1", "B1", 6.0)
    assert loop.allowable == pytest.approx(3 * math.sqrt(3))
    assert [row.adjusted for row in found.rows] == pytest.approx([100, 498, 498, 896, 896, 100])
    assert not loop.closes
    assert (
        loop.says == "Setups 1 to 3 come back to B1 6\u00a0mm too high; only 5\u00a0mm are allowed: level it again."
    )
    assert found.troubles == (loop.says,)


@given(st.integers(1, 12), st.floats(-50, 50), st.randoms(use_true_random=False))
def test_corrections_of_any_single_loop_are_equal_per_setup(count: int, off: float, chance: object) -> None:
    """Equal weights: after n of N setups a turning point moves by n / N of the misclosure."""
    steps = [(37 * n) % 11 * 100.0 for n in range(count)]
    names = ["B1", *(f"T{n}" for n in range(1, count)), "B1"]
    backs = [1000.0 + step for step in steps]
    fores = [1000.0 for _ in steps]
    fores[-1] += sum(steps) - off
    found = book(booked(run(backs, fores, names), {"B1": 0.0}))
    for row in found.rows:
        assert row.booked is not None
        assert row.adjusted is not None
        after = row.setup if row.kind == "fore" else row.setup - 1
        assert row.adjusted - row.booked == pytest.approx(-off * after / count, abs=1e-8)


def test_a_loop_that_closes_exactly_is_left_as_booked() -> None:
    found = book(booked(run([1200.0, 1500.0], [800.0, 1900.0], ["B1", "T1", "B1"]), {"B1": 0.0}))
    assert found.loops[0].misclosure == 0.0
    assert [row.adjusted for row in found.rows] == [row.booked for row in found.rows]
    assert found.troubles == ()


def test_sights_between_do_not_count_in_the_page_check_nor_in_the_spreading() -> None:
    between = [fore(1, "G1", 1000.0), fore(2, "G2", 700.0), fore(3, "P9 top", -50.0)]
    found = book(booked([*LOOP[:2], *between[:1], *LOOP[2:], *between[1:]], {"B1": 100.0}))
    assert (found.back_sum, found.fore_sum, found.check_holds) == (3600.0, 3594.0, True)
    heights = {point.id: point.elevation for point in found.points}
    # Setup 1's line keeps half of the first third; 300 and 1300 as booked.
    assert heights["T1"] == pytest.approx(498)
    assert heights["G1"] == pytest.approx(300 - 1)
    assert heights["G2"] == pytest.approx(1300 - 3)


def test_booked_order_is_not_assumed() -> None:
    """Setups booked before the ones they hang on give the same heights."""
    ordered = book(booked(LOOP, {"B1": 100.0}))
    turned = book(booked([*LOOP[4:], *LOOP[2:4], *LOOP[:2]], {"B1": 100.0}))
    want = {point.id: point.elevation for point in ordered.points}
    assert {point.id: point.elevation for point in turned.points} == pytest.approx(want)
    assert abs(turned.loops[0].misclosure) == 6.0


def test_a_setup_without_a_backsight_takes_its_line_from_a_known_point_and_says_so() -> None:
    found = book(
        booked(
            [back(1, "B1", 1000.0), fore(1, "T1", 1200.0), fore(2, "T1", 900.0), fore(2, "G1", 1000.0)], {"B1": 0.0}
        )
    )
    assert found.rows[3].booked == -300.0
    assert found.troubles[0] == "Setup 2 has no back reading; its level line is taken from the fore reading on T1."
    assert found.check_holds is False
    assert "The page check does not hold: back readings less fore ones are" in found.troubles[1]
    assert found.troubles[1].endswith("setup 2 must have one back reading.")


def test_a_setup_that_connects_to_nothing_is_named_with_its_points() -> None:
    found = book(booked([*LOOP, back(7, "T9", 1000.0), fore(7, "G4", 1200.0)], {"B1": 100.0}))
    assert found.rows[-1].booked is None
    assert found.rows[-1].adjusted is None
    assert found.point("G4") is not None
    assert found.troubles[0] == (
        "Setup 7 connects to nothing: T9 and G4 are no benchmark, and read from no setup that has a height;"
        " read a benchmark from it, or a point that is known."
    )
    assert found.back_sum is None


def test_a_book_without_a_benchmark_has_no_heights() -> None:
    found = book(booked(LOOP, {}))
    assert {row.booked for row in found.rows} == {None}
    assert found.troubles[0].startswith("Setup 1 has no height: there is no benchmark in this plan")


def test_benchmarks_that_agree_are_held_and_the_run_is_spread_between() -> None:
    plan = booked(run([1000.0, 1000.0], [1100.0, 1202.0], ["B1", "T1", "B2"]), {"B1": 0.0, "B2": -300.0})
    found = book(plan)
    (loop,) = found.loops
    assert (loop.start, loop.end, loop.misclosure, loop.closes) == ("B1", "B2", -2.0, True)
    assert loop.says == (
        "From B1 over setups 1 and 2 the book comes out at B2 2\u00a0mm too low; 4\u00a0mm are allowed."
    )
    heights = {point.id: (point.elevation, point.within) for point in found.points}
    assert heights["B2"] == (-300.0, 0.0)
    # Four readings of 1.5 mm: T1 lies half way, so its standard deviation is 1.5 mm.
    assert heights["T1"] == pytest.approx((-99.0, 1.96 * 1.5))


def test_a_way_that_is_off_by_a_whole_foot_or_metre_says_where_to_look() -> None:
    """A rod misread by one of its numbers is the commonest slip, and which sight it was nothing tells."""
    feet = Plan(units="ft-in", rounding=1.5875)
    for plan, off, hint in (
        (feet, 304.8 + 2, "one foot"),
        (feet, 250.0, ""),
        (None, 1002.0, "one metre"),
        (None, 98.0, "one decimetre"),
        (None, 400.0, ""),
    ):
        rows = run([5000.0, 5000.0], [5000.0, 5000.0 - off], ["B1", "T1", "B1"])
        says = book(booked(rows, {"B1": 0.0}, plan=plan)).loops[0].says
        assert says.endswith(f", and look for a reading that is off by {hint}." if hint else ": level it again.")


def test_what_is_more_than_allowed_never_reads_as_the_same() -> None:
    rows = run([1000.0, 1000.0], [1000.0, 1000.0 - 4.4], ["B1", "T1", "B1"])
    says = book(booked(rows, {"B1": 0.0})).loops[0].says
    assert "B1 4.5\u00a0mm too high; only 4.0\u00a0mm are allowed" in says
    exact = book(booked(run([1000.0], [1000.0], ["B1", "B1"]), {"B1": 0.0})).loops[0].says
    assert exact == "Setup 1 comes back to B1 exactly; 3\u00a0mm are allowed."


def test_a_spot_that_is_typed_otherwise_than_it_was_read_is_said() -> None:
    plan = edits.add_spot(
        edits.add_spot(Plan(units="mm", rounding=1.0), (0, 0), elevation=-90), (9, 9), elevation=-198
    )
    plan = booked(
        [back(1, "B1", 1000.0), fore(1, "G1", 1200.0), fore(1, "G2", 1200.0)], {"B1": 0.0}, spots=plan.spots
    )
    (trouble,) = book(plan).troubles
    assert trouble == (
        "G1 is typed as −90\u00a0mm and read as −200\u00a0mm; the reading counts, so take the typed height away or"
        " read it once more."
    )


def test_two_benchmarks_that_disagree_are_said() -> None:
    plan = booked(run([1000.0, 1000.0], [1100.0, 1250.0], ["B1", "T1", "B2"]), {"B1": 0.0, "B2": -300.0})
    (trouble,) = book(plan).troubles
    assert trouble == (
        "B1 and B2 disagree: from B1 over setups 1 and 2 the book comes out at B2 50\u00a0mm too low, and only"
        " 4\u00a0mm are allowed; level between them again, and look up both heights."
    )


def test_benchmarks_at_one_place_with_two_heights_are_said() -> None:
    plan = edits.set_benchmark(Plan(units="mm", rounding=1.0), "B1", elevation=0.0, at=(0, 0))
    plan = edits.set_benchmark(plan, "sill", elevation=12.0, at=(0, 0.2))
    assert book(plan).troubles == (
        "B1 and sill are at one place, but are given as 0\u00a0mm and 12\u00a0mm; take one away.",
    )


def test_a_point_read_twice_from_a_setup_is_said_where_it_differs() -> None:
    rows = [back(1, "B1", 1000.0), fore(1, "G1", 1200.0), fore(1, "G1", 1202.0), fore(1, "G1", 1230.0)]
    found = book(booked(rows, {"B1": 0.0}))
    assert [row.trouble is None for row in found.rows] == [True, True, True, False]
    assert found.troubles == (
        "G1 is read twice from setup 1, 1200\u00a0mm and 1230\u00a0mm, 30\u00a0mm apart; read it once more.",
    )
    assert found.loops == ()
    point = found.point("G1")
    assert point is not None
    assert point.elevation == pytest.approx(-(200 + 202 + 230) / 3)  # the mean of three readings


def test_the_shot_that_closes_one_setup_is_a_loop() -> None:
    found = book(booked([back(1, "B1", 1000.0), fore(1, "G1", 1200.0), fore(1, "B1", 1002.0)], {"B1": 0.0}))
    (loop,) = found.loops
    assert (loop.setups, loop.misclosure, loop.allowable) == ((1,), -2.0, 3.0)
    assert loop.says == "Setup 1 comes back to B1 2\u00a0mm too low; 3\u00a0mm are allowed."
    assert found.points[1].elevation == pytest.approx(-199.0)
    far = book(booked([back(1, "B1", 1000.0), fore(1, "G1", 1200.0), fore(1, "B1", 1050.0)], {"B1": 0.0}))
    assert far.troubles == (far.loops[0].says,)  # told once


def test_points_that_two_setups_see_are_told_together() -> None:
    rows = [back(1, "B1", 1000.0), *(fore(1, f"G{n}", 1200.0) for n in range(4)), back(2, "G0", 1100.0)]
    rows += [fore(2, "G1", 1101.0), fore(2, "G2", 1098.0), fore(2, "G3", 1100.0)]
    found = book(booked(rows, {"B1": 0.0}))
    (loop,) = found.loops
    assert (loop.setups, loop.start, loop.end, loop.misclosure) == ((1, 2), "G2", "G2", 2.0)
    assert loop.says == (
        "3 points are read from both setups 1 and 2, and G2 differs most, by 2\u00a0mm; 6\u00a0mm are allowed."
    )
    assert loop.allowable == pytest.approx(3 * math.sqrt(2 * (1 + math.log(3))))  # the worst of three


def test_a_point_of_several_setups_far_from_the_benchmark_is_a_loop_of_its_own() -> None:
    rows = run([1000.0] * 4, [1000.0] * 4, ["B1", "T1", "T2", "T3", "T1"])
    rows[-1] = fore(4, "T1", 995.0)
    (loop,) = book(booked(rows, {"B1": 0.0})).loops
    assert (sorted(loop.setups), loop.start, loop.end, loop.misclosure) == ([2, 3, 4], "T1", "T1", 5.0)
    assert "come back to T1 5\u00a0mm too high" in loop.says


def test_methods_differ_in_how_much_a_reading_counts() -> None:
    """A better setup keeps its readings; the other takes the larger share of what the loop is off."""
    rows = run([1000.0, 1000.0], [1100.0, 905.0], ["B1", "T1", "B1"])
    fine = Setup(setup=1, deviation=1.0)
    found = book(booked(rows, {"B1": 0.0}, setups=[fine, Setup(setup=2, method="string", deviation=2.0)]))
    assert [row.method for row in found.rows] == ["level", "level", "string", "string"]
    assert found.rows[1].adjusted == pytest.approx(-100 + 5 / 5)
    water = book(booked(rows, {"B1": 0.0}, setups=[Setup(setup=1, method="water level")]))
    assert water.rows[1].adjusted == pytest.approx(-100 + 5 * 4 / (4 + 2.25))


def test_points_of_the_plan_have_their_roles_and_labels() -> None:
    plan = edits.add_pier(edits.add_control(Plan(units="mm", rounding=1.0), (5, 5)), (1, 2))
    plan = edits.add_spot(edits.rename(plan, "P1", "corner"), (3, 4))
    names = ["P1", "P1 top", "P1 support", "G1", "C1", "TP1", "B1"]
    plan = edits.set_benchmark(plan, "B1", elevation=10.0, at=(9, 9))
    plan = edits.add_readings(plan, [fore(1, name, 1000.0) for name in names])
    rows = {point.id: (point.label, point.role, point.at) for point in book(plan).points}
    assert rows == {
        "B1": ("B1", "benchmark", (9.0, 9.0)),
        "P1": ("corner", "ground", (1.0, 2.0)),
        "P1 top": ("corner top", "pier top", (1.0, 2.0)),
        "P1 support": ("corner support", "support", (1.0, 2.0)),
        "G1": ("G1", "ground", (3.0, 4.0)),
        "C1": ("C1", "mark", (5.0, 5.0)),
        "TP1": ("TP1", "turning point", None),
    }
    assert [row.label for row in book(plan).rows] == [
        "corner",
        "corner top",
        "corner support",
        "G1",
        "C1",
        "TP1",
        "B1",
    ]
    gone = edits.delete(plan, ["P1", "G1", "C1"])
    assert {p.role for p in book(gone).points} == {"benchmark", "turning point"}


def test_nothing_booked_is_no_book_and_a_benchmark_alone_is_one() -> None:
    assert level_book(Plan()) is None
    assert derive(Plan()).level_book is None
    alone = derive(edits.set_benchmark(Plan(), "B1", elevation=7.0)).level_book
    assert alone is not None
    assert (alone.rows, alone.loops, alone.check_holds) == ((), (), None)
    assert [(p.id, p.elevation, p.within, p.readings) for p in alone.points] == [("B1", 7.0, 0.0, 0)]


def exact_heights(plan: Plan, loose: set[int]) -> dict[str, float]:
    """Return the least-squares heights by exact fractions: normal equations of all lines and free points."""
    levels = plan.levels
    fixed = {mark.id: Fraction(mark.elevation) for mark in levels.benchmarks}
    rows = [r for r in levels.readings if r.setup not in loose]
    unknown = list(dict.fromkeys([*(r.setup for r in rows), *(r.point for r in rows if r.point not in fixed)]))
    index: dict[object, int] = {name: n for n, name in enumerate(unknown)}
    size = len(unknown)
    matrix = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for r in rows:
        terms = [(index[r.setup], 1)]
        value = Fraction(r.reading)
        if r.point in fixed:
            value += fixed[r.point]
        else:
            terms.append((index[r.point], -1))
        for i, a in terms:
            for j, b in terms:
                matrix[i][j] += a * b
            matrix[i][size] += a * value
    for k in range(size):
        pivot = next(i for i in range(k, size) if matrix[i][k])
        matrix[k], matrix[pivot] = matrix[pivot], matrix[k]
        for i in range(size):
            if i != k and matrix[i][k]:
                share = matrix[i][k] / matrix[k][k]
                matrix[i] = [x - share * y for x, y in zip(matrix[i], matrix[k], strict=True)]
    return {str(name): float(matrix[n][size] / matrix[n][n]) for name, n in index.items() if isinstance(name, str)}


@st.composite
def networks(draw: st.DrawFn) -> list[Reading]:
    """Return readings of a few points from a few setups, as they come."""
    names = st.sampled_from(["B1", "B2", "T1", "T2", "T3", "G1", "G2"])
    return draw(
        st.lists(
            st.builds(
                Reading,
                setup=st.integers(1, 4),
                point=names,
                kind=st.sampled_from(("back", "fore")),
                reading=st.integers(-2000, 2000).map(float),
            ),
            min_size=1,
            max_size=14,
        )
    )


@given(networks())
def test_any_network_agrees_with_exact_normal_equations_and_with_numpy(readings: list[Reading]) -> None:
    """Several setups, loops, benchmarks and double sights at once, against two independent ways."""
    plan = booked(readings, {"B1": 0.0, "B2": -250.0})
    found = book(plan)
    loose = {row.setup for row in found.rows if row.booked is None}
    heights = exact_heights(plan, loose)
    for point in found.points:
        if point.id in heights:
            assert point.elevation == pytest.approx(heights[point.id], abs=1e-6)
    # The deviations, by the whole design matrix.
    rows = [r for r in readings if r.setup not in loose]
    free = [p.id for p in found.points if p.role != "benchmark" and p.elevation is not None]
    if not rows:
        return
    setups = list(dict.fromkeys(r.setup for r in rows))
    design = np.zeros((len(rows), len(setups) + len(free)))
    for i, r in enumerate(rows):
        design[i, setups.index(r.setup)] = 1
        if r.point in free:
            design[i, len(setups) + free.index(r.point)] = -1
    spread = np.sqrt(np.diag(np.linalg.inv(design.T @ design))) * HeightSettings().deviation * 1.96
    within = {point.id: point.within for point in found.points}
    assert [within[name] for name in free] == pytest.approx(list(spread[len(setups) :]))


@given(networks())
def test_every_reading_to_spare_is_checked_by_a_way_or_named(readings: list[Reading]) -> None:
    """What is off between carried heights shows in some way or in a row; a book without any is left as booked."""
    found = book(booked(readings, {"B1": 0.0, "B2": -250.0}))
    if not found.loops and all(row.trouble is None for row in found.rows):
        for row in found.rows:
            if row.booked is not None and row.adjusted is not None:
                assert abs(row.booked - row.adjusted) <= HeightSettings().misclosure


@given(plans(near=True))
def test_any_plan_has_a_book_or_none(plan: Plan) -> None:
    found = level_book(plan)
    assert (found is None) == (not plan.levels.readings and not plan.levels.benchmarks)
    if found is not None:
        assert len(found.rows) == len(plan.levels.readings)
        assert all(text.endswith(".") and "nan" not in text for text in found.troubles)
        assert all(math.isfinite(p.within) for p in found.points if p.elevation is not None)
