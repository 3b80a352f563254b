"""Each way of drawing a pier, a mark or a wall is read as meant: small drawings made by hand."""

from __future__ import annotations

import math

import pytest

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import Linework, Shape, Words
from layoutdesk.importers.proposal import Candidate, Proposal, ScaleGuess
from layoutdesk.importers.recognise import plan_of, propose
from layoutdesk.plan.validate import check
from tests.importers.drawings_sketch import Sketch

MM = ScaleGuess(scale=1.0, why="the file says so")
PLACES = [(2000.0 * n, -2500.0 - 2000.0 * m) for m in range(2) for n in range(3)]


def _proposal(sketch: Sketch) -> Proposal:
    return propose(sketch.linework(), MM)


def _of(proposal: Proposal, becomes: str) -> list[Candidate]:
    return [c for c in proposal.candidates if c.becomes == becomes]


def _with_piers(layer: str = "FOOTINGS") -> Sketch:
    sketch = Sketch()
    for n, at in enumerate(PLACES):
        sketch.circle(layer, at, 150.0)
        sketch.text("TEXT", (at[0] + 180.0, at[1] + 60.0), f"P{n + 1}", 120.0)
    return sketch


def test_a_column_on_a_pier_is_one_pier_of_the_outer_size() -> None:
    sketch = _with_piers()
    for x, y in PLACES:
        sketch.box("COLS", (x - 45.0, y - 45.0), (x + 45.0, y + 45.0))
    piers = _of(_proposal(sketch), "pier")
    assert [p.size for p in piers] == [300.0] * 6
    assert all(len(p.shapes) == 2 for p in piers)


def test_marks_that_are_used_twice_stay_so() -> None:
    sketch = Sketch()
    for at in PLACES:
        sketch.circle("FOOTINGS", at, 150.0)
        sketch.text("TEXT", (at[0] + 180.0, at[1] + 60.0), "F1", 120.0)
    assert [p.mark for p in _of(_proposal(sketch), "pier")] == ["F1"] * 6


def test_two_marks_between_two_piers_go_one_to_each() -> None:
    """The nearest text of the first pier is the second's own: together they still come out right."""
    sketch = _with_piers()
    sketch.marks = [m for m in sketch.marks if getattr(m, "text", "") not in {"P1", "P2"}]
    sketch.text("TEXT", (300.0, -2560.0), "P1", 120.0)
    sketch.text("TEXT", (1500.0, -2560.0), "P2", 120.0)
    marks = {p.centre: p.mark for p in _of(_proposal(sketch), "pier")}
    assert (marks[PLACES[0]], marks[PLACES[1]]) == ("P1", "P2")


@pytest.mark.parametrize("text", ['12" PIER', "3'-0\"", "SEE S-2", "WC", "N", "CONC."])
def test_these_are_no_marks(text: str) -> None:
    sketch = _with_piers()
    sketch.marks = [m for m in sketch.marks if getattr(m, "text", "") != "P1"]
    sketch.text("TEXT", (PLACES[0][0] + 180.0, PLACES[0][1] + 60.0), text, 120.0)
    marks = {p.centre: p.mark for p in _of(_proposal(sketch), "pier")}
    assert marks[PLACES[0]] == ""


def test_the_house_lies_on_the_left_of_its_wall_and_the_yard_where_the_piers_are() -> None:
    sketch = _with_piers()
    sketch.box("A-WALL", (-500.0, 0.0), (5000.0, 6000.0))
    plan = plan_of(_proposal(sketch))
    check(plan)
    assert plan.walls[0].points == ((-500.0, 0.0), (5000.0, 0.0))
    assert plan.walls[0].house_side == "left"
    assert plan.baseline is not None
    assert (plan.baseline.origin, plan.baseline.yard_side) == ((-500.0, 0.0), "right")
    assert {c.at for c in plan.controls} == {(-500.0, 0.0), (5000.0, 0.0)}


def test_of_two_faces_the_one_towards_the_piers_is_the_wall_and_doors_are_bridged() -> None:
    sketch = _with_piers()
    for y in (0.0, 140.0):
        sketch.line("A-WALL", (-500.0, y), (1000.0, y))
        sketch.line("A-WALL", (1900.0, y), (5000.0, y))
    walls = _of(_proposal(sketch), "wall")
    assert [set(w.run) for w in walls] == [{(-500.0, 0.0), (5000.0, 0.0)}]


