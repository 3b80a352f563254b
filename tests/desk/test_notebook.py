"""The notebook edits the same plan as the sheet: fields, tables, and what they refuse."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtWidgets import QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.bag_table import MAKES
from layoutdesk.plan import edits
from layoutdesk.plan.model import Pier, Plan, Slab
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.marks import Paragraph


def page(desk: Desk, name: str) -> Any:
    desk.rail.turned.emit(name)
    return desk.notebook[desk.view.page]


def type_in(qtbot: QtBot, box: QLineEdit, text: str) -> None:
    window = box.window()
    window.activateWindow()
    box.setFocus()
    qtbot.waitUntil(box.hasFocus)
    box.selectAll()
    qtbot.keyClicks(box, text)
    qtbot.keyClick(box, Qt.Key.Key_Return)


def pier(desk: Desk, pier_id: str) -> Pier:
    found = desk.document.plan.piece(pier_id)
    assert isinstance(found, Pier)
    return found


def test_the_title_is_typed_and_undone(porch_desk: Desk, qtbot: QtBot) -> None:
    box = page(porch_desk, "plan").job.title.box
    type_in(qtbot, box, "Willow Bend porch")
    assert porch_desk.document.plan.title == "Willow Bend porch"
    assert porch_desk.rail.title.text() == "Willow Bend porch"
    # The box holds nothing new now, so the key undoes the plan and not the box.
    qtbot.keyClick(box, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert porch_desk.document.plan.title == "Heron Lane porch"
    assert box.text() == "Heron Lane porch"


def test_a_long_issue_of_a_file_is_shown_whole_and_a_new_one_is_short(porch_desk: Desk, qtbot: QtBot) -> None:
    long = "Third issue, with the corrections of May"
    porch_desk.document.apply("From a file", lambda p: p.with_(issue=long))
    box = page(porch_desk, "plan").job.issue.box
    assert box.text() == long
    type_in(qtbot, box, "a correction of the third one")
    assert porch_desk.document.plan.issue == long
    type_in(qtbot, box, "C")
    assert porch_desk.document.plan.issue == "C"
    type_in(qtbot, box, "x" * 30)
    assert porch_desk.document.plan.issue == "x" * 20


def test_undo_takes_back_typing_while_something_new_is_typed(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    box = page(porch_desk, "plan").job.title.box
    porch_desk.window.activateWindow()
    box.setFocus()
    qtbot.waitUntil(box.hasFocus)
    qtbot.keyClicks(box, "x")
    qtbot.keyClick(box, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert porch_desk.document.plan.title == "Changed"


def test_the_place_of_the_picked_pier_is_typed(porch_desk: Desk, qtbot: QtBot) -> None:
    plan_page = page(porch_desk, "plan")
    porch_desk.view.select(["P4"])
    station, offset = plan_page.forms[Pier].places._rows[0].boxes
    type_in(qtbot, station, "13' 1/2\"")
    assert porch_desk.document.layout.stakes.of("P4").station == pytest.approx(13 * 304.8 + 12.7)
    type_in(qtbot, offset, "3 m")
    stake = porch_desk.document.layout.stakes.of("P4")
    assert stake.offset == pytest.approx(3000)
    assert stake.station == pytest.approx(13 * 304.8 + 12.7)


def test_what_is_no_length_is_said_under_the_box_and_kept(porch_desk: Desk, qtbot: QtBot) -> None:
    plan_page = page(porch_desk, "plan")
    porch_desk.view.select(["P4"])
    row = plan_page.forms[Pier].places._rows[0]
    before = porch_desk.document.plan
    type_in(qtbot, row.boxes[0], "twelve")
    assert porch_desk.document.plan is before
    assert row.sentence.isVisible()
    assert "type for example" in row.sentence.text()
    assert row.boxes[0].text() == "twelve"
    qtbot.keyClick(row.boxes[0], Qt.Key.Key_Escape)
    assert not row.sentence.isVisible()
    assert row.boxes[0].text() == "12' 6\""


def test_what_an_edit_refuses_is_said_under_the_box(porch_desk: Desk, qtbot: QtBot) -> None:
    plan_page = page(porch_desk, "plan")
    porch_desk.view.select(["S1"])
    row = plan_page.forms[Slab]._thickness
    before = porch_desk.document.plan
    type_in(qtbot, row.box, '-1"')
    assert porch_desk.document.plan is before
    assert row.sentence.isVisible()


def test_a_box_shows_the_exact_length_while_it_is_typed_in(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.document.apply("Move", lambda p: edits.set_station_offset(p, "P4", 1000.123, 2000))
    plan_page = page(porch_desk, "plan")
    porch_desk.view.select(["P4"])
    box = plan_page.forms[Pier].places._rows[0].boxes[0]
    assert box.text() == "3′ 3\u2009³⁄₈″"
    porch_desk.window.activateWindow()
    box.setFocus()
    qtbot.waitUntil(box.hasFocus)
    assert box.text() == "1000.123 mm"
    plan_page.job.title.box.setFocus()
    assert box.text() == "3′ 3\u2009³⁄₈″"
    assert porch_desk.document.undo_label == "Move"


def test_picking_a_row_lights_the_piece_and_the_other_way_round(porch_desk: Desk) -> None:
    table = page(porch_desk, "stakes").all
    table.selectRow(4)
    assert porch_desk.view.selected == ("P5",)
    porch_desk.view.select(["P8", "P9"])
    rows = [i.row() for i in table.selectionModel().selectedRows()]
    assert rows == [7, 8]
    assert page(porch_desk, "stakes").heading.text.text() == "Pier P8"


def test_the_stakes_page_shows_what_the_layout_has(porch_desk: Desk) -> None:
    stakes = page(porch_desk, "stakes")
    porch_desk.view.select(["P5"])
    assert stakes.station.number.text() == "12′ 6″"
    assert stakes.offset.number.text() == "14′ 0″"
    stake = porch_desk.document.layout.stakes.of("P5")
    assert stake.best is not None
    assert stakes.ties[0].name.text() == f"from {stake.best.first.control}"
    assert stake.best.strength in stakes.tapes_heading.aside.text()
    assert stakes.method.text() == stake.why


def test_the_bay_of_the_picked_pier_lies_on_the_sheet_while_its_page_is_open(
    porch_desk: Desk, qtbot: QtBot
) -> None:
    stakes = page(porch_desk, "stakes")
    porch_desk.view.select(["P5"])
    bays = porch_desk.document.layout.bays
    shown = next(b for b in bays if b.id == porch_desk.view.bay)
    assert "P5" in shown.corners
    qtbot.keyClick(stakes.bay_choice, Qt.Key.Key_Home)
    assert stakes.bay_choice.count() == len(bays) + 1
    porch_desk.view.show_bay(bays[len(bays) - 1].id)
    porch_desk.view.select(["P1"])
    assert porch_desk.view.bay == bays[len(bays) - 1].id
    stakes._on_bay(None)
    assert "P1" in next(b for b in bays if b.id == porch_desk.view.bay).corners
    page(porch_desk, "plan")
    assert porch_desk.view.bay is None


def test_the_baseline_is_chosen_and_all_numbers_follow(porch_desk: Desk) -> None:
    control = page(porch_desk, "control")
    before = porch_desk.document.layout.stakes.of("P4").station
    control.baseline.turn.click()
    after = porch_desk.document.layout.stakes.of("P4").station
    assert before is not None
    assert after is not None
    assert after == pytest.approx(4267.2 - before)
    control.baseline.zero.box.chosen.emit((609.6, 0.0))
    assert porch_desk.document.layout.stakes.of("P1").station == pytest.approx(0)
    control.baseline.face.box.chosen.emit(((4267.2, 762.0), (9144.0, 762.0), "right"))
    assert porch_desk.document.layout.stakes.of("P7").offset == pytest.approx(3200.4)
    assert porch_desk.document.undo_label == "Baseline"


def test_the_other_yard_side_turns_offsets_round(porch_desk: Desk) -> None:
    page(porch_desk, "control").baseline.flip.click()
    assert porch_desk.document.layout.stakes.of("P4").offset == pytest.approx(-2438.4)


def test_a_new_detail_goes_to_all_piers_that_have_none(desk: Desk) -> None:
    desk.document.apply("Grid", lambda p: edits.add_grid(p, (0, 0), (0, -1), (0.0, 2000.0), (3000.0,)))
    piers = page(desk, "piers")
    assert not piers.numbers.isVisible()
    assert page(desk, "buy").net.number.text() == "–"
    page(desk, "piers").first.click()
    assert piers.form.bottom_depth is desk.window.focusWidget()
    assert {p.detail for p in desk.document.plan.piers} == {"D1"}
    assert piers.numbers.isVisible()
    assert not piers.begin.isVisible()
    piers.new.click()
    assert {p.detail for p in desk.document.plan.piers} == {"D1"}
    desk.view.select(["P2"])
    assert piers.give.text() == "Give D2 to 1 picked"
    assert piers.give.toolTip() == ""
    piers.give.click()
    assert pier(desk, "P2").detail == "D2"


def test_a_detail_is_given_only_where_it_changes_something(porch_desk: Desk) -> None:
    piers = page(porch_desk, "piers")
    porch_desk.view.select([])
    assert not piers.give.isEnabled()
    assert piers.give.toolTip() == "Pick piers first, on the sheet or in the table"
    porch_desk.view.select([p.id for p in porch_desk.document.plan.piers])
    porch_desk.document.apply(
        "Details", lambda p: edits.assign_detail(p, [one.id for one in p.piers], piers._chosen)
    )
    assert not piers.give.isEnabled()
    count = len(porch_desk.document.plan.piers)
    assert piers.give.toolTip() == f"All {count} picked piers have {piers._chosen} already"
    porch_desk.view.select(["P2"])
    assert piers.give.toolTip() == f"The picked pier has {piers._chosen} already"
    porch_desk.document.apply("Detail", lambda p: edits.assign_detail(p, ["P2"], None))
    assert piers.give.isEnabled()
    assert piers.give.toolTip() == ""


def test_a_profile_is_edited_level_by_level(porch_desk: Desk, qtbot: QtBot) -> None:
    piers = page(porch_desk, "piers")
    piers.form.more.click()
    depth, diameter = piers.form._levels[2].boxes
    type_in(qtbot, depth, "4'")
    type_in(qtbot, diameter, "2'")
    detail = porch_desk.document.plan.detail("D1")
    assert detail is not None
    assert detail.profile[-1] == pytest.approx((4 * 304.8, 2 * 304.8))
    type_in(qtbot, depth, "1'")
    assert piers.form._levels[2].sentence.isVisible()
    qtbot.keyClick(depth, Qt.Key.Key_Escape)
    piers.form.fewer.click()
    detail = porch_desk.document.plan.detail("D1")
    assert detail is not None
    assert len(detail.profile) == 2


def test_a_new_detail_is_written_in_the_very_lengths_that_typing_gives(desk: Desk, qtbot: QtBot) -> None:
    """A diameter of 1' is 304.8 mm in the file, at the level that was typed and at the one that was there."""
    piers = page(desk, "piers")
    piers.first.click()
    piers.form.more.click()
    for level in piers.form._levels[:3]:
        depth, diameter = level.boxes
        assert depth._edit.count("mm") == diameter._edit.count("mm") == 0
    type_in(qtbot, piers.form._levels[0].boxes[1], "1'")
    detail = desk.document.plan.detail("D1")
    assert detail is not None
    assert detail.profile == ((0.0, 304.8), (812.8, 304.8), (965.2, 304.8))


