"""What stands above the tapes of the Proof page: no more than is of use while they are typed, nothing made up."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.proof_cards import AdviceCard, NextCard
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.desk.notebook.proof_words import worst
from layoutdesk.desk.notebook.tape_rows import TapeRow, follows_the_sheet, off
from layoutdesk.desk.notebook.tape_table import TAPED
from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.entries import Suspect, TapeNext
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import TapeKind
from layoutdesk.units import format_exact
from tests.desk.hands import Bench
from tests.gestures.scenes import porch

STAKED = Path(__file__).parents[2] / "samples" / "heron-lane-porch-staked.layout.json"


@pytest.fixture
def page(porch_desk: Desk, qtbot: QtBot) -> ProofPage:
    """Return the page, open and with the taping plan on it."""
    porch_desk.rail.turned.emit("proof")
    page = porch_desk.proof_page
    qtbot.waitUntil(lambda: page.isVisible() and bool(page.tapes.shown_rows))
    porch_desk.window.activateWindow()
    return page


def type_rows(page: ProofPage, qtbot: QtBot, count: int) -> None:
    """Type what is planned into the first rows of the sheet."""
    page.tapes.type_row(page.tapes.shown_rows[0].key)
    for row in page.tapes.shown_rows[:count]:
        qtbot.waitUntil(lambda key=row.key: page.tapes.editing == (key, TAPED))  # type: ignore[misc]
        box = QApplication.focusWidget()
        assert isinstance(box, QLineEdit)
        assert row.planned is not None
        qtbot.keyClicks(box, format_exact(row.planned, page.document.plan.units))
        qtbot.keyClick(box, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.tapes.editing == (page.tapes.shown_rows[count].key, TAPED))
    open_box = QApplication.focusWidget()
    assert open_box is not None
    qtbot.keyClick(open_box, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: page.tapes.editing is None)


def test_while_the_sheet_is_typed_in_order_no_card_asks_for_another_tape(page: ProofPage, qtbot: QtBot) -> None:
    type_rows(page, qtbot, 3)
    qtbot.waitUntil(lambda: page.says.text() != "")
    assert follows_the_sheet(page.tapes.shown_rows)
    assert not page.next_card.isVisible()
    assert page.advice.cards == []
    assert "not determined" in page.says.text()
    text = LengthText.of(page.document.plan)
    assert [off(row, text) for row in page.tapes.shown_rows[:3]] == ["–", "–", "–"]


def test_out_of_order_the_next_tape_is_named_again(page: ProofPage, qtbot: QtBot) -> None:
    last = page.tapes.shown_rows[-1]
    page.document.apply("Tape", lambda p: edits.add_tape(p, last.start, last.end, last.planned or 1.0))
    qtbot.waitUntil(page.next_card.isVisible)
    assert not follows_the_sheet(page.tapes.shown_rows)


def test_what_is_not_held_stands_on_one_card(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.rail.turned.emit("proof")
    page = porch_desk.proof_page
    qtbot.waitUntil(lambda: bool(page.tapes.shown_rows))
    rows = page.tapes.shown_rows
    for row in (rows[-1], rows[-4], rows[-7]):
        page.document.apply("Tape", lambda p, r=row: edits.add_tape(p, r.start, r.end, r.planned or 1.0))  # type: ignore[misc]
    loose = page.document.layout.proof.loose  # type: ignore[union-attr]
    assert len(loose) > 1
    qtbot.waitUntil(lambda: [c.title.text() for c in page.advice.cards] == ["Not held by the tapes"])
    assert all(one.says in page.advice.cards[0].text.text() for one in loose)


@pytest.mark.parametrize(
    ("kind", "alike", "offered"),
    [("whole metres", (), True), ("other", (), False), ("wrong end", (), False), ("whole metres", (3,), False)],
)
def test_only_a_plain_slip_is_put_right_by_a_button(
    page: ProofPage, kind: str, alike: tuple[int, ...], *, offered: bool
) -> None:
    """A number that no slip explains would come from the adjustment: it is no reading."""
    suspect = Suspect(0, 9.0, 1000.0, kind, 4000.0, alike, "Tape 1 is wrong.")  # type: ignore[arg-type]
    card = AdviceCard("C1 to P1", suspect.says, "warning", page.advice._dress, index=0, suspect=suspect)
    assert card.right.isVisibleTo(card) is offered
    assert card.again.isVisibleTo(card)


@pytest.mark.parametrize(
    ("kind", "third", "title"),
    [
        ("distance", None, "C1 to P1 cannot be used"),
        ("right angle", "P2", "The right angle at C1 cannot be used"),
        ("square", "P2", "P1 square from C1 to P2 cannot be used"),
        ("string", "P2", "P1 on the string C1 to P2 cannot be used"),
    ],
)
def test_a_card_names_its_measure_by_what_it_is(
    page: ProofPage, kind: TapeKind, third: str | None, title: str
) -> None:
    proof = derive(read_plan(STAKED)).proof
    assert proof is not None
    row = TapeRow("row", "C1", "P1", third, kind, 1000.0, 0)
    bad = replace(proof, suspects=(), trouble=((0, "It cannot be."),), swapped=(), loose=())
    page.advice.show_proof(bad, {0: row}, {})
    assert [card.title.text() for card in page.advice.cards] == [title]


def test_a_tape_that_is_not_needed_is_only_offered(qtbot: QtBot) -> None:
    card = NextCard()
    qtbot.addWidget(card)
    upcoming = TapeNext("C1", "P2", 5348.0, "P2", 5.0, 3.0, "It narrows P2.")
    card.show_next(upcoming, {}, LengthText("m", 1.0), needed=True)
    assert card.title.text() == "Tape next: C1 to P2, 5.348 m as planned"
    card.show_next(upcoming, {}, LengthText("m", 1.0), needed=False)
    assert card.title.text().startswith("Not needed any more")


def test_a_corner_of_the_house_is_never_the_stake_farthest_out() -> None:
    plan = read_plan(STAKED)
    proof = derive(plan).proof
    assert proof is not None
    control = replace(next(p for p in proof.points if p.kind == "control"), held=False, out=2000.0)
    found = worst(replace(proof, points=(control, *proof.points)))
    assert found is not None
    assert found.kind != "control"


def test_the_note_of_a_paste_is_taken_away(page: ProofPage, qtbot: QtBot) -> None:
    page._say("2 tapes were taken down.\nrow 3: there is no point P77.")
    assert page.foot.isVisible()
    qtbot.mouseClick(page.foot.seen_button, Qt.MouseButton.LeftButton)
    assert not page.foot.isVisible()


def test_ticking_a_corner_leaves_the_box_where_it_is(page: ProofPage, qtbot: QtBot) -> None:
    type_rows(page, qtbot, 8)
    tick = page.house.ticks[0]
    page.ensureWidgetVisible(tick)
    before = tick.mapTo(page.viewport(), QPoint(0, 0)).y()
    rows = len(page.tapes.shown_rows)
    tick.setFocus()
    qtbot.mouseClick(tick, Qt.MouseButton.LeftButton, pos=QPoint(8, tick.height() // 2))
    assert page.document.plan.controls[0].measured
    qtbot.waitUntil(lambda: len(page.tapes.shown_rows) != rows)
    qtbot.waitUntil(lambda: abs(tick.mapTo(page.viewport(), QPoint(0, 0)).y() - before) <= 2)


def test_a_name_typed_on_the_sheet_keeps_its_first_letter(qtbot: QtBot) -> None:
    bench = Bench(qtbot, edits.add_control(porch(), (0.0, 0.0))).take_up("Tape")
    bench.sheet.setFocus()
    bench.type("C")
    bench.type("1")
    assert bench.box("point").text() == "C1"


def test_what_is_refused_is_typed_over(qtbot: QtBot) -> None:
    bench = Bench(qtbot, edits.add_control(porch(), (0.0, 0.0))).take_up("Tape")
    bench.sheet.setFocus()
    bench.type("Z").type("9").key(Qt.Key.Key_Return)
    assert bench.box("point").selectedText() == "Z9"
