"""The parts of the Levels page with real keys: lines, spots, benchmarks, settings, side views."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QTableView
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.benchmark_table import HEIGHT
from layoutdesk.desk.notebook.book_rows import DRAFT, other_reading
from layoutdesk.desk.notebook.book_table import FORE, POINT, SETUP
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.plan import edits
from layoutdesk.plan.heights import Reading
from layoutdesk.plan.model import Plan
from tests.desk.levels_hand import (
    ENTER,
    book,
    booked,
    box_of,
    box_of_any,
    open_levels,
    set_benchmark,
    settled,
)


@pytest.fixture
def page(porch_desk: Desk, qtbot: QtBot) -> LevelsPage:
    """Return the page of the porch, open, with nothing booked yet."""
    return open_levels(porch_desk, qtbot)


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


def test_delete_takes_spots_and_benchmarks_away(page: LevelsPage, qtbot: QtBot) -> None:
    def some(plan: Plan) -> Plan:
        plan = edits.add_spot(edits.add_spot(plan, (0.0, -3000.0)), (3000.0, -3000.0))
        return edits.set_benchmark(plan, "BM")

    page.document.apply("Some", some)
    settled(page, qtbot)
    spots = page.ground.spots
    spots.light([page.document.plan.spots[0].id])
    spots.setFocus()
    qtbot.keyClick(spots, Qt.Key.Key_Delete)
    assert len(page.document.plan.spots) == 1
    marks = page.book.benchmarks
    marks.light(["BM"])
    marks.setFocus()
    qtbot.keyClick(marks, Qt.Key.Key_Delete)
    assert page.document.plan.levels.benchmarks == ()
    assert page.document.undo_label == "Take out BM"


def test_a_benchmark_is_renamed_and_gets_a_height(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot, "Door")
    table = page.book.benchmarks
    table.type_into(("Door", 1))
    qtbot.keyClicks(box_of_any(), "+2'")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: page.document.plan.levels.benchmarks[0].elevation == 609.6)
    table.type_into(("Door", 0))
    qtbot.keyClicks(box_of_any(), "Slab edge")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: page.document.plan.levels.benchmarks[0].id == "Slab edge")
    table.type_into(("Slab edge", 1))
    box_of_any().clear()
    box_of_any().setModified(True)
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: "has a height" in page.book.wrong.text())


def test_undo_takes_back_a_booked_reading_while_the_next_is_typed(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4")
    qtbot.keyClicks(box_of_any(), "P")
    page.document.undo()
    settled(page, qtbot)
    assert page.document.plan.levels.readings == ()
    assert box_of_any().text() == "P"


def test_undo_by_key_takes_back_a_reading_while_the_next_box_is_empty(
    page: LevelsPage, porch_desk: Desk, qtbot: QtBot
) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4")
    qtbot.keyClick(box_of_any(), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert page.document.plan.levels.readings == ()
    qtbot.keyClicks(box_of_any(), "P")
    qtbot.keyClick(box_of_any(), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert box_of_any().text() == ""
    assert len(page.document.plan.levels.benchmarks) == 1


def test_a_second_benchmark_goes_on_to_its_height(page: LevelsPage, qtbot: QtBot) -> None:
    table = page.book.benchmarks
    set_benchmark(page, qtbot)
    assert table.editing is None
    set_benchmark(page, qtbot, "BM2")
    qtbot.waitUntil(lambda: table.editing == ("BM2", HEIGHT))
    settled(page, qtbot)
    qtbot.keyClicks(box_of_any(), "-1' 6\"")
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: page.document.plan.levels.benchmarks[-1].elevation == -457.2)
    assert page.document.plan.levels.benchmarks[0].elevation == 0.0


def test_a_row_that_is_emptied_waits_for_the_setup_of_the_last_reading(page: LevelsPage, qtbot: QtBot) -> None:
    set_benchmark(page, qtbot)
    page.book.table.begin()
    book(page, qtbot, "BM", back="4")
    table = page.book.table
    settled(page, qtbot)
    table.type_into((DRAFT, SETUP))
    for column, typed in ((SETUP, "7"), (POINT, "X")):
        qtbot.keyClicks(box_of(page, qtbot, (DRAFT, column)), typed)
        qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: (table.draft.setup, table.draft.point) == (7, "X"))
    table.type_into((DRAFT, POINT))
    box_of(page, qtbot, (DRAFT, POINT)).clear()
    box_of_any().setModified(True)
    qtbot.keyClick(box_of_any(), ENTER)
    qtbot.waitUntil(lambda: (table.draft.setup, table.draft.point) == (1, ""))
