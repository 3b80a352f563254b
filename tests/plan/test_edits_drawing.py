"""Edits that add to the plan: single pieces, rows, grids, bays."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Attachment, BeamLine, Benchmark, Keepout, Levels, Pier, Plan, Slab, Wall

NAN, INF = math.nan, math.inf
SQUARE = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)]


def test_each_piece_gets_the_next_id_of_its_kind() -> None:
    plan = edits.add_wall(Plan(), [(0, 0), (9000, 0)])
    plan = edits.add_attachment(plan, (600, 0), kind="in-wall post")
    plan = edits.add_control(plan, (0, 0))
    plan = edits.add_line(plan, (600, 0), (600, -5000), attachment="A1")
    plan = edits.add_detail(plan, [(0, 300), (900, 300)], reveal=50)
    plan = edits.add_pier(plan, (600, -2000), line="L1", detail="D1")
    plan = edits.add_pier(plan, (600, -4000))
    plan = edits.add_slab(plan, SQUARE)
    plan = edits.add_keepout(plan, SQUARE, kind="tree")
    plan = edits.add_bay(edits.add_control(edits.add_attachment(plan, (0, 0)), (1, 1)), ["A1", "A2", "P2", "P1"])
    assert plan.walls == (Wall(id="W1", points=((0.0, 0.0), (9000.0, 0.0)), house_side="left"),)
    assert plan.attachments[0] == Attachment(id="A1", at=(600.0, 0.0), kind="in-wall post")
    assert plan.attachments[1].kind == "ledger"
    assert plan.lines == (BeamLine(id="L1", start=(600.0, 0.0), end=(600.0, -5000.0), attachment="A1"),)
    assert plan.piers == (
        Pier(id="P1", at=(600.0, -2000.0), line="L1", detail="D1"),
        Pier(id="P2", at=(600.0, -4000.0)),
    )
    assert plan.slabs == (Slab(id="S1", outline=tuple(SQUARE), thickness=100.0),)
    assert plan.keepouts == (Keepout(id="K1", outline=tuple(SQUARE), kind="tree"),)
    assert [c.id for c in plan.controls] == ["C1", "C2"]
    assert plan.details[0].reveal == 50
    assert plan.bays[0].corners == ("A1", "A2", "P2", "P1")


def test_a_new_id_is_above_the_highest_so_that_no_old_stake_is_mistaken_for_it() -> None:
    plan = edits.add_row(Plan(), (0, 0), (1, 0), [1000] * 6)
    assert edits.new_id(plan, "P") == "P7"
    plan = edits.delete(plan, ["P3"])
    assert edits.new_id(plan, "P") == "P7"
    assert edits.new_id(edits.rename(plan, "P1", "P12"), "P") == "P13"
    assert edits.new_id(edits.rename(plan, "P1", "P1234567890"), "P") == "P7"
    assert edits.new_id(edits.rename(plan, "P1", "P²"), "P") == "P7"


def test_an_id_of_any_other_kind_of_thing_is_not_used_again() -> None:
    plan = edits.rename(edits.add_control(Plan(), (0, 0)), "C1", "B1")
    assert edits.new_id(plan, "B") == "B2"
    plan = Plan(levels=Levels(benchmarks=(Benchmark(id="B4", elevation=0.0),)))
    assert edits.new_id(plan, "B") == "B5"


def test_repeated_points_are_left_out() -> None:
    plan = edits.add_wall(Plan(), [(0, 0), (0, 0), (9000, 0), (9000, 0)])
    assert plan.walls[0].points == ((0.0, 0.0), (9000.0, 0.0))
    plan = edits.add_slab(Plan(), [*SQUARE, SQUARE[-1], SQUARE[0]])
    assert plan.slabs[0].outline == tuple(SQUARE)


def test_a_row_starts_at_its_start_and_ends_at_its_last_pier() -> None:
    plan = edits.add_attachment(Plan(), (100, 0))
    plan = edits.add_row(plan, (100, 0), (100, -1), [500, 2000, 2000], attachment="A1")
    assert plan.lines == (BeamLine(id="L1", start=(100.0, 0.0), end=(100.0, -4500.0), attachment="A1"),)
    assert [(p.id, p.at, p.line) for p in plan.piers] == [
        ("P1", (100.0, -500.0), "L1"),
        ("P2", (100.0, -2500.0), "L1"),
        ("P3", (100.0, -4500.0), "L1"),
    ]


def test_a_row_may_have_its_first_pier_at_its_start() -> None:
    plan = edits.add_row(Plan(), (0, 0), (10, 0), [0, 2000])
    assert [p.at for p in plan.piers] == [(0.0, 0.0), (2000.0, 0.0)]


def test_a_row_of_one_pier_at_its_start_ends_where_it_was_pointed() -> None:
    plan = edits.add_row(Plan(), (0, 0), (3000, 0), [0])
    assert plan.lines[0].end == (3000.0, 0.0)
    assert plan.piers[0].at == (0.0, 0.0)


def test_a_grid_has_a_beam_line_to_each_row_to_the_left_when_gaps_are_positive() -> None:
    plan = edits.add_detail(Plan(), [(0, 300)])
    plan = edits.add_grid(plan, (0, 0), (5, 0), [0, 2000], [3000, 1000], detail="D1")
    assert [(line.id, line.start, line.end) for line in plan.lines] == [
        ("L1", (0.0, 0.0), (2000.0, 0.0)),
        ("L2", (0.0, 3000.0), (2000.0, 3000.0)),
        ("L3", (0.0, 4000.0), (2000.0, 4000.0)),
    ]
    assert [(p.id, p.at, p.line, p.detail) for p in plan.piers][2:4] == [
        ("P3", (0.0, 3000.0), "L2", "D1"),
        ("P4", (2000.0, 3000.0), "L2", "D1"),
    ]
    to_the_right = edits.add_grid(Plan(), (0, 0), (5, 0), [0, 2000], [-3000])
    assert to_the_right.lines[1].start == (0.0, -3000.0)


def test_a_grid_of_ten_thousand_piers_is_the_most() -> None:
    plan = edits.add_grid(Plan(), (0, 0), (1, 0), [20.0] * 100, [20.0] * 99)
    assert len(plan.piers) == 10_000
    assert len({p.id for p in plan.piers}) == 10_000
    with pytest.raises(EditError, match="10100 piers; one edit adds at most 10 000"):
        edits.add_grid(Plan(), (0, 0), (1, 0), [20.0] * 101, [20.0] * 99)


BAD: list[tuple[str, Callable[[], object]]] = [
    ("a wall needs two", lambda: edits.add_wall(Plan(), [])),
    ("a wall needs two", lambda: edits.add_wall(Plan(), [(1, 1), (1, 1)])),
    ("not a finite number", lambda: edits.add_wall(Plan(), [(0, 0), (NAN, 1)])),
    ("house side must be one of left, right", lambda: edits.add_wall(Plan(), SQUARE, house_side="up")),  # type: ignore[arg-type]
    ("not a finite number", lambda: edits.add_attachment(Plan(), (INF, 0))),
    ("kind of attachment must be one of", lambda: edits.add_attachment(Plan(), (0, 0), kind="x")),  # type: ignore[arg-type]
    ("not a finite number", lambda: edits.add_control(Plan(), (0, -INF))),
    ("farther than 10 km", lambda: edits.add_control(Plan(), (0, 1.1e7))),
    ("the beam line has no length", lambda: edits.add_line(Plan(), (5, 5), (5, 5))),
    ("no attachment A9", lambda: edits.add_line(Plan(), (0, 0), (5, 5), attachment="A9")),
    ("not a finite number", lambda: edits.add_pier(Plan(), (NAN, 0))),
    ("no beam line L9", lambda: edits.add_pier(Plan(), (0, 0), line="L9")),
    ("no detail D9", lambda: edits.add_pier(Plan(), (0, 0), detail="D9")),
    ("at least 3 corners", lambda: edits.add_slab(Plan(), SQUARE[:2])),
    ("at least 3 corners", lambda: edits.add_slab(Plan(), [*SQUARE[:2], SQUARE[0]])),
    ("enclose nothing", lambda: edits.add_slab(Plan(), [(0, 0), (1, 1), (2, 2)])),
    ("the thickness must be more than 0", lambda: edits.add_slab(Plan(), SQUARE, thickness=0)),
    ("the thickness must be more than 0", lambda: edits.add_slab(Plan(), SQUARE, thickness=NAN)),
    ("at least 3 corners", lambda: edits.add_keepout(Plan(), [])),
    ("kind of keep-out must be one of", lambda: edits.add_keepout(Plan(), SQUARE, kind="x")),  # type: ignore[arg-type]
    ("four different corners", lambda: edits.add_bay(Plan(), ["P1", "P2", "P3"])),
    ("four different corners", lambda: edits.add_bay(Plan(), ["P1", "P2", "P3", "P1"])),
    ("P1 is no pier and no attachment", lambda: edits.add_bay(Plan(), ["P1", "P2", "P3", "P4"])),
    ("the row has no length", lambda: edits.add_row(Plan(), (0, 0), (0, 0), [5])),
    ("at least one spacing", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [])),
    ("only the first", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [0, 0])),
    ("only the first", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [-5])),
    ("a spacing must be a length", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [NAN])),
    ("the row would reach a place that is farther", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [9e6, 9e6])),
    ("10001 piers", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [1.0] * 10_001)),
    ("no detail D1", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [5], detail="D1")),
    ("no attachment A1", lambda: edits.add_row(Plan(), (0, 0), (1, 0), [5], attachment="A1")),
    ("the direction of the rows has no length", lambda: edits.add_grid(Plan(), (0, 0), (0, 0), [5], [5])),
    ("a gap between rows must not be 0", lambda: edits.add_grid(Plan(), (0, 0), (1, 0), [5], [0])),
    ("a gap between rows must be a length", lambda: edits.add_grid(Plan(), (0, 0), (1, 0), [5], [INF])),
    ("at least one spacing", lambda: edits.add_grid(Plan(), (0, 0), (1, 0), [], [5])),
]


@pytest.mark.parametrize(("sentence", "edit"), BAD, ids=[f"{n} {sentence}" for n, (sentence, _) in enumerate(BAD)])
def test_what_cannot_be_drawn_is_refused_in_one_sentence(sentence: str, edit: Callable[[], object]) -> None:
    with pytest.raises(EditError, match=sentence) as refused:
        edit()
    assert "\n" not in str(refused.value)
