"""The open plan: one way in, one announcement out."""

from __future__ import annotations

from pathlib import Path

import pytest

from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document


class Heard:
    """Counts announcements, and notes the plan's title at each."""

    def __init__(self, document: Document) -> None:
        self.titles: list[str] = []
        self._document = document
        document.watch(self)

    def __call__(self) -> None:
        self.titles.append(self._document.plan.title)


def test_a_new_document_is_an_empty_plan_without_a_file() -> None:
    document = Document()
    assert document.plan == Plan()
    assert document.path is None
    assert not document.changed


def test_an_edit_is_announced_once_and_can_be_taken_back_and_brought_again() -> None:
    document = Document(Plan(title="a"), Path("a.layout.json"))
    heard = Heard(document)
    document.apply("Title", lambda plan: edits.set_title(plan, "b"))
    assert (document.undo_label, document.redo_label, document.changed) == ("Title", None, True)
    document.undo()
    assert (document.undo_label, document.redo_label, document.changed) == (None, "Title", False)
    document.redo()
    document.redo()
    assert heard.titles == ["b", "a", "b"]


def test_undo_with_nothing_to_undo_is_not_announced() -> None:
    document = Document()
    heard = Heard(document)
    document.undo()
    document.redo()
    assert heard.titles == []


def test_an_edit_that_changes_nothing_leaves_no_step_and_is_not_announced() -> None:
    document = Document(Plan(title="a"))
    heard = Heard(document)
    document.apply("Title", lambda plan: edits.set_title(plan, "a"))
    document.apply("Title", lambda plan: plan.with_(title="a"))
    assert document.undo_label is None
    assert heard.titles == []


def test_a_refused_edit_leaves_the_plan_as_it_was() -> None:
    document = Document(Plan(title="a"))
    heard = Heard(document)
    with pytest.raises(EditError, match="no P1 in this plan"):
        document.apply("Delete P1", lambda plan: edits.delete(plan, ["P1"]))
    assert (document.plan, document.undo_label, heard.titles) == (Plan(title="a"), None, [])


def test_a_drag_is_one_step_until_it_ends() -> None:
    document = Document(edits.add_pier(Plan(), (0, 0)))
    for _ in range(3):
        document.apply("Move P1", lambda plan: edits.move(plan, ["P1"], (1, 0)), merge="drag")
    document.end_merge()
    document.apply("Move P1", lambda plan: edits.move(plan, ["P1"], (1, 0)), merge="drag")
    document.undo()
    assert document.plan.piers[0].at == (3.0, 0.0)
    document.undo()
    assert document.plan.piers[0].at == (0.0, 0.0)


def test_saving_is_announced_and_remembers_the_file() -> None:
    document = Document()
    heard = Heard(document)
    document.apply("Title", lambda plan: edits.set_title(plan, "b"))
    document.mark_saved(Path("b.layout.json"))
    assert not document.changed
    assert document.path == Path("b.layout.json")
    assert heard.titles == ["b", "b"]


def test_opening_another_plan_forgets_the_steps() -> None:
    document = Document()
    heard = Heard(document)
    document.apply("Title", lambda plan: edits.set_title(plan, "b"))
    document.replace(Plan(title="c"), Path("c.layout.json"))
    assert (document.plan.title, document.path, document.undo_label) == ("c", Path("c.layout.json"), None)
    assert not document.changed
    assert heard.titles == ["b", "c"]


def test_a_recovered_plan_is_unsaved() -> None:
    document = Document()
    document.replace(Plan(title="d"), None, unsaved=True)
    assert document.changed


def test_watchers_are_called_in_the_order_in_which_they_came() -> None:
    document = Document()
    order: list[str] = []
    document.watch(lambda: order.append("first"))
    document.watch(lambda: order.append("second"))
    document.apply("Title", lambda plan: edits.set_title(plan, "b"))
    assert order == ["first", "second"]


def test_the_layout_is_derived_once_for_each_plan() -> None:
    document = Document(edits.add_pier(Plan(), (1000, 2000)))
    layout = document.layout
    assert document.layout is layout
    assert layout.plan is document.plan
    document.apply("Move P1", lambda plan: edits.move(plan, ["P1"], (5, 0)))
    assert document.layout is not layout
    assert document.layout.plan is document.plan
