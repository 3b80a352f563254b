"""The numbers that the drawing writes are listed on the Plan page, the wrong ones first, and can be taken out."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, Qt
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook.drawing_checks import DrawingChecks
from layoutdesk.desk.notebook.plan_page import PlanPage
from layoutdesk.desk.notebook.table import RowTable
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Written


def with_numbers(plan: Plan) -> Plan:
    p1, p2, p3 = (next(p for p in plan.piers if p.id == i) for i in ("P1", "P2", "P3"))
    numbers = (
        Written(id="N1", start=p1.at, end=p2.at, value=1828.8, text="6'-0\""),
        Written(id="N2", start=p2.at, end=p3.at, value=1879.6, text="6'-2\""),
    )
    plan = edits.attach_written(plan.with_(written=numbers))
    return edits.add_chain(plan, [1828.8, 1828.8], overall=3606.8, about=["P1", "P2", "P3"])


def checks(desk: Desk) -> DrawingChecks:
    page = desk.notebook["plan"]
    assert isinstance(page, PlanPage)
    return page.checks


def cells(table: RowTable) -> list[list[str]]:
    return [
        [str(table.rows.data(table.rows.index(r, c)) or "") for c in range(table.rows.columnCount())]
        for r in range(table.rows.rowCount())
    ]


def pick(table: RowTable, row: int) -> None:
    flags = QItemSelectionModel.SelectionFlag
    table.selectionModel().select(table.rows.index(row, 0), flags.ClearAndSelect | flags.Rows)


def test_a_plan_without_written_numbers_shows_no_list(porch_desk: Desk) -> None:
    assert checks(porch_desk).isHidden()


def test_the_wrong_number_stands_first_and_picking_it_lights_its_piers(porch_desk: Desk) -> None:
    porch_desk.document.apply("Read numbers", with_numbers)
    shown = checks(porch_desk)
    assert not shown.isHidden()
    rows = cells(shown.written)
    assert rows[0] == ["P2 – P3", "6′ 2″", "6′ 0″", "!"]
    assert rows[1] == ["P1 – P2", "6′ 0″", "6′ 0″", ""]
    assert cells(shown.chains)[0][-1].startswith("!")
    pick(shown.written, 0)
    assert porch_desk.view.selected == ("P2", "P3")


def test_taking_a_number_out_is_one_step_and_leaves_the_piers(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.document.apply("Read numbers", with_numbers)
    shown, piers = checks(porch_desk), porch_desk.document.plan.piers
    pick(shown.written, 0)
    qtbot.mouseClick(shown.take_out, Qt.MouseButton.LeftButton)
    assert [w.id for w in porch_desk.document.plan.written] == ["N1"]
    assert porch_desk.document.plan.piers == piers
    porch_desk.document.undo()
    assert [w.id for w in porch_desk.document.plan.written] == ["N1", "N2"]