@pytest.mark.parametrize("wide", [0.0, 89.0])
def test_a_beam_from_the_wall_is_attached_where_it_meets_it(wide: float) -> None:
    sketch = _with_piers()
    sketch.box("A-WALL", (-500.0, 0.0), (5000.0, 6000.0))
    for x in (0.0, 2000.0, 4000.0):
        for side in {-wide / 2, wide / 2}:
            sketch.line("FRAMING", (x + side, 0.0), (x + side, -5000.0), dashed=True)
    plan = plan_of(_proposal(sketch))
    assert [(line.start, line.end) for line in plan.lines] == [
        ((x, 0.0), (x, -5000.0)) for x in (0.0, 2000.0, 4000.0)
    ]
    assert {a.at for a in plan.attachments} == {(0.0, 0.0), (2000.0, 0.0), (4000.0, 0.0)}
    assert all(line.attachment for line in plan.lines)
    assert all(pier.line for pier in plan.piers)


def test_rows_without_a_line_are_proposed_as_such() -> None:
    rows = _of(_proposal(_with_piers()), "beam line")
    assert [r.why for r in rows] == ["no line drawn; 3 piers in a row"] * 2
    assert all(not r.shapes for r in rows)


def test_a_detail_for_each_diameter_has_no_depth_yet() -> None:
    sketch = _with_piers()
    sketch.circle("FOOTINGS", (6000.0, -2500.0), 225.0)
    plan = plan_of(_proposal(sketch))
    assert {d.profile for d in plan.details} == {((0.0, 300.0),), ((0.0, 450.0),)}


def test_a_drawing_far_from_its_zero_is_shifted_and_says_so() -> None:
    sketch = _with_piers()
    sketch.origin = (5e8, -3e8)
    proposal = _proposal(sketch)
    assert proposal.shift == (-5e8, 3e8) or math.hypot(proposal.shift[0] + 5e8, proposal.shift[1] - 3e8) < 1e4
    assert any("zero" in note for note in proposal.notes)
    check(plan_of(proposal))


def test_what_lies_too_far_from_all_else_is_passed_over() -> None:
    sketch = _with_piers()
    sketch.circle("0", (3e7, 0.0), 150.0)
    proposal = _proposal(sketch)
    assert [(p.what, p.count) for p in proposal.passed if "far" in p.why] == [("shapes", 1)]


def test_a_frozen_layer_is_proposed_for_nothing() -> None:
    linework = _with_piers().linework()
    frozen = Linework(
        name="a.dxf", kind="dxf", unit=1.0, shapes=linework.shapes, words=linework.words, frozen=("FOOTINGS",)
    )
    assert not propose(frozen, MM).candidates


def test_a_tree_is_a_keep_out_of_its_kind() -> None:
    sketch = _with_piers()
    sketch.circle("PLANTING", (-4000.0, -3000.0), 900.0)
    sketch.text("TEXT", (-4200.0, -3050.0), "OAK", 120.0)
    plan = plan_of(_proposal(sketch))
    assert [k.kind for k in plan.keepouts] == ["tree"]


def test_nothing_gives_an_empty_plan() -> None:
    plan = plan_of(propose(Linework(name="empty.dxf", kind="dxf", unit=1.0), MM))
    check(plan)
    assert plan.title == "empty"
    assert next(plan.pieces(), None) is None


@pytest.mark.parametrize("corners", [16, 24, 36, 90])
def test_a_circle_of_corners_has_its_middle_exactly(corners: int) -> None:
    shapes = []
    for cx, cy in PLACES:
        ring: list[Vector] = []
        for n in range(corners):
            turn = 2 * math.pi * n / corners
            ring.append((cx + 150.0 * math.cos(turn), cy + 150.0 * math.sin(turn)))
        # The half above has but every other corner: the mean of the corners is not the middle.
        shapes.append(
            Shape(layer="FOOTINGS", points=tuple(p for n, p in enumerate(ring) if p[1] < cy or n % 2), closed=True)
        )
    words = (Words(text="NOTES", at=(9e3, 0.0), height=100.0),)
    proposal = propose(Linework(name="a.dxf", kind="dxf", unit=1.0, shapes=tuple(shapes), words=words), MM)
    piers = _of(proposal, "pier")
    assert len(piers) == len(PLACES)
    for at in PLACES:
        assert min(math.dist(at, p.centre) for p in piers) < 1e-6
    assert all(abs(p.size - 300.0) < 1e-6 for p in piers)
