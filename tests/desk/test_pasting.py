"""Points pasted from a spreadsheet come in as those of a file do."""

from __future__ import annotations

from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from tests.desk.arrivals import WAIT_MS, leaf_of, take_in

TABLE = "Mark\tx (ft)\ty (ft)\nF1\t2\t-8\nF2\t12.5\t-8\nF3\t20\t-8\n"


def test_pasted_cells_come_onto_the_page_and_into_the_plan(desk: Desk, qtbot: QtBot) -> None:
    QGuiApplication.clipboard().setText(TABLE)
    desk.menus.actions["paste"].trigger()
    qtbot.waitUntil(lambda: desk.incoming.waits.waiting, timeout=WAIT_MS)
    assert leaf_of(desk).page.heading.text.text() == "pasted points.csv"
    take_in(desk, qtbot)
    piers = desk.document.plan.piers
    assert [pier.label for pier in piers] == ["F1", "F2", "F3"]
    assert [pier.at for pier in piers] == [(609.6, -2438.4), (3810.0, -2438.4), (6096.0, -2438.4)]
    desk.menus.actions["undo"].trigger()
    assert not desk.document.plan.piers


def test_an_empty_clipboard_is_told_in_a_sentence(desk: Desk) -> None:
    QGuiApplication.clipboard().setText("   ")
    desk.menus.actions["paste"].trigger()
    assert "The clipboard holds no text" in desk.slip.text.text()
    assert not desk.incoming.waits.waiting
