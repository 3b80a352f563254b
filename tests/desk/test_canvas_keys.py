"""Keys on the sheet."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.desk.hands import SHIFT, Bench
from tests.gestures.hand import FT
from tests.gestures.scenes import porch


def test_arrows_nudge_in_the_directions_of_the_screen(qtbot: QtBot) -> None:
    plan = edits.set_baseline(porch(), (0.0, 0.0), (0.0, 3000.0), yard_side="right")
    bench = Bench(qtbot, plan)
    bench.view.select(("P1",))
    before = bench.at(bench.plan.piers[0].at)
    bench.key(Qt.Key.Key_Right, SHIFT).key(Qt.Key.Key_Down).key(Qt.Key.Key_Down)
    after = bench.at(bench.plan.piers[0].at)
    step = plan.rounding * bench.sheet.camera.scale
    assert (after.x() - before.x(), after.y() - before.y()) == pytest.approx((10 * step, 2 * step))
    bench.document.undo()
    assert bench.plan == plan


def test_delete_and_undo(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.click((2 * FT, -8 * FT)).key(Qt.Key.Key_Delete)
    assert bench.plan.piece("P1") is None
    assert bench.document.undo_label == "Delete P1"
    bench.document.undo()
    assert bench.plan.piece("P1") is not None


def test_esc_goes_back_and_ends_in_pick(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Row of piers")
    bench.click((5 * FT, -3 * FT)).click((5 * FT, -12 * FT))
    for expected in ("Row toward", "Row from", "Pick"):
        bench.key(Qt.Key.Key_Escape)
        assert bench.sheet.gesture.doing == expected
    assert bench.sheet.kind is CATALOGUE[0]


def test_home_and_f_show_the_whole_plan(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    fitted = bench.sheet.camera
    for key in (Qt.Key.Key_Home, Qt.Key.Key_F):
        bench.sheet.zoom_by(7.0)
        assert bench.sheet.camera != fitted
        bench.key(key)
        assert bench.sheet.camera.scale == pytest.approx(fitted.scale)
        assert bench.sheet.camera.centre == pytest.approx(fitted.centre)


def test_h_turns_the_house_to_the_other_side(qtbot: QtBot) -> None:
    bench = Bench(qtbot).take_up("Wall")
    bench.click((0, 0)).click((3000, 0)).key(Qt.Key.Key_H).key(Qt.Key.Key_Return)
    assert bench.plan.walls[0].house_side == "right"


def test_backspace_takes_the_last_corner_back(qtbot: QtBot) -> None:
    bench = Bench(qtbot).take_up("Wall")
    bench.click((0, 0)).click((10 * FT, 0)).click((10 * FT, -10 * FT)).key(Qt.Key.Key_Backspace)
    bench.key(Qt.Key.Key_Return)
    assert len(bench.plan.walls[0].points) == 2


def test_setting_a_baseline_turns_the_sheet_and_keeps_house_up(qtbot: QtBot) -> None:
    plan = edits.add_wall(Plan(), [(0, 0), (3000, 4000)], house_side="right")
    bench = Bench(qtbot, plan)
    bench.document.apply("Set baseline", lambda p: edits.set_baseline(p, (3000, 4000), (0, 0), yard_side="right"))
    near, far = bench.at((0.0, 0.0)), bench.at((3000.0, 4000.0))
    assert near.y() == pytest.approx(far.y(), abs=1e-6)
    assert near.x() > far.x()


def test_every_name_is_told_to_assistive_technology(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.click((2 * FT, -8 * FT))
    assert bench.sheet.accessibleName()
    assert bench.entry.accessibleName()
    assert [b.accessibleName() for b in bench.entry.boxes] == ["Move P1 to station", "Move P1 to offset"]
    assert isinstance(bench.sheet, SheetView)
