"""A detail is shaped in its section: with the mouse, and with the keys alone."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.piers_page import PiersPage
from layoutdesk.desk.notebook.section_drawing import SectionDrawing
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Detail
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import inches

NONE, SHIFT, CTRL = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
)
PRESS, MOVE, RELEASE = QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove, QEvent.Type.MouseButtonRelease
BELL = ((0.0, inches(12)), (inches(24), inches(12)), (inches(32), inches(16)))


@pytest.fixture
def piers(qtbot: QtBot, dress: Dress) -> PiersPage:
    """Return the Piers page alone, on the porch with a plain belled detail."""
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    document, view = Document(edits.replace_detail(plan, Detail(id="D1", profile=BELL))), ViewState()
    page = PiersPage(document, view, dress)
    document.watch(page.plan_changed)
    qtbot.addWidget(page)
    page.resize(380, 900)
    with qtbot.waitExposed(page):
        page.show()
    page.wake()
    page.settle()
    return page


def detail(page: PiersPage) -> Detail:
    found = page.document.plan.detail("D1")
    assert found is not None
    return found


def send(drawing: SectionDrawing, kind: QEvent.Type, at: QPointF, keys: Qt.KeyboardModifier = NONE) -> None:
    button = Qt.MouseButton.LeftButton
    held = Qt.MouseButton.NoButton if kind == MOVE else button
    QApplication.sendEvent(drawing, QMouseEvent(kind, at, drawing.mapToGlobal(at), held, held, keys))


def drag(drawing: SectionDrawing, point: int, by: tuple[float, float], keys: Qt.KeyboardModifier = NONE) -> None:
    """Take a point of the profile and pull it; the button stays down."""
    at = drawing.place_of(("point", point))
    send(drawing, MOVE, at)
    send(drawing, PRESS, at, keys)
    for share in (0.5, 1.0):
        send(drawing, MOVE, at + QPointF(*by) * share, keys)
        drawing.repaint()


def test_the_point_under_the_mouse_is_told_and_dragged_as_one_step(piers: PiersPage) -> None:
    drawing, before = piers.section, piers.document.plan
    at = drawing.place_of(("point", 2))
    send(drawing, MOVE, at)
    assert drawing.here == ("point", 2)
    assert drawing.says.startswith("Bottom: 2′\u00a08″ deep, 1′\u00a04″ across")
    assert drawing.cursor().shape() == Qt.CursorShape.SizeAllCursor
    drag(drawing, 2, (9, 11))
    scale = drawing.scale().scale
    assert piers.document.plan is before
    assert drawing.dragging
    assert "cu ft" in drawing.says
    send(drawing, RELEASE, at + QPointF(9, 11))
    depth, width = detail(piers).profile[2]
    assert depth == pytest.approx(BELL[2][0] + 11 / scale, abs=1.01 / scale)
    assert width == pytest.approx(BELL[2][1] + 18 / scale, abs=1.01 / scale)
    for length in (depth, width):
        assert length / before.rounding == pytest.approx(round(length / before.rounding), abs=1e-9)
    assert detail(piers).profile[:2] == BELL[:2]
    assert piers.document.undo_label == "Shape D1"
    piers.document.undo()
    assert piers.document.plan is before


def test_escape_takes_the_drag_back_and_leaves_no_step(piers: PiersPage, qtbot: QtBot) -> None:
    drawing, before, label = piers.section, piers.document.plan, piers.document.undo_label
    drawing.setFocus()
    drag(drawing, 1, (5, 20))
    assert drawing.shown is not None
    assert drawing.shown[0].profile != BELL
    qtbot.keyClick(drawing, Qt.Key.Key_Escape)
    assert drawing.shown[0].profile == BELL
    send(drawing, RELEASE, QPointF(3, 3))
    assert piers.document.plan is before
    assert piers.document.undo_label == label


def test_with_shift_the_straight_side_goes_along_and_no_point_passes_another(piers: PiersPage) -> None:
    drawing = piers.section
    drag(drawing, 1, (6, 2000), SHIFT)
    send(drawing, RELEASE, QPointF(), SHIFT)
    profile = detail(piers).profile
    assert profile[0][1] == profile[1][1] > BELL[1][1]
    assert profile[1][0] == profile[2][0] == BELL[2][0]


def test_a_length_that_is_not_pulled_stays_as_it_was_typed(piers: PiersPage) -> None:
    odd = replace(detail(piers), profile=(*BELL[:2], (BELL[2][0], 411.3)))
    piers.document.apply("Odd", lambda p: edits.replace_detail(p, odd))
    drag(piers.section, 2, (0, 12))
    send(piers.section, RELEASE, QPointF())
    assert detail(piers).profile[2][0] > BELL[2][0]
    assert detail(piers).profile[2][1] == 411.3


def test_what_is_pulled_out_of_the_drawing_is_drawn_smaller(piers: PiersPage) -> None:
    drawing = piers.section
    scale = drawing.scale().scale
    drag(drawing, 2, (0, 700))
    at = drawing.scale()
    assert at.scale < scale / 1.5
    assert 0 < drawing.place_of(("point", 2)).y() < drawing.height()
    send(drawing, RELEASE, QPointF())
    assert detail(piers).profile[2][0] > 2 * BELL[2][0]


def test_nothing_moves_under_the_hand_while_a_detail_is_typed(piers: PiersPage, qtbot: QtBot) -> None:
    """The drawing keeps its height, and the box that is typed in its place, whatever flags come above it."""
    high = piers.section.height()
    box = piers.steel.cover.box
    piers.document.apply("Steel", lambda p: edits.set_steel(p, "D1", edits.usual_steel("ft-in")))
    piers.activateWindow()
    box.setFocus()
    qtbot.waitUntil(box.hasFocus)
    piers.ensureWidgetVisible(box)
    there = piers.y_of(box)
    box.entered.emit(inches(1))
    qtbot.waitUntil(lambda: piers._kept is None)
    assert piers.flags.isVisible()
    assert abs(piers.y_of(box) - there) <= 2
    assert box.property("tone") == "wrong"
    piers.form._levels[2].boxes[0].entered.emit(inches(72))
    assert piers.section.height() == high
    box.entered.emit(inches(3))
    assert box.property("tone") == "plain"


def test_the_keys_do_all_that_the_mouse_does(piers: PiersPage, qtbot: QtBot) -> None:
    drawing, before = piers.section, piers.document.plan
    drawing.setFocus()
    for _ in range(4):
        qtbot.keyClick(drawing, Qt.Key.Key_PageDown)
    assert drawing.here == ("point", 2)
    for _ in range(3):
        qtbot.keyClick(drawing, Qt.Key.Key_Down)
    qtbot.keyClick(drawing, Qt.Key.Key_Right, CTRL)
    assert detail(piers).profile[2] == pytest.approx((inches(32) + 3 * before.rounding, inches(17)))
    assert drawing.accessibleDescription().startswith("Bottom: 2′\u00a08")
    qtbot.keyClick(drawing, Qt.Key.Key_Escape)
    assert piers.document.plan == before
    qtbot.keyClick(drawing, Qt.Key.Key_Left)
    qtbot.keyClick(drawing, Qt.Key.Key_Up)
    piers.document.undo()
    assert piers.document.plan == before
    qtbot.keyClick(drawing, Qt.Key.Key_PageUp)
    qtbot.keyClick(drawing, Qt.Key.Key_Insert)
    assert detail(piers).profile[2] == (inches(28), inches(14))
    qtbot.keyClick(drawing, Qt.Key.Key_Delete)
    assert detail(piers).profile == BELL
    qtbot.keyClick(drawing, Qt.Key.Key_Home)
    assert drawing.says == "Pier top: 0″ above the ground"
    qtbot.keyClick(drawing, Qt.Key.Key_Up, CTRL)
    assert detail(piers).reveal == inches(1)


def test_steel_tube_and_what_is_cast_in_are_told_beside_the_section(piers: PiersPage) -> None:
    """The porch's second detail has all of them; a cage that does not fit is said at the form, nothing is lost."""
    drawing = piers.section
    piers.details.picked.emit(["D2"])
    left, right = (words for words in drawing._words())
    assert [word.text for word in left] == [
        "top ↑ 3″",
        "ground",
        "base ↓ 3″",
        "tube ↓ 6″",
        "↓ 2′\u00a00″",
        "↓ 2′\u00a08″",
    ]
    told = " | ".join(word.text for word in right)
    for words in ("Ø 1′\u00a00″", "Ø 1′\u00a04″", "base 5", "4 × No. 4", "4 hoops No. 3", "cover 3″"):
        assert words in told
    steel = piers.steel
    steel.bars.box.setText("900")
    steel.bars.box.setModified(True)
    steel.bars.box.editingFinished.emit()
    d2 = piers.document.plan.detail("D2")
    assert d2 is not None
    assert d2.steel is not None
    assert d2.steel.bars == 900
    assert "900 bars" in steel.bars_say.texts[0]
    steel.cover.box.entered.emit(inches(1))
    assert "3″" in steel.cover_says.texts[0]
    d2 = piers.document.plan.detail("D2")
    steel.bars.box.setText("100000")
    steel.bars.box.setModified(True)
    steel.bars.box.editingFinished.emit()
    assert steel.bars.sentence.isVisible()
    assert steel.bars.box.text() == "100000"
    assert piers.document.plan.detail("D2") == d2


