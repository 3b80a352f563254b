"""Edits that name, assign, set and remove: every reference stays right."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import BagProduct, Benchmark, Detail, Levels, Plan, Reading, Tape
from layoutdesk.plan.validate import check


def job() -> Plan:
    """Return a plan in which everything refers to something."""
    plan = edits.add_attachment(edits.add_attachment(Plan(), (0, 0)), (3000, 0))
    plan = edits.add_detail(edits.add_detail(plan, [(0, 300), (900, 300)]), [(0, 400), (900, 400)])
    plan = edits.add_row(plan, (0, 0), (0, -1), [1000, 2000], detail="D1", attachment="A1")
    plan = edits.add_row(plan, (3000, 0), (3000, -1), [1000, 2000], detail="D2", attachment="A2")
    plan = edits.add_control(plan, (0, 0))
    plan = edits.add_bay(plan, ["A1", "A2", "P3", "P1"])
    plan = edits.add_wall(plan, [(0, 0), (3000, 0)])
    plan = edits.add_slab(plan, [(0, 0), (1, 0), (1, 1)])
    plan = edits.add_keepout(plan, [(0, 0), (1, 0), (1, 1)])
    return plan.with_(
        tapes=(
            Tape(start="C1", end="P1", distance=1000.0),
            Tape(start="A1", end="P2", distance=3000.0),
        ),
        levels=Levels(
            benchmarks=(Benchmark(id="C1", elevation=0.0),),
            readings=(Reading(setup=1, point="C1", kind="back", reading=1200.0),),
        ),
    )


def test_renaming_a_pier_sets_its_mark_and_leaves_its_id() -> None:
    plan = edits.rename(job(), "P1", "  north corner ")
    assert (plan.piers[0].id, plan.piers[0].mark, plan.piers[0].label) == ("P1", "north corner", "north corner")
    assert edits.rename(plan, "P1", "north corner") is plan
    assert edits.rename(plan, "P1", "P1").piers[0].mark == ""
    assert edits.rename(plan, "P1", " ").piers[0].label == "P1"
    assert edits.rename(job(), "P1", "P1") == job()


def test_renaming_anything_else_changes_every_reference() -> None:
    plan = job()
    for old, new in (("A1", "north"), ("C1", "nail"), ("L1", "row A"), ("D1", "big"), ("B1", "porch")):
        plan = edits.rename(plan, old, new)
    for old, new in (("W1", "back wall"), ("S1", "walk"), ("K1", "oak")):
        plan = edits.rename(plan, old, new)
    check(plan)
    assert plan.lines[0].attachment == "north"
    assert plan.piers[0].line == "row A"
    assert plan.piers[0].detail == "big"
    assert plan.bays[0].id == "porch"
    assert plan.bays[0].corners == ("north", "A2", "P3", "P1")
    assert [(t.start, t.end) for t in plan.tapes] == [("nail", "P1"), ("north", "P2")]
    assert plan.levels.benchmarks[0].id == plan.levels.readings[0].point == "nail"
    assert [piece.id for piece in (plan.walls[0], plan.slabs[0], plan.keepouts[0])] == ["back wall", "walk", "oak"]


def test_renaming_a_bay_leaves_a_benchmark_of_the_same_name() -> None:
    book = Levels(benchmarks=(Benchmark(id="B1", elevation=0.0),))
    plan = edits.rename(job().with_(levels=book), "B1", "porch")
    assert plan.levels == book


def test_renaming_to_the_name_it_has_returns_the_very_plan() -> None:
    plan = job()
    assert edits.rename(plan, "L1", " L1 ") is plan


def test_nothing_refers_to_what_was_deleted() -> None:
    plan = edits.delete(job(), ["L1", "A1", "D2", "C1"])
    check(plan)
    assert [p.line for p in plan.piers] == [None, None, "L2", "L2"]
    assert [p.detail for p in plan.piers] == ["D1", "D1", None, None]
    assert plan.bays == ()
    assert plan.tapes == ()
    assert plan.levels.readings == job().levels.readings
    assert [(mark.id, mark.elevation) for mark in plan.levels.benchmarks] == [("C1", 0.0)]


def test_deleting_an_attachment_leaves_its_line_and_deleting_a_pier_its_tapes_to_others() -> None:
    plan = edits.delete(job(), ["A1"])
    assert plan.lines[0].attachment is None
    assert [t.end for t in plan.tapes] == ["P1"]
    plan = edits.delete(job(), ["P1"])
    assert [t.end for t in plan.tapes] == ["P2"]
    assert plan.bays == ()
    assert len(plan.lines) == 2


def test_everything_can_be_deleted() -> None:
    plan = job()
    everything = [piece.id for piece in plan.pieces()] + ["D1", "D2", "B1"]
    mark = Benchmark(id="C1", elevation=0.0, at=(0.0, 0.0))  # where the control point was
    assert edits.delete(plan, everything) == Plan(levels=Levels(benchmarks=(mark,), readings=plan.levels.readings))
    assert edits.delete(plan, []) is plan
    assert edits.delete(plan, ["B1"]).bays == ()


def test_piers_change_their_line_and_their_detail() -> None:
    plan = edits.assign_line(job(), ["P1", "P2"], "L2")
    plan = edits.assign_detail(plan, ["P1"], None)
    assert [p.line for p in plan.piers] == ["L2"] * 4
    assert [p.detail for p in plan.piers] == [None, "D1", "D2", "D2"]
    assert edits.assign_line(plan, ["P1"], "L2") is plan
    assert edits.attach_line(plan, "L1", "A2").lines[0].attachment == "A2"
    assert edits.attach_line(plan, "L1", None).lines[0].attachment is None


def test_a_detail_is_replaced_in_place() -> None:
    new = Detail(id="D1", profile=((0, 300), (600, 300), (600, 500), (900, 500)), reveal=75)
    plan = edits.replace_detail(job(), new)
    assert plan.details[0] == new
    assert [d.id for d in plan.details] == ["D1", "D2"]
    assert edits.replace_detail(plan, new) is plan


def test_pieces_change_what_they_are() -> None:
    plan = edits.set_attachment_kind(job(), "A1", "side-bolted")
    plan = edits.set_keepout_kind(plan, "K1", "utility")
    plan = edits.set_thickness(plan, "S1", 120)
    plan = edits.set_house_side(plan, "W1", "right")
    assert plan.attachments[0].kind == "side-bolted"
    assert plan.keepouts[0].kind == "utility"
    assert plan.slabs[0].thickness == 120.0
    assert plan.walls[0].house_side == "right"
    assert edits.set_house_side(plan, "W1", "right") is plan


def test_the_settings_of_a_plan() -> None:
    plan = edits.set_title(Plan(), "  Mill Street pergola ")
    plan = edits.set_issue(plan, "C")
    plan = edits.set_date(plan, "2026-05-04")
    plan = edits.set_units(plan, "m")
    plan = edits.set_paper(plan, "a4")
    plan = edits.set_tape_at_hand(plan, 50_000, "I")
    plan = edits.set_bags(plan, [BagProduct(product=" 25 kg bag", yield_m3=0.012)])
    assert (plan.title, plan.issue, plan.date) == ("Mill Street pergola", "C", "2026-05-04")
    assert (plan.units, plan.rounding, plan.paper) == ("m", 1.0, "a4")
    assert (plan.tape_at_hand.length, plan.tape_at_hand.tape_class) == (50_000.0, "I")
    assert plan.bags == (BagProduct(product="25 kg bag", yield_m3=0.012),)
    assert edits.set_rounding(plan, 5).rounding == 5.0
    assert edits.set_units(plan, "ft-in").rounding == 1.5875
    assert edits.set_units(edits.set_rounding(plan, 5), "m").rounding == 5.0


def test_a_setting_that_is_so_already_returns_the_very_plan() -> None:
    plan = job()
    assert edits.set_title(plan, plan.title) is plan
    long = plan.with_(issue="x" * 60)
    assert edits.set_issue(long, long.issue) is long
    assert plan_from_json(plan_to_json(long), "long") == long
    assert edits.set_units(plan, plan.units) is plan
    assert edits.set_rounding(plan, plan.rounding) is plan
    assert edits.set_bags(plan, ()) is plan


def test_unknown_keys_survive_edits() -> None:
    before = job()
    pier = replace(before.piers[0], extra=(("paint", "orange"),))
    plan = before.with_(piers=(pier, *before.piers[1:]), extra=(("crew", 3),))
    changes: tuple[Callable[[Plan], Plan], ...] = (
        lambda p: edits.move(p, ["L1"], (5, 5)),
        lambda p: edits.rename(p, "L1", "row A"),
        lambda p: edits.rename(p, "P1", "corner"),
        lambda p: edits.assign_detail(p, ["P1"], None),
        lambda p: edits.turn(p, ["P1"], (0, 0), 10),
        lambda p: edits.delete(p, ["L1", "D1"]),
        lambda p: edits.set_units(p, "mm"),
    )
    for edit in changes:
        after = edit(plan)
        assert after.piers[0].extra == (("paint", "orange"),)
        assert after.extra == (("crew", 3),)


BAD: list[tuple[str, Callable[[Plan], object]]] = [
    ("the name is empty", lambda p: edits.rename(p, "L1", "  ")),
    ("the name is longer than 40", lambda p: edits.rename(p, "L1", "x" * 41)),
    ("the mark is longer than 40", lambda p: edits.rename(p, "P1", "x" * 41)),
    ("the mark holds a character that cannot be printed", lambda p: edits.rename(p, "P1", "a\nb")),
    ("no L9 in this plan", lambda p: edits.rename(p, "L9", "row")),
    ("already a D1 in this plan", lambda p: edits.rename(p, "L1", "D1")),
    ("no P9 in this plan", lambda p: edits.delete(p, ["P1", "P9"])),
    ("there is no P9 on the sheet", lambda p: edits.assign_line(p, ["P9"], "L1")),
    ("L1 is no pier", lambda p: edits.assign_line(p, ["L1"], "L1")),
    ("no beam line L9", lambda p: edits.assign_line(p, ["P1"], "L9")),
    ("no detail D9", lambda p: edits.assign_detail(p, ["P1"], "D9")),
    ("no beam line L9", lambda p: edits.attach_line(p, "L9", "A1")),
    ("no attachment A9", lambda p: edits.attach_line(p, "L1", "A9")),
    ("L1 is no attachment", lambda p: edits.set_attachment_kind(p, "L1", "ledger")),
    ("L1 is no keep-out", lambda p: edits.set_keepout_kind(p, "L1", "tree")),
    ("L1 is no slab", lambda p: edits.set_thickness(p, "L1", 100)),
    ("L1 is no wall", lambda p: edits.set_house_side(p, "L1", "left")),
    ("the thickness must be", lambda p: edits.set_thickness(p, "S1", -1)),
    ("is empty; it needs", lambda p: edits.add_detail(p, [])),
    ("goes back up from 900 to 500 mm", lambda p: edits.add_detail(p, [(900, 300), (500, 300)])),
    ("has the depth -1", lambda p: edits.add_detail(p, [(-1, 300)])),
    ("has the diameter 0", lambda p: edits.add_detail(p, [(0, 0)])),
    ("not a finite number", lambda p: edits.add_detail(p, [(0, math.nan)])),
    ("more than 200 entries", lambda p: edits.add_detail(p, [(0, 300)] * 201)),
    ("the reveal is not a finite number", lambda p: edits.add_detail(p, [(0, 300)], reveal=math.inf)),
    ("no detail D9", lambda p: edits.replace_detail(p, Detail(id="D9", profile=((0, 300),)))),
    ("the title is longer than 200", lambda p: edits.set_title(p, "x" * 201)),
    ("the issue is longer than 20", lambda p: edits.set_issue(p, "x" * 21)),
    ("the issue holds a character", lambda p: edits.set_issue(p, "\ud800")),
    ("the date holds a character", lambda p: edits.set_date(p, "4\t5")),
    ("the units must be one of ft-in, m, mm", lambda p: edits.set_units(p, "yd")),  # type: ignore[arg-type]
    ("the rounding must be more than 0", lambda p: edits.set_rounding(p, 0)),
    ("the rounding must be more than 0", lambda p: edits.set_rounding(p, math.nan)),
    ("at most 1000 mm", lambda p: edits.set_rounding(p, 1001)),
    ("the paper must be one of letter, a4", lambda p: edits.set_paper(p, "a3")),  # type: ignore[arg-type]
    ("the length of the tape must be", lambda p: edits.set_tape_at_hand(p, 0, "I")),
    ("the class of the tape must be", lambda p: edits.set_tape_at_hand(p, 5, "IV")),  # type: ignore[arg-type]
    ("the name of a bag is empty", lambda p: edits.set_bags(p, [BagProduct(product=" ", yield_m3=1)])),
    ("the yield of x must be", lambda p: edits.set_bags(p, [BagProduct(product="x", yield_m3=0)])),
    ("two bags have the same name", lambda p: edits.set_bags(p, [BagProduct(product="x", yield_m3=1)] * 2)),
]


@pytest.mark.parametrize(("sentence", "edit"), BAD, ids=[f"{n} {sentence}" for n, (sentence, _) in enumerate(BAD)])
def test_what_cannot_be_is_refused_in_one_sentence(sentence: str, edit: Callable[[Plan], object]) -> None:
    with pytest.raises(EditError, match=sentence):
        edit(job())


def test_a_plan_has_the_long_tape_of_its_units() -> None:
    """Nobody pulls a tape of 98 feet 5 1/8."""
    feet = Plan()
    metres = edits.set_units(feet, "m")
    assert (feet.tape_at_hand.length, metres.tape_at_hand.length) == (30_480.0, 30_000.0)
    assert edits.set_units(metres, "ft-in").tape_at_hand == feet.tape_at_hand
    own = edits.set_tape_at_hand(feet, 15_240, "I")
    assert edits.set_units(own, "mm").tape_at_hand == own.tape_at_hand
    assert plan_from_json(plan_to_json(metres), "metres") == metres
    assert "tape_at_hand" not in plan_to_json(metres) + plan_to_json(feet)


def test_a_plan_has_the_usual_paper_of_its_units() -> None:
    """Paper that was chosen against what is usual stays; the file leaves letter out, as it always did."""
    feet = Plan()
    metres = edits.set_units(feet, "m")
    assert (feet.paper, metres.paper, edits.set_units(metres, "mm").paper) == ("letter", "a4", "a4")
    assert edits.set_units(metres, "ft-in").paper == "letter"
    own = edits.set_paper(metres, "letter")
    assert edits.set_units(own, "ft-in").paper == "letter"
    assert edits.set_units(edits.set_paper(feet, "a4"), "m").paper == "a4"
    assert plan_from_json(plan_to_json(own), "metres on letter") == own
    assert plan_from_json(plan_to_json(metres), "metres") == metres
    assert "paper" not in plan_to_json(own)
    assert '"paper": "a4"' in plan_to_json(metres)