def test_a_bay_with_a_barred_diagonal_says_what_the_squareness_sheet_says(porch_desk: Desk) -> None:
    bay = porch_desk.document.layout.bays[0]
    (ax, ay), _, (cx, cy), _ = bay.places
    x, y = ax + 0.3 * (cx - ax), ay + 0.3 * (cy - ay)
    tree = [(x - 60, y - 60), (x + 60, y - 60), (x + 60, y + 60), (x - 60, y + 60)]
    porch_desk.document.apply("Tree", lambda p: edits.add_keepout(p, tree, kind="tree"))
    stakes = page(porch_desk, "stakes")
    stakes.bay_choice.chosen.emit(bay.id)
    said = "When all four sides are as the plan says, B alone shows whether this bay is right."
    assert stakes.bay_note.text() == said
    texts = [
        mark.text
        for sheet in stake_out_set(porch_desk.document.layout).pages
        for mark in sheet.marks
        if isinstance(mark, Paragraph)
    ]
    assert said in texts


def test_a_yield_typed_in_changes_the_count_of_bags(porch_desk: Desk, qtbot: QtBot) -> None:
    table = page(porch_desk, "buy").bag_table
    before = porch_desk.document.layout.concrete.orders[0]
    table.type_into((before.product, MAKES))
    for typed, key in (("0.3", Qt.Key.Key_Backtab), ("none", Qt.Key.Key_Backtab)):
        assert table.live is not None
        qtbot.keyClicks(table.live, typed)
        qtbot.keyClick(table.live, key)
        table.type_into((before.product, MAKES))
    after = porch_desk.document.layout.concrete.orders[0]
    assert after.count_by_job == pytest.approx(2 * before.count_by_job, abs=1)
    assert "is no volume in cu ft" in page(porch_desk, "buy").wrong.text()
    qtbot.keyClick(table.live, Qt.Key.Key_Escape)
    assert page(porch_desk, "buy").wrong.text() == ""
    porch_desk.document.undo()
    assert porch_desk.document.layout.concrete.orders[0] == before


