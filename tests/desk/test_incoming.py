"""A drawing comes in: opened, looked at, chosen from, taken in, and taken back, by mouse and keys."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QMenu, QMenuBar, QScrollBar, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.incoming.drawing_view import DrawingView
from layoutdesk.desk.incoming.frame import DrawingFrame
from layoutdesk.desk.incoming.leaf import IncomingLeaf
from layoutdesk.desk.incoming.taking import Asked
from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import Linework
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.incoming_tasks import IncomingTasks
from tests.desk.test_keys import has_name
from tests.session.carport_drawing import save_carport

if TYPE_CHECKING:
    from tests.desk.conftest import FakeAsks

WAIT_MS = 60_000
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def carport_dxf(tmp_path: Path) -> Path:
    return save_carport(tmp_path / "carport.dxf")


def arrived(desk: Desk, qtbot: QtBot, path: Path, *, onto_plan: bool = False) -> Desk:
    """Have a file brought to the desk, and wait until it lies on its page."""
    assert desk.files.bring(path, onto_plan=onto_plan)
    qtbot.waitUntil(lambda: desk.incoming.waits.waiting, timeout=WAIT_MS)
    frame_of(desk).view.repaint()
    return desk


Read = tuple[Linework, dict[str, Any], bytes]


def read(path: Path) -> Read:
    """Read a file as the second process does, in this one."""
    tasks = IncomingTasks()
    order = {"path": str(path), "page": 1, "layout": "", "scale": None, "points": False}
    linework = tasks._linework(order, lambda _: None)
    return linework, *tasks._propose(order, lambda _: None)


@pytest.fixture(scope="module")
def carport_read(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Read]:
    path = save_carport(tmp_path_factory.mktemp("carport") / "carport.dxf")
    return path, read(path)


@pytest.fixture(scope="module")
def unknown_read(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Read]:
    path = save_carport(tmp_path_factory.mktemp("unknown") / "carport.dxf", unit=0, dimensions=False)
    return path, read(path)


def lay_out(desk: Desk, path: Path, came: Read) -> Desk:
    """Lay a drawing on its page that was read already."""
    linework, about, work = came
    desk.incoming.taking._show(Asked(path, "own sheet", linework=linework), about, work)
    frame_of(desk).view.repaint()
    return desk


@pytest.fixture
def incoming(desk: Desk, carport_read: tuple[Path, Read]) -> Desk:
    """Return an empty desk on which the carport waits to be taken in."""
    return lay_out(desk, *carport_read)


def frame_of(desk: Desk) -> DrawingFrame:
    assert desk.incoming.frame is not None
    return desk.incoming.frame


def leaf_of(desk: Desk) -> IncomingLeaf:
    assert desk.incoming.leaf is not None
    return desk.incoming.leaf


def becomes(desk: Desk, kind: str) -> int:
    arrival = desk.incoming.waits.arrival
    assert arrival is not None
    return sum(c.becomes == kind for c in arrival.proposal.candidates)


def mouse(view: DrawingView, kind: QEvent.Type, at: QPointF, keys: Qt.KeyboardModifier) -> None:
    button = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else LEFT
    QApplication.sendEvent(view, QMouseEvent(kind, at, view.mapToGlobal(at), button, button, keys))


def press(desk: Desk, place: Vector, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """Press at a place of the ground, as a hand would."""
    view = frame_of(desk).view
    at = view.camera.to_screen(place)
    for kind in (QEvent.Type.MouseMove, QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
        mouse(view, kind, at, keys)


def drag(desk: Desk, start: Vector, end: Vector) -> None:
    view, keys = frame_of(desk).view, Qt.KeyboardModifier.NoModifier
    a, b = view.camera.to_screen(start), view.camera.to_screen(end)
    mouse(view, QEvent.Type.MouseButtonPress, a, keys)
    for share in (0.3, 0.6, 1.0):
        mouse(view, QEvent.Type.MouseMove, a + (b - a) * share, keys)
    mouse(view, QEvent.Type.MouseButtonRelease, b, keys)


def take_in(desk: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(leaf_of(desk).take, LEFT)
    qtbot.waitUntil(lambda: not desk.incoming.waits.waiting, timeout=WAIT_MS)


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


# ---- looking and choosing


def test_pointing_says_what_it_is_and_why(incoming: Desk) -> None:
    view = frame_of(incoming).view
    mouse(view, QEvent.Type.MouseMove, view.camera.to_screen((3000, -2500)), Qt.KeyboardModifier.NoModifier)
    said = frame_of(incoming).says.text()
    assert said.startswith("Pier P3 · circles Ø 300 mm · layer S-PIER")
    mouse(view, QEvent.Type.MouseMove, view.camera.to_screen((2400, 1500)), Qt.KeyboardModifier.NoModifier)
    assert "layer A-FURN" in frame_of(incoming).says.text()


def test_a_press_picks_and_shift_adds(incoming: Desk) -> None:
    press(incoming, (0, -2500))
    press(incoming, (0, -5000), SHIFT)
    assert len(incoming.incoming.waits.picked) == 2
    assert frame_of(incoming).count.text() == "2 picked: make it"
    press(incoming, (-2000, -6000))
    assert not incoming.incoming.waits.picked


def test_a_box_picks_what_it_holds_and_a_word_makes_it(incoming: Desk, qtbot: QtBot) -> None:
    drag(incoming, (-400, -4500), (9500, -5300))
    assert len(incoming.incoming.waits.picked) == 4
    qtbot.mouseClick(frame_of(incoming).buttons["nothing"], LEFT)
    assert becomes(incoming, "pier") == 4
    incoming.menus.actions["undo"].trigger()
    assert becomes(incoming, "pier") == 8
    incoming.menus.actions["redo"].trigger()
    assert becomes(incoming, "pier") == 4


def test_a_letter_makes_what_is_picked(incoming: Desk, qtbot: QtBot) -> None:
    press(incoming, (0, -2500))
    view = frame_of(incoming).view
    qtbot.keyClick(view, Qt.Key.Key_C)
    assert (becomes(incoming, "control point"), becomes(incoming, "pier")) == (1, 7)
    qtbot.keyClick(view, Qt.Key.Key_N)
    assert becomes(incoming, "control point") == 0
    qtbot.keyClick(view, Qt.Key.Key_P)
    assert becomes(incoming, "pier") == 8


def test_what_cannot_be_made_is_said(incoming: Desk, qtbot: QtBot) -> None:
    view = frame_of(incoming).view
    qtbot.keyClick(view, Qt.Key.Key_W)
    assert "Nothing is picked" in frame_of(incoming).says.text()
    press(incoming, (2400, 1500))
    qtbot.keyClick(view, Qt.Key.Key_L)
    assert "cannot become a beam line" in frame_of(incoming).says.text()


def test_keys_walk_through_what_is_taken_in(incoming: Desk, qtbot: QtBot) -> None:
    view = frame_of(incoming).view
    seen: set[int] = set()
    for _ in range(17):
        qtbot.keyClick(view, Qt.Key.Key_PageDown)
        seen |= incoming.incoming.waits.picked
    assert len(seen) == 17
    qtbot.keyClick(view, Qt.Key.Key_Escape)
    assert not incoming.incoming.waits.picked


def test_a_kind_is_chosen_in_the_table(incoming: Desk, qtbot: QtBot) -> None:
    table = leaf_of(incoming).page.table
    row = next(k for k, i in enumerate(table.rows.ids) if i.startswith("group:") and table.count_of(i)["pier"])
    table.selectRow(row)
    assert len(incoming.incoming.waits.picked) == 8
    qtbot.keyClick(table, Qt.Key.Key_N)
    assert becomes(incoming, "pier") == 0
    assert "8 piers" not in leaf_of(incoming).page.total.text()
    menu = table.menu_of(row)
    assert [a.text().split("\t")[0] for a in menu.actions() if a.isChecked()] == ["Nothing"]
    next(a for a in menu.actions() if a.text().startswith("Pier")).trigger()
    assert becomes(incoming, "pier") == 8


def test_the_picked_light_in_the_table(incoming: Desk) -> None:
    press(incoming, (2400, 1500))
    table = leaf_of(incoming).page.table
    lit = [table.rows.ids[i.row()] for i in table.selectionModel().selectedRows()]
    assert len(lit) == 1
    assert "A-FURN" in lit[0]


def test_what_does_not_agree_is_said_with_both_numbers_and_shown(incoming: Desk, qtbot: QtBot) -> None:
    page, view = leaf_of(incoming).page, frame_of(incoming).view
    assert page.dimensions.aside.text() == "5 read, 1 disagrees, 1 chain does not close"
    card = page.doubts._cards[0]
    assert card.accessibleName() == "warning: 2950 is drawn as 3000\u00a0mm"
    before = view.camera
    qtbot.mouseClick(card, LEFT)
    assert view.camera != before
    assert "2950" in frame_of(incoming).says.text()
    assert "2950 is drawn as 3000" in page.report.toPlainText()


def test_the_report_is_copied(incoming: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(leaf_of(incoming).page.copy, LEFT)
    copied = QApplication.clipboard().text()
    assert copied.startswith("carport.dxf\nRead: ")
    assert "Taken in: 8 piers" in copied


# ---- the scale


@pytest.fixture
def unknown(desk: Desk, unknown_read: tuple[Path, Read]) -> Desk:
    """Return a desk with a drawing that says nothing of its unit."""
    return lay_out(desk, *unknown_read)


def test_an_unknown_unit_must_be_confirmed(unknown: Desk, qtbot: QtBot) -> None:
    leaf = leaf_of(unknown)
    assert not leaf.take.isEnabled()
    assert "how large it is" in leaf.reason.text()
    assert leaf.page.scale.property("card") == "look"
    qtbot.mouseClick(leaf.page.scale.right, LEFT)
    assert leaf.take.isEnabled()
    assert not leaf.reason.isVisible()
    take_in(unknown, qtbot)
    assert unknown.document.plan.piers[0].at == pytest.approx((0.0, -2500.0))


def test_another_unit_is_chosen(unknown: Desk, qtbot: QtBot) -> None:
    leaf = leaf_of(unknown)
    leaf.page.scale.unit.box.chosen.emit(10.0)
    qtbot.waitUntil(leaf.take.isEnabled, timeout=WAIT_MS)
    arrival = unknown.incoming.waits.arrival
    assert arrival is not None
    assert arrival.proposal.scale.scale == 10.0
    assert leaf.page.scale.unit.box.key == 10.0
    assert leaf.page.scale.why.text() == "As you said."


def test_the_scale_is_told_by_two_points(unknown: Desk, qtbot: QtBot) -> None:
    card = leaf_of(unknown).page.scale
    qtbot.mouseClick(card.two, LEFT)
    assert "two points" in frame_of(unknown).says.text()
    scale = frame_of(unknown).view.things
    assert scale is not None
    for place in ((0.0, -2500.0), (0.0, -5000.0)):
        press(unknown, scale.ground(place))
    assert card.between.isVisible()
    card.between.box.setFocus()
    qtbot.keyClicks(card.between.box, "5 m")
    qtbot.keyClick(card.between.box, Qt.Key.Key_Return)
    qtbot.waitUntil(leaf_of(unknown).take.isEnabled, timeout=WAIT_MS)
    arrival = unknown.incoming.waits.arrival
    assert arrival is not None
    assert arrival.proposal.scale.scale == pytest.approx(2.0)


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


def test_whatever_takes_the_focus_on_the_page_has_a_name(incoming: Desk) -> None:
    nameless = [
        w
        for w in incoming.window.findChildren(QWidget)
        if w.isVisible()
        and w.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not isinstance(w, QMenu | QMenuBar | QScrollBar)
        and not has_name(w)
    ]
    assert nameless == []
