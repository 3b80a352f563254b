"""What must hold for every plan and every sequence of edits."""

from __future__ import annotations

import json
import math
from contextlib import suppress

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.geometry.vector import along, plus
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json, read_plan, write_plan
from layoutdesk.plan.model import Plan
from layoutdesk.plan.validate import check
from layoutdesk.session.document import Document
from tests.edit_strategies import edits_on
from tests.strategies import json_values, places, plans


def _edited(document: Document, data: st.DataObject, count: int) -> list[Plan]:
    """Carry out random edits; return every plan that was shown, the first one included."""
    shown = [document.plan]
    for number in range(count):
        edit = data.draw(edits_on(document.plan), label=f"edit {number}")
        with suppress(EditError):
            document.apply(f"Edit {number}", edit)
            if document.plan != shown[-1]:
                shown.append(document.plan)
    return shown


@given(plans(near=True, most=3), st.data(), st.integers(1, 6))
def test_undo_of_any_sequence_of_edits_restores_the_very_plan(plan: Plan, data: st.DataObject, count: int) -> None:
    document = Document(plan)
    shown = _edited(document, data, count)
    for before in reversed(shown[:-1]):
        document.undo()
        assert document.plan is before
    assert document.undo_label is None
    assert not document.changed
    for after in shown[1:]:
        document.redo()
        assert document.plan is after
    assert document.redo_label is None


@given(plans(near=True, most=3), st.data())
def test_whatever_edits_make_of_a_plan_can_be_saved_and_opened(plan: Plan, data: st.DataObject) -> None:
    document = Document(plan)
    for after in _edited(document, data, 4):
        check(after)
        assert plan_from_json(plan_to_json(after), "saved") == after


@given(plans(near=True, most=3), st.data())
def test_an_edit_leaves_its_plan_alone_and_returns_it_when_nothing_differs(plan: Plan, data: st.DataObject) -> None:
    before = plan_to_json(plan)
    edit = data.draw(edits_on(plan))
    with suppress(EditError):
        after = edit(plan)
        assert after is plan or after != plan
    assert plan_to_json(plan) == before


@given(plans(near=True, most=3), st.data())
def test_what_stands_on_a_moved_wall_keeps_its_place_on_it(plan: Plan, data: st.DataObject) -> None:
    """Whatever else is picked, points on the wall move by the same way as the wall, once."""
    corner = data.draw(places)
    end = data.draw(places.filter(lambda p: math.dist(p, corner) > 1))
    share = data.draw(st.sampled_from((0.0, 0.25, 1 / 3, 1.0)))
    plan = edits.add_wall(plan.with_(walls=(), controls=(), attachments=(), lines=()), [corner, end])
    wall = plan.walls[0].id
    plan = edits.add_attachment(edits.add_control(plan, along(corner, end, share)), along(corner, end, share))
    point, ledger = plan.controls[0].id, plan.attachments[0].id
    by = data.draw(places)
    picked = data.draw(st.lists(st.sampled_from([wall, point, ledger]), max_size=4))
    moved = edits.move(plan, [*picked, wall], by)
    assert math.dist(moved.controls[0].at, plus(plan.controls[0].at, by)) < 1e-6
    assert math.dist(moved.attachments[0].at, plus(plan.attachments[0].at, by)) < 1e-6
    turned = edits.turn(plan, [*picked, wall], data.draw(places), data.draw(st.floats(-360, 360)))
    a, b = turned.walls[0].points
    for at in (turned.controls[0].at, turned.attachments[0].at):
        assert math.dist(at, along(a, b, share)) < 1e-6


@given(plans())
def test_saving_and_opening_is_identity_with_unknown_keys(plan: Plan) -> None:
    text = plan_to_json(plan)
    assert plan_from_json(text, "saved") == plan
    assert plan_to_json(plan_from_json(text.encode(), "saved")) == text


@given(plans(most=2))
def test_what_is_written_to_disk_is_the_plan(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> None:
    folder = tmp_path_factory.mktemp("saved")
    path = folder / "plan.layout.json"
    write_plan(path, plan)
    assert read_plan(path) == plan
    assert list(folder.iterdir()) == [path]


@given(st.binary(max_size=300))
@example(b"\xef\xbb\xbf")
@example(b'{"layoutdesk": 1}')
def test_any_bytes_as_a_file_open_or_are_refused_in_one_sentence(data: bytes) -> None:
    _opens_or_is_refused(data)


@given(json_values)
def test_any_json_as_a_file_opens_or_is_refused_in_one_sentence(value: object) -> None:
    _opens_or_is_refused(json.dumps(value))


@given(plans(most=2), st.data())
def test_a_plan_file_with_any_value_put_anywhere_opens_or_is_refused(plan: Plan, data: st.DataObject) -> None:
    document = json.loads(plan_to_json(plan))
    spot: object = document
    while True:
        keys = list(spot) if isinstance(spot, dict) else list(range(len(spot))) if isinstance(spot, list) else []
        if not keys:
            break
        key = data.draw(st.sampled_from(keys))
        inside = spot[key]  # type: ignore[index]
        if not isinstance(inside, dict | list) or not inside or data.draw(st.booleans()):
            spot[key] = data.draw(json_values)  # type: ignore[index]
            break
        spot = inside
    _opens_or_is_refused(json.dumps(document))


@given(plans(most=2), st.data())
def test_a_plan_file_cut_off_anywhere_is_refused(plan: Plan, data: st.DataObject) -> None:
    text = plan_to_json(plan).rstrip()
    _refused(text[: data.draw(st.integers(0, len(text) - 1))])


def _opens_or_is_refused(text: str | bytes) -> None:
    try:
        plan = plan_from_json(text, "odd.layout.json")
    except LayoutdeskError as error:
        _is_one_sentence(error)
    else:
        assert plan_from_json(plan_to_json(plan), "again") == plan


def _refused(text: str) -> None:
    try:
        plan_from_json(text, "odd.layout.json")
    except LayoutdeskError as error:
        _is_one_sentence(error)
    else:
        raise AssertionError("half a file was opened as if it were whole")


def _is_one_sentence(error: LayoutdeskError) -> None:
    assert str(error).startswith("odd.layout.json")
    assert "\n" not in str(error)
    assert len(str(error)) < 400