def test_units_and_rounding_are_changed_for_all(porch_desk: Desk) -> None:
    job = page(porch_desk, "plan").job
    job.units.box.chosen.emit("mm")
    page(porch_desk, "stakes")
    porch_desk.view.select(["P5"])
    assert porch_desk.notebook["stakes"].station.number.text() == "3810 mm"  # type: ignore[attr-defined]
    porch_desk.document.undo()
    assert porch_desk.notebook["stakes"].station.number.text() == "12′ 6″"  # type: ignore[attr-defined]


def test_several_pieces_are_brought_in_line(porch_desk: Desk, qtbot: QtBot) -> None:
    many = page(porch_desk, "plan").many
    porch_desk.view.select(["P4", "P10"])
    assert many.isVisible()
    qtbot.mouseClick(many._offset, Qt.MouseButton.LeftButton)
    assert porch_desk.document.layout.stakes.of("P10").offset == pytest.approx(2438.4)
    many._detail.box.chosen.emit("D2")
    assert pier(porch_desk, "P4").detail == pier(porch_desk, "P10").detail == "D2"


def test_a_pressed_flag_picks_what_it_is_about(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.document.apply("Move", lambda p: edits.move(p, ["P4"], (0.0, -1800.0)))
    for name in ("plan", "control", "stakes", "piers"):
        shown = page(porch_desk, name).flags
        if shown.isVisible():
            card = shown._box.itemAt(0).widget()
            qtbot.mouseClick(card, Qt.MouseButton.LeftButton)
            assert set(porch_desk.view.selected) <= set(card.flag.about)
            return
    pytest.fail("two piers in one another raise no flag")


def test_only_the_open_page_is_refreshed(porch_desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []
    for name, leaf in porch_desk.notebook.items():
        monkeypatch.setattr(leaf, "refresh", lambda *_, name=name: seen.append(name))
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    assert seen == ["plan"]


def test_ten_thousand_piers_are_listed_and_picked(desk: Desk) -> None:
    def many(p: Plan) -> Plan:
        return edits.add_grid(p, (0, 0), (0, -1), (0.0, *[2000.0] * 99), tuple([2000.0] * 99))

    desk.document.apply("Grid", many)
    desk.document.apply("Baseline", lambda p: edits.set_baseline(p, (0.0, 0.0), (1000.0, 0.0), yard_side="right"))
    table = page(desk, "stakes").all
    assert table.rows.rowCount() == 10_000
    desk.view.select(["P9999"])
    assert table.currentIndex().row() == 9998
    desk.menus.actions["select_all"].trigger()
    assert len(table.selectionModel().selectedRows()) == 10_000
    table.selectionModel().select(
        table.rows.index(12, 0),
        QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows,
    )
    assert desk.view.selected == ("P13",)


@pytest.mark.parametrize(("wide", "high"), [(1366, 740), (2560, 1400)])
def test_nothing_on_a_page_is_squeezed(porch_desk: Desk, qtbot: QtBot, wide: int, high: int) -> None:
    """Whatever order pages are opened in, and whenever their rows come: each has the height that it wants."""
    porch_desk.window.resize(wide, high)
    porch_desk.view.select(["P4"])
    for name in ("piers", "buy", "plan", "control", "stakes"):
        shown = page(porch_desk, name)
        porch_desk.window.grab()
        if name == "piers":
            shown.form.more.click()
        qtbot.wait(60)
        for part in shown.widget().findChildren(QWidget):
            if part.isVisible() and part.hasHeightForWidth():
                assert part.height() >= part.heightForWidth(part.width()), (name, part)
            elif part.isVisible() and isinstance(part, QLineEdit | QPushButton):
                assert part.height() >= part.minimumSizeHint().height(), (name, part)


def test_opening_the_stakes_picks_the_first_pier_and_nothing_picked_says_so(porch_desk: Desk) -> None:
    stakes = page(porch_desk, "stakes")
    assert porch_desk.view.selected == ("P1",)
    assert stakes.heading.text.text() == "Pier P1"
    porch_desk.view.select(())
    assert stakes.empty.text().startswith("Pick a pier")
    assert not stakes.numbers.isVisible()
    assert stakes.all.isVisible()
