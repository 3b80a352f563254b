"""The window as a whole: what it shows, and that plan, sheet and notebook keep together."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.rail import STAGES
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.gestures.words import PICTURE_WORDS
from layoutdesk.plan import edits


def press(qtbot: QtBot, button: QPushButton) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_an_empty_desk_says_what_to_do_first(desk: Desk) -> None:
    assert "draw the wall" in desk.rail.next.text()
    page = desk.notebook["plan"]
    assert page.isVisible()
    assert desk.window.windowTitle() == "Untitled[*] – Layoutdesk"
    assert not desk.window.isWindowModified()


def test_pressing_a_stage_opens_its_page(desk: Desk, qtbot: QtBot) -> None:
    for button, stage in zip(desk.rail.buttons, STAGES, strict=True):
        if stage.page == "sheets":
            continue
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        assert desk.view.page == stage.page
        assert desk.notebook[stage.page].isVisible()
        assert desk.sheet.isVisible()


def test_the_stage_of_a_flag_shows_their_number(porch_desk: Desk) -> None:
    flags = porch_desk.document.layout.flags
    for button in porch_desk.rail.buttons:
        count = sum(f.stage == button.stage.page for f in flags)
        assert ("no flags" if not count else f"{count} flag") in button.accessibleName()


def test_undo_says_what_it_takes_back(porch_desk: Desk, qtbot: QtBot) -> None:
    before = porch_desk.document.plan
    porch_desk.document.apply("Move P4", lambda p: edits.move(p, ["P4"], (100.0, 0.0)))
    assert porch_desk.strip.undo.toolTip() == "Undo: Move P4"
    assert porch_desk.window.isWindowModified()
    press(qtbot, porch_desk.strip.undo)
    assert porch_desk.document.plan is before
    assert porch_desk.strip.redo.toolTip() == "Redo: Move P4"
    assert not porch_desk.strip.undo.isEnabled()
    assert not porch_desk.window.isWindowModified()
    press(qtbot, porch_desk.strip.redo)
    assert porch_desk.document.plan.piece("P4") != before.piece("P4")


def test_every_gesture_is_a_word_or_behind_more(desk: Desk) -> None:
    words = desk.strip.words
    shown = [b.text() for b in words.findChildren(QPushButton) if b.isVisible()]
    behind = [a.text() for a in words.behind]
    offered = [k.name for k in CATALOGUE][: -len(PICTURE_WORDS)]
    assert offered == [t for t in shown if "▾" not in t] + behind
    right = max(b.geometry().right() for b in words.findChildren(QPushButton) if b.isVisible())
    assert right <= words.width()


def test_a_wide_window_shows_every_word(desk: Desk, qtbot: QtBot) -> None:
    desk.window.resize(2560, 1400)
    qtbot.waitUntil(lambda: not desk.strip.words.more.isVisible())
    assert all(b.isVisible() for b in desk.strip.words._buttons[: -len(PICTURE_WORDS)])


def test_a_gesture_behind_more_is_named_on_it(desk: Desk) -> None:
    desk.gestures["Bay"].trigger()
    assert desk.sheet.kind.name == "Bay"
    assert desk.strip.words.more.text() == "Bay ▾"
    desk.gestures["Pick"].trigger()
    assert desk.strip.words.more.text() == "More ▾"


def test_a_letter_on_the_sheet_takes_up_a_gesture_and_in_a_box_is_a_letter(desk: Desk, qtbot: QtBot) -> None:
    desk.window.activateWindow()
    desk.sheet.setFocus()
    qtbot.waitUntil(desk.sheet.hasFocus)
    qtbot.keyClick(desk.sheet, Qt.Key.Key_P)
    assert desk.sheet.kind.name == "Pier"
    title = desk.notebook["plan"].job.title.box  # type: ignore[attr-defined]
    title.setFocus()
    qtbot.keyClicks(title, "Wp")
    assert title.text() == "Wp"
    assert desk.sheet.kind.name == "Pier"


def test_nothing_reaches_over_the_edge_of_a_small_window(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.window.resize(1366, 700)
    for stage in STAGES:
        if stage.page == "sheets":
            continue
        porch_desk.view.turn_to(stage.page)
        page = porch_desk.notebook[stage.page]
        qtbot.waitUntil(page.isVisible)
        leaf = page.widget()
        assert leaf is not None
        assert leaf.width() <= page.viewport().width(), stage.name
        assert page.horizontalScrollBar().maximum() == 0, stage.name
    for part in (porch_desk.strip, porch_desk.rail, porch_desk.frame.foot):
        assert part.mapTo(porch_desk.window, part.rect().bottomRight()).x() < porch_desk.window.width()
        assert part.mapTo(porch_desk.window, part.rect().bottomRight()).y() < porch_desk.window.height()


@pytest.mark.parametrize("page", ["plan", "control", "stakes", "levels", "piers", "proof", "buy"])
def test_a_large_window_lays_pages_in_two_columns(porch_desk: Desk, qtbot: QtBot, page: str) -> None:
    porch_desk.window.resize(2560, 1400)
    porch_desk.rail.turned.emit(page)
    shown = porch_desk.notebook[porch_desk.view.page]
    qtbot.waitUntil(lambda: shown._wide is True)


def test_the_dress_changes_while_working(porch_desk: Desk, dress: Dress) -> None:
    light = porch_desk.window.grab().toImage().pixelColor(700, 730)
    porch_desk.menus.actions["dress_dark"].trigger()
    assert dress.theme.dark
    dark = porch_desk.window.grab().toImage().pixelColor(700, 730)
    assert dark.lightness() < light.lightness()
    assert porch_desk._settings.dress == "dark"
    porch_desk.menus.actions["dress_light"].trigger()
    assert porch_desk.window.grab().toImage().pixelColor(700, 730) == light


def test_larger_text_is_larger_and_remembered(porch_desk: Desk) -> None:
    before = porch_desk.rail.width()
    porch_desk.menus.actions["text_larger"].trigger()
    porch_desk.menus.actions["text_larger"].trigger()
    assert porch_desk.rail.width() > before
    assert porch_desk._settings.text_scale == pytest.approx(1.2)
    porch_desk.menus.actions["text_usual"].trigger()
    assert porch_desk.rail.width() == before


def test_what_goes_wrong_is_said_in_the_slip_until_closed(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.menus.actions["delete"].trigger()
    assert porch_desk.slip.isVisible()
    assert "Nothing is picked" in porch_desk.slip.text.text()
    press(qtbot, porch_desk.slip.close_button)
    assert not porch_desk.slip.isVisible()


def test_a_gesture_leaves_the_preview(porch_desk: Desk) -> None:
    porch_desk._awake = True
    porch_desk.view.turn_to("sheets")
    assert not porch_desk.sheet.isVisible()
    porch_desk.gestures["Pier"].trigger()
    assert porch_desk.view.page == "plan"
    assert porch_desk.sheet.isVisible()


def test_a_warning_leaves_when_the_person_goes_on(porch_desk: Desk) -> None:
    porch_desk.menus.actions["delete"].trigger()
    assert porch_desk.slip.isVisible()
    porch_desk.view.select(["P4"])
    assert not porch_desk.slip.isVisible()
