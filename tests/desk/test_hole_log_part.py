"""The hole log with real keys: measures typed hole by hole, pasted, poured, struck out."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.hole_log_part import HoleLogPart
from layoutdesk.desk.notebook.hole_table import BOTTOM, DEPTH, TOP, VERDICT, WATER
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.holes import NO_HOLES
from layoutdesk.session.document import Document

TAB, ENTER = Qt.Key.Key_Tab, Qt.Key.Key_Return


@pytest.fixture
def part(dress: Dress, qtbot: QtBot) -> HoleLogPart:
    """Return the log of the porch, with nothing in it yet."""
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    document = Document(plan.with_(holes=NO_HOLES))
    made = HoleLogPart(document, dress)
    qtbot.addWidget(made)
    document.watch(lambda: made.fill(document.plan, document.layout))
    made.resize(420, 900)
    with qtbot.waitExposed(made):
        made.show()
    made.fill(document.plan, document.layout)
    return made


def typed(part: HoleLogPart, qtbot: QtBot, text: str, key: Qt.Key) -> None:
    """Type into the box that is open, and leave it by a key."""
    qtbot.waitUntil(lambda: isinstance(part.table.live, QLineEdit))
    box = part.table.live
    assert box is not None
    qtbot.keyClicks(box, text)
    qtbot.keyClick(box, key)


def word(part: HoleLogPart, row: int) -> str:
    return part.table.rows.columns[VERDICT].text(row)


def test_a_hole_is_logged_once_depth_and_both_widths_are_typed(part: HoleLogPart, qtbot: QtBot) -> None:
    document, table = part._document, part.table
    row = document.layout.holes[0]
    assert row.planned_depth is not None
    assert row.planned_top is not None
    table.type_into(("P1", DEPTH))
    assert table.live is not None
    assert table.live.x() >= table.visualRect(table.rows.index(0, DEPTH)).left(), "the pier stays to be read"
    typed(part, qtbot, f'{(row.planned_depth + 304.8) / 25.4}"', TAB)
    assert document.plan.holes.log == ()
    assert word(part, 0) == "begun"
    assert "width at the top and the width at the bottom" in part.says.text()
    typed(part, qtbot, f'{row.planned_top / 25.4}"', TAB)
    assert table.editing == ("P1", BOTTOM)
    typed(part, qtbot, "no width", TAB)
    assert part.wrong.text().startswith("“no width”") or "no width" in part.wrong.text()
    qtbot.waitUntil(lambda: table.editing == ("P1", BOTTOM))
    box = table.live
    assert box is not None
    box.clear()
    typed(part, qtbot, f'{row.planned_bottom / 25.4}"', TAB)  # type: ignore[operator]
    hole = document.plan.holes.of_pier("P1")
    assert hole is not None
    assert hole.depth == pytest.approx(row.planned_depth + 304.8)
    assert word(part, 0) == "good"
    assert table.editing == ("P2", DEPTH), "Tab goes on to the next hole, past what has no room"
    assert "1 of " in part.aside.text()
    table.light(["P1"])
    part._show_row()
    assert "more than planned" in part.values[3].name.text()


def test_water_is_typed_in_the_form_and_the_hole_is_to_be_mended(part: HoleLogPart, qtbot: QtBot) -> None:
    document = part._document
    rows = document.layout.holes
    for row in rows[:2]:
        for field in ("depth", "top", "bottom"):
            part.table.set_field(row.pier, field, getattr(row, f"planned_{field}"))
    assert [word(part, r) for r in range(3)] == ["as planned", "as planned", "–"]
    part.light(["P1"])
    assert part.form_card.isVisibleTo(part)
    box = part.form.water.box
    box.setFocus()
    qtbot.keyClicks(box, '3"')
    qtbot.keyClick(box, ENTER)
    assert document.plan.holes.log[0].water == pytest.approx(76.2)
    assert word(part, 0) == "mend first"
    assert part.table.signed == {"P1"}
    assert "1 to mend" in part.aside.text()
    part.form.water.box.setFocus()
    qtbot.keyClicks(part.form.water.box, "-1")
    qtbot.keyClick(part.form.water.box, ENTER)
    assert part.form.water.sentence.text(), "what cannot be is refused under its box"
    part.light(["P1", "P2"])
    part.poured.click()
    assert all(hole.poured for hole in document.plan.holes.log)
    assert word(part, 1) == "poured"
    assert part.poured.text() == "Not poured"
    part.table.resize(900, 400)
    assert not part.table.isColumnHidden(WATER)
    part.strike.click()
    assert document.plan.holes.log == ()
    document.undo()
    assert len(document.plan.holes.log) == 2


def test_a_pasted_table_logs_the_good_rows_and_says_what_is_wrong_with_the_others(part: HoleLogPart) -> None:
    QGuiApplication.clipboard().setText('pier\tdepth\ttop\tbottom\nP1\t4\'\t12"\t16"\nP99\t4\'\t12"\t16"')
    part.paste()
    assert [hole.pier for hole in part._document.plan.holes.log] == ["P1"]
    assert "1 hole was logged" in part.wrong.text()
    assert "P99" in part.wrong.text()
    QApplication.clipboard().clear()
    part.paste()
    assert "nothing to paste" in part.wrong.text()


def test_begun_holes_are_forgotten_by_delete_and_with_their_pier(part: HoleLogPart, qtbot: QtBot) -> None:
    part.table.set_field("P2", "top", 300.0)
    part.light(["P2"])
    qtbot.keyClick(part.table, Qt.Key.Key_Delete)
    assert part.table.waiting == frozenset()
    part.table.set_field("P2", "top", 300.0)
    part._document.apply("Delete", lambda p: edits.delete(p, ["P2"]))
    assert part.table.waiting == frozenset()
    assert part.table.exact(1, TOP) == ""
