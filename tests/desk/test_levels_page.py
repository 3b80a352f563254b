"""The Levels page with real keys: two setups are booked and close, and heights, strings and cuts follow."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.book_rows import DRAFT, other_reading
from layoutdesk.desk.notebook.book_table import BACK, FORE, POINT, SETUP
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.plan import edits
from layoutdesk.plan.heights import NO_LEVELS, Reading
from layoutdesk.plan.model import Plan

TAB, ENTER, ESC = Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Escape


@pytest.fixture
def page(porch_desk: Desk, qtbot: QtBot) -> LevelsPage:
    """Return the page of the porch, open, with nothing booked yet."""
    porch_desk.document.apply("Without heights", lambda p: p.with_(levels=NO_LEVELS, spots=()))
    porch_desk.rail.turned.emit("levels")
    page = porch_desk.levels_page
    qtbot.waitUntil(page.isVisible)
    porch_desk.window.activateWindow()
    settled(page, qtbot)
    return page


def settled(page: LevelsPage, qtbot: QtBot) -> None:
    """Wait until the heights of the plan are on the page."""
    qtbot.waitUntil(lambda: page._shown is page.document.layout, timeout=20_000)


def box_of(page: LevelsPage, qtbot: QtBot, cell: tuple[str, int]) -> QLineEdit:
    """Return the box of a cell, once it is the one that is typed in."""

    def typing() -> bool:
        box = QApplication.focusWidget()
        return page.book.table.editing == cell and isinstance(box, QLineEdit) and not box.isModified()

    qtbot.waitUntil(typing)
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    return box


def book(page: LevelsPage, qtbot: QtBot, point: str, *, back: str = "", fore: str = "", taken: bool = True) -> None:
    """Type one row as a person does: the point, Tab, the number in its column, Enter."""
    count = len(page.document.plan.levels.readings)
    box = box_of(page, qtbot, (DRAFT, POINT))
    qtbot.keyClicks(box, point)
    qtbot.keyClick(box, TAB)
    box = box_of(page, qtbot, (DRAFT, BACK))
    if fore:
        qtbot.keyClick(box, TAB)
        box = box_of(page, qtbot, (DRAFT, FORE))
    qtbot.keyClicks(box, back or fore)
    qtbot.keyClick(box, ENTER)
    if taken:
        qtbot.waitUntil(lambda: len(page.document.plan.levels.readings) == count + 1)
        box_of(page, qtbot, (DRAFT, POINT))


def readings(plan: Plan) -> list[tuple[int, str, str, float]]:
    return [(r.setup, r.point, r.kind, round(r.reading / 304.8, 3)) for r in plan.levels.readings]


def set_benchmark(page: LevelsPage, qtbot: QtBot, name: str = "BM") -> None:
    table = page.book.benchmarks
    table.type_into((" new", 0))
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    qtbot.keyClicks(box, name)
    qtbot.keyClick(box, ENTER)
    qtbot.waitUntil(lambda: any(m.id == name for m in page.document.plan.levels.benchmarks))


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
    page.plan_changed()
    assert not page.begin.isVisible()


def box_of_any() -> QLineEdit:
    """Return the box that is being typed in, wherever it is."""
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    return box


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


def booked(page: LevelsPage, qtbot: QtBot) -> None:
    """Book all piers and a closed loop, without typing."""

    def edit(plan: Plan) -> Plan:
        plan = edits.set_benchmark(plan, "BM")
        rows = [Reading(setup=1, point="BM", kind="back", reading=1200.0)]
        rows += [
            Reading(setup=1, point=p.id, kind="fore", reading=1600.0 - 0.02 * p.at[1] + 0.01 * p.at[0])
            for p in plan.piers[:6]
        ]
        rows.append(Reading(setup=1, point="BM", kind="fore", reading=1201.0))
        return edits.add_readings(plan, rows)

    page.document.apply("Book all", edit)
    settled(page, qtbot)


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


def test_seat_fall_and_tops_of_a_line_give_columns_and_a_side_view(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    page.view.select(["L1"])
    form = page.line.form
    for row, typed in ((form.seat, "7' 6\""), (form.fall, '1/4" per ft')):
        box = row.box
        box.setFocus()
        qtbot.keyClicks(box, typed)
        qtbot.keyClick(box, ENTER)
    settled(page, qtbot)
    line = next(x for x in page.document.plan.levels.lines if x.line == "L1")
    assert line.seat == 2286.0
    assert line.fall == pytest.approx(1 / 48)
    cuts = page.document.layout.columns
    assert [c.pier for c in cuts] == [p.id for p in page.document.plan.piers if p.line == "L1"]
    assert page.columns.cuts.rows.rowCount() == len(cuts)
    assert page.line.drawing.isVisible()
    assert "L1" in page.line.drawing.accessibleName()
    form.all.click()
    settled(page, qtbot)
    assert len(page.document.layout.columns) == len(page.document.plan.piers)


def test_what_is_no_slope_is_refused_where_it_was_typed(page: LevelsPage, qtbot: QtBot) -> None:
    page.view.select(["L1"])
    box = page.line.form.fall.box
    box.setFocus()
    qtbot.keyClicks(box, "steep")
    qtbot.keyClick(box, ENTER)
    assert "no slope" in page.line.form.fall.sentence.text()
    assert box.text() == "steep"


def test_interpolated_piers_and_those_beyond_the_spots_are_marked_in_words(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    table = page.piers.holes
    words = {table.rows.columns[2].text(r) for r in range(table.rows.rowCount())}
    assert "read" in words
    assert words & {"interpolated", "beyond the spots"}
    assert "without a reading" in page.piers.aside.text()


def test_a_spot_gets_its_height_in_the_table(page: LevelsPage, qtbot: QtBot) -> None:
    page.document.apply("Spots", lambda p: edits.add_spot(edits.add_spot(p, (0.0, -9000.0)), (3000.0, -9000.0)))
    settled(page, qtbot)
    table, first = page.ground.spots, page.document.plan.spots[0].id
    table.type_into((first, 1))
    qtbot.keyClicks(box_of_any(), "-1' 6\"")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: page.document.plan.spots[0].elevation == -457.2)
    assert page.document.undo_label == f"Height of {first}"


def test_settings_change_by_typing_and_a_frost_depth_can_be_taken_away(page: LevelsPage, qtbot: QtBot) -> None:
    box = page.settings.frost.box
    box.setFocus()
    qtbot.keyClicks(box, "3'")
    qtbot.keyClick(box, ENTER)
    assert page.document.plan.levels.settings.frost == pytest.approx(914.4)
    assert page.document.undo_label == "Frost depth"
    box.clear()
    box.setModified(True)
    qtbot.keyClick(box, ENTER)
    assert page.document.plan.levels.settings.frost is None
    factor = page.settings.factor.box
    factor.setFocus()
    qtbot.keyClicks(factor, "2")
    qtbot.keyClick(factor, ENTER)
    assert page.document.plan.levels.settings.exaggeration == 2.0


def test_the_side_view_opens_in_a_window_that_follows(page: LevelsPage, porch_desk: Desk, qtbot: QtBot) -> None:
    booked(page, qtbot)
    page.line.large.click()
    window = porch_desk.levels.window
    assert window is not None
    qtbot.addWidget(window)
    assert window.isVisible()
    page.view.select(["L2"])
    assert window.windowTitle() == "Side view of L2"
    assert "L2" in window.drawing.accessibleName()


def test_a_section_folds_by_mouse_and_by_key(page: LevelsPage, qtbot: QtBot) -> None:
    qtbot.mouseClick(page.how.head, Qt.MouseButton.LeftButton, pos=QPoint(60, 12))
    assert page.how.folded
    assert not page.settings.isVisible()
    page.how.mark.setFocus()
    qtbot.keyClick(page.how.mark, Qt.Key.Key_Space)
    assert page.settings.isVisible()


def test_typing_a_fore_reading_beside_the_first_back_one_is_told_to_take_a_row() -> None:
    plan = edits.add_reading(Plan(), Reading(setup=1, point="BM", kind="back", reading=1000.0))
    told = other_reading(plan, 0, "fore", 900.0)
    assert isinstance(told, str)
    assert "row of its own" in told


def test_a_back_reading_beside_a_fore_one_begins_a_setup_that_has_none() -> None:
    plan = Plan()
    for setup, point, kind in ((1, "BM", "back"), (1, "T1", "fore"), (2, "T1", "back"), (2, "T2", "fore")):
        plan = edits.add_reading(plan, Reading(setup=setup, point=point, kind=kind, reading=1000.0))  # type: ignore[arg-type]
    assert other_reading(plan, 3, "back", 800.0) == (
        4,
        Reading(setup=3, point="T2", kind="back", reading=800.0),
    )


def test_tables_of_the_page_never_scroll_sideways(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    for table in page.findChildren(QTableView):
        if table.isVisible():
            wide = sum(table.columnWidth(k) for k in range(table.model().columnCount()))
            assert wide <= table.viewport().width() + 1, table.accessibleName()


def test_the_setup_of_a_reading_is_retyped(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)
    page.book.table.type_into(("r7", SETUP))
    qtbot.keyClicks(box_of(page, qtbot, ("r7", SETUP)), "two")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: box_of_any().property("tone") == "wrong")
    assert "type its number" in page.book.wrong.text()
    box_of_any().clear()
    qtbot.keyClicks(box_of_any(), "2")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: page.document.plan.levels.readings[7].setup == 2)


def test_a_reading_typed_in_the_wrong_unit_has_a_triangle_and_one_sentence(page: LevelsPage, qtbot: QtBot) -> None:
    booked(page, qtbot)

    def misread(plan: Plan) -> Plan:
        first = plan.levels.readings[1]
        return edits.replace_reading(plan, 1, replace(first, reading=first.reading / 12))

    page.document.apply("Inches for feet", misread)
    settled(page, qtbot)
    table = page.book.table
    assert "r1" in table.signed
    table.light(["r1"])
    assert "P1" in page.book.row_says.text()
    assert page.book.closing.property("tone") == "look"
    wide = table.fontMetrics().horizontalAdvance(table.rows.columns[5].text(1))
    assert table.columnWidth(5) > wide


def test_a_spot_that_is_pressed_twice_is_retyped(page: LevelsPage, porch_desk: Desk, qtbot: QtBot) -> None:
    place = (15 * 304.8, -10 * 304.8)
    page.document.apply("Spot", lambda p: edits.add_spot(p, place, elevation=-300.0))
    settled(page, qtbot)
    spot = page.document.plan.spots[0].id
    page.view.turn_to("stakes")
    sheet = porch_desk.sheet
    at = sheet.camera.to_screen(page.document.plan.spots[0].at).toPoint()
    qtbot.mouseDClick(sheet, Qt.MouseButton.LeftButton, pos=at)
    assert page.view.page == "levels"
    qtbot.waitUntil(lambda: page.ground.spots.editing == (spot, 1))
    box = box_of_any()
    box.selectAll()
    qtbot.keyClicks(box, "-2'")
    qtbot.keyClick(box, ENTER)
    qtbot.waitUntil(lambda: page.document.plan.spots[0].elevation == -609.6)
    reading = Reading(setup=1, point=spot, kind="fore", reading=1500.0)
    page.document.apply("Book", lambda p: edits.add_reading(edits.set_benchmark(p, "BM"), reading))
    settled(page, qtbot)
    qtbot.mouseDClick(sheet, Qt.MouseButton.LeftButton, pos=at)
    qtbot.waitUntil(lambda: page.book.table.editing == ("r0", FORE))
