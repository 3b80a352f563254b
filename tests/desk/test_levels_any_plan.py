"""The Levels page shows whatever a plan says of heights, and every piece of it picked, without a fault."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.layers import paint_sheet
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.height_work import work_out
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from tests.desk.hands import Bench
from tests.strategies import plans


def _at_once(layout: Layout) -> bool:
    """Work heights out now, without a thread."""
    work_out(layout)
    return True


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(plan=plans(near=True))
def test_any_plan_is_shown_with_any_piece_picked(qtbot: QtBot, dress: Dress, plan: Plan) -> None:
    document, view = Document(plan), ViewState()
    page = LevelsPage(document, view, dress)
    view.watch(page.view_changed)
    page.work.ask = _at_once  # type: ignore[method-assign]
    page.resize(380, 700)
    page.show()
    page.wake()
    try:
        assert page._shown is document.layout
        assert len(page.book.table.lines) >= len(plan.levels.readings) + 1
        assert page.piers.holes.rows.rowCount() == len(plan.piers)
        for piece in list(plan.pieces())[:8]:
            view.select([piece.id])
        page.grab()
    finally:
        page.close()
        page.deleteLater()


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(plan=plans(near=True))
def test_the_heights_of_any_plan_are_painted(qtbot: QtBot, plan: Plan) -> None:
    bench = Bench(qtbot, plan)
    bench.view.turn_to("levels")
    image = QImage(700, 500, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    try:
        paint_sheet(painter, bench.sheet._scene())
    finally:
        painter.end()
    bench.sheet.repaint()
    assert bench.troubles == []
    bench.close()
