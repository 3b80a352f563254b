"""Taking down what was measured: each edit does what it says, or refuses with one sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import EditError, PlanError
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import Attachment, Control, Pier, Plan, ProofSettings, Tape
from layoutdesk.plan.validate import check
from tests.strategies import plans

PLAN = Plan(
    attachments=(
        Attachment(id="A1", at=(0.0, 0.0), kind="ledger"),
        Attachment(id="A2", at=(6000.0, 0.0), kind="ledger"),
    ),
    controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(6000.0, 0.0))),
    piers=(Pier(id="P1", at=(0.0, -3000.0)), Pier(id="P2", at=(6000.0, -3000.0), mark="east")),
)


def test_a_measure_goes_to_the_end_of_the_list_with_the_class_of_the_tape_at_hand() -> None:
    plan = edits.set_tape_at_hand(PLAN, 30_000.0, "I")
    plan = edits.add_tape(plan, "C1", "P1", 3000)
    plan = edits.add_tape(plan, "C1", "P1", 3002, tape_class="H44")
    assert plan.tapes == (
        Tape(start="C1", end="P1", distance=3000.0, tape_class="I"),
        Tape(start="C1", end="P1", distance=3002.0, tape_class="H44"),
    ), "the same distance measured again is another measure"
    assert isinstance(plan.tapes[0].distance, float), "a file writes floats"


def test_every_kind_of_measure_can_be_taken_down_and_saved() -> None:
    plan = edits.add_tape(
        PLAN, "C1", "P2", -3000, kind="square", third="C2", rise=40, temperature=5, pull=60, section=3
    )
    plan = edits.add_tape(plan, "C1", "P1", 0, kind="string", third="P2")
    plan = edits.add_tape(plan, "C1", "C2", 90, kind="right angle", third="P1", legs=(900, 1200))
    plan = edits.add_tape(plan, "C1", "P2", 6700, tape_class="own", own=(0.5, 0.1), slope=-2)
    assert [tape.kind for tape in plan.tapes] == ["square", "string", "right angle", "distance"]
    assert plan_from_json(plan_to_json(plan), "kinds") == plan


REFUSED: list[tuple[str, Callable[[Plan], Plan]]] = [
    ("the second point is C1 at both ends", lambda p: edits.add_tape(p, "C1", "C1", 3000)),
    ("the distance must be more than 0", lambda p: edits.add_tape(p, "C1", "P1", 0)),
    ("the distance must be more than 0", lambda p: edits.add_tape(p, "C1", "P1", -4)),
    ("the distance is not a finite number", lambda p: edits.add_tape(p, "C1", "P1", float("nan"))),
    ("the distance is more than 10 km", lambda p: edits.add_tape(p, "C1", "P1", 2e7)),
    ("there is no control point, attachment or pier “P9”", lambda p: edits.add_tape(p, "C1", "P9", 5)),
    ("there is no control point, attachment or pier “P9”", lambda p: edits.add_tape(p, "C1", "P1", 5, third="P9")),
    ("the third point is missing", lambda p: edits.add_tape(p, "C1", "P1", 5, kind="square")),
    (
        "the third point is P1 a second time",
        lambda p: edits.add_tape(p, "C1", "P1", 5, kind="string", third="P1"),
    ),
    ("taken down as on a string", lambda p: edits.add_tape(p, "C1", "P1", 0, kind="square", third="C2")),
    (
        "the legs of the triangle are missing",
        lambda p: edits.add_tape(p, "C1", "P1", 90, kind="right angle", third="C2"),
    ),
    (
        "the legs of the triangle must each be more than 0",
        lambda p: edits.add_tape(p, "C1", "P1", 90, kind="right angle", third="C2", legs=(0, 4)),
    ),
    (
        "the angle must be more than 0 and less than 180 degrees",
        lambda p: edits.add_tape(p, "C1", "P1", 180, kind="right angle", third="C2", legs=(3, 4)),
    ),
    ("the error of the own tape is missing", lambda p: edits.add_tape(p, "C1", "P1", 5, tape_class="own")),
    (
        "the error of the own tape must be two numbers",
        lambda p: edits.add_tape(p, "C1", "P1", 5, tape_class="own", own=(0, 0)),
    ),
    ("the rise must be less than the distance", lambda p: edits.add_tape(p, "C1", "P1", 500, rise=-500)),
    ("the slope is given twice", lambda p: edits.add_tape(p, "C1", "P1", 500, rise=5, slope=1)),
    ("the slope must be less than 90 degrees", lambda p: edits.add_tape(p, "C1", "P1", 500, slope=90)),
    ("the temperature must be from -60 to 80", lambda p: edits.add_tape(p, "C1", "P1", 500, temperature=100)),
    ("the pull must be from 0 to 1000 N", lambda p: edits.add_tape(p, "C1", "P1", 500, pull=-1)),
    ("the cross-section of the tape must be", lambda p: edits.add_tape(p, "C1", "P1", 500, pull=50, section=0)),
    ("the class of the tape must be one of", lambda p: edits.add_tape(p, "C1", "P1", 5, tape_class="IV")),  # type: ignore[arg-type]
    ("the kind of measure must be one of", lambda p: edits.add_tape(p, "C1", "P1", 5, kind="arc")),  # type: ignore[arg-type]
    ("there is no measure 1; there are 0", lambda p: edits.remove_tapes(p, [0])),
    (
        "there is no measure 0; there are 0",
        lambda p: edits.replace_tape(p, -1, Tape(start="C1", end="P1", distance=5.0)),
    ),
    ("the tolerance must be more than 0", lambda p: edits.set_proof(p, tolerance=0)),
    ("the deviation of the control points must be", lambda p: edits.set_proof(p, control_deviation=-1)),
    ("the exaggeration must be from 1", lambda p: edits.set_proof(p, exaggeration=0)),
    ("the step that tapes are read to must be from 0 to 1000 mm", lambda p: edits.set_proof(p, read_to=-1)),
    ("the step that tapes are read to must be", lambda p: edits.set_proof(p, read_to=float("inf"))),
    ("the step that tapes are read to must be", lambda p: edits.set_proof(p, read_to=float("nan"))),
    ("it is not said which attachment is held", lambda p: edits.set_proof(p, house="hold one attachment")),
    (
        "P1 is no attachment",
        lambda p: edits.set_proof(p, house="hold one attachment", held_attachment="P1"),
    ),
    ("P1 is no control point", lambda p: edits.set_measured(p, "P1")),
    ("there is no C9", lambda p: edits.set_measured(p, "C9")),
]


@pytest.mark.parametrize(("sentence", "edit"), REFUSED, ids=[sentence for sentence, _ in REFUSED])
def test_what_cannot_be_is_refused_with_a_sentence(sentence: str, edit: Callable[[Plan], Plan]) -> None:
    with pytest.raises(EditError, match=sentence):
        edit(PLAN)


def test_a_measure_is_replaced_in_its_place_and_struck_out() -> None:
    plan = edits.add_tapes(PLAN, [Tape(start="C1", end="P1", distance=d) for d in (1.0, 2.0, 3.0)])
    other = Tape(start="C2", end="P1", distance=9.0)
    assert [t.distance for t in edits.replace_tape(plan, 1, other).tapes] == [1.0, 9.0, 3.0]
    assert edits.replace_tape(plan, 1, plan.tapes[1]) is plan
    assert [t.distance for t in edits.remove_tapes(plan, [0, 2, 0]).tapes] == [2.0]
    assert edits.remove_tapes(plan, []) is plan
    assert edits.add_tapes(plan, []) is plan


def test_the_first_measure_fixes_what_tapes_are_read_to() -> None:
    """The step that the plan rounds to by then; later steps, units and measures change nothing of it."""
    plan = edits.set_units(PLAN, "mm")
    assert plan.proof.read_to == 0.0
    plan = edits.add_tape(plan, "C1", "P1", 3000)
    assert plan.proof == ProofSettings(read_to=plan.rounding)
    assert edits.add_tape(edits.set_rounding(plan, 5.0), "C1", "P2", 6708).proof == plan.proof
    said = edits.set_proof(PLAN, read_to=5, tolerance=20)
    pasted = edits.add_tapes(said, [Tape(start="C1", end="P1", distance=3000.0)])
    assert pasted.proof == ProofSettings(read_to=5.0, tolerance=20.0), "what is said is kept"
    nothing = edits.set_proof(plan, read_to=0)
    assert edits.add_tape(nothing, "C1", "P2", 6708).proof == ProofSettings(), (
        "a plan that has measures stays as it is"
    )


def test_what_tapes_are_read_to_is_written_only_where_it_is_said() -> None:
    """A file that says nothing of it is read as nought, and stays without it through a save."""
    said = edits.set_proof(PLAN, tolerance=6.35)
    assert "read_to" not in plan_to_json(said)
    assert plan_from_json(plan_to_json(said), "said").proof.read_to == 0.0
    finer = edits.set_proof(said, read_to=1.5875)
    assert '"read_to": 1.5875' in plan_to_json(finer)
    assert plan_from_json(plan_to_json(finer), "finer") == finer


def test_settings_that_are_not_named_stay() -> None:
    plan = edits.set_proof(PLAN, control="free", tolerance=6.35)
    plan = edits.set_proof(plan, exaggeration=20)
    assert plan.proof == ProofSettings(control="free", tolerance=6.35, exaggeration=20.0)
    assert edits.set_proof(plan, control="free") is plan
    assert edits.set_proof(edits.set_proof(plan, read_to=1), tolerance=10).proof.read_to == 1.0


def test_an_attachment_is_held_by_that_choice_alone_and_goes_with_it() -> None:
    held = edits.set_proof(PLAN, house="hold one attachment", held_attachment="A2")
    assert (held.proof.house, held.proof.held_attachment) == ("hold one attachment", "A2")
    assert edits.set_proof(held, house="turn with the house").proof.held_attachment is None
    assert edits.rename(held, "A2", "east").proof.held_attachment == "east"
    assert edits.delete(held, ["A2"]).proof == ProofSettings()
    assert edits.delete(held, ["A1"]).proof == held.proof


def test_a_corner_of_the_house_is_measured_or_not() -> None:
    plan = edits.set_measured(PLAN, "C1")
    assert [control.measured for control in plan.controls] == [True, False]
    assert edits.set_measured(plan, "C1", measured=False) == PLAN


def test_the_third_point_is_renamed_and_deleted_as_the_others_are() -> None:
    plan = edits.add_tape(PLAN, "C1", "P1", 3000, kind="square", third="C2")
    assert edits.rename(plan, "C2", "nail").tapes[0].third == "nail"
    assert edits.rename(plan, "P1", "nail").tapes == plan.tapes, "a mark is no id"
    assert edits.delete(plan, ["C2"]).tapes == ()
    assert edits.delete(plan, ["P2"]).tapes == plan.tapes


def test_a_plan_that_is_taken_in_brings_its_third_points_along() -> None:
    plan = edits.add_tape(PLAN, "P1", "P2", 100, kind="string", third="A1")
    twice = edits.take_in(plan, plan)
    assert [(t.start, t.end, t.third) for t in twice.tapes] == [("P1", "P2", "A1"), ("P3", "P4", "A3")]
    check(twice)


def test_measures_to_control_that_stays_out_are_not_taken_in() -> None:
    plan = edits.set_baseline(PLAN, (0.0, 0.0), (6000.0, 0.0), yard_side="right")
    other = edits.add_tape(PLAN, "P1", "P2", 100, kind="string", third="C1")
    assert edits.take_in(plan, other).tapes == ()


@given(plans())
def test_any_plan_with_measures_reads_back_as_it_was(plan: Plan) -> None:
    assert plan_from_json(plan_to_json(plan), "drawn") == plan


@given(plans(), st.data())
def test_deleting_leaves_no_measure_to_what_is_gone(plan: Plan, data: st.DataObject) -> None:
    ids = [piece.id for piece in plan.pieces()]
    gone = set(data.draw(st.lists(st.sampled_from(ids), max_size=4))) if ids else set()
    after = edits.delete(plan, gone)
    assert after.tapes == tuple(t for t in plan.tapes if not gone & {t.start, t.end, t.third})
    assert after.proof.held_attachment not in gone
    check(after)


IN_FILES: list[tuple[str, str, Tape]] = [
    (
        "tapes[0].third",
        "there is no control point, attachment or pier",
        Tape(start="C1", end="P1", distance=5.0, kind="square", third="L1"),
    ),
    ("tapes[0].third", "is missing", Tape(start="C1", end="P1", distance=5.0, kind="string")),
    ("tapes[0].own", "is missing", Tape(start="C1", end="P1", distance=5.0, tape_class="own")),
    ("tapes[0].pull", "must be from 0", Tape(start="C1", end="P1", distance=5.0, pull=-5.0)),
]


@pytest.mark.parametrize(("place", "problem", "tape"), IN_FILES, ids=[place for place, _, _ in IN_FILES])
def test_a_file_with_a_measure_that_cannot_be_is_refused_at_its_place(place: str, problem: str, tape: Tape) -> None:
    with pytest.raises(PlanError) as refused:
        check(replace(PLAN, tapes=(tape,)))
    assert refused.value.place == place
    assert problem in refused.value.problem


@pytest.mark.parametrize(
    ("field", "settings"),
    [
        ("tolerance", ProofSettings(tolerance=0.0)),
        ("control_deviation", ProofSettings(control_deviation=float("nan"))),
        ("exaggeration", ProofSettings(exaggeration=1e9)),
        ("read_to", ProofSettings(read_to=-0.5)),
        ("read_to", ProofSettings(read_to=float("nan"))),
        ("held_attachment", ProofSettings(held_attachment="P1")),
    ],
)
def test_a_file_with_settings_that_cannot_be_is_refused_at_its_place(field: str, settings: ProofSettings) -> None:
    with pytest.raises(PlanError) as refused:
        check(replace(PLAN, proof=settings))
    assert refused.value.place == f"proof.{field}"
