"""The Proof page with real keys: tapes are typed, a misread one gets its card, is put right, and undone."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.desk.notebook.tape_table import TAPED
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan import edits
from layoutdesk.plan.model import Attachment, Control, Pier, Plan
from layoutdesk.units import format_exact

MOVED: dict[str, Vector] = {"P3": (30.0, -12.0), "P7": (2.0, 1.0)}
"""Where stakes stand beside their planned places on the site of these tests, in mm."""


def stands(plan: Plan, point_id: str) -> Vector:
    """Return where a point stands on the ground."""
    points: tuple[Control | Attachment | Pier, ...] = (*plan.controls, *plan.attachments, *plan.piers)
    piece = next(p for p in points if p.id == point_id)
    dx, dy = MOVED.get(point_id, (0.0, 0.0))
    return piece.at[0] + dx, piece.at[1] + dy


def read(plan: Plan, start: str, end: str) -> float:
    """Return what a tape without any error reads."""
    return math.dist(stands(plan, start), stands(plan, end))


@pytest.fixture
def proof_page(porch_desk: Desk, qtbot: QtBot) -> ProofPage:
    """Return the page, open and with the taping plan on it."""
    porch_desk.rail.turned.emit("proof")
    page = porch_desk.proof_page
    qtbot.waitUntil(page.isVisible)
    porch_desk.window.activateWindow()
    return page


def box_of(page: ProofPage) -> QLineEdit:
    """Return the box that is being typed in."""
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    assert page.tapes.isAncestorOf(box)
    return box


def type_all(page: ProofPage, qtbot: QtBot, *, wrong: dict[int, float] | None = None) -> None:
    """Type what every tape of the sheet reads, one after the other, with Enter between them."""
    plan = page.document.plan
    page.tapes.type_row(page.tapes.shown_rows[0].key)
    for number, row in enumerate(page.tapes.shown_rows):
        qtbot.waitUntil(lambda key=row.key: page.tapes.editing == (key, TAPED))  # type: ignore[misc]
        value = read(plan, row.start, row.end) + (wrong or {}).get(number, 0.0)
        box = box_of(page)
        qtbot.keyClicks(box, format_exact(value, plan.units))
        qtbot.keyClick(box, Qt.Key.Key_Return)


def test_before_anything_is_taped_it_says_how_to_begin(proof_page: ProofPage) -> None:
    assert "Nothing is taped yet" in proof_page.says.text()
    assert not proof_page.numbers.isVisible()
    assert proof_page.tapes.shown_rows
    assert all(row.tape is None for row in proof_page.tapes.shown_rows)


def test_enter_goes_from_row_to_row_and_the_verdict_names_the_stake(proof_page: ProofPage, qtbot: QtBot) -> None:
    rows = len(proof_page.tapes.shown_rows)
    type_all(proof_page, qtbot)
    qtbot.waitUntil(lambda: len(proof_page.document.plan.tapes) == rows)
    assert [row.key for row in proof_page.tapes.shown_rows if row.tape is None] == []
    proof = proof_page.document.layout.proof
    assert proof is not None
    assert proof_page.says.text() == proof.says
    moved = next(p for p in proof.points if p.id == "P3")
    assert moved.verdict == "move"
    assert proof_page.worst.caption.text().startswith("P3")
    assert moved.out == pytest.approx(math.hypot(*MOVED["P3"]), abs=0.5)
    for _ in range(rows):
        proof_page.document.undo()
    assert proof_page.document.plan.tapes == ()
    assert "Nothing is taped yet" in proof_page.says.text()


def test_a_misread_foot_gets_a_card_and_is_put_right_in_one_step(proof_page: ProofPage, qtbot: QtBot) -> None:
    document = proof_page.document
    pairs = [(c.id, p.id) for p in document.plan.piers for c in document.plan.controls]
    for start, end in pairs:
        slip = 304.8 if (start, end) == ("C1", "P5") else 0.0
        value = read(document.plan, start, end) + slip
        document.apply("Tape", lambda p, s=start, e=end, v=value: edits.add_tape(p, s, e, v))  # type: ignore[misc]
    assert proof_page.advice.isVisible()
    card = proof_page.advice.cards[0]
    assert card.title.text().startswith("C1 to P5")
    assert card.accessibleName() == card.title.text()
    before = document.plan
    qtbot.mouseClick(card.right, Qt.MouseButton.LeftButton)
    index = pairs.index(("C1", "P5"))
    assert document.plan.tapes[index].distance == pytest.approx(read(document.plan, "C1", "P5"), abs=2.0)
    assert not any(c.title.text().startswith("C1 to P5") for c in proof_page.advice.cards)
    document.undo()
    assert document.plan is before
    assert proof_page.advice.cards[0].title.text().startswith("C1 to P5")


def test_take_it_again_opens_the_box_of_its_row(proof_page: ProofPage, qtbot: QtBot) -> None:
    document = proof_page.document
    for pier in document.plan.piers:
        for c in document.plan.controls:
            value = read(document.plan, c.id, pier.id) + (304.8 if (c.id, pier.id) == ("C2", "P4") else 0.0)
            document.apply("Tape", lambda p, s=c.id, e=pier.id, v=value: edits.add_tape(p, s, e, v))  # type: ignore[misc]
    qtbot.mouseClick(proof_page.advice.cards[0].again, Qt.MouseButton.LeftButton)
    assert box_of(proof_page).accessibleName() == "Taped C2 to P4"


def test_what_is_no_length_stays_in_its_box_with_the_sentence(proof_page: ProofPage, qtbot: QtBot) -> None:
    first = proof_page.tapes.shown_rows[0]
    proof_page.tapes.type_row(first.key)
    box = box_of(proof_page)
    qtbot.keyClicks(box, "twelve")
    qtbot.keyClick(box, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "type for example" in proof_page.foot.trouble.text())
    qtbot.waitUntil(lambda: proof_page.tapes.editing == (first.key, TAPED))
    assert box_of(proof_page).text() == "twelve"
    assert proof_page.document.plan.tapes == ()
    qtbot.keyClick(box_of(proof_page), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: proof_page.foot.trouble.text() == "")


def test_a_table_from_a_spreadsheet_is_pasted_and_what_cannot_be_read_is_said(
    proof_page: ProofPage, qtbot: QtBot
) -> None:
    QGuiApplication.clipboard().setText("from\tto\ttaped\nC1\tP1\t8' 3\"\nC2\tP99\t9'\nC2\tP1\t14' 5\"\n")
    proof_page.tapes.setFocus()
    qtbot.waitUntil(proof_page.tapes.hasFocus)
    qtbot.keyClick(proof_page.tapes, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [(t.start, t.end) for t in proof_page.document.plan.tapes] == [("C1", "P1"), ("C2", "P1")]
    assert "P99" in proof_page.foot.trouble.text()
    proof_page.document.undo()
    assert proof_page.document.plan.tapes == ()


def test_a_row_lights_both_points_and_delete_strikes_it_out(proof_page: ProofPage, qtbot: QtBot) -> None:
    document = proof_page.document
    document.apply("Tape", lambda p: edits.add_tape(p, "C1", "P1", 2500.0))
    row = next(r for r in proof_page.tapes.shown_rows if r.tape is not None)
    at = proof_page.tapes.rows.row_of(row.key)
    assert at is not None
    proof_page.tapes.selectRow(at)
    assert set(proof_page.view.selected) == {"C1", "P1"}
    qtbot.waitUntil(proof_page.measure.isVisible)
    proof_page.measure.kind.box.chosen.emit("III")
    assert document.plan.tapes[0].tape_class == "III"
    proof_page.tapes.setFocus()
    qtbot.keyClick(proof_page.tapes, Qt.Key.Key_Delete)
    assert document.plan.tapes == ()


def test_the_next_tape_is_shown_and_taken_on_the_entry_line(proof_page: ProofPage, qtbot: QtBot) -> None:
    document = proof_page.document
    for pier in document.plan.piers:
        for c in document.plan.controls[:2]:
            value = read(document.plan, c.id, pier.id)
            document.apply("Tape", lambda p, s=c.id, e=pier.id, v=value: edits.add_tape(p, s, e, v))  # type: ignore[misc]
    following = document.layout.tape_next
    assert following is not None
    qtbot.mouseClick(proof_page.next_card.show_it, Qt.MouseButton.LeftButton)
    assert proof_page.view.tape == (following.start, following.end)
    qtbot.mouseClick(proof_page.next_card.take_it, Qt.MouseButton.LeftButton)
    box = QApplication.focusWidget()
    assert isinstance(box, QLineEdit)
    count = len(document.plan.tapes)
    qtbot.keyClicks(box, format_exact(read(document.plan, following.start, following.end), document.plan.units))
    qtbot.keyClick(box, Qt.Key.Key_Return)
    assert len(document.plan.tapes) == count + 1
    assert {document.plan.tapes[-1].start, document.plan.tapes[-1].end} == {following.start, following.end}


def test_settings_are_steps_to_undo(proof_page: ProofPage) -> None:
    document = proof_page.document
    before = document.plan.proof
    proof_page.settings.control.box.chosen.emit("free")
    judged = document.plan.proof
    assert judged.control == "free"
    proof_page.settings.factor.box.finished.emit("20")
    assert document.plan.proof.exaggeration == 20
    proof_page.house.ticks[0].setChecked(True)
    assert document.plan.controls[0].measured
    for _ in range(3):
        document.undo()
    assert document.plan.proof == before
    assert not document.plan.controls[0].measured


def test_leaving_the_page_takes_its_tape_off_the_sheet(porch_desk: Desk, proof_page: ProofPage) -> None:
    proof_page.view.show_tape(("C1", "P1"))
    porch_desk.rail.turned.emit("stakes")
    assert porch_desk.view.tape is None


def test_the_taped_column_is_where_rows_are_typed(proof_page: ProofPage) -> None:
    editable = [
        c
        for c in range(proof_page.tapes.rows.columnCount())
        if proof_page.tapes.rows.index(0, c).flags() & Qt.ItemFlag.ItemIsEditable
    ]
    assert editable == [TAPED]
