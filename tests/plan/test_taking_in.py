"""Another plan taken into this one: nothing of either is lost, and no two things share an id."""

from __future__ import annotations

from hypothesis import given, settings

from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.keys import NAMED
from layoutdesk.plan.model import Plan
from layoutdesk.plan.validate import check
from tests.strategies import plans


@settings(deadline=None, max_examples=60)
@given(plans(), plans())
def test_together_they_are_a_sound_plan_that_holds_all_of_both(plan: Plan, other: Plan) -> None:
    together = edits.take_in(plan, other)
    check(together)
    assert plan_from_json(plan_to_json(together), "x") == together
    for name in (*NAMED, "tapes"):
        before, after = getattr(plan, name), getattr(together, name)
        assert after[: len(before)] == before
        if plan.baseline is None or name not in {"controls", "tapes"}:
            assert len(after) == len(before) + len(getattr(other, name))
    assert [p.at for p in together.piers] == [p.at for p in (*plan.piers, *other.piers)]
    assert together.baseline == (plan.baseline or other.baseline)


def test_what_the_drawing_calls_a_pier_stays_its_mark_when_its_id_is_taken() -> None:
    plan = edits.add_pier(Plan(), (0, 0))
    other = edits.rename(edits.add_pier(edits.add_pier(Plan(), (1000, 0)), (2000, 0)), "P2", "F-2")
    together = edits.take_in(plan, other)
    assert [(p.id, p.label) for p in together.piers] == [("P1", "P1"), ("P3", "P3"), ("P2", "F-2")]


def test_a_chain_does_not_name_a_control_point_that_stays_out() -> None:
    plan = edits.set_baseline(edits.add_pier(Plan(), (0, 0)), (0, 0), (1000, 0), yard_side="left")
    other = edits.add_pier(edits.add_control(Plan(), (0, 0)), (1000, 0))
    other = edits.add_chain(other, [1000], about=["C1", "P1"])
    together = edits.take_in(plan, other)
    check(together)
    assert together.chains[0].about == ("P2",)


def test_references_follow_their_pieces() -> None:
    row = edits.add_row(edits.add_attachment(Plan(), (0, 0)), (0, 0), (0, -1), [1000, 1000], attachment="A1")
    row = edits.assign_detail(edits.add_detail(row, [(900, 300)]), ["P1", "P2"], "D1")
    row = edits.add_chain(row, [1000, 1000], overall=2000, about=["P1", "P2"])
    together = edits.take_in(row, row)
    assert [p.line for p in together.piers] == ["L1", "L1", "L2", "L2"]
    assert [p.detail for p in together.piers] == ["D1", "D1", "D2", "D2"]
    assert [line.attachment for line in together.lines] == ["A1", "A2"]
    assert [chain.about for chain in together.chains] == [("P1", "P2"), ("P3", "P4")]


def test_an_empty_sheet_takes_title_and_units_and_a_drawn_one_keeps_its_own() -> None:
    other = edits.set_units(edits.set_title(edits.add_pier(Plan(), (0, 0)), "Carport"), "m")
    assert edits.take_in(Plan(), other).title == "Carport"
    taken = edits.take_in(Plan(), other)
    assert (taken.units, taken.paper, taken.tape_at_hand.length) == ("m", "a4", 30_000.0)
    drawn = edits.set_title(edits.add_pier(Plan(), (0, 0)), "Porch")
    assert (edits.take_in(drawn, other).title, edits.take_in(drawn, other).units) == ("Porch", "ft-in")
    assert edits.take_in(drawn, Plan()) is drawn
