"""The table of tapes is typed into like every other one: what is taken back, what goes on, what stays."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.desk.notebook.tape_table import TAPED
from layoutdesk.plan import edits


@pytest.fixture
def page(porch_desk: Desk, qtbot: QtBot) -> ProofPage:
    """Return the page of the proof with the tapes of the printed sheet to be typed."""
    porch_desk.view.turn_to("proof")
    found = porch_desk.proof_page
    qtbot.waitUntil(lambda: bool(found.tapes.shown_rows))
    porch_desk.window.activateWindow()
    return found


def box(page: ProofPage) -> QLineEdit:
    """Return the box that has the keyboard."""
    here = QApplication.focusWidget()
    assert isinstance(here, QLineEdit)
    assert page.tapes.isAncestorOf(here)
    return here


def test_undo_in_a_box_that_is_still_empty_takes_the_last_tape_back(page: ProofPage, qtbot: QtBot) -> None:
    first, second = (r.key for r in page.tapes.shown_rows[:2])
    page.tapes.type_row(first)
    qtbot.keyClicks(box(page), "8' 3\"")
    qtbot.keyClick(box(page), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.tapes.editing == (second, TAPED))
    counts = [len(page.document.plan.tapes)]
    qtbot.keyClick(box(page), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    counts.append(len(page.document.plan.tapes))
    assert counts == [1, 0]


def test_what_is_being_typed_goes_on_when_other_rows_come(page: ProofPage, qtbot: QtBot) -> None:
    key = page.tapes.shown_rows[1].key
    rows = len(page.tapes.shown_rows)
    page.tapes.type_row(key)
    qtbot.keyClicks(box(page), "8' 3")
    a, b = (p.id for p in page.document.plan.piers[:2])
    for _ in range(2):
        page.document.apply("Tape", lambda p: edits.add_tape(p, a, b, 2500.0))
    qtbot.waitUntil(lambda: len(page.tapes.shown_rows) > rows)
    assert page.tapes.editing == (key, TAPED)
    assert box(page).text() == "8' 3"
    qtbot.keyClicks(box(page), '"')
    qtbot.keyClick(box(page), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: len(page.document.plan.tapes) == 3)
    row = next(r for r in page.tapes.shown_rows if r.key == key)
    assert row.tape is not None
    assert row.tape.distance == pytest.approx(99 * 25.4)


def test_the_table_that_is_typed_in_stays_where_it_is_when_cards_come_above_it(
    page: ProofPage, qtbot: QtBot
) -> None:
    document = page.document
    page.tapes.type_row(page.tapes.shown_rows[-1].key)
    qtbot.waitUntil(lambda: page.verticalScrollBar().value() > 0)
    before, long = page.y_of(page.tapes), page.verticalScrollBar().maximum()
    planned = {frozenset((r.start, r.end)): r.planned or 0.0 for r in page.tapes.shown_rows}
    for k, pair in enumerate(list(planned)[:-1]):
        start, end = sorted(pair)
        read = planned[pair] + (304.8 if k == 2 else 0.0)
        document.apply("Tape", lambda p, s=start, e=end, v=read: edits.add_tape(p, s, e, v))  # type: ignore[misc]
    qtbot.waitUntil(lambda: page.verticalScrollBar().maximum() != long)
    qtbot.waitUntil(lambda: abs(page.y_of(page.tapes) - before) <= 2)
    qtbot.wait(120)
    assert page.tapes.editing is not None
    assert page.y_of(page.tapes) == pytest.approx(before, abs=2)
