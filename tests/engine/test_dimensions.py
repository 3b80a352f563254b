"""Which dimensions the sheet shows, where they stand, and that retyping one sets it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
import shapely
from hypothesis import given

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Dimension
from layoutdesk.geometry.vector import Vector, left, minus, plus, times, unit
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Pier, Plan
from tests.engine.scenes import ATTACHED, PORCH, rows_plan
from tests.strategies import plans

LOOSE = ATTACHED.with_(
    attachments=(),
    lines=tuple(
        replace(line, start=p, end=q, attachment=None)
        for line, p, q in (
            (ATTACHED.lines[0], (1000.0, -2000.0), (1000.0, -6000.0)),
            (ATTACHED.lines[1], (5000.0, -2000.0), (5000.0, -6000.0)),
        )
    ),
)
"""Rows square to the wall that are not attached to it."""

WHOLE = {
    "porch": PORCH,
    "attached": ATTACHED,
    "square to the wall, not attached": LOOSE,
    "square to the wall, second row nearer": edits.move(LOOSE, ["L1"], (0.0, -700.0)),
    "along the wall, drawn from the yard": PORCH.with_(lines=PORCH.lines[::-1]),
    "no wall": PORCH.with_(walls=()),
    "square to the baseline": LOOSE.with_(walls=()),
    "askew to the baseline": edits.turn(
        PORCH.with_(walls=()), [pier.id for pier in PORCH.piers] + ["L1", "L2"], (5000.0, -5000.0), 20.0
    ),
    "baseline between the rows": edits.move(PORCH.with_(walls=()), ["L1", "L2"], (0.0, 3500.0)),
    "four rows": rows_plan([(0, 2000, 5000)] * 4, (0.0, -2000.0, -4500.0, -7000.0)),
    "unequal rows": rows_plan([(0, 2000, 5000), (0, 5000), (0, 1000, 5000)], (0.0, -2000.0, -4500.0)),
    "leaning": rows_plan([(0, 2000, 5000)] * 3, (0.0, -2000.0, -4500.0), lean=0.25),
    **{path.stem: read_plan(path) for path in sorted(Path(SAMPLES).glob("*.layout.json"))},
}


def shown(plan: Plan, sets: str) -> list[tuple[str, str, float]]:
    """Return the dimensions of one kind: between what, and how much."""
    return [(d.first, d.second, d.value) for d in derive(plan).dimensions if d.sets == sets]


def line_of(dimension: Dimension) -> tuple[Vector, Vector]:
    """Return the ends of the dimension line as it is drawn."""
    aside = times(left(unit(minus(dimension.end, dimension.start))), dimension.shift)
    return plus(dimension.start, aside), plus(dimension.end, aside)


def test_spacings_of_the_first_row_and_distance_of_rows() -> None:
    """The second row's piers stand like the first's, so its spacings are not said again."""
    assert shown(PORCH, "spacing") == [("P1", "P2", 3000.0), ("P2", "P3", 3000.0)]
    assert shown(PORCH, "row") == [("L1", "L2", 3000.0)]
    assert shown(PORCH, "overall") == []


def test_spacings_begin_at_the_attachment_and_the_row_at_the_corner_of_the_wall() -> None:
    assert shown(ATTACHED, "spacing") == [("A1", "P1", 2500.0), ("P1", "P2", 3000.0)]
    assert shown(ATTACHED, "from wall") == [("W1", "L1", 1000.0)]


def test_row_along_the_wall_is_dimensioned_from_it_and_from_its_corner() -> None:
    """The wall begins 2 m before the first pier and lies 2 m from the row."""
    assert shown(PORCH, "from wall") == [("W1", "L1", 2000.0), ("W1", "P1", 2000.0)]
    assert shown(WHOLE["along the wall, drawn from the yard"], "from wall") == shown(PORCH, "from wall")


def test_row_square_to_the_wall_is_dimensioned_from_it_and_from_its_corner() -> None:
    assert shown(LOOSE, "from wall") == [("W1", "P1", 2500.0), ("W1", "L1", 1000.0)]
    nearer = WHOLE["square to the wall, second row nearer"]
    assert shown(nearer, "from wall") == [("W1", "P1", 3200.0), ("W1", "L1", 1000.0)]


@pytest.mark.parametrize(
    "plan",
    [
        PORCH.with_(walls=()),
        edits.turn(PORCH, [pier.id for pier in PORCH.piers] + ["L1", "L2"], (5000.0, -5000.0), 8.0),
        edits.move(PORCH, ["L1", "L2"], (8000.0, 0.0)),
    ],
    ids=["no wall", "skewed", "beside the wall"],
)
def test_row_without_a_wall_before_it_is_not_dimensioned_from_one(plan: Plan) -> None:
    assert shown(plan, "from wall") == []


AWAY = PORCH.with_(walls=())
"""Rows along a chalked baseline, with no house on the plan."""


def test_row_along_a_baseline_is_dimensioned_from_it() -> None:
    """Where no wall ties it: the baseline of the plan lies 2 m from the row."""
    assert shown(AWAY, "from baseline") == [("baseline", "L1", 2000.0)]
    assert shown(PORCH, "from baseline") == []
    assert shown(AWAY.with_(baseline=None), "from baseline") == []


def test_outermost_row_that_is_nearer_to_the_baseline_is_dimensioned_from_it() -> None:
    beyond = edits.move(AWAY, ["L1", "L2"], (0.0, 8000.0))
    assert shown(beyond, "from baseline") == [("baseline", "L2", 3000.0)]


def test_row_square_to_the_baseline_is_dimensioned_at_its_nearer_end() -> None:
    assert shown(LOOSE.with_(walls=()), "from baseline") == [("baseline", "P1", 2500.0)]


def test_row_askew_to_the_baseline_is_dimensioned_at_both_ends() -> None:
    plan = WHOLE["askew to the baseline"]
    offsets = [(d.first, d.second, round(d.value, 3)) for d in derive(plan).dimensions if d.sets == "from baseline"]
    places = {pier.id: -pier.at[1] for pier in plan.piers}
    assert offsets == [("baseline", end, round(places[end], 3)) for end in ("P1", "P3")]


def test_dimension_from_the_baseline_without_room_is_left_out() -> None:
    """Piers stand wherever its line could be drawn."""
    crowd = tuple(
        Pier(id=f"X{x}{k}", at=(float(x), -250.0 - 500.0 * k), detail="D1")
        for k in range(4)
        for x in range(6000, 10_500, 250)
    )
    full = AWAY.with_(piers=(*AWAY.piers, *crowd))
    assert shown(full, "from baseline") == []
    assert shown(full, "row") == shown(AWAY, "row")


def test_three_rows_have_an_overall_dimension() -> None:
    plan = WHOLE["four rows"]
    assert shown(plan, "row") == [("L1", "L2", 2000.0), ("L2", "L3", 2500.0), ("L3", "L4", 2500.0)]
    assert shown(plan, "overall") == [("L1", "L4", 7000.0)]


def test_rows_that_stand_otherwise_are_dimensioned_too() -> None:
    assert len(shown(WHOLE["unequal rows"], "spacing")) == 2 + 1 + 2


def test_nothing_to_dimension() -> None:
    assert derive(Plan()).dimensions == ()
    assert derive(PORCH.with_(piers=())).dimensions == ()


@pytest.mark.parametrize("plan", WHOLE.values(), ids=WHOLE)
def test_value_is_the_distance_of_its_places(plan: Plan) -> None:
    for dimension in derive(plan).dimensions:
        assert dimension.value == pytest.approx(math.dist(dimension.start, dimension.end), abs=1e-9)
        assert dimension.value > 0


@pytest.mark.parametrize("plan", WHOLE.values(), ids=WHOLE)
def test_dimension_lines_stand_clear_of_piers_and_of_each_other(plan: Plan) -> None:
    """No dimension line runs through a pier, and no two cross or lie on each other."""
    layout = derive(plan)
    lines = [shapely.LineString(line_of(d)) for d in layout.dimensions]
    widest = max(pier.widest for pier in layout.concrete.piers) / 2
    for line in lines:
        assert all(line.distance(shapely.Point(pier.at)) > widest for pier in plan.piers)
    for one, other in combinations(lines, 2):
        common = one.intersection(other)
        assert common.length < 1e-3
        assert common.is_empty or min(common.distance(shapely.Point(end)) for end in one.coords) < 1e-3


@pytest.mark.parametrize("plan", WHOLE.values(), ids=WHOLE)
def test_rows_are_dimensioned_in_one_straight_chain(plan: Plan) -> None:
    """The dimension lines from row to row lie on one line, beyond all piers."""
    chain = [line_of(d) for d in derive(plan).dimensions if d.sets == "row"]
    whole = shapely.MultiPoint([place for line in chain for place in line])
    assert whole.minimum_rotated_rectangle.area < 1.0


@pytest.mark.parametrize("plan", WHOLE.values(), ids=WHOLE)
def test_retyping_a_dimension_makes_it_what_was_typed(plan: Plan) -> None:
    """Each shown dimension, retyped as 100 mm more, is shown as that."""
    for k, dimension in enumerate(derive(plan).dimensions):
        wanted = dimension.value + 100
        retyped = edits.set_distance(
            plan,
            dimension.first,
            dimension.second,
            wanted,
            sets=dimension.sets,
            places=(dimension.start, dimension.end),
        )
        after = {(d.first, d.second, d.sets): d.value for d in derive(retyped).dimensions}
        assert after[dimension.first, dimension.second, dimension.sets] == pytest.approx(wanted, abs=1e-6), k


def test_hundreds_of_piers_are_dimensioned_sparely() -> None:
    """More than 300 piers: the first row only; a chain of more than forty is not drawn."""
    plan = rows_plan([[2000.0 * k for k in range(30)]] * 20, [-2000.0 * k for k in range(20)])
    assert len(shown(plan, "spacing")) == 29
    assert len(shown(plan, "row")) == 19
    long = rows_plan([[2000.0 * k for k in range(60)]] * 50, [-2000.0 * k for k in range(50)])
    assert shown(long, "spacing") == []
    assert shown(long, "row") == []
    assert shown(long, "overall") == [("L1", "L50", 98_000.0)]


def test_dimension_smaller_than_the_tape_shows_is_left_out() -> None:
    (one, *rest) = ATTACHED.attachments
    at_corner = ATTACHED.with_(attachments=(replace(one, at=(0.2, 0.0)), *rest))
    assert shown(at_corner, "from wall") == []


@given(plans(near=True))
def test_any_plan_has_dimensions_that_say_true_distances(plan: Plan) -> None:
    for dimension in derive(plan).dimensions:
        assert dimension.value == pytest.approx(math.dist(dimension.start, dimension.end), abs=1e-6)
        assert math.isfinite(dimension.shift)
