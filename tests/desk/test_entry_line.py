"""The entry line: a whole plan from the keyboard, and what happens at its boxes."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from pytestqt.qtbot import QtBot

from layoutdesk.desk.entry_box import value_text
from layoutdesk.gestures.gesture import Field
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.desk.hands import Bench
from tests.gestures.hand import FT
from tests.gestures.scenes import porch


def test_a_whole_plan_from_the_keyboard_alone(qtbot: QtBot) -> None:
    bench = Bench(qtbot).take_up("Wall")
    bench.key(Qt.Key.Key_Tab).enter("0", "0").enter("24'", "0").enter("2' 6\"", "", "-90").enter("10'", "", "90")
    bench.key(Qt.Key.Key_Return)
    assert list(bench.plan.walls[0].points) == [(0, 0), (7315.2, 0), (7315.2, 762), (10363.2, 762)]
    bench.take_up("Attachment").sheet.setFocus()
    bench.type("2'").key(Qt.Key.Key_Tab).type("0").key(Qt.Key.Key_Return).enter("22", "0")
    bench.take_up("Control point").sheet.setFocus()
    bench.type("0").key(Qt.Key.Key_Tab).type("0").key(Qt.Key.Key_Return).enter("24", "0")
    for station in ("2", "22"):
        bench.take_up("Row of piers").sheet.setFocus()
        bench.type(station).key(Qt.Key.Key_Tab).type("0").key(Qt.Key.Key_Return).enter("16", "90")
        bench.enter("", "", "", "8, 7' 6\"")
    bench.take_up("Pier").sheet.setFocus()
    bench.type("12").key(Qt.Key.Key_Tab).type("15' 6\"").key(Qt.Key.Key_Return)
    bench.take_up("Slab").sheet.setFocus()
    bench.type("5").key(Qt.Key.Key_Tab).type("0").key(Qt.Key.Key_Return).enter("6", '5 1/2"', '4"')
    plan = bench.plan
    assert [a.at for a in plan.attachments] == [(609.6, 0.0), (6705.6, 0.0)]
    assert [c.at for c in plan.controls] == [(0.0, 0.0), (7315.2, 0.0)]
    assert [p.at for p in plan.piers] == [
        pytest.approx((x * FT, -y * FT)) for x, y in ((2, 8), (2, 15.5), (22, 8), (22, 15.5), (12, 15.5))
    ]
    assert [line.attachment for line in plan.lines] == ["A1", "A2"]
    assert plan.slabs[0].outline[2] == pytest.approx((11 * FT, -5.5 * 25.4))
    assert plan.slabs[0].thickness == pytest.approx(101.6)
    assert bench.troubles == []


def test_live_values_follow_the_pointer_until_something_is_typed(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    bench.move_px(bench.at((5 * FT, -3 * FT)))
    assert bench.box("station").text() == "5′ 0″"
    bench.key(Qt.Key.Key_Tab).type("7'")
    bench.move_px(bench.at((16 * FT, -11 * FT)))
    assert bench.box("station").text() == "7'"
    assert bench.box("offset").text() == "11′ 0″"
    ghost = bench.sheet.gesture.preview.ghosts[0]
    assert ghost.points[0] == pytest.approx((7 * FT, -11 * FT), abs=1e-6)


def test_digits_on_the_sheet_go_to_the_first_box_and_replace_it(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.click((2 * FT, -8 * FT)).type("3' 6\"")
    assert bench.box("station").hasFocus()
    assert bench.box("station").text() == "3' 6\""
    bench.key(Qt.Key.Key_Return)
    assert bench.plan.piers[0].at == pytest.approx((3.5 * FT, -8 * FT))


def test_typing_into_a_box_replaces_its_value(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    bench.entry.focus_field(1)
    bench.type("4")
    assert bench.box("offset").text() == "4"


def test_tab_goes_round_and_shift_tab_back(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Attachment")
    bench.key(Qt.Key.Key_Tab)
    order = []
    for _ in range(4):
        order.append(next(b.name for b in bench.entry.boxes if b.hasFocus()))
        bench.key(Qt.Key.Key_Tab)
    assert order == ["station", "offset", "kind", "station"]
    bench.key(Qt.Key.Key_Backtab)
    assert bench.box("station").hasFocus()


def test_what_cannot_be_read_is_refused_in_place_and_stays_to_be_mended(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    bench.key(Qt.Key.Key_Tab).type("15 6").key(Qt.Key.Key_Tab)
    assert bench.box("station").hasFocus()
    assert bench.box("station").text() == "15 6"
    assert bench.entry.sentence.startswith("“15 6”")
    assert "12' 6 3/8\"" in bench.entry.sentence
    assert len(bench.plan.piers) == 6
    bench.key(Qt.Key.Key_Backspace)
    assert bench.entry.sentence == ""
    bench.key(Qt.Key.Key_Tab).type("9").key(Qt.Key.Key_Return)
    assert len(bench.plan.piers) == 7


def test_what_makes_no_sense_is_refused_in_place(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Beam line")
    bench.key(Qt.Key.Key_Tab).enter("5", "3")
    bench.type("0").key(Qt.Key.Key_Return)
    assert "more than nothing" in bench.entry.sentence
    bench.key(Qt.Key.Key_Escape).key(Qt.Key.Key_Return)
    assert "needs a length" in bench.entry.sentence


def test_a_sentence_stands_over_the_sheet_when_the_boxes_take_the_room(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Row of piers")
    bench.resize(760, 600)
    bench.key(Qt.Key.Key_Tab).enter("5", "3").enter("12", "0").type("2.5").key(Qt.Key.Key_Return)
    assert bench.entry.sentence
    assert bench.entry._over.isVisible()
    bench.key(Qt.Key.Key_Backspace).key(Qt.Key.Key_Backspace)
    assert not bench.entry._over.isVisible()


def test_esc_gives_the_typed_value_up_then_leaves(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    bench.move_px(bench.at((5 * FT, -3 * FT)))
    bench.key(Qt.Key.Key_Tab).type("9'").key(Qt.Key.Key_Escape)
    assert bench.box("station").text() == "5' 0\""
    assert bench.box("station").hasFocus()
    bench.key(Qt.Key.Key_Escape)
    assert bench.sheet.hasFocus()
    assert bench.sheet.gesture.name == "Pick"


def test_a_choice_is_stepped_by_keys_letters_and_clicks(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Keep-out")
    box = bench.box("kind")
    box.setFocus()
    bench.key(Qt.Key.Key_Down)
    assert box.text() == "air conditioner"
    bench.key(Qt.Key.Key_Up).key(Qt.Key.Key_Up)
    assert box.text() == "other"
    bench.type("u")
    assert box.text() == "utility"
    qtbot.mouseClick(box, Qt.MouseButton.LeftButton)
    assert box.text() == "other"
    bench.sheet.setFocus()
    bench.click((16 * FT, -12 * FT)).click((18 * FT, -14 * FT))
    assert bench.plan.keepouts[-1].kind == "other"


def test_a_count_is_stepped_by_keys_and_by_its_marks(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Row of piers")
    bench.click((16 * FT, -3 * FT)).click((16 * FT, -12 * FT))
    box = bench.box("count")
    box.setFocus()
    bench.key(Qt.Key.Key_Up)
    assert box.text() == "4"
    middle = box.height() // 2
    qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(box.width() - 14, middle))
    assert box.text() == "5"
    qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(box.width() - 34, middle))
    bench.key(Qt.Key.Key_Return)
    assert len(bench.plan.piers) == 10


def test_typing_past_the_edge_of_the_sheet_zooms_out(qtbot: QtBot) -> None:
    bench = Bench(qtbot).take_up("Wall")
    bench.key(Qt.Key.Key_Tab).enter("0", "0").enter("300'", "0")
    far = bench.at((300 * FT, 0.0))
    assert bench.sheet._area().contains(far)
    bench.key(Qt.Key.Key_Return)
    assert bench.sheet._area().contains(bench.at((300 * FT, 0.0)))


def test_cursor_and_scale_stand_at_the_right(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch())
    bench.move_px(bench.at((5 * FT, -3 * FT)))
    assert bench.entry._place.text().startswith("cursor 5′ 0″, 3′ 0″ · 1 : ")
    before = bench.entry._place.text()
    bench.wheel(QPointF(400, 300), 3)
    assert bench.entry._place.text() != before


def test_what_is_typed_stays_when_the_mouse_takes_over(qtbot: QtBot) -> None:
    bench = Bench(qtbot, porch()).take_up("Pier")
    bench.key(Qt.Key.Key_Tab).type("7'")
    bench.click((16 * FT, -11 * FT))
    assert bench.plan.piers[-1].at == pytest.approx((7 * FT, -11 * FT), abs=1e-6)
    assert not bench.box("station").edited


def test_metric_values_are_typed_in_metres(qtbot: QtBot) -> None:
    bench = Bench(qtbot, edits.set_units(Plan(), "m")).take_up("Control point")
    bench.key(Qt.Key.Key_Tab).enter("1.25", "381 cm")
    assert bench.plan.controls[0].at == (1250.0, 3810.0)


@pytest.mark.parametrize(
    ("field", "text"),
    [
        (Field("station", "length", 12.5 * FT), "12′ 6″"),
        (Field("station", "length", 100.1, typed=True), "100.1 mm"),
        (Field("spacings", "lengths", (8 * FT, 6 * FT, 6 * FT)), "8′ 0″, 2 @ 6′ 0″"),
        (Field("angle", "angle", 90.0), "90.00°"),
        (Field("angle", "angle", 30.125, typed=True), "30.125°"),
        (Field("count", "count", 3), "3"),
        (Field("kind", "choice", "tree", options=("tree",)), "tree"),
    ],
)
def test_values_are_shown_as_they_are_typed(field: Field, text: str) -> None:
    assert value_text(field, "ft-in", 1.5875, pretty=True) == text
