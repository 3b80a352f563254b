"""The preview shows the very PDF that is saved, made beside the desk, and can be cancelled."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.workroom import Workroom
from layoutdesk.engine.derive import derive
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_to_json, read_plan
from layoutdesk.sheets.book import stake_out_set

if TYPE_CHECKING:
    from tests.desk.conftest import FakeAsks

WAIT_MS = 60_000


@pytest.fixture
def preview(porch_desk: Desk, qtbot: QtBot) -> Desk:
    """Return the desk with the pages of the porch ready."""
    porch_desk.view.turn_to("sheets")
    qtbot.waitUntil(lambda: porch_desk.pages.state == "ready", timeout=WAIT_MS)
    return porch_desk


def test_the_preview_is_the_pdf_itself(preview: Desk) -> None:
    sheets = stake_out_set(derive(preview.document.plan))
    assert preview.pages.pdf == write_pdf(sheets)
    assert [p.name for p in preview.pages.pages] == [p.name for p in sheets.pages]
    assert preview.sheets_page.list.model().rowCount() == len(sheets.pages)
    assert preview.page_view.where.text().startswith(f"page 1 of {len(sheets.pages)} · ")


def test_a_page_is_drawn_at_the_size_it_is_shown(preview: Desk, qtbot: QtBot) -> None:
    canvas = preview.page_view.canvas
    width = round(canvas._size_px()[0] * canvas.devicePixelRatioF())
    qtbot.waitUntil(lambda: preview.pages.image(0, width) is not None, timeout=WAIT_MS)
    image = preview.pages.image(0, width)
    assert image is not None
    assert image.width() == width
    assert image.pixelColor(2, 2).name() == "#ffffff"
    dark = sum(image.pixelColor(x, y).lightness() < 90 for x in range(0, width, 7) for y in range(0, 300, 7))
    assert dark > 20


def test_pages_are_turned_by_words_keys_and_list(preview: Desk, qtbot: QtBot) -> None:
    view, last = preview.page_view, len(preview.pages.pages) - 1
    qtbot.mouseClick(view.forth, Qt.MouseButton.LeftButton)
    assert view.index == 1
    assert preview.sheets_page.list.currentIndex().row() == 1
    qtbot.keyClick(view.canvas, Qt.Key.Key_PageUp)
    assert view.index == 0
    assert not view.back.isEnabled()
    preview.sheets_page.list.setCurrentIndex(preview.sheets_page.list.model().index(last, 0))
    assert view.index == last
    assert not view.forth.isEnabled()
    zoom = view.canvas.zoom
    qtbot.mouseClick(view.larger, Qt.MouseButton.LeftButton)
    assert view.canvas.zoom == pytest.approx(zoom * 1.25)
    qtbot.mouseClick(view.whole, Qt.MouseButton.LeftButton)
    assert view.canvas.zoom == pytest.approx(zoom)


def test_another_paper_makes_other_pages(preview: Desk, qtbot: QtBot) -> None:
    assert preview.pages.pages[0].width == pytest.approx(215.9)
    preview.sheets_page.paper.box.chosen.emit("a4")
    qtbot.waitUntil(lambda: preview.pages.ready_for(preview.document.plan), timeout=WAIT_MS)
    assert preview.pages.pages[0].width == pytest.approx(210)


def test_what_was_looked_at_is_what_is_saved(preview: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    asks.saves = tmp_path / "porch.pdf"
    preview.strip.print.click()
    assert asks.saves.read_bytes() == preview.pages.pdf
    assert "Saved porch.pdf" in preview.slip.text.text()


@pytest.mark.parametrize("kind", ["pdf", "dxf", "csv"])
def test_outputs_are_made_beside_the_desk(
    porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, tmp_path: Path, kind: str
) -> None:
    asks.saves = tmp_path / f"porch.{kind}"
    porch_desk.menus.actions[kind].trigger()
    assert not asks.saves.exists()
    qtbot.waitUntil(lambda: asks.saves is not None and asks.saves.exists(), timeout=WAIT_MS)
    start = {"pdf": b"%PDF", "dxf": b"  0\nSECTION", "csv": b"id,"}[kind]
    assert asks.saves.read_bytes().replace(b"\r\n", b"\n").lstrip(b" ").startswith(start.lstrip(b" "))


def test_a_picture_is_saved(porch_desk: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    asks.saves = tmp_path / "porch.png"
    porch_desk.menus.actions["png"].trigger()
    assert asks.saves.read_bytes().startswith(b"\x89PNG")


def test_cancelling_writes_nothing_and_the_next_order_is_made(
    porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, tmp_path: Path
) -> None:
    asks.saves = tmp_path / "porch.pdf"
    porch_desk.menus.actions["pdf"].trigger()
    porch_desk.exports.cancel()
    assert "Cancelled" in porch_desk.slip.text.text()
    assert not porch_desk.workroom.busy
    porch_desk.menus.actions["csv"].trigger()
    qtbot.waitUntil(asks.saves.exists, timeout=WAIT_MS)
    assert asks.saves.read_bytes().startswith(b"id,")


def test_work_that_takes_long_shows_itself(porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, tmp_path: Path) -> None:
    asks.saves = tmp_path / "porch.pdf"
    porch_desk.menus.actions["pdf"].trigger()
    qtbot.waitUntil(porch_desk.slip.bar.isVisible, timeout=WAIT_MS)
    assert porch_desk.slip.button.text() == "Cancel"
    qtbot.mouseClick(porch_desk.slip.button, Qt.MouseButton.LeftButton)
    assert not asks.saves.exists()


def test_an_output_that_cannot_be_written_is_said(
    porch_desk: Desk, asks: FakeAsks, qtbot: QtBot, tmp_path: Path
) -> None:
    asks.saves = tmp_path / "no such folder" / "porch.csv"
    porch_desk.menus.actions["csv"].trigger()
    qtbot.waitUntil(lambda: "porch.csv" in porch_desk.slip.text.text(), timeout=WAIT_MS)
    assert "Saved" not in porch_desk.slip.text.text()


def test_pages_stopped_by_a_cancel_are_made_again_on_demand(preview: Desk, qtbot: QtBot) -> None:
    preview.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    assert "Setting the pages" in preview.page_view.says.text()
    qtbot.mouseClick(preview.page_view.stop, Qt.MouseButton.LeftButton)
    assert "not finished" in preview.page_view.says.text()
    assert preview.page_view.again.isVisible()
    qtbot.mouseClick(preview.page_view.again, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: preview.pages.ready_for(preview.document.plan), timeout=WAIT_MS)


def test_a_process_that_dies_is_said_and_replaced(qtbot: QtBot, desk: Desk) -> None:
    workroom = Workroom(desk)
    told: list[str] = []
    workroom.failed.connect(lambda _, sentence: told.append(sentence))
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    workroom.order("csv", plan=plan_to_json(plan))
    assert workroom._process is not None
    workroom._process.kill()
    qtbot.waitUntil(lambda: bool(told), timeout=WAIT_MS)
    assert "ended" in told[0]
    answers: list[Any] = []
    workroom.done.connect(lambda *answer: answers.append(answer))
    workroom.order("csv", plan=plan_to_json(plan))
    qtbot.waitUntil(lambda: bool(answers), timeout=WAIT_MS)
    workroom.shut()


def test_a_plan_that_cannot_be_read_there_is_told_in_a_sentence(qtbot: QtBot, desk: Desk) -> None:
    workroom = Workroom(desk)
    with qtbot.waitSignal(workroom.failed, timeout=WAIT_MS) as told:
        workroom.order("csv", plan="{}")
    assert "the plan" in told.args[1]
    workroom.shut()


def test_the_page_maker_knows_no_qt(checkout: Path) -> None:
    tree = ast.parse((checkout / "layoutdesk" / "desk" / "page_maker.py").read_text(encoding="utf-8"))
    named = {
        name
        for node in ast.walk(tree)
        for name in (
            [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else [a.name for a in node.names]
            if isinstance(node, ast.Import)
            else []
        )
    }
    assert not any(n.startswith(("PySide6", "layoutdesk.desk")) for n in named)


def test_sheets_of_nothing_are_not_printed(desk: Desk, asks: FakeAsks) -> None:
    desk.strip.print.click()
    assert asks.asked == []
    assert "no piers yet" in desk.slip.text.text()
