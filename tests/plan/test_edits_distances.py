"""Retyping a dimension: it says exactly what was typed, and what moves is what the docstring promises."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import get_args, get_type_hints

import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from layoutdesk.engine.layout import Dimension
from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance, foot
from layoutdesk.plan import edits
from layoutdesk.plan.edits.distances import SETS, Sets
from layoutdesk.plan.model import Plan
from tests.strategies import lengths, places


def two_rows() -> Plan:
    """Return two rows square to a wall, each with its ledger."""
    plan = edits.add_wall(Plan(), [(0, 0), (9000, 0)])
    plan = edits.add_attachment(edits.add_attachment(plan, (1000, 0)), (4000, 0))
    plan = edits.add_row(plan, (1000, 0), (1000, -1), [1000, 2000, 2000], attachment="A1")
    return edits.add_row(plan, (4000, 0), (4000, -1), [1000, 2000, 2000], attachment="A2")


def y(plan: Plan, *ids: str) -> list[float]:
    """Return how far from the wall points are, to a millionth of a millimetre."""
    points = [(a.id, a.at) for a in plan.attachments] + [(p.id, p.at) for p in plan.piers]
    return [round(at[1], 6) for point_id, at in points if point_id in ids]


def test_the_kinds_of_dimension_are_the_ones_that_the_engine_shows() -> None:
    assert set(SETS) == set(get_args(Sets)) == set(get_args(get_type_hints(Dimension)["sets"]))


def test_a_spacing_moves_the_pier_and_all_beyond_it_with_the_end_of_the_line() -> None:
    plan = edits.set_distance(two_rows(), "P1", "P2", 2500, sets="spacing")
    assert y(plan, "A1", "P1", "P2", "P3") == [0, -1000, -3500, -5500]
    assert plan.lines[0].end == (1000.0, -5500.0)
    assert plan.lines[1] == two_rows().lines[1]


def test_a_spacing_read_the_other_way_round_moves_what_lies_on_that_side() -> None:
    plan = edits.set_distance(two_rows(), "P2", "P1", 1500, sets="spacing")
    assert y(plan, "A1", "P1", "P2", "P3") == [0, -1500, -3000, -5000]
    assert plan.lines == two_rows().lines


def test_the_end_of_a_line_moves_along_when_nothing_holds_it() -> None:
    plan = edits.attach_line(two_rows(), "L1", None)
    plan = edits.set_distance(plan, "P2", "P1", 1500, sets="spacing")
    assert (plan.lines[0].start, plan.lines[0].end) == ((1000.0, -500.0), (1000.0, -5000.0))


def test_a_spacing_from_the_attachment_leaves_the_attachment() -> None:
    for first, second in (("A1", "P1"), ("P1", "A1")):
        plan = edits.set_distance(two_rows(), first, second, 800, sets="spacing")
        assert y(plan, "A1", "P1", "P2", "P3") == [0, -800, -2800, -4800]


def test_a_row_moves_with_its_line_its_piers_and_its_attachment() -> None:
    plan = edits.set_distance(two_rows(), "L1", "L2", 3500, sets="row")
    assert plan.lines[1].start == (4500.0, 0.0)
    assert [p.at[0] for p in plan.piers] == [1000.0] * 3 + [4500.0] * 3
    assert plan.attachments[1].at == (4500.0, 0.0)
    assert edits.set_distance(two_rows(), "L1", "P5", 3500, sets="row") == plan


def test_an_attachment_that_another_line_meets_stays() -> None:
    plan = edits.attach_line(two_rows(), "L1", "A2")
    moved = edits.set_distance(plan, "L1", "L2", 3500, sets="row")
    assert moved.attachments == plan.attachments


def test_overall_moves_the_far_pier_alone_or_the_far_row() -> None:
    plan = edits.set_distance(two_rows(), "P1", "P3", 4200, sets="overall")
    assert y(plan, "P1", "P2", "P3") == [-1000, -3000, -5200]
    plan = edits.set_distance(two_rows(), "L1", "L2", 3100, sets="overall")
    assert plan.lines[1].start == (4100.0, 0.0)


def test_from_the_wall_moves_the_pier_and_all_beyond_it() -> None:
    plan = edits.set_distance(two_rows(), "W1", "P1", 1200, sets="from wall")
    assert y(plan, "P1", "P2", "P3") == [-1200, -3200, -5200]


def test_from_the_corner_of_a_wall_moves_the_whole_row_along_it() -> None:
    plan = edits.set_distance(two_rows(), "W1", "L1", 1500, sets="from wall", places=((0.0, 0.0), (1000.0, 0.0)))
    assert plan.lines[0].start == (1500.0, 0.0)
    assert plan.attachments[0].at == (1500.0, 0.0)
    assert {p.at[0] for p in plan.piers[:3]} == {1500.0}


def test_a_side_moves_the_row_that_a_pier_stands_in() -> None:
    plan = edits.set_distance(two_rows(), "P1", "P4", 3300, sets="side")
    assert plan.lines[1].start == (4300.0, 0.0)
    plan = edits.set_distance(edits.add_control(two_rows(), (0, -1000)), "C1", "P1", 1100, sets="side")
    assert plan.lines[0].start == (1100.0, 0.0)


def test_from_the_baseline_the_whole_row_moves_square_to_it() -> None:
    """Named by its line or by a pier; a pier in no row moves alone, and what lies on the baseline nowhere."""
    plan = edits.set_baseline(two_rows(), (0.0, 0.0), (0.0, -9000.0), yard_side="left")
    away = plan.lines[0].start[0]
    moved = edits.set_distance(plan, "baseline", "L2", 5000, sets="from baseline")
    assert {p.at[0] for p in moved.piers if p.line == "L2"} == {5000.0}
    assert moved.lines[1].start[0] == moved.lines[1].end[0] == 5000.0
    assert moved.lines[0] == plan.lines[0]
    assert edits.set_distance(plan, "baseline", "P4", 5000, sets="from baseline") == moved
    assert edits.set_distance(moved, "baseline", "L2", 5000, sets="from baseline") is moved
    single = edits.assign_line(plan, ["P4"], None)
    alone = edits.set_distance(single, "baseline", "P4", 5000, sets="from baseline")
    assert [p.id for p, q in zip(alone.piers, single.piers, strict=True) if p != q] == ["P4"]
    on_it = edits.move(plan, ["L1"], (-away, 0.0))
    with pytest.raises(EditError, match="lies on the baseline"):
        edits.set_distance(on_it, "baseline", "L1", 100, sets="from baseline")
    with pytest.raises(EditError, match="no baseline"):
        edits.set_distance(edits.clear_baseline(plan), "baseline", "L1", 100, sets="from baseline")


def test_a_pier_without_a_line_moves_alone() -> None:
    plan = edits.assign_line(two_rows(), ["P2"], None)
    for sets in (one for one in SETS if one != "from baseline"):
        moved = edits.set_distance(plan, "P1", "P2", 2100, sets=sets)
        assert y(moved, "P1", "P2", "P3") == [-1000, -3100, -5000]


def test_a_beam_line_without_piers_is_measured_at_its_start() -> None:
    plan = edits.add_line(two_rows(), (7000, 0), (7000, -3000))
    assert edits.set_distance(plan, "L1", "L3", 6500, sets="row").lines[2].start == (7500.0, 0.0)


def test_two_piers_at_one_place_part_along_their_line() -> None:
    plan = edits.move(two_rows(), ["P2"], (0, 2000))
    plan = edits.set_distance(plan, "P1", "P2", 500, sets="overall")
    assert y(plan, "P1", "P2") == [-1000, -1500]


def test_retyping_what_it_says_already_returns_the_very_plan() -> None:
    plan = two_rows()
    assert edits.set_distance(plan, "P1", "P2", 2000, sets="spacing") is plan


@given(st.lists(places, min_size=5, max_size=5, unique=True), lengths, st.sampled_from(["spacing", "overall"]))
def test_between_two_points_anywhere_it_is_exact(corners: list[Vector], value: float, sets: Sets) -> None:
    start, end, first, second, third = corners
    assume(distance(start, end) > 1 and distance(first, second) > 1)
    plan = edits.add_line(Plan(), start, end)
    for corner in (first, second, third):
        plan = edits.add_pier(plan, corner, line="L1")
    try:
        after = edits.set_distance(plan, "P1", "P2", value, sets=sets)
    except EditError:  # the line would have lost its length
        reject()
    assert distance(after.piers[0].at, after.piers[1].at) == pytest.approx(value, abs=1e-6)


@given(st.lists(places, min_size=4, max_size=4, unique=True), lengths)
def test_from_row_to_row_it_is_exact_also_when_they_are_skew(corners: list[Vector], value: float) -> None:
    a, b, c, d = corners
    assume(distance(a, b) > 1 and distance(c, d) > 1 and distance(c, foot(c, a, b)) > 1)
    plan = edits.add_line(edits.add_line(Plan(), a, b), c, d)
    after = edits.set_distance(plan, "L1", "L2", value, sets="row")
    line = after.lines[1]
    assert distance(line.start, foot(line.start, a, b)) == pytest.approx(value, abs=1e-6)


BAD: list[tuple[str, Callable[[Plan], object]]] = [
    ("no P99 on the sheet", lambda p: edits.set_distance(p, "P1", "P99", 5, sets="spacing")),
    ("the distance must be more than 0", lambda p: edits.set_distance(p, "P1", "P2", 0, sets="spacing")),
    ("the distance must be more than 0", lambda p: edits.set_distance(p, "P1", "P2", -3, sets="spacing")),
    ("the distance must be more than 0", lambda p: edits.set_distance(p, "P1", "P2", math.nan, sets="spacing")),
    ("at most 10 km", lambda p: edits.set_distance(p, "P1", "P2", 1.1e7, sets="spacing")),
    ("must be one of spacing", lambda p: edits.set_distance(p, "P1", "P2", 5, sets="gap")),  # type: ignore[arg-type]
    ("two different pieces", lambda p: edits.set_distance(p, "P1", "P1", 5, sets="spacing")),
    ("both ends are attachments", lambda p: edits.set_distance(p, "A1", "A2", 5, sets="spacing")),
    (
        "one place, so there is no direction",
        lambda p: edits.set_distance(edits.copy(p, ["A1"], (0, 0)), "A1", "A3", 5, sets="side"),
    ),
    ("would lie at a place that is farther", lambda p: edits.set_distance(p, "P1", "P2", 9.9999e6, sets="spacing")),
]


@pytest.mark.parametrize(("sentence", "edit"), BAD, ids=[f"{n} {sentence}" for n, (sentence, _) in enumerate(BAD)])
def test_what_cannot_be_set_is_refused_in_one_sentence(sentence: str, edit: Callable[[Plan], object]) -> None:
    with pytest.raises(EditError, match=sentence):
        edit(two_rows())


@given(
    st.lists(st.floats(50, 5000), min_size=2, max_size=8),
    st.floats(50, 5000),
    st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
    st.data(),
)
def test_equal_spacings_become_exactly_what_was_typed(
    gaps: list[float], value: float, way: Vector, data: st.DataObject
) -> None:
    """Nothing before the chain moves, and what lies beyond it moves along as it stands."""
    assume(math.hypot(*way) > 0.1)
    first = data.draw(st.integers(0, len(gaps) - 1))
    last = data.draw(st.integers(first, len(gaps) - 1))
    plan = edits.add_row(Plan(), (100.0, -200.0), (100.0 + way[0], -200.0 + way[1]), [0.0, *gaps])
    ends = [(plan.piers[k].id, plan.piers[k + 1].id) for k in range(first, last + 1)]
    after = edits.set_equal_distances(plan, ends, value, sets="spacing")
    now = [distance(a.at, b.at) for a, b in pairwise(after.piers)]
    assert now == pytest.approx([*gaps[:first], *[value] * len(ends), *gaps[last + 1 :]], abs=1e-6)
    assert after.piers[: first + 1] == plan.piers[: first + 1]
    assert distance(after.lines[0].end, after.piers[-1].at) == pytest.approx(
        distance(plan.lines[0].end, plan.piers[-1].at), abs=1e-6
    )


@given(st.lists(st.floats(300, 5000), min_size=3, max_size=7), st.floats(50, 9000))
def test_equal_rows_become_exactly_what_was_typed_and_take_the_rows_beyond_along(
    gaps: list[float], value: float
) -> None:
    plan = edits.add_grid(Plan(), (0.0, 0.0), (2.0, -1.0), [0.0, 1500.0, 1500.0], gaps)
    rows = [line.id for line in plan.lines]
    ends = list(pairwise(rows[:-1]))
    after = edits.set_equal_distances(plan, ends, value, sets="row", beyond=rows[-1:])
    lines = after.lines
    now = [distance(b.start, foot(b.start, a.start, a.end)) for a, b in pairwise(lines)]
    assert now == pytest.approx([value] * len(ends) + gaps[-1:], abs=1e-6)
    assert lines[0] == plan.lines[0]
    for line, before in zip(lines, plan.lines, strict=True):
        on = [(p.at, q.at) for p, q in zip(after.piers, plan.piers, strict=True) if p.line == line.id]
        assert [distance(p, line.start) for p, _ in on] == pytest.approx(
            [distance(q, before.start) for _, q in on], abs=1e-6
        )


def test_a_chain_that_says_it_already_is_the_very_plan() -> None:
    plan = two_rows()
    assert edits.set_equal_distances(plan, [("P1", "P2"), ("P2", "P3")], 2000, sets="spacing") is plan
    assert edits.set_equal_distances(plan, [("L1", "L2")], 3000, sets="row") is plan


def test_a_chain_is_refused_whole() -> None:
    with pytest.raises(EditError, match="no P99 on the sheet"):
        edits.set_equal_distances(two_rows(), [("P1", "P2"), ("P2", "P99")], 500, sets="spacing")
    with pytest.raises(EditError, match="the distance must be more than 0"):
        edits.set_equal_distances(two_rows(), [("L1", "L2")], 0, sets="row")
