"""Values in the entry line stay readable at the largest text size in a small window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.entry_box import PADDING, EntryBox
from layoutdesk.desk.entry_line import EntryLine
from layoutdesk.gestures.catalogue import CATALOGUE
from tests.desk.hands import Bench
from tests.gestures.scenes import porch


def typed(qtbot: QtBot, *texts: str) -> None:
    """Type texts where the cursor is, Tab between them, Enter at the end."""
    for k, text in enumerate(texts):
        if k:
            qtbot.keyClick(focus(), Qt.Key.Key_Tab)
        for character in text:
            qtbot.keyClicks(focus(), character)
    qtbot.keyClick(focus(), Qt.Key.Key_Return)


def focus() -> QWidget:
    """Return what has the cursor."""
    found = QApplication.focusWidget()
    assert found is not None
    return found


def readable(line: EntryLine) -> None:
    """Hold that each box lies free in the line, and that its whole value has room beside label and marks."""
    boxes = [box for box in line.boxes if box.isVisible()]
    assert boxes
    right = 0
    for box in boxes:
        assert box.x() >= right, box.name
        right = box.x() + box.width()
        margins = box.textMargins()
        room = box.width() - margins.left() - margins.right() - 2 * PADDING
        assert QFontMetricsF(box.font()).horizontalAdvance(box.text()) <= room, (box.name, box.text())
    assert right <= line.width()


@pytest.mark.parametrize("steps", [0, 6])
def test_the_boxes_of_a_grid_of_piers_can_be_read(qtbot: QtBot, porch_desk: Desk, steps: int) -> None:
    window = porch_desk.window
    ctrl_shift = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    for _ in range(steps):
        qtbot.keyClick(window, Qt.Key.Key_Period, ctrl_shift)
    window.resize(1366, 740)
    line = window.findChild(EntryLine)
    assert isinstance(line, EntryLine)
    sheet = window.findChild(SheetView)
    assert isinstance(sheet, SheetView)
    sheet.take_up(next(kind for kind in CATALOGUE if kind.name == "Grid of piers"))
    sheet.setFocus()
    typed(qtbot, "2", "3")
    typed(qtbot, "30'", "12")
    qtbot.waitUntil(lambda: line.boxes[0].name == "count")
    count = line.boxes[0]
    typed(qtbot, "12")
    qtbot.waitUntil(lambda: line.boxes[0].name == "rows")
    rows = line.boxes[0]
    for digit in "12":
        qtbot.keyClicks(focus(), digit)
    qtbot.wait(20)
    assert rows.text() == "12"
    readable(line)
    plus, middle = rows.width() - PADDING, rows.height() / 2
    qtbot.mouseClick(rows, Qt.MouseButton.LeftButton, pos=QPointF(plus, middle).toPoint())
    assert rows.text() == "13"
    assert count is not rows


def test_a_narrow_line_gives_the_boxes_the_room_of_the_cursor_figure(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.entry.set_text_scale(1.6)
    bench.take_up("Grid of piers")
    bench.move_px(QPointF(500, 300))
    widths = []
    for width in (1900, 900, 640):
        bench.resize(width, 760)
        qtbot.waitUntil(lambda width=width: bench.entry.width() == width)  # type: ignore[misc]
        readable(bench.entry)
        widths.append(bench.entry._place.isVisible())
    assert widths[0]
    assert not widths[-1]
    assert all(isinstance(box, EntryBox) for box in bench.entry.boxes)
