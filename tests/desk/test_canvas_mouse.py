"""A whole plan by mouse, and everything else the mouse does on the sheet."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.dimensions import placed_dimensions
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.desk.hands import ALT, LEFT, MIDDLE, SHIFT, Bench
from tests.gestures.hand import FT
from tests.gestures.scenes import porch


def test_a_whole_plan_by_mouse(qtbot: QtBot) -> None:
    bench = Bench(qtbot)
    bench.take_up("Wall").click((0, 0)).click((24 * FT, 0)).click((24 * FT, 0))
    assert bench.plan.walls[0].points == ((0.0, 0.0), (7315.2, 0.0))
    assert bench.plan.baseline is not None
    bench.sheet.zoom_to_fit()
    bench.sheet.zoom_by(0.5)
    bench.take_up("Attachment").click((2 * FT, 0)).click((22 * FT, 0))
    bench.take_up("Control point").click((0, 0)).click((24 * FT, 0))
    for x in (2, 22):
        bench.take_up("Row of piers").click((x * FT, 0)).click((x * FT, -16 * FT))
        bench.key(Qt.Key.Key_Return)
    bench.take_up("Slab").click((6 * FT, 0)).click((12 * FT, -6 * FT))
    bench.take_up("Keep-out").click((15 * FT, -4 * FT)).click((17 * FT, -7 * FT))
    bench.take_up("Bay").click((2 * FT, 0)).click((22 * FT, 0))
    first, last = bench.plan.piers[0].at, bench.plan.piers[3].at
    bench.click(last).click(first)
    plan = bench.plan
    assert [len(x) for x in (plan.walls, plan.attachments, plan.controls, plan.lines, plan.piers)] == [
        1,
        2,
        2,
        2,
        6,
    ]
    assert plan.lines[0].attachment == "A1"
    assert plan.piers[2].at == pytest.approx((2 * FT, -16 * FT), abs=1e-6)
    assert plan.slabs[0].outline[2] == pytest.approx((12 * FT, -6 * FT), abs=1e-6)
    assert plan.keepouts[0].kind == "tree"
    assert plan.bays[0].corners == ("A1", "A2", "P4", "P1")
    assert bench.troubles == []
    while bench.document.undo_label is not None:
        bench.document.undo()
    assert bench.plan == Plan()


def test_a_pier_is_dragged_and_undone(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    before = bench.plan
    bench.drag((12 * FT, -8 * FT), (14 * FT, -9 * FT), ALT)
    moved = bench.plan.piers[3]
    # A pixel is worth a few millimetres here, and the drag goes from whole pixel to whole pixel.
    assert moved.at == pytest.approx((14 * FT, -9 * FT), abs=1.0)
    assert bench.view.selected == ("P4",)
    bench.document.undo()
    assert bench.plan == before


def test_snapping_says_why_and_the_slip_is_painted(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    start = bench.at((12 * FT, -14 * FT))
    bench.move_px(start)
    bench.send(QEvent.Type.MouseButtonPress, start)
    bench.move_px(bench.at((12 * FT, -16.2 * FT)) + QPointF(3, 0))
    snap = bench.sheet.gesture.preview.snap
    assert snap is not None
    assert "on line L2, square from the wall" in snap.reason
    with_slip = bench.sheet.grab().toImage()
    bench.key(Qt.Key.Key_Escape)
    bench.send(QEvent.Type.MouseButtonRelease, start)
    assert with_slip != bench.sheet.grab().toImage()
    assert bench.document.undo_label is None


def test_box_selection_and_shift_click(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.drag((15 * FT, -7 * FT), (10 * FT, -21 * FT))
    assert list(bench.view.selected) == ["P4", "P5", "P6"]
    bench.click((2 * FT, -8 * FT), SHIFT)
    assert list(bench.view.selected) == ["P4", "P5", "P6", "P1"]


def test_wheel_zooms_about_the_pointer(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    at = QPointF(300, 250)
    held = bench.sheet.camera.to_plan(at.x(), at.y())
    scale = bench.sheet.camera.scale
    with qtbot.waitSignal(bench.sheet.scale_changed):
        bench.wheel(at, 2)
    assert bench.sheet.camera.scale == pytest.approx(scale * 1.44)
    assert bench.sheet.camera.to_plan(at.x(), at.y()) == pytest.approx(held)
    for _ in range(200):
        bench.wheel(at, 1)
    for _ in range(400):
        bench.wheel(at, -1)
    bench.sheet.repaint()
    assert bench.troubles == []


@pytest.mark.parametrize("how", ["middle", "space"])
def test_middle_drag_and_space_drag_pan(qtbot: QtBot, how: str) -> None:
    bench = Bench(qtbot, porch())
    place = bench.sheet.camera.to_plan(400, 300)
    if how == "space":
        qtbot.keyPress(bench.sheet, Qt.Key.Key_Space)
    bench.drag_px(QPointF(400, 300), QPointF(480, 250), MIDDLE if how == "middle" else LEFT)
    if how == "space":
        qtbot.keyRelease(bench.sheet, Qt.Key.Key_Space)
    assert bench.sheet.camera.to_plan(480, 250) == pytest.approx(place)
    assert bench.view.selected == ()
    assert bench.document.undo_label is None


def test_panning_copies_what_is_painted_and_paints_seldom(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    painted = bench.sheet._still.painted
    bench.drag_px(QPointF(400, 300), QPointF(500, 360), MIDDLE)
    assert bench.sheet._still.painted <= painted + 2


def test_a_panned_picture_is_the_picture_painted_there(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.drag_px(QPointF(400, 300), QPointF(435, 280), MIDDLE)
    bench.move_px(QPointF(5, 5))
    panned = bench.sheet.grab().toImage()
    bench.sheet._still.drop()
    anew = bench.sheet.grab().toImage()
    size = anew.size()
    pixels = [(x, y) for x in range(0, size.width(), 3) for y in range(0, size.height(), 3)]
    assert sum(anew.pixel(*p) == panned.pixel(*p) for p in pixels) > 0.99 * len(pixels)


def test_a_dimension_is_retyped_where_it_stands(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    placed = next(p for p in placed_dimensions(bench.sheet._scene()) if p.dimension.sets == "row")
    bench.double_click(placed.middle)
    editor = bench.sheet._editor
    assert editor.isVisible()
    bench.type("oops").key(Qt.Key.Key_Return)
    assert editor.isVisible()
    assert editor._sentence.isVisible()
    assert "“oops”" in editor._sentence.text()
    editor.selectAll()
    bench.type("11' 6\"").key(Qt.Key.Key_Return)
    assert not editor.isVisible()
    assert bench.plan.lines[1].start[0] - bench.plan.lines[0].start[0] == pytest.approx(11.5 * FT)
    bench.document.undo()
    assert bench.plan.lines[1].start[0] == pytest.approx(12 * FT)


def test_esc_leaves_the_dimension_as_it_is(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    before = bench.plan
    bench.double_click(placed_dimensions(bench.sheet._scene())[0].middle)
    bench.type("3").key(Qt.Key.Key_Escape)
    assert not bench.sheet._editor.isVisible()
    assert bench.plan is before
    assert bench.sheet.hasFocus()


def test_double_click_on_a_pier_types_its_place(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.double_click(bench.at((12 * FT, -8 * FT)))
    assert bench.box("station").hasFocus()
    bench.type("12' 6\"").key(Qt.Key.Key_Tab).type("9").key(Qt.Key.Key_Return)
    assert bench.plan.piers[3].at == (3810.0, -2743.2)
    assert bench.sheet.hasFocus()


def test_double_clicks_draw_like_clicks(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    at = bench.at((16 * FT, -12 * FT))
    bench.double_click(at)
    assert len(bench.plan.piers) == 8


def test_presses_on_the_rulers_draw_nothing(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    for at in (QPointF(300, 8), QPointF(8, 300)):
        bench.send(QEvent.Type.MouseButtonPress, at)
        bench.send(QEvent.Type.MouseButtonRelease, at)
    assert len(bench.plan.piers) == 6


def test_cursor_is_told_in_station_and_offset(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    with qtbot.waitSignal(bench.sheet.cursor_moved) as told:
        bench.move_px(bench.at((3 * FT, -5 * FT)))
    assert told.args is not None
    assert told.args[0] == pytest.approx((3 * FT, 5 * FT))
    bench.document.apply("clear", edits.clear_baseline)
    with qtbot.waitSignal(bench.sheet.cursor_moved) as told:
        bench.move_px(bench.at((3 * FT, -5 * FT)))
    assert told.args is not None
    assert told.args[0] == pytest.approx((3 * FT, -5 * FT))


def test_an_edit_that_cannot_be_made_is_told_and_the_sheet_goes_on(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Beam line")
    bench.click((5 * FT, -3 * FT)).click((5 * FT, -3 * FT))
    assert bench.troubles
    bench.click((5 * FT, -9 * FT))
    assert len(bench.plan.lines) == 3


def test_an_edit_past_the_edge_is_followed_until_the_person_looks_elsewhere(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    scale = bench.sheet.camera.scale
    bench.document.apply("Far", lambda plan: edits.add_pier(plan, (12 * FT, -60 * FT)))
    assert bench.sheet._area().contains(bench.at((12 * FT, -60 * FT)))
    assert bench.sheet.camera.scale < scale
    bench.sheet.zoom_by(3.0)
    held = bench.sheet.camera
    bench.document.apply("Farther", lambda plan: edits.add_pier(plan, (12 * FT, -90 * FT)))
    assert bench.sheet.camera == held


def test_right_click_ends_a_wall_and_another_gesture_keeps_it(qtbot: QtBot) -> None:
    bench = Bench(qtbot).take_up("Wall")
    bench.click((0, 0)).click((10 * FT, 0))
    bench.send(QEvent.Type.MouseButtonPress, bench.at((10 * FT, 0)), Qt.MouseButton.RightButton)
    assert [w.id for w in bench.plan.walls] == ["W1"]
    bench.click((0, -8 * FT)).click((10 * FT, -8 * FT)).take_up("Pier")
    assert [w.id for w in bench.plan.walls] == ["W1", "W2"]
    assert bench.sheet.gesture.name == "Pier"
