"""On the page of a drawing that came in: looking, picking, choosing, and saying how large it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication, QMenu, QMenuBar, QScrollBar, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from tests.desk.arrivals import (
    LEFT,
    SHIFT,
    WAIT_MS,
    arrived,
    becomes,
    drag,
    frame_of,
    leaf_of,
    mouse,
    press,
    take_in,
)
from tests.desk.test_keys import has_name

# ---- looking and choosing


def test_pointing_says_what_it_is_and_why(incoming: Desk) -> None:
    view = frame_of(incoming).view
    mouse(view, QEvent.Type.MouseMove, view.camera.to_screen((3000, -2500)), Qt.KeyboardModifier.NoModifier)
    said = frame_of(incoming).says.toolTip()
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
    assert "Comes in: 8 piers" in copied


# ---- the scale


def test_another_drawing_begins_at_the_top_of_its_page(
    incoming: Desk, qtbot: QtBot, carport_dxf: Path, tmp_path: Path
) -> None:
    page = leaf_of(incoming).page
    page.verticalScrollBar().setValue(page.verticalScrollBar().maximum())
    assert page.verticalScrollBar().value() > 0
    other = tmp_path / "other.dxf"
    other.write_bytes(carport_dxf.read_bytes())
    arrived(incoming, qtbot, other)
    qtbot.waitUntil(lambda: page.heading.text.text() == "other.dxf", timeout=WAIT_MS)
    assert page.verticalScrollBar().value() == 0


def test_the_report_is_longer_where_the_page_is_wide(incoming: Desk) -> None:
    page = leaf_of(incoming).page
    page.report.setPlainText("\n".join(f"Passed over: {n}" for n in range(40)))
    heights = []
    for wide in (360, 900):
        page.resize(wide, 900)
        page._arrange()
        heights.append(page.report.height())
    assert heights[1] > 2 * heights[0]


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
