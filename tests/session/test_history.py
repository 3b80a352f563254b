"""Undo, redo, merging, and what counts as unsaved."""

from __future__ import annotations

import pytest

from layoutdesk.plan.model import Plan
from layoutdesk.session.history import History

EMPTY, ONE, TWO, THREE = Plan(), Plan(title="1"), Plan(title="2"), Plan(title="3")


@pytest.fixture
def history() -> History:
    """Return a history that begins with a saved, empty plan."""
    return History(EMPTY, saved=EMPTY)


def test_a_new_history_has_nothing_to_undo_and_nothing_unsaved(history: History) -> None:
    assert history.plan is EMPTY
    assert (history.undo_label, history.redo_label, history.changed) == (None, None, False)
    assert not history.undo()
    assert not history.redo()
    assert history.plan is EMPTY


def test_undo_and_redo_walk_through_the_very_plans(history: History) -> None:
    history.push("one", ONE)
    history.push("two", TWO)
    assert (history.undo_label, history.redo_label) == ("two", None)
    assert history.undo()
    assert (history.plan, history.undo_label, history.redo_label) == (ONE, "one", "two")
    assert history.undo()
    assert (history.plan is EMPTY, history.undo_label, history.redo_label) == (True, None, "one")
    assert history.redo()
    assert history.redo()
    assert history.plan is TWO
    assert not history.redo()


def test_a_new_step_drops_what_could_have_been_redone(history: History) -> None:
    history.push("one", ONE)
    history.push("two", TWO)
    history.undo()
    history.push("three", THREE)
    assert history.redo_label is None
    history.undo()
    assert history.plan is ONE


def test_there_is_no_limit(history: History) -> None:
    for number in range(5000):
        history.push(str(number), Plan(title=str(number)))
    for _ in range(5000):
        assert history.undo()
    assert history.plan is EMPTY


def test_a_run_with_one_key_is_one_step(history: History) -> None:
    history.push("Move P1", ONE, merge="drag")
    history.push("Move P1", TWO, merge="drag")
    history.push("Move P1 by 3", THREE, merge="drag")
    assert history.undo_label == "Move P1 by 3"
    history.undo()
    assert history.plan is EMPTY
    history.redo()
    assert history.plan is THREE


def test_a_run_that_ends_where_it_began_is_no_step(history: History) -> None:
    history.push("one", ONE)
    history.push("Move", TWO, merge="drag")
    history.push("Move", Plan(title="1"), merge="drag")
    assert history.plan is ONE
    assert (history.undo_label, history.redo_label) == ("one", None)
    history.push("Move", THREE, merge="drag")
    history.undo()
    assert history.plan is ONE


def test_steps_with_other_keys_or_none_stay_apart(history: History) -> None:
    history.push("a", ONE, merge="x")
    history.push("b", TWO, merge="y")
    history.push("c", THREE)
    for plan in (TWO, ONE, EMPTY):
        history.undo()
        assert history.plan is plan
    history.push("a", ONE)
    history.push("b", TWO)
    history.undo()
    assert history.plan is ONE


@pytest.mark.parametrize("end", ["end_merge", "undo and redo", "mark_saved"])
def test_a_run_ends_at_the_end_of_a_drag_at_undo_and_at_a_save(history: History, end: str) -> None:
    history.push("Move", ONE, merge="drag")
    if end == "undo and redo":
        history.undo()
        history.redo()
    else:
        getattr(history, end)()
    history.push("Move", TWO, merge="drag")
    history.undo()
    assert history.plan is ONE


def test_undoing_into_an_old_run_does_not_open_it_again(history: History) -> None:
    history.push("Nudge", ONE, merge="nudge")
    history.push("two", TWO)
    history.undo()
    history.push("Nudge", THREE, merge="nudge")
    history.undo()
    assert history.plan is ONE


def test_what_is_saved_is_the_plan_and_not_the_step(history: History) -> None:
    history.push("one", ONE)
    changed = [history.changed]
    for step in (history.mark_saved, history.undo, history.redo):
        step()
        changed.append(history.changed)
    assert changed == [True, False, True, False]


def test_a_plan_that_is_brought_about_again_in_another_way_is_saved_too(history: History) -> None:
    history.push("one", ONE)
    history.mark_saved()
    history.undo()
    history.push("two", TWO)
    assert history.changed
    history.push("one again", Plan(title="1"))
    assert not history.changed


def test_a_recovered_plan_is_unsaved_from_the_start() -> None:
    history = History(ONE, saved=None)
    before = history.changed
    history.mark_saved()
    assert (before, history.changed) == (True, False)
