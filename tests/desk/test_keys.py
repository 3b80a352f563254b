"""Everything can be reached by keys and is named for those who cannot see it."""

from __future__ import annotations

from collections import Counter
from typing import Final

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QMenu, QMenuBar, QScrollBar, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.menus import EDIT, FILE, HELP, VIEW

FORBIDDEN: Final = ("Return", "Enter", "Esc")


def all_actions(desk: Desk) -> list[QAction]:
    return [a for a in desk.window.findChildren(QAction) if a.shortcuts()]


def test_no_two_commands_share_a_key(desk: Desk) -> None:
    keys = Counter(
        k.toString(QKeySequence.SequenceFormat.PortableText) for a in all_actions(desk) for k in a.shortcuts()
    )
    assert {k: n for k, n in keys.items() if n > 1} == {}


def test_enter_and_esc_belong_to_the_boxes(desk: Desk) -> None:
    for action in all_actions(desk):
        for key in action.shortcuts():
            assert key.toString() not in FORBIDDEN, action.text()


def test_single_letters_work_on_the_sheet_only(desk: Desk) -> None:
    for action in all_actions(desk):
        for key in action.shortcuts():
            if len(key.toString()) == 1:
                assert action.shortcutContext() == Qt.ShortcutContext.WidgetWithChildrenShortcut


def test_every_menu_entry_does_something(desk: Desk) -> None:
    for entry in (*FILE, *EDIT, *VIEW, *HELP):
        if entry is not None:
            assert entry.name in desk.menus.actions or entry.name in desk.menus.menus


@pytest.mark.parametrize("page", ["plan", "control", "stakes", "levels", "piers", "proof", "buy", "sheets"])
def test_whatever_takes_the_focus_has_a_name(porch_desk: Desk, qtbot: QtBot, page: str) -> None:
    porch_desk.view.select(["P4"])
    porch_desk.rail.turned.emit(page)
    qtbot.waitUntil(porch_desk.notebook[porch_desk.view.page].isVisible)
    nameless = [
        w
        for w in porch_desk.window.findChildren(QWidget)
        if w.isVisible()
        and w.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not isinstance(w, QMenu | QMenuBar | QScrollBar)
        and not has_name(w)
    ]
    assert nameless == []


def has_name(w: QWidget) -> bool:
    if w.accessibleName() or (isinstance(w, QAbstractButton) and w.text()):
        return True
    parent = w.parentWidget()
    labels = parent.findChildren(QLabel) if parent else []
    if any(label.buddy() is w and label.text() for label in labels):
        return True
    # What lies inside a list to choose from is its own.
    return isinstance(parent, QComboBox)


def test_tab_goes_through_the_form_in_reading_order(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.window.activateWindow()
    job = porch_desk.notebook["plan"].job  # type: ignore[attr-defined]
    job.title.box.setFocus()
    qtbot.waitUntil(job.title.box.hasFocus)
    for box in (job.issue.box, job.date.box, job.units.box, job.rounding.box, job.paper.box):
        focused = porch_desk.window.focusWidget()
        assert focused is not None
        qtbot.keyClick(focused, Qt.Key.Key_Tab)
        assert box.hasFocus()
