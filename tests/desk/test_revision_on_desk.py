"""A newer issue is held against the plan: listed, shown, picked from, taken as one step, or left."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QTreeWidgetItem
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.incoming.revision import RevisionLeaf
from layoutdesk.desk.incoming.revision_sheet import RevisionSheet
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan, Tape
from layoutdesk.session.revising import Revising, compare_plans, revision_from_bytes

if TYPE_CHECKING:
    from collections.abc import Callable

WAIT_MS = 60_000
LEFT = Qt.MouseButton.LeftButton
OLD = "id,x (mm),y (mm)\nP1,0,-2000\nP2,3000,-2000\nP3,6000,-2000\nP4,0,-5000\nP5,3000,-5000\nP6,6000,-5000\n"
NEW = "id,x (mm),y (mm)\nP1,0,-2000\nP2,3000,-2000\nP3,6000,-2000\nP4,0,-5000\nP5,3150,-5200\nP8,9000,-5000\n"


@pytest.fixture
def comparing(desk: Callable[..., Desk] | Desk, qtbot: QtBot, tmp_path: Path) -> Desk:
    """Return a desk with a porch of six piers, and a newer table of points held against it."""
    bench = desk if isinstance(desk, Desk) else desk()
    from layoutdesk.importers.points import read_points
    from layoutdesk.importers.recognise import plan_of

    plan = plan_of(read_points(OLD, "old.csv"))
    plan = plan.with_(tapes=(Tape(start="P4", end="P5", distance=3001.0),))
    bench.document.replace(plan, None)
    path = tmp_path / "newer.csv"
    path.write_text(NEW, encoding="utf-8")
    assert bench.files.bring(path, onto_plan=True)
    qtbot.waitUntil(lambda: bench.incoming.waits.waiting, timeout=WAIT_MS)
    bench.incoming.waits.go("newer issue")
    assert bench.incoming.leaf is not None
    qtbot.mouseClick(bench.incoming.leaf.take, LEFT)
    qtbot.waitUntil(lambda: bench.incoming.revision.open, timeout=WAIT_MS)
    sheet = bench.incoming.revision.sheet
    assert sheet is not None
    qtbot.waitUntil(lambda: sheet._ready, timeout=WAIT_MS)
    return bench


def parts(desk: Desk) -> tuple[Revising, RevisionSheet, RevisionLeaf]:
    found = desk.incoming.revision
    assert found.revising is not None
    assert found.sheet is not None
    assert found.leaf is not None
    return found.revising, found.sheet, found.leaf


def row(leaf: RevisionLeaf, change_id: str) -> QTreeWidgetItem:
    return dict(leaf.list.items())[change_id]


def press_row(qtbot: QtBot, leaf: RevisionLeaf, change_id: str) -> None:
    where = leaf.list.visualItemRect(row(leaf, change_id))
    qtbot.mouseClick(leaf.list.viewport(), LEFT, pos=where.center())


def test_the_changes_are_listed_and_shown(comparing: Desk) -> None:
    revising, sheet, leaf = parts(comparing)
    assert {c.id for c in revising.changes} == {"moved P5", "vanished P6", "appeared P8"}
    assert sheet.isVisible()
    assert leaf.isVisible()
    assert "Pier P5 moved 250\u00a0mm" in row(leaf, "moved P5").text(0)
    assert leaf.list.topLevelItemCount() == 3


def test_a_press_brings_the_change_into_the_middle(comparing: Desk, qtbot: QtBot) -> None:
    revising, sheet, leaf = parts(comparing)
    before = sheet.camera.scale
    press_row(qtbot, leaf, "moved P5")
    assert revising.looked_at == "moved P5"
    assert sheet.camera.scale > before
    at = sheet.camera.to_screen((3075.0, -5100.0))
    assert (at - sheet.plan_area().center()).manhattanLength() < 3.0


def test_a_press_on_the_sheet_looks_at_the_change(comparing: Desk, qtbot: QtBot) -> None:
    revising, sheet, leaf = parts(comparing)
    at: QPointF = sheet.camera.to_screen((9000.0, -5000.0))
    qtbot.mouseClick(sheet, LEFT, pos=at.toPoint())
    assert revising.looked_at == "appeared P8"
    assert leaf.list.currentItem() is row(leaf, "appeared P8")


def test_what_is_picked_is_taken_as_one_step(comparing: Desk, qtbot: QtBot) -> None:
    revising, _, leaf = parts(comparing)
    plan = comparing.document.plan
    leaf.list.setCurrentItem(row(leaf, "vanished P6"))
    leaf.list.setFocus()
    qtbot.keyClick(leaf.list, Qt.Key.Key_Space)
    assert revising.picked == {"moved P5", "appeared P8"}
    assert leaf.take.text() == "Take the 2 picked"
    qtbot.mouseClick(leaf.take, LEFT)
    after = comparing.document.plan
    places = {p.id: p.at for p in after.piers}
    assert places["P5"] == (3150.0, -5200.0)
    assert places["P6"] == (6000.0, -5000.0)
    assert places["P8"] == (9000.0, -5000.0)
    assert after.tapes == plan.tapes
    assert not comparing.incoming.waits.waiting
    assert not comparing.incoming.revision.open
    assert comparing.view.page == "plan"
    comparing.document.undo()
    assert comparing.document.plan == plan


def test_all_and_none(comparing: Desk, qtbot: QtBot) -> None:
    revising, _, leaf = parts(comparing)
    qtbot.mouseClick(leaf.none, LEFT)
    assert revising.picked == frozenset()
    assert not leaf.take.isEnabled()
    assert row(leaf, "moved P5").checkState(0) == Qt.CheckState.Unchecked
    qtbot.mouseClick(leaf.all, LEFT)
    assert len(revising.picked) == 3
    assert leaf.take.isEnabled()


def test_left_is_left_and_the_drawing_still_waits(comparing: Desk, qtbot: QtBot) -> None:
    _, _, leaf = parts(comparing)
    plan = comparing.document.plan
    qtbot.mouseClick(leaf.leave, LEFT)
    assert comparing.document.plan is plan
    assert not comparing.incoming.revision.open
    assert comparing.incoming.waits.waiting
    assert comparing.incoming.frame is not None
    assert comparing.incoming.frame.isVisible()


def test_another_page_and_back(comparing: Desk) -> None:
    _, sheet, _ = parts(comparing)
    comparing.view.turn_to("plan")
    assert not sheet.isVisible()
    comparing.incoming.go_to()
    assert sheet.isVisible()


def test_a_comparison_goes_from_one_process_to_another() -> None:
    from base64 import b64encode

    from layoutdesk.importers.revision import compare
    from layoutdesk.plan.file import plan_to_json

    plan: Plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    newer = edits.move(plan, ["P5"], (100.0, 0.0))
    texts = {name: b64encode(plan_to_json(p).encode()).decode() for name, p in (("plan", plan), ("newer", newer))}
    _, work = compare_plans({**texts, "marks": None}, lambda _: None)
    assert revision_from_bytes(work) == compare(plan, newer)


def test_stations_of_a_table_are_laid_from_the_baseline_of_the_plan(
    porch_desk: Desk, qtbot: QtBot, tmp_path: Path
) -> None:
    path = tmp_path / "stations.csv"
    path.write_text("id,station (mm),offset (mm)\nP1,609.6,2438.4\n", encoding="utf-8")
    porch_desk.document.apply("Turn", lambda plan: edits.set_baseline(plan, (0, 0), (0, -5000), yard_side="left"))
    assert porch_desk.files.bring(path, onto_plan=True)
    qtbot.waitUntil(lambda: porch_desk.incoming.waits.waiting, timeout=WAIT_MS)
    arrival = porch_desk.incoming.waits.arrival
    assert arrival is not None
    assert arrival.proposal.candidates[0].centre == pytest.approx((2438.4, -609.6))
