"""Taking a newer issue over: places become those of the drawing, and what was measured stays with its piers."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import EditError
from layoutdesk.importers.revision import compare
from layoutdesk.importers.revision_fit import Motion, laid
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.edits.revising import revise, tolerance_of
from layoutdesk.plan.file import plan_from_json, plan_to_json, read_plan
from layoutdesk.plan.model import Benchmark, Chain, Levels, Plan, Reading, Tape, Written, places_of
from layoutdesk.session.document import Document

HERON = read_plan(SAMPLES / "heron-lane-porch.layout.json")
MEASURED = HERON.with_(
    tapes=(Tape(start="C1", end="P5", distance=5710.0), Tape(start="P4", end="P5", distance=1829.0)),
    levels=Levels(
        benchmarks=(Benchmark(id="BM", elevation=0.0),),
        readings=(Reading(setup=1, point="BM", kind="back", reading=1500.0),
                  Reading(setup=1, point="P5", kind="fore", reading=1700.0)),
    ),
    written=(Written(id="N1", start=(0.0, 0.0), end=(609.6, 0.0), value=609.6, end_on="A1"),),
    chains=(Chain(id="H1", parts=(100.0,), text="typed"), Chain(id="H2", parts=(5.0,), start=(0.0, 0.0))),
)  # fmt: skip

Step = Callable[[Plan], Plan]


def _moved(piece: str) -> st.SearchStrategy[Step]:
    ways = st.tuples(st.integers(-6, 6), st.integers(-6, 6))
    return ways.map(lambda by: lambda plan: edits.move(plan, [piece], (50.0 * by[0], 50.0 * by[1])))


steps: st.SearchStrategy[Step] = st.one_of(
    st.sampled_from([f"P{n}" for n in range(1, 11)]).flatmap(_moved),
    st.sampled_from(["L1", "L2", "L3", "L4", "W1", "S1", "K1", "A3"]).flatmap(_moved),
    st.sampled_from([f"P{n}" for n in range(1, 11)]).map(lambda p: lambda plan: edits.delete(plan, [p])),
    st.sampled_from(["L4", "K1", "A2", "S1"]).map(lambda p: lambda plan: edits.delete(plan, [p])),
    st.sampled_from(["P1", "P7"]).map(lambda p: lambda plan: edits.rename(plan, p, f"X{p}")),
    st.sampled_from(["P1", "P7"]).map(lambda p: lambda plan: edits.assign_detail(plan, [p], "D2")),
    st.sampled_from([(1000.0, -7500.0), (5000.0, -7000.0)]).map(lambda at: lambda plan: edits.add_pier(plan, at)),
    st.just(lambda plan: edits.add_row(plan, (7500.0, 700.0), (7500.0, -6000.0), [1500.0, 2000.0], detail="D1")),
    st.just(lambda plan: edits.add_attachment(plan, (8000.0, 762.0))),
    st.just(lambda plan: edits.add_pier(plan, (609.6, -800.0), line="L1")),
    st.just(lambda plan: plan.with_(
        written=(Written(id="N7", start=(0.0, 0.0), end=(3810.0, 0.0), value=3810.0, end_on="P1"),))),
)  # fmt: skip


@st.composite
def newer_issues(draw: st.DrawFn) -> Plan:
    """Return the porch as a later drawing has it: some pieces moved, gone or new, perhaps with another zero."""
    plan = HERON
    for step in draw(st.lists(steps, max_size=6)):
        try:
            plan = step(plan)
        except EditError:
            continue
    motion = draw(st.sampled_from([Motion(), Motion(0.3, (2500.0, 900.0)), Motion(-2.0, (-40_000.0, 7.0))]))
    return laid(plan, motion)


def _places(plan: Plan) -> dict[str, tuple[tuple[float, float], ...]]:
    kinds = (plan.piers, plan.lines, plan.walls, plan.attachments, plan.slabs, plan.keepouts)
    return {p.id: places_of(p) for kind in kinds for p in kind}


@given(newer=newer_issues())
def test_taking_all_makes_the_places_those_of_the_drawing(newer: Plan) -> None:
    revision = compare(MEASURED, newer)
    after = revise(MEASURED, revision.newer, revision.changes)
    here, there = _places(after), _places(revision.newer)
    assert here.keys() == there.keys()
    for name, places in here.items():
        assert len(places) == len(there[name])
        for a, b in zip(places, there[name], strict=True):
            assert math.dist(a, b) <= tolerance_of(MEASURED) * 1.01
    again = compare(after, newer)
    assert [c for c in again.changes if c.what != "dimensions"] == []
    assert plan_from_json(plan_to_json(after), "after") == after


@given(newer=newer_issues())
def test_taking_nothing_changes_nothing(newer: Plan) -> None:
    revision = compare(MEASURED, newer)
    assert revise(MEASURED, revision.newer, ()) is MEASURED


@given(newer=newer_issues(), data=st.data())
def test_taking_it_in_two_halves_is_taking_it_at_once(newer: Plan, data: st.DataObject) -> None:
    revision = compare(MEASURED, newer)
    first = [c for c in revision.changes if data.draw(st.booleans(), label=c.id)]
    rest = [c for c in revision.changes if c not in first]
    at_once = revise(MEASURED, revision.newer, revision.changes)
    halved = revise(revise(MEASURED, revision.newer, first), revision.newer, rest)
    assert halved == at_once


@given(newer=newer_issues(), data=st.data())
def test_what_was_measured_stays_with_its_piers(newer: Plan, data: st.DataObject) -> None:
    revision = compare(MEASURED, newer)
    picked = [c for c in revision.changes if data.draw(st.booleans(), label=c.id)]
    after = revise(MEASURED, revision.newer, picked)
    gone = {c.piece for c in picked if c.kind == "vanished"}
    assert after.tapes == tuple(t for t in MEASURED.tapes if not gone & {t.start, t.end})
    assert (after.levels, after.baseline, after.controls) == (MEASURED.levels, MEASURED.baseline, MEASURED.controls)
    marks = {c.piece for c in picked if c.kind == "mark"}
    old = {p.id: p.label for p in MEASURED.piers if p.id not in marks}
    assert all(p.label == old[p.id] for p in after.piers if p.id in old)
    assert after.chains[0] == MEASURED.chains[0], "a chain typed by hand stays"
    assert plan_from_json(plan_to_json(after), "after") == after


def test_a_beam_line_goes_along_when_all_its_piers_moved() -> None:
    revision = compare(HERON, edits.move(HERON, ["L2"], (152.4, 0.0)))
    some = revise(HERON, revision.newer, revision.changes[:2])
    assert some.lines == HERON.lines
    after = revise(some, revision.newer, revision.changes[2:])
    line = next(line for line in after.lines if line.id == "L2")
    assert (line.start, line.end) == ((3962.4, 0.0), (3962.4, -6400.8))
    assert line.attachment == "A2"


def test_written_dimensions_become_those_of_the_newer_drawing() -> None:
    new = Written(id="N5", start=(0.0, 0.0), end=(3810.0, 0.0), value=3810.0, end_on="A2")
    revision = compare(MEASURED, HERON.with_(written=(new,), chains=(Chain(id="H9", parts=(7.0,), start=(0, 0)),)))
    after = revise(MEASURED, revision.newer, revision.changes)
    assert [(w.value, w.end_on) for w in after.written] == [(3810.0, "A2")]
    assert [c.parts for c in after.chains] == [(100.0,), (7.0,)]


def test_it_is_one_step_back() -> None:
    document = Document(MEASURED)
    revision = compare(MEASURED, edits.move(HERON, ["P5", "P7"], (100.0, 0.0)))
    document.apply("Newer issue", lambda plan: revise(plan, revision.newer, revision.changes))
    assert document.plan != MEASURED
    document.undo()
    assert document.plan == MEASURED


def test_what_is_not_there_any_more_is_refused_in_one_sentence() -> None:
    revision = compare(HERON, edits.move(HERON, ["P5"], (100.0, 0.0)))
    with pytest.raises(EditError, match=r"there is no pier P5 in this plan any more; compare again"):
        revise(edits.delete(HERON, ["P5"]), revision.newer, revision.changes)


def test_a_pier_that_was_taken_before_is_not_taken_twice() -> None:
    revision = compare(HERON, edits.add_pier(HERON, (1000.0, -7500.0)))
    once = revise(HERON, revision.newer, revision.changes)
    assert revise(once, revision.newer, revision.changes) is once
