"""A drawing comes in: opened, refused, cancelled, taken in, taken back, left."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas

from layoutdesk.desk.desk import Desk
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.desk.arrivals import (
    LEFT,
    WAIT_MS,
    arrived,
    becomes,
    frame_of,
    leaf_of,
    take_in,
)

if TYPE_CHECKING:
    from tests.desk.conftest import FakeAsks


# ---- coming


def test_a_drawing_is_opened_onto_its_page(desk: Desk, asks: FakeAsks, qtbot: QtBot, carport_dxf: Path) -> None:
    asks.opens = carport_dxf
    desk.menus.actions["open"].trigger()
    assert desk.frame.foot.isVisible()
    qtbot.waitUntil(lambda: desk.incoming.waits.waiting, timeout=WAIT_MS)
    assert desk.view.page == "incoming"
    assert frame_of(desk).isVisible()
    assert leaf_of(desk).isVisible()
    assert desk.rail.buttons[0].isChecked()
    assert not desk.frame.foot.isVisible()
    assert desk.document.plan == Plan()
    assert leaf_of(desk).page.heading.text.text() == "carport.dxf"
    assert leaf_of(desk).page.total.text() == "8 piers · 1 wall · 4 beam lines · 4 attachments"


def test_a_drawing_is_offered_among_the_recent_files(desk: Desk, qtbot: QtBot, carport_dxf: Path) -> None:
    arrived(desk, qtbot, carport_dxf)
    desk.menus.menus["recent"].aboutToShow.emit()
    assert [a.text() for a in desk.menus.menus["recent"].actions()] == ["carport.dxf"]
    qtbot.mouseClick(leaf_of(desk).leave, LEFT)
    desk.menus.menus["recent"].actions()[0].trigger()
    qtbot.waitUntil(lambda: desk.incoming.waits.waiting, timeout=WAIT_MS)


def test_a_drawing_is_dropped_on_the_desk(desk: Desk, qtbot: QtBot, carport_dxf: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(carport_dxf))])
    dropped = QDropEvent(QPointF(500, 300), Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier)
    desk.window.dropEvent(dropped)
    qtbot.waitUntil(lambda: desk.view.page == "incoming", timeout=WAIT_MS)


def test_the_page_is_not_there_before_it_is_needed(desk: Desk) -> None:
    assert desk.incoming.frame is None
    assert not desk.menus.actions["page_incoming"].isEnabled()


def test_a_table_of_points_comes_in_too(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("id,x (m),y (m)\nP1,0,0\nP2,3,0\nP3,6,0\n", encoding="utf-8")
    arrived(desk, qtbot, path)
    assert becomes(desk, "pier") == 3
    take_in(desk, qtbot)
    assert [p.at for p in desk.document.plan.piers] == [(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0)]


def test_another_list_of_points_is_seen_whole(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    near, far = tmp_path / "near.csv", tmp_path / "far.csv"
    near.write_text("id,x (m),y (m)\nP1,0,0\nP2,3,0\nP3,6,0\n", encoding="utf-8")
    far.write_text("id,x (m),y (m)\nP1,500,900\nP2,530,900\nP3,560,920\n", encoding="utf-8")
    arrived(desk, qtbot, near)
    assert desk.files.bring(far, onto_plan=False)
    qtbot.waitUntil(lambda: leaf_of(desk).page.heading.text.text() == "far.csv", timeout=WAIT_MS)
    view = frame_of(desk).view
    view.repaint()
    arrival = desk.incoming.waits.arrival
    assert arrival is not None
    for candidate in arrival.proposal.candidates:
        x, y = view._camera.to_screen(candidate.centre).toTuple()
        assert 0 < x < view.width()
        assert 0 < y < view.height()


@pytest.mark.parametrize("content", [b"  0\nSECTION\n  2\nNONSENSE", b"%PDF-1.7 nothing", b""])
def test_a_file_that_cannot_be_read_is_refused_in_a_sentence(
    desk: Desk, qtbot: QtBot, tmp_path: Path, content: bytes
) -> None:
    bad = tmp_path / "bad.dxf"
    bad.write_bytes(content)
    before = desk.document.plan
    desk.files.open(bad)
    qtbot.waitUntil(lambda: "bad.dxf" in desk.slip.text.text(), timeout=WAIT_MS)
    assert desk.view.page == "plan"
    assert not desk.incoming.waits.waiting
    assert desk.document.plan is before


def test_cancelling_the_reading_ends_it_and_leaves_the_desk(
    porch_desk: Desk, qtbot: QtBot, carport_dxf: Path
) -> None:
    before = porch_desk.document.plan
    porch_desk.files.open(carport_dxf)
    process = porch_desk.incoming.taking.room._process
    assert process is not None
    qtbot.waitUntil(porch_desk.slip.bar.isVisible, timeout=WAIT_MS)
    assert "Reading carport.dxf" in porch_desk.slip.text.text()
    qtbot.mouseClick(porch_desk.slip.button, LEFT)
    assert not porch_desk.incoming.taking.room.busy
    assert porch_desk.incoming.taking.room._process is None
    assert "Stopped reading carport.dxf" in porch_desk.slip.text.text()
    assert porch_desk.document.plan is before
    assert porch_desk.view.page == "plan"
    arrived(porch_desk, qtbot, carport_dxf)


def test_what_is_done_is_told_as_progress(desk: Desk, qtbot: QtBot, carport_dxf: Path) -> None:
    told: list[float] = []
    desk.incoming.taking.room.progressed.connect(lambda _, done: told.append(done))
    arrived(desk, qtbot, carport_dxf)
    assert told
    assert all(0.0 <= done <= 1.0 for done in told)


# ---- going


def test_taking_in_is_one_step_that_undo_takes_back(incoming: Desk, qtbot: QtBot) -> None:
    before = incoming.document.plan
    take_in(incoming, qtbot)
    plan = incoming.document.plan
    assert (len(plan.piers), len(plan.walls), len(plan.lines)) == (8, 1, 4)
    assert incoming.view.page == "plan"
    assert incoming.document.undo_label == "Take in carport.dxf"
    assert incoming.slip.text.text().startswith(
        "Taken in from carport.dxf: 8 piers, 1 wall, 4 beam lines, 4 attachments"
    )
    incoming.menus.actions["undo"].trigger()
    assert incoming.document.plan == before
    incoming.menus.actions["redo"].trigger()
    assert incoming.document.plan == plan


def test_beside_what_is_there_nothing_is_lost(
    porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, carport_dxf: Path
) -> None:
    before = porch_desk.document.plan
    asks.opens = carport_dxf
    porch_desk.menus.actions["take_in"].trigger()
    qtbot.waitUntil(lambda: porch_desk.incoming.waits.waiting, timeout=WAIT_MS)
    assert leaf_of(porch_desk).way.box.key == "beside"
    take_in(porch_desk, qtbot)
    plan = porch_desk.document.plan
    assert plan.piers[: len(before.piers)] == before.piers
    assert len(plan.piers) == len(before.piers) + 8
    assert not any(a.startswith("unsaved") for a in asks.asked)
    porch_desk.menus.actions["undo"].trigger()
    assert porch_desk.document.plan == before


def test_a_sheet_of_its_own_asks_about_unsaved_changes_first(
    porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, carport_dxf: Path
) -> None:
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    before = porch_desk.document.plan
    arrived(porch_desk, qtbot, carport_dxf)
    assert leaf_of(porch_desk).way.box.key == "own sheet"
    asks.on_unsaved = "keep editing"
    qtbot.mouseClick(leaf_of(porch_desk).take, LEFT)
    assert asks.asked == ["unsaved Changed"]
    assert porch_desk.document.plan is before
    assert porch_desk.incoming.waits.waiting
    asks.on_unsaved = "discard"
    take_in(porch_desk, qtbot)
    assert len(porch_desk.document.plan.piers) == 8
    assert porch_desk.document.path is None


def test_what_is_left_leaves_the_desk_as_it_was(porch_desk: Desk, qtbot: QtBot, carport_dxf: Path) -> None:
    before = porch_desk.document.plan
    arrived(porch_desk, qtbot, carport_dxf)
    qtbot.mouseClick(leaf_of(porch_desk).leave, LEFT)
    assert porch_desk.view.page == "plan"
    assert not porch_desk.incoming.waits.waiting
    assert porch_desk.document.plan is before
    assert not porch_desk.document.changed


def test_another_page_leaves_it_waiting(incoming: Desk, qtbot: QtBot) -> None:
    incoming.rail.turned.emit("stakes")
    assert "carport.dxf is not taken in yet" in incoming.slip.text.text()
    qtbot.mouseClick(incoming.slip.button, LEFT)
    assert incoming.view.page == "incoming"
    incoming.rail.turned.emit("plan")
    incoming.menus.actions["page_incoming"].trigger()
    assert incoming.view.page == "incoming"


def test_a_newer_issue_hands_the_plan_on(porch_desk: Desk, qtbot: QtBot, carport_dxf: Path) -> None:
    told: list[Plan] = []
    porch_desk.incoming.taking.can_compare = True
    porch_desk.incoming.taking.compare_wanted.connect(told.append)
    before = porch_desk.document.plan
    arrived(porch_desk, qtbot, carport_dxf)
    leaf_of(porch_desk).way.box.chosen.emit("newer issue")
    qtbot.mouseClick(leaf_of(porch_desk).take, LEFT)
    qtbot.waitUntil(lambda: bool(told), timeout=WAIT_MS)
    assert len(told[0].piers) == 8
    assert porch_desk.document.plan is before


def test_another_page_of_the_file_is_read(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "pages.pdf"
    canvas = Canvas(str(path), pagesize=(600, 400))
    for radius in (20, 30):
        for x in (100, 300, 500):
            canvas.circle(x, 200, radius)
        canvas.showPage()
    canvas.save()
    arrived(desk, qtbot, path)
    other = leaf_of(desk).page.other
    assert other.isVisible()
    assert other.box.currentText() == "page 1 of 2"
    other.box.chosen.emit(2)
    qtbot.waitUntil(lambda: other.box.currentText() == "page 2 of 2", timeout=WAIT_MS)
    arrival = desk.incoming.waits.arrival
    assert arrival is not None
    assert arrival.linework is not None
    assert max(s.radius for s in arrival.linework.shapes) == pytest.approx(30 * 25.4 / 72)


def test_the_same_drawing_again_is_compared_unless_another_way_is_chosen(
    incoming: Desk, qtbot: QtBot, carport_dxf: Path
) -> None:
    take_in(incoming, qtbot)
    arrived(incoming, qtbot, carport_dxf)
    assert leaf_of(incoming).way.box.key == "newer issue"
