"""A newer issue over a plan: what is reported, wherever the newer drawing has its zero."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.importers.points import read_points
from layoutdesk.importers.recognise import plan_of
from layoutdesk.importers.revision import Revision, compare
from layoutdesk.importers.revision_fit import Motion, laid
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.edits.revising import tolerance_of
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Chain, Detail, Plan, Tape, Written

HERON = read_plan(SAMPLES / "heron-lane-porch.layout.json")
ORCHARD = read_plan(SAMPLES / "orchard-row-carport.layout.json")


def _said(revision: Revision) -> list[tuple[str, str, str]]:
    return [(c.kind, c.what, c.piece) for c in revision.changes]


@pytest.mark.parametrize("plan", [HERON, ORCHARD], ids=["heron", "orchard"])
def test_the_same_drawing_again_changes_nothing(plan: Plan) -> None:
    assert compare(plan, plan).changes == ()
    assert compare(plan, plan, marks=()).changes == ()


@pytest.mark.parametrize("plan", [HERON, ORCHARD], ids=["heron", "orchard"])
@pytest.mark.parametrize("marks", [None, ()], ids=["marked", "nameless"])
@given(turn=st.floats(-math.pi, math.pi), shift=st.tuples(st.floats(-5e5, 5e5), st.floats(-5e5, 5e5)))
def test_another_zero_and_another_turn_change_nothing(
    plan: Plan,
    marks: tuple[str, ...] | None,
    turn: float,
    shift: tuple[float, float],
) -> None:
    revision = compare(plan, laid(plan, Motion(turn, shift)), marks=marks)
    assert revision.changes == ()
    for pier in revision.newer.piers:
        was = next(p.at for p in plan.piers if p.id == pier.id)
        assert math.dist(was, pier.at) <= (1e-6 if abs(turn) > 0.001 or math.hypot(*shift) > 1.0 else 0.15)


def test_a_pier_that_moved_is_said_in_station_and_offset() -> None:
    newer = edits.move(HERON, ["P5"], (101.6, -152.4))
    (change,) = compare(HERON, newer).changes
    assert (change.kind, change.piece) == ("moved", "P5")
    assert change.by == pytest.approx((101.6, 152.4, math.hypot(101.6, 152.4)))
    assert change.before == ((3810.0, -4267.2),)
    assert change.after[0] == pytest.approx((3911.6, -4419.6))
    assert change.sentence.replace("\u00a0", " ") == (
        "Pier P5 moved 7 ³⁄₁₆″: 4″ along the baseline, 6″ away from the house."
    ).replace("7 ³", "7\u2009³")


def test_a_pier_that_moved_in_a_drawing_with_another_zero() -> None:
    moved = edits.move(HERON, ["P5"], (101.6, 0.0))
    newer = laid(moved, Motion(0.7, (12_345.0, -987.0)))
    revision = compare(HERON, newer)
    assert _said(revision) == [("moved", "pier", "P5")]
    assert revision.changes[0].by == pytest.approx((101.6, 0.0, 101.6), abs=1e-6)
    assert "another zero" in revision.notes[0]


def test_piers_that_all_moved_do_not_take_the_house_along() -> None:
    piers = [p.id for p in HERON.piers]
    revision = compare(HERON, edits.move(HERON, piers, (0.0, -304.8)))
    assert {(k, w) for k, w, _ in _said(revision)} == {("moved", "pier")}
    assert len(revision.changes) == len(piers)


def test_less_than_half_the_step_is_nothing() -> None:
    assert tolerance_of(HERON) == HERON.rounding / 2
    assert compare(HERON, edits.move(HERON, ["P5"], (0.79, 0.0))).changes == ()
    assert len(compare(HERON, edits.move(HERON, ["P5"], (0.80, 0.0))).changes) == 1


def test_a_row_that_moved_is_its_piers_and_its_line_goes_along() -> None:
    newer = edits.move(HERON, ["L2"], (152.4, 0.0))
    assert sorted(_said(compare(HERON, newer))) == [("moved", "pier", f"P{n}") for n in (4, 5, 6)]


def test_appeared_and_vanished() -> None:
    newer = edits.delete(HERON, ["P9", "K1"])
    newer = edits.add_pier(newer, (7000.0, -6000.0), detail="D1")
    newer = edits.add_slab(newer, [(0, -9000), (2000, -9000), (2000, -8000), (0, -8000)])
    revision = compare(HERON, newer)
    said = dict.fromkeys((c.kind, c.what) for c in revision.changes)
    assert set(said) == {
        ("vanished", "pier"),
        ("appeared", "pier"),
        ("vanished", "keep-out"),
        ("appeared", "slab"),
    }
    new = next(c for c in revision.changes if (c.kind, c.what) == ("appeared", "pier"))
    assert new.piece == "P11"
    assert new.after == ((7000.0, -6000.0),)


def test_what_was_measured_to_a_pier_that_is_gone_is_said() -> None:
    plan = HERON.with_(tapes=(Tape(start="C1", end="P9", distance=9.0), Tape(start="P8", end="P9", distance=9.0)))
    (change,) = compare(plan, edits.delete(HERON, ["P9"])).changes
    assert change.sentence.endswith("; its 2 measured tapes go with it.")


def test_a_new_pier_that_counts_all_others_anew_is_one_new_pier() -> None:
    """A drawing without marks numbers its piers by place, so that one more shifts all the numbers."""
    old = plan_of(read_points("id,x (m),y (m)\n" + "".join(f",{n * 2.4},3\n" for n in range(6)), "a.csv"))
    new = plan_of(read_points("id,x (m),y (m)\n" + "".join(f",{n * 2.4},3\n" for n in range(-1, 6)), "b.csv"))
    revision = compare(old, new, marks=())
    assert [(c.kind, c.after) for c in revision.changes] == [("appeared", ((-2400.0, 3000.0),))]


def test_marks_decide_which_pier_is_which() -> None:
    """P4 and P5 lie 1.8 m apart; P5 comes to lie nearer to where P4 was than P4 does."""
    newer = edits.move(edits.move(HERON, ["P4"], (0.0, 1500.0)), ["P5"], (0.0, 1500.0))
    assert sorted(_said(compare(HERON, newer))) == [("moved", "pier", "P4"), ("moved", "pier", "P5")]


def test_a_mark_that_changed_is_said_and_the_pier_keeps_its_id() -> None:
    revision = compare(HERON, edits.rename(HERON, "P3", "F3"))
    assert _said(revision) == [("mark", "pier", "P3")]
    assert revision.changes[0].sentence == "Pier P3 is called F3 now."
    assert compare(HERON, edits.rename(HERON, "P3", "F3"), marks=()).changes == ()


def test_a_size_that_changed_is_said_and_a_depth_that_is_not_drawn_is_not() -> None:
    drawn = HERON.with_(
        details=(Detail(id="D1", profile=((0.0, 304.8),)), Detail(id="D2", profile=((0.0, 406.4),))),
    )
    assert compare(HERON, drawn).changes == (), "the bell of D2 is what the drawing shows"
    larger = drawn.with_(details=(replace(drawn.details[0], profile=((0.0, 355.6),)), drawn.details[1]))
    revision = compare(HERON, larger)
    assert {c.kind for c in revision.changes} == {"detail"}
    assert {c.piece for c in revision.changes} == {p.id for p in HERON.piers if p.detail == "D1"}
    assert "from Ø\u00a01′\u00a00″ to Ø\u00a01′\u00a02″" in revision.changes[0].sentence


def test_a_wall_that_changed() -> None:
    newer = edits.move_place(HERON, "W1", 3, (9448.8, 762.0))
    revision = compare(HERON, newer)
    assert _said(revision) == [("shape", "wall", "W1")]
    assert "1′\u00a00″" in revision.changes[0].sentence


def test_a_wall_drawn_the_other_way_round_or_in_more_pieces_is_the_same() -> None:
    wall = HERON.walls[0]
    back = replace(wall, points=wall.points[::-1], house_side="right")
    more = replace(wall, points=(wall.points[0], (2000.0, 0.0), *wall.points[1:]))
    for other in (back, more):
        assert compare(HERON, HERON.with_(walls=(other,))).changes == ()


def test_an_outline_that_begins_elsewhere_is_the_same() -> None:
    slab = HERON.slabs[0]
    turned = replace(slab, outline=(*slab.outline[2:], *slab.outline[:2])[::-1])
    assert compare(HERON, HERON.with_(slabs=(turned, *HERON.slabs[1:]))).changes == ()


def test_dimensions_that_differ_are_one_change_and_those_that_do_not_are_none() -> None:
    written = Written(id="N1", start=(0.0, 0.0), end=(609.6, 0.0), value=609.6, text="2'-0\"")
    chain = Chain(id="H1", parts=(609.6, 3200.4), start=(0.0, 0.0), end=(3810.0, 0.0))
    with_them = HERON.with_(written=(written,), chains=(chain,))
    assert compare(with_them, with_them).changes == ()
    assert _said(compare(HERON, with_them)) == [("written", "dimensions", "")]
    stale = with_them.with_(written=(replace(written, value=635.0),))
    assert _said(compare(with_them, stale)) == [("written", "dimensions", "")]
    assert compare(with_them, HERON).changes == (), "a newer drawing without dimensions takes none away"


def test_two_drawings_without_anything_in_common_are_compared_as_they_lie() -> None:
    revision = compare(HERON, ORCHARD)
    assert "little in common" in revision.notes[0] or revision.changes
    assert {c.kind for c in revision.changes} >= {"vanished", "moved"} or revision.changes


def test_an_empty_plan_and_an_empty_drawing() -> None:
    assert compare(Plan(), Plan()).changes == ()
    assert {c.kind for c in compare(Plan(), HERON).changes} == {"appeared"}
    assert {c.kind for c in compare(HERON, Plan()).changes} == {"vanished"}


def test_many_piers_are_compared() -> None:
    many = edits.add_grid(Plan(), (0, 0), (1, 0), [0.0] + [2000.0] * 99, [2500.0] * 29)
    newer = edits.move(many, ["P17", "P1700"], (300.0, 100.0))
    newer = edits.delete(newer, ["P5"])
    revision = compare(many, laid(newer, Motion(0.0, (5000.0, 3000.0))))
    assert sorted(_said(revision)) == [
        ("moved", "pier", "P17"),
        ("moved", "pier", "P1700"),
        ("vanished", "pier", "P5"),
    ]


def test_a_name_that_the_program_gave_does_not_stand_for_the_mark_of_another_pier() -> None:
    """P3 is gone, and a new pier beside which nothing is written was called P3 by the program."""
    newer = edits.delete(HERON, ["P3"]).with_()
    newer = newer.with_(piers=(*newer.piers, replace(HERON.piers[2], at=(7000.0, -6500.0), line=None)))
    marks = [p.label for p in HERON.piers if p.id != "P3"]
    said = _said(compare(HERON, newer, marks=marks))
    assert said == [("vanished", "pier", "P3"), ("appeared", "pier", "P11")]
    assert _said(compare(HERON, newer)) == [("moved", "pier", "P3")]
