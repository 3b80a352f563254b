"""Measures taken down by keyboard, from the clipboard and on the sheet; what is wrong is said, nothing is lost."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.desk.notebook.tape_table import TAPED
from layoutdesk.engine.derive import derive
from layoutdesk.plan import edits
from layoutdesk.plan.model import Control, Pier, Tape
from layoutdesk.units import format_exact


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


def typed_rows(page: ProofPage, qtbot: QtBot, key: Qt.Key, text_of: Callable[[int], str], count: int) -> None:
    """Type a text into so many rows, with one key between them."""
    page.tapes.type_row(page.tapes.shown_rows[0].key)
    for number in range(count):
        row = page.tapes.shown_rows[number].key
        qtbot.waitUntil(lambda row=row: page.tapes.editing == (row, TAPED))  # type: ignore[misc]
        here = box(page)
        qtbot.keyClicks(here, text_of(number))
        qtbot.keyClick(here, key)


@pytest.mark.parametrize("key", [Qt.Key.Key_Tab, Qt.Key.Key_Return])
def test_a_whole_table_is_typed_by_keyboard_alone(page: ProofPage, qtbot: QtBot, key: Qt.Key) -> None:
    order = [(r.start, r.end) for r in page.tapes.shown_rows]
    read = [format_exact(r.planned or 0.0, "ft-in") for r in page.tapes.shown_rows]
    typed_rows(page, qtbot, key, read.__getitem__, len(order))
    qtbot.waitUntil(lambda: len(page.document.plan.tapes) == len(order))
    assert [(t.start, t.end) for t in page.document.plan.tapes] == order
    assert all(r.index is not None for r in page.tapes.shown_rows)
    page.document.undo()
    assert len(page.document.plan.tapes) == len(order) - 1


def test_shift_tab_goes_back_to_the_row_before(page: ProofPage, qtbot: QtBot) -> None:
    first, second = page.tapes.shown_rows[0].key, page.tapes.shown_rows[1].key
    page.tapes.type_row(second)
    qtbot.keyClick(box(page), Qt.Key.Key_Backtab)
    qtbot.waitUntil(lambda: page.tapes.editing == (first, TAPED))
    assert page.document.plan.tapes == ()


@pytest.mark.parametrize(
    ("typed", "words"), [("0", "more than 0"), ("-3'", "more than 0"), ("nonsense", "type for example")]
)
def test_what_cannot_be_a_tape_stays_in_its_box_with_one_sentence(
    page: ProofPage, qtbot: QtBot, typed: str, words: str
) -> None:
    first = page.tapes.shown_rows[0].key
    page.tapes.type_row(first)
    qtbot.keyClicks(box(page), typed)
    qtbot.keyClick(box(page), Qt.Key.Key_Return)
    qtbot.waitUntil(page.foot.trouble.isVisible)
    assert words in page.foot.trouble.text()
    qtbot.waitUntil(lambda: page.tapes.editing == (first, TAPED))
    assert box(page).text() == typed
    assert page.document.plan.tapes == ()


def test_feet_typed_for_inches_are_taken_down_and_the_inches_offered(page: ProofPage, qtbot: QtBot) -> None:
    row = next(r for r in page.tapes.shown_rows if r.planned and r.planned > 1500)
    assert row.planned is not None
    inches = round(row.planned / 25.4)
    page.tapes.type_row(row.key)
    qtbot.keyClicks(box(page), f"{inches}'")
    qtbot.keyClick(box(page), Qt.Key.Key_Return)
    qtbot.waitUntil(page.foot.offer.isVisible)
    assert page.document.plan.tapes[0].distance == pytest.approx(inches * 304.8)
    assert "feet taken for inches" in page.foot.offer.text()
    page.foot.offer_button.click()
    assert page.document.plan.tapes[0].distance == pytest.approx(inches * 25.4)
    assert not page.foot.offer.isVisible()
    page.document.undo()
    assert page.document.plan.tapes[0].distance == pytest.approx(inches * 304.8)


def test_what_was_read_so_may_stay(page: ProofPage, qtbot: QtBot) -> None:
    row = next(r for r in page.tapes.shown_rows if r.planned and r.planned > 1500)
    page.tapes.type_row(row.key)
    qtbot.keyClicks(box(page), f"{round((row.planned or 0) / 25.4)}'")
    qtbot.keyClick(box(page), Qt.Key.Key_Return)
    qtbot.waitUntil(page.foot.offer.isVisible)
    before = page.document.plan
    page.foot.leave_button.click()
    assert page.document.plan is before
    assert not page.foot.offer.isVisible()


def test_bad_rows_of_a_pasted_table_get_a_sentence_each_and_the_good_ones_are_kept(page: ProofPage) -> None:
    rows = ["C1\tP1\t8' 3\"", "C1\tC1\t5'", "C2\tP1\t0", "C2\tNOWHERE\t5'", "C2\tP2\tabout nine", "C2\tP1\t14' 5\""]
    QGuiApplication.clipboard().setText("from\tto\ttaped\n" + "\n".join(rows))
    page.paste()
    assert [(t.start, t.end) for t in page.document.plan.tapes] == [("C1", "P1"), ("C2", "P1")]
    lines = page.foot.trouble.text().splitlines()
    assert lines[0] == "2 tapes were taken down."
    assert [line.split(":")[0] for line in lines[1:5]] == ["row 3", "row 4", "row 5", "row 6"]
    assert "NOWHERE" in lines[3]
    page.document.undo()
    assert page.document.plan.tapes == ()


def press(desk: Desk, qtbot: QtBot, point: str) -> None:
    """Press a point on the sheet."""
    plan = desk.document.plan
    points: tuple[Control | Pier, ...] = (*plan.controls, *plan.piers)
    at = next(p.at for p in points if p.id == point)
    spot = desk.sheet.camera.to_screen(at)
    qtbot.mouseClick(desk.sheet, Qt.MouseButton.LeftButton, pos=QPoint(round(spot.x()), round(spot.y())))


def test_two_points_are_picked_on_the_sheet_and_the_number_typed(
    porch_desk: Desk, page: ProofPage, qtbot: QtBot
) -> None:
    porch_desk.gestures["Tape"].trigger()
    press(porch_desk, qtbot, "C1")
    press(porch_desk, qtbot, "P2")
    porch_desk.entry.focus_field(0)
    here = QApplication.focusWidget()
    assert isinstance(here, QLineEdit)
    qtbot.keyClicks(here, "14' 1 3/4\"")
    qtbot.keyClick(here, Qt.Key.Key_Return)
    assert [(t.start, t.end) for t in page.document.plan.tapes] == [("C1", "P2")]
    assert any(r.index == 0 for r in page.tapes.shown_rows)
    page.document.undo()
    assert page.document.plan.tapes == ()


# ---- the form of the picked tape


@pytest.fixture
def picked(page: ProofPage, qtbot: QtBot) -> ProofPage:
    """Return the page with one tape taken and picked, and its form open at More."""
    page.document.apply("Tape", lambda p: edits.add_tape(p, "C1", "P1", 2500.0))
    row = next(k for k, r in enumerate(page.tapes.shown_rows) if r.tape is not None)
    page.tapes.selectRow(row)
    qtbot.waitUntil(page.measure.isVisible)
    page.measure.more.click()
    return page


def test_the_form_of_the_picked_tape_is_in_sight(picked: ProofPage) -> None:
    assert picked.foot.isVisible()
    assert picked.foot.geometry().bottom() <= picked.height()
    assert picked.foot.heading.aside.text() == "C1 to P1"
    assert picked.measure.pull.isVisible()


def tape(page: ProofPage) -> Tape:
    """Return the tape that the form shows."""
    return page.document.plan.tapes[0]


def test_more_of_a_tape_is_typed_and_undone(picked: ProofPage) -> None:
    form = picked.measure
    form.rise.box.finished.emit('6"')
    assert tape(picked).rise == pytest.approx(152.4)
    form.slope.box.finished.emit("3.5")
    assert tape(picked).slope == pytest.approx(3.5)
    assert tape(picked).rise is None, "a slope takes the place of a rise"
    form.temperature.box.finished.emit("31")
    form.pull.box.finished.emit("80")
    form.section.box.finished.emit("2,5")
    assert (tape(picked).temperature, tape(picked).pull, tape(picked).section) == (31.0, 80.0, 2.5)
    form.pull.box.finished.emit("")
    assert tape(picked).pull is None
    for _ in range(6):
        picked.document.undo()
    assert tape(picked) == Tape(start="C1", end="P1", distance=2500.0, tape_class=tape(picked).tape_class)


def test_own_errors_are_two_numbers(picked: ProofPage, qtbot: QtBot) -> None:
    form = picked.measure
    form.kind.box.chosen.emit("own")
    assert tape(picked).own == (1.0, 0.2)
    qtbot.waitUntil(form.own.isVisible)
    form.own.box.finished.emit("2 + 0.1")
    assert tape(picked).own == (2.0, 0.1)
    form.own.box.finished.emit("two")
    assert "two numbers" in form.own.sentence.text()
    assert tape(picked).own == (2.0, 0.1)


@pytest.mark.parametrize(
    ("field", "typed", "words"), [("slope", "95", "90"), ("temperature", "warm", "no number"), ("pull", "-5", "0")]
)
def test_a_wrong_correction_is_refused_in_its_box(picked: ProofPage, field: str, typed: str, words: str) -> None:
    row = getattr(picked.measure, field)
    row.box.finished.emit(typed)
    assert row.sentence.isVisible()
    assert words in row.sentence.text()
    assert row.box.bad
    assert getattr(tape(picked), field) is None


# ---- how it is judged, and the house


def test_the_step_that_tapes_are_read_to_is_typed_and_told(page: ProofPage) -> None:
    page.document.apply("Tape", lambda p: edits.add_tape(p, "C1", "P1", 2500.0))
    assert page.document.plan.proof.read_to == page.document.plan.rounding
    assert "¹⁄₁₆″" in page.settings.read_says.text()
    page.settings.read_to.box.finished.emit('1/4"')
    assert page.document.plan.proof.read_to == pytest.approx(6.35)
    page.settings.read_to.box.finished.emit("")
    assert page.document.plan.proof.read_to == 0
    assert "nothing is added" in page.settings.read_says.text()
    page.settings.read_to.box.finished.emit("fine")
    assert page.settings.read_to.sentence.isVisible()


def test_the_choices_of_control_say_what_they_mean(page: ProofPage) -> None:
    for trust, words in (("held", "exactly"), ("uncertain", "a little off"), ("free", "no better")):
        page.settings.control.box.chosen.emit(trust)
        assert page.document.plan.proof.control == trust
        assert words in page.settings.trust_says.text()
        assert page.settings.deviation.isVisible() == (trust == "uncertain")


def test_a_measured_house_is_told_and_each_choice_is_a_step(page: ProofPage) -> None:
    document = page.document
    for corner in ("C1", "C2"):
        document.apply("Corner", lambda p, c=corner: edits.set_measured(p, c, measured=True))  # type: ignore[misc]
    plan = document.plan
    points: tuple[Control | Pier, ...] = (*plan.controls, *plan.piers)
    at = {p.id: p.at for p in points}
    taped = [
        Tape(start=a, end=b, distance=((at[a][0] - at[b][0]) ** 2 + (at[a][1] - at[b][1]) ** 2) ** 0.5)
        for a in ("C1", "C2", "C3", "C4")
        for b in ("P7", "P8", "P9", "P10")
    ]
    document.apply("Tapes", lambda p: edits.add_tapes(p, taped))
    found = derive(document.plan).house_found
    assert found is not None
    assert page.house_says.text() == found.says
    choices = [document.plan.proof.house]
    page.house.house.box.chosen.emit("turn with the house")
    choices.append(document.plan.proof.house)
    page.house.house.box.chosen.emit("hold one attachment")
    assert document.plan.proof.held_attachment == document.plan.attachments[0].id
    assert page.house.attachment.isVisible()
    page.house.attachment.box.chosen.emit("A2")
    assert document.plan.proof.held_attachment == "A2"
    for _ in range(3):
        document.undo()
    choices.append(document.plan.proof.house)
    assert choices == ["hold the design", "turn with the house", "hold the design"]
    assert not page.house.attachment.isVisible()


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