def test_a_shape_that_is_chosen_keeps_depth_and_top_width(piers: PiersPage, qtbot: QtBot) -> None:
    """What ends at the step goes along with it, and Tab walks down the new levels."""
    chosen = piers.form.shape.box.chosen
    chosen.emit("stepped")
    profile = detail(piers).profile
    assert profile == ((0.0, 304.8), (609.6, 304.8), (609.6, inches(18)), (812.8, inches(18)))
    piers.section.setFocus()
    tube = replace(detail(piers), tube=609.6, square_from=609.6)
    piers.document.apply("Tube", lambda p: edits.replace_detail(p, tube))
    drag(piers.section, 1, (0, -15))
    send(piers.section, RELEASE, QPointF())
    moved = detail(piers)
    assert moved.profile[1][0] == moved.profile[2][0] == moved.tube == moved.square_from
    assert moved.profile[1][0] < 609.6
    boxes = [box for level in piers.form._levels for box in level.boxes]
    for here, after in pairwise([piers.form.square.box, *boxes, piers.form.more]):
        here.setFocus()
        qtbot.keyClick(here, Qt.Key.Key_Tab)
        assert piers.window().focusWidget() is after
    chosen.emit("straight")
    assert detail(piers).profile == ((0.0, 304.8), (812.8, 304.8))


def test_a_hole_that_the_levels_make_deeper_than_its_detail_says_so(piers: PiersPage) -> None:
    assert piers.deepest.caption.text() == "Deepest hole, by the levels"
    deep = replace(detail(piers), profile=((0.0, 300.0), (3000.0, 300.0)))
    piers.document.apply("Deep", lambda p: edits.assign_detail(edits.replace_detail(p, deep), ["P1"], "D2"))
    piers.document.apply("All", lambda p: edits.assign_detail(p, [one.id for one in p.piers], "D2"))
    assert piers.deepest.caption.text() == "Deepest hole"


def test_openings_are_listed_with_the_rules_they_are_sawn_by(piers: PiersPage) -> None:
    part = piers.openings
    assert part.isVisible()
    assert part.says.texts[0].startswith("O1: For P7 saw")
    part.form.carry.box.setText("heavy")
    part.form.carry.box.setModified(True)
    part.form.carry.box.editingFinished.emit()
    assert part.form.carry.sentence.text().startswith("“heavy” is no mass")
    area = piers.document.layout.openings[0].area
    part.form.margin.box.entered.emit(inches(6))
    assert piers.document.layout.openings[0].area > area
    part.table.picked.emit(["O1"])
    assert list(piers.view.selected) == ["P7"]
