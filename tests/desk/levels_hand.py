"""Hands on the Levels page: open it, type rows of the book, book the piers of the porch."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.book_rows import DRAFT
from layoutdesk.desk.notebook.book_table import BACK, FORE, POINT
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.plan import edits
from layoutdesk.plan.heights import NO_LEVELS, Reading
from layoutdesk.plan.model import Plan

TAB, ENTER, ESC = Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Escape


def open_levels(desk: Desk, qtbot: QtBot) -> LevelsPage:
    """Return the page of the porch, open, with nothing booked yet."""
    desk.document.apply("Without heights", lambda p: p.with_(levels=NO_LEVELS, spots=()))
    desk.rail.turned.emit("levels")
    page = desk.levels_page
    qtbot.waitUntil(page.isVisible)
    desk.window.activateWindow()
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


def box_of_any() -> QLineEdit:
    """Return the box that is being typed in, wherever it is."""
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    return box


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
