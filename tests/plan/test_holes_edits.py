"""Giving details what belongs to them, logging holes, and the rules of digging, sawing and ordering."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from layoutdesk.errors import EditError
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, plus, times
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import BagProduct, CastIn, DigRule, HoleLog, Plan, Steel
from layoutdesk.plan.usual import usual_holes, usual_levels


def site() -> Plan:
    """Return a wall with its baseline, two piers on a beam line, one with a mark, and their detail."""
    plan = edits.add_wall(Plan(), [(0, 0), (6000, 0)], house_side="left")
    plan = edits.set_baseline(plan, (0, 0), (6000, 0), yard_side="right")
    plan = edits.add_detail(plan, [(0, 300), (900, 300)], reveal=50)
    plan = edits.add_line(plan, (1000, 0), (1000, -5000))
    plan = edits.add_pier(plan, (1000, -2000), line="L1", detail="D1")
    plan = edits.add_pier(plan, (1000, -4000), line="L1", detail="D1")
    return edits.rename(plan, "P2", "corner")


def dug(pier: str, **fields: float | str | bool) -> HoleLog:
    return HoleLog(**({"pier": pier, "depth": 920.0, "top": 310.0, "bottom": 300.0} | fields))  # type: ignore[arg-type]


def centre(plan: Plan, pier_id: str) -> Vector:
    """Return where the centre of a logged hole is on the plan."""
    hole, pier, base = plan.holes.of_pier(pier_id), plan.piece(pier_id), plan.baseline
    assert hole is not None
    assert pier is not None
    assert base is not None
    frame = Frame.through(base.origin, base.toward, yard_on_right=base.yard_side == "right")
    off = plus(times(frame.along, hole.along), times(frame.away, hole.away))
    at = plus(pier.at, off)  # type: ignore[union-attr]
    return round(at[0], 4), round(at[1], 4)


def test_a_detail_gets_what_belongs_to_it_and_loses_it_again() -> None:
    plan = edits.set_square_from(site(), "D1", 600)
    plan = edits.set_tube(plan, "D1", 150)
    plan = edits.set_cast_in(plan, "D1", CastIn(kind="post", width=90, depth=90, foot=600))
    plan = edits.set_steel(plan, "D1", Steel(bars=6, bar=" No. 5 ", spacing=150))
    detail = plan.details[0]
    assert (detail.square_from, detail.tube, detail.steel and detail.steel.bar) == (600.0, 150.0, "No. 5")
    assert plan_from_json(plan_to_json(plan), "plan") == plan
    assert edits.set_tube(plan, "D1", 150) is plan
    other = edits.copy_detail(plan, "D1").details[1]
    assert (other.id, other.steel, other.cast_in) == ("D2", detail.steel, detail.cast_in)
    for edit in (edits.set_square_from, edits.set_tube, edits.set_cast_in, edits.set_steel):
        plan = edit(plan, "D1", None)
    assert plan == site()


def test_a_hole_is_logged_in_the_order_of_the_piers_and_again_in_its_place() -> None:
    plan = edits.log_hole(site(), dug("P2", water=30, date=" 12 May "))
    plan = edits.log_holes(plan, [dug("P1"), dug("P2", depth=930)])
    assert [(h.pier, h.depth, h.date) for h in plan.holes.log] == [("P1", 920.0, ""), ("P2", 930.0, "")]
    assert edits.log_hole(plan, dug("P1")) is plan
    poured = edits.set_poured(plan, ["P2"], poured=True)
    assert [h.poured for h in poured.holes.log] == [False, True]
    assert edits.set_poured(poured, ["P2"], poured=False) == plan
    assert edits.unlog_hole(plan, ["P1", "P2"]) == site()
    assert plan_from_json(plan_to_json(poured), "plan") == poured


def test_the_log_goes_with_its_pier_and_stays_with_its_rules() -> None:
    plan = edits.log_holes(edits.set_dig(site(), chance=0.01), [dug("P1"), dug("P2")])
    left = edits.delete(plan, ["P1"])
    assert [h.pier for h in left.holes.log] == ["P2"]
    assert edits.delete(left, ["P2"]).holes.dig == DigRule(chance=0.01)
    assert [h.pier for h in edits.copy(plan, ["P1"], (500, 0)).holes.log] == ["P1", "P2"]
    twice = edits.take_in(plan, plan)
    assert [h.pier for h in twice.holes.log] == ["P1", "P2", "P3", "P4"]
    assert plan_from_json(plan_to_json(twice), "plan") == twice


@pytest.mark.parametrize(
    "edit",
    [
        lambda p: edits.move(p, ["P2"], (120, -30)),
        lambda p: edits.move(p, ["L1"], (0, 250)),
        edits.flip_baseline,
        lambda p: edits.set_baseline(p, (100, 100), (900, -500), yard_side="right"),
        lambda p: edits.set_station_offset(p, "P2", 1100, 4100),
        lambda p: edits.mirror(p, ["P1", "P2"], (500, 0), (500, -10), keep=False),
        lambda p: edits.set_distance(p, "P1", "P2", 2200, sets="spacing"),
    ],
)
def test_a_hole_stays_in_the_ground_when_its_pier_moves_or_the_baseline_is_another(
    edit: Callable[[Plan], Plan],
) -> None:
    plan = edits.log_hole(site(), dug("P2", along=12.5, away=-7.0))
    after = edit(plan)
    assert after.holes.of_pier("P2") != plan.holes.of_pier("P2")
    assert centre(after, "P2") == pytest.approx(centre(plan, "P2"), abs=1e-3)


def test_a_hole_goes_along_when_the_whole_plan_lies_elsewhere() -> None:
    plan = edits.log_hole(site(), dug("P2", along=12.5, away=-7.0))
    everything = [piece.id for piece in plan.pieces()]
    assert edits.move(plan, everything, (1000, 2000)).holes == plan.holes
    assert edits.turn(plan, everything, (50, 60), 33).holes == plan.holes


def test_a_hole_that_is_taken_in_is_read_from_the_baseline_that_is_here() -> None:
    """The other baseline runs along the wall, the one here straight away from it: the two numbers change places."""
    here = edits.set_baseline(site(), (0, 0), (0, -6000), yard_side="left")
    other = edits.log_hole(site(), dug("P1", along=30.0, away=20.0))
    together = edits.take_in(here, other)
    (hole,) = together.holes.log
    assert centre(together, hole.pier) == centre(other, "P1")
    assert (hole.along, hole.away) == (20.0, 30.0)


def test_rules_are_set_one_by_one() -> None:
    plan = edits.set_dig(site(), over_dig=0.2, bag="80 lb bag")
    plan = edits.set_dig(plan, over_dig=None, minutes=7)
    plan = edits.set_truck(plan, price_m3=160, step_m3=0.5)
    plan = edits.set_openings(plan, shape="round", carry=30)
    holes = plan.holes
    assert (holes.dig.over_dig, holes.dig.minutes, holes.dig.bag) == (None, 7.0, "80 lb bag")
    assert (holes.truck.price_m3, holes.truck.step_m3) == (160.0, 0.5)
    assert (holes.openings.shape, holes.openings.carry) == ("round", 30.0)
    assert edits.set_openings(plan, carry=30) is plan


def test_usual_rules_go_along_with_the_units_and_others_stay() -> None:
    """There and back again nothing has changed; what somebody typed is never touched."""
    plan = edits.set_openings(site(), margin=100)
    plan = edits.set_columns(edits.set_steel(plan, "D1", edits.usual_steel("ft-in")), width=88.9)
    metric = edits.set_units(plan, "m")
    assert (metric.levels.columns.width, metric.levels.columns.depth) == (88.9, 140.0)
    assert (metric.holes.openings.margin, metric.holes.openings.least_strip) == (100.0, 300.0)
    assert (metric.levels.settings.board_clear, metric.holes.truck.step_m3) == (900.0, 0.25)
    assert metric.details == plan.details
    assert edits.set_units(metric, "ft-in") == plan
    new = edits.set_units(Plan(), "mm")
    assert (new.levels, new.holes) == (usual_levels("mm"), usual_holes("mm"))
    drawn = Plan(units="m", piers=plan.piers, details=plan.details, lines=plan.lines)
    assert edits.take_in(Plan(), drawn).levels == usual_levels("m")


BAD: list[tuple[str, Callable[[Plan], object]]] = [
    ("there is no detail D9", lambda p: edits.set_tube(p, "D9", 100)),
    ("the depth from which the hole is square is -1 mm", lambda p: edits.set_square_from(p, "D1", -1)),
    ("the depth of the form tube is not a finite number", lambda p: edits.set_tube(p, "D1", math.nan)),
    ("the number of bars is 100,000; it must be from 1", lambda p: edits.set_steel(p, "D1", Steel(bars=100_000))),
    ("the cover beside the steel must be from 0", lambda p: edits.set_steel(p, "D1", Steel(cover=-1))),
    ("the length of what is cast in must be more", lambda p: edits.set_cast_in(p, "D1", CastIn(depth=0))),
    ("what is cast in must be one of post, base", lambda p: edits.set_cast_in(p, "D1", CastIn(kind="x"))),  # type: ignore[arg-type]
    ("there is no P9 on the sheet", lambda p: edits.log_hole(p, dug("P9"))),
    ("L1 is no pier", lambda p: edits.log_hole(p, dug("L1"))),
    ("the depth of the hole of corner must be more than 0", lambda p: edits.log_hole(p, dug("P2", depth=-1))),
    ("the hole of corner is not logged yet", lambda p: edits.set_poured(p, ["P2"], poured=True)),
    ("the chance of running short must be a share", lambda p: edits.set_dig(p, chance=1)),
    ("the step of the order must be more than 0", lambda p: edits.set_truck(p, step_m3=math.nan)),
    ("the depth of one pass of the blade must be", lambda p: edits.set_openings(p, blade=0)),
    ("the shape of an opening must be one of", lambda p: edits.set_openings(p, shape="star")),  # type: ignore[arg-type]
    ("the yield of mix must be more than 0", lambda p: edits.set_bags(p, [BagProduct(product="mix", yield_m3=0)])),
    (
        "the price of mix must be from 0",
        lambda p: edits.set_bags(p, [BagProduct(product="mix", yield_m3=1, price=math.inf)]),
    ),
]


@pytest.mark.parametrize(("sentence", "edit"), BAD, ids=[sentence for sentence, _ in BAD])
def test_what_cannot_be_is_refused_in_a_sentence(sentence: str, edit: Callable[[Plan], object]) -> None:
    with pytest.raises(EditError) as refusal:
        edit(site())
    assert str(refusal.value).startswith(sentence)


def test_holes_are_read_from_a_table_with_a_header() -> None:
    """Units of a column, decimal commas, marks, rows of blanks, and a sentence for every row that says nonsense."""
    table = (
        "Pier;Depth (cm);Top;Bottom;Off along;Off away;Water;Date;By;Poured\n"
        "p1;92;310 mm;30 cm;1,5 cm;-5 mm;;12 May;crew 2;yes\nP2;;;;;;;;;\nQ;1;1\nP1;90\n"
        "corner;90;300 mm;;;;2 m;;;\ncorner;90;300 mm;;;;;;;perhaps"
    )
    read = edits.holes_from_text(edits.set_units(site(), "m"), table)
    p1 = HoleLog(
        pier="P1", depth=920, top=310, bottom=300, along=15, away=-5, date="12 May", by="crew 2", poured=True
    )
    assert read.log == (p1,)
    assert [row[:22] for row in read.trouble] == [
        "row 4: there is no pie",
        "row 5: the width at th",
        "row 6: the depth of th",
        "row 7: whether it is p",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "P1\t3'\t12\"\t1' 1\"\ncorner\t36 1/2\"\t1'\t",
        "P1  3'  12\"  1' 1\"\ncorner  36 1/2\"  1'",
        'P1 36" 12" 13"\ncorner 36.5" 1\'',
        'mark,who,depth,top,bottom,notes\nP1,,3\',12",13",root\ncorner,,36 1/2",1\',,',
    ],
)
def test_holes_are_read_as_a_hand_writes_them(text: str) -> None:
    read = edits.holes_from_text(site(), text)
    assert read.trouble == ()
    found = [
        (h.pier, round(h.depth / 25.4, 6), round(h.top / 25.4, 6), round(h.bottom / 25.4, 6)) for h in read.log
    ]
    assert found == [("P1", 36, 12, 13), ("P2", 36.5, 12, 12)]
