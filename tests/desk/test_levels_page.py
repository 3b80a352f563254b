"""The Levels page with real keys: two setups are booked and close, and heights follow."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.book_rows import DRAFT
from layoutdesk.desk.notebook.book_table import BACK, FORE, POINT
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.plan import edits
from layoutdesk.plan.heights import Reading
from tests.desk.levels_hand import (
    ENTER,
    ESC,
    TAB,
    book,
    booked,
    box_of,
    box_of_any,
    open_levels,
    readings,
    set_benchmark,
    settled,
)


@pytest.fixture
def page(porch_desk: Desk, qtbot: QtBot) -> LevelsPage:
    """Return the page of the porch, open, with nothing booked yet."""
    return open_levels(porch_desk, qtbot)


def test_before_anything_is_booked_the_page_says_how_to_begin(page: LevelsPage) -> None:
    assert page.begin.isVisible()
    assert "Nothing is booked yet" in page.says.text()
    assert not page.numbers.isVisible()
    assert "Press Spot" in page.ground.says.text()
    assert page.columns.none.isVisible()


def test_two_setups_are_booked_by_keyboard_alone_and_close(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "bm", back="4.00")
    book(page, qtbot, "p1", fore="5.50")
    book(page, qtbot, "TP1", fore="6.00")
    # The turning point takes its back reading in the same row, and that begins the next setup.
    page.book.table.type_into(("r2", BACK))
    qtbot.keyClicks(box_of(page, qtbot, ("r2", BACK)), "3.00")
    qtbot.keyClick(box_of_any(), ENTER)
    book(page, qtbot, "P2", fore="3.25")
    book(page, qtbot, "BM", fore="1.01")
    settled(page, qtbot)
    assert readings(page.document.plan) == [
        (1, "BM", "back", 4.0),
        (1, "P1", "fore", 5.5),
        (1, "TP1", "fore", 6.0),
        (2, "TP1", "back", 3.0),
        (2, "P2", "fore", 3.25),
        (2, "BM", "fore", 1.01),
    ]
    worked = page.document.layout.level_book
    assert worked is not None
    assert worked.loops[0].closes
    assert worked.check_holds
    assert page.says.text() == "The level book closes."
    assert page.closes.number.text() == "¹⁄₈″"
    assert [line.kind for line in page.book.table.lines[-2:]] == ["sums", "loop"]
    assert page.begin.isVisible()
    qtbot.keyClick(box_of_any(), ESC)
    page.setFocus()
    page.plan_changed()
    assert not page.begin.isVisible()


def test_a_back_reading_in_a_row_of_its_own_begins_the_next_setup(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4.00")
    book(page, qtbot, "TP1", fore="6.00")
    book(page, qtbot, "TP1", back="3.00")
    assert page.book.table.draft.setup == 2
    book(page, qtbot, "BM", fore="1.00")
    assert [r[0] for r in readings(page.document.plan)] == [1, 1, 2, 2]
    settled(page, qtbot)
    worked = page.document.layout.level_book
    assert worked is not None
    assert worked.check_holds
    assert worked.loops[0].misclosure == pytest.approx(0.0)


def test_going_back_after_the_fore_reading_of_a_turning_point_is_its_back_one(
    page: LevelsPage, qtbot: QtBot
) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4.00")
    qtbot.keyClicks(box_of(page, qtbot, (DRAFT, POINT)), "TP1")
    qtbot.keyClick(box_of_any(), TAB)
    qtbot.keyClick(box_of(page, qtbot, (DRAFT, BACK)), TAB)
    qtbot.keyClicks(box_of(page, qtbot, (DRAFT, FORE)), "6.00")
    qtbot.keyClick(box_of_any(), Qt.Key.Key_Backtab)
    qtbot.keyClicks(box_of(page, qtbot, ("r1", BACK)), "3.00")
    qtbot.keyClick(box_of_any(), ENTER)
    box_of(page, qtbot, (DRAFT, POINT))
    assert readings(page.document.plan)[1:] == [(1, "TP1", "fore", 6.0), (2, "TP1", "back", 3.0)]


def test_enter_over_the_row_that_waits_goes_to_its_point(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4.00")
    page.book.table.type_into(("r0", BACK))
    qtbot.keyClicks(box_of(page, qtbot, ("r0", BACK)), "4.10")
    qtbot.keyClick(box_of_any(), ENTER)
    box_of(page, qtbot, (DRAFT, POINT))
    assert readings(page.document.plan) == [(1, "BM", "back", 4.1)]


def test_a_row_that_is_pressed_stays_under_the_mouse(page: LevelsPage, qtbot: QtBot) -> None:
    """The first steps are still on the page while rows are typed; they must not go while a row is pressed."""
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4.00")
    book(page, qtbot, "P1", fore="5.50")
    book(page, qtbot, "P2", fore="5.75")
    settled(page, qtbot)
    table = page.book.table
    row = table.rows.row_of("r1")
    assert row is not None
    assert page.begin.isVisible()
    cell = table.visualRect(table.rows.index(row, FORE)).center()
    before = table.viewport().mapTo(page, cell)
    qtbot.mousePress(table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    qtbot.wait(1)
    page.plan_changed()
    qtbot.wait(1)
    assert table.viewport().mapTo(page, cell) == before
    qtbot.mouseRelease(table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    assert table.editing == ("r1", FORE)


def test_bad_input_stays_where_it_was_typed_with_one_sentence(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="four feet", taken=False)
    qtbot.waitUntil(lambda: box_of_any().property("tone") == "wrong")
    assert page.book.table.editing == (DRAFT, BACK)
    assert box_of_any().text() == "four feet"
    assert "four feet" in page.book.wrong.text()
    assert page.book.table.draft.point == "BM"
    box_of_any().clear()
    qtbot.keyClicks(box_of_any(), "4'")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: len(page.document.plan.levels.readings) == 1)
    assert not page.book.wrong.isVisible()


def test_a_number_without_a_point_asks_for_the_point_and_is_kept(page: LevelsPage, qtbot: QtBot) -> None:
    page.book.table.type_into((DRAFT, FORE))
    qtbot.keyClicks(box_of(page, qtbot, (DRAFT, FORE)), "5.5")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: box_of_any().property("tone") == "wrong")
    assert "at which point the rod stood" in page.book.wrong.text()
    assert box_of_any().text() == "5.5"
    qtbot.keyClick(box_of_any(), ESC)
    assert page.document.plan.levels.readings == ()


def test_what_is_being_typed_outlives_rows_that_come_meanwhile(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    qtbot.keyClicks(box_of(page, qtbot, (DRAFT, POINT)), "P1")
    reading = Reading(setup=1, point="BM", kind="back", reading=1200.0)
    page.document.apply("Book BM", lambda p: edits.add_reading(p, reading))
    settled(page, qtbot)
    assert box_of_any().text() == "P1"
    qtbot.keyClick(box_of_any(), TAB)
    box_of(page, qtbot, (DRAFT, BACK))
    assert page.book.table.draft.point == "P1"


def test_pasting_a_table_books_its_rows_and_says_what_it_could_not_read(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    QGuiApplication.clipboard().setText(
        "setup\tpoint\tback\tfore\n1\tBM\t4.0\t\n1\tP1\t\t5.5\n1\tP2\t\trubbish\n1\tBM\t\t4.0"
    )
    page.book.table.setFocus()
    qtbot.keyClick(page.book.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    settled(page, qtbot)
    assert len(page.document.plan.levels.readings) == 3
    assert page.book.wrong.text().startswith("3 readings were booked.")
    assert "rubbish" in page.book.wrong.text()
    assert page.document.undo_label == "Paste readings"


def test_picking_a_row_lights_the_piece_and_the_other_way_round(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    table = page.book.table
    row = table.rows.row_of("r1")
    assert row is not None
    spot = table.visualRect(table.rows.index(row, 5)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert page.view.selected == ("P1",)
    assert "P1 is the ground" in page.book.row_says.text()
    assert "\u2009" not in page.book.row_says.text()  # a height is never broken at the end of a line
    page.view.select(["P2"])
    assert table.picked_keys == ("r2",)
    assert page.piers.pier_heading.text.text() == "Pier P2"
    assert page.picked.text().startswith("P2: ground (read) ")
    assert page.line.shown == page.document.plan.piers[1].line


def test_delete_strikes_a_reading_out_and_undo_brings_it_back(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    count = len(page.document.plan.levels.readings)
    page.book.table.light(["r3"])
    page.book.table.setFocus()
    qtbot.keyClick(page.book.table, Qt.Key.Key_Delete)
    assert len(page.document.plan.levels.readings) == count - 1
    assert page.document.undo_label == "Strike out readings"
    page.document.undo()
    assert len(page.document.plan.levels.readings) == count


def test_a_row_is_booked_between_others(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    page.book.table.light(["r2"])
    page.book.below.click()
    assert [x.key for x in page.book.table.lines[:5]] == ["r0", "r1", "r2", DRAFT, "r3"]
    book(page, qtbot, "G9", fore="6.0")
    settled(page, qtbot)
    assert page.document.plan.levels.readings[3].point == "G9"


def test_the_setup_is_read_with_another_method(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    page.book.setup.method.box.chosen.emit("water level")
    setups = page.document.plan.levels.setups
    assert [(s.setup, s.method) for s in setups] == [(1, "water level")]
    assert page.document.undo_label == "Method of setup 1"


def test_a_loop_that_does_not_close_is_told_first_of_all(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    last = len(page.document.plan.levels.readings) - 1
    wrong = Reading(setup=1, point="BM", kind="fore", reading=1300.0)
    page.document.apply("Misread", lambda p: edits.replace_reading(p, last, wrong))
    settled(page, qtbot)
    assert "does not close" in page.says.text()
    assert page.says.property("tone") == "wrong"
    assert page.closes.caption.text() == "The loop is off by"
