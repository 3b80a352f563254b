"""The sheet: a frame of panning against the bare technique, and from an edit to the sheet right again.

The bare technique is one widget that draws the same symbols with nothing around them: numpy chooses what is in
the picture, one painted symbol is copied to each place, names are laid out once, and far away they are dots.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import cycle

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPixmap, QStaticText
from PySide6.QtWidgets import QApplication, QWidget

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.theme import LIGHT, load_type
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from tests.benchmarks.big_plans import grid_plan
from tests.benchmarks.ratio import Row, race

SIZE = (1280, 800)
FRAME_MS = 16.0
RADIUS_MM = 150.0


class Bare(QWidget):
    """Piers and nothing else, repainted whole for every frame."""

    def __init__(self, plan: Plan, scale: float, middle: tuple[float, float]) -> None:
        super().__init__()
        self.resize(*SIZE)
        places = np.array([p.at for p in plan.piers])
        self._x = (places[:, 0] - middle[0]) * scale + SIZE[0] / 2
        self._y = -(places[:, 1] - middle[1]) * scale + SIZE[1] / 2
        self._names = [QStaticText(p.label) for p in plan.piers]
        self._radius = RADIUS_MM * scale
        self._symbol = self._painted()
        self.shift = 0.0
        self.show()

    def _painted(self) -> QPixmap:
        half = int(self._radius) + 3
        symbol = QPixmap(2 * half, 2 * half)
        symbol.fill(Qt.GlobalColor.transparent)
        painter = QPainter(symbol)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(LIGHT.ink), 2.0))
        painter.setBrush(QColor(LIGHT.paper))
        painter.drawEllipse(QPointF(half, half), self._radius, self._radius)
        painter.drawLine(QPointF(half - 4, half), QPointF(half + 4, half))
        painter.drawLine(QPointF(half, half - 4), QPointF(half, half + 4))
        painter.end()
        return symbol

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """Paint everything in the picture."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), QColor(LIGHT.paper))
        x, y = self._x + self.shift, self._y
        seen = np.nonzero((x > -60) & (x < SIZE[0] + 60) & (y > -60) & (y < SIZE[1] + 60))[0]
        if self._radius < 3:
            painter.setPen(QPen(QColor(LIGHT.ink), max(2.0, 2 * self._radius)))
            painter.drawPointsNp(x[seen], y[seen])  # type: ignore[arg-type]  # the stub says sequences
        else:
            half = self._symbol.width() / 2
            for k in seen.tolist():
                painter.drawPixmap(round(x[k] - half), round(y[k] - half), self._symbol)
            if len(seen) <= 700:
                painter.setPen(QColor(LIGHT.ink))
                for k in seen.tolist():
                    painter.drawStaticText(QPointF(x[k] + 12, y[k] - 24), self._names[k])
        painter.end()


def _sheet(plan: Plan) -> tuple[SheetView, Document]:
    document = Document(plan)
    sheet = SheetView(document, ViewState(), LIGHT)
    sheet.resize(*SIZE)
    sheet.show()
    for _ in range(4):
        QApplication.processEvents()
    return sheet, document


def _panning(sheet: SheetView) -> Callable[[], object]:
    """Return one frame of panning: far enough and back, so that what is painted ahead is used up and renewed."""
    sheet._start_pan(QPointF(0, 0))
    steps = cycle([7.0] * 100 + [-7.0] * 100)

    def frame() -> None:
        sheet._look(sheet.camera.panned(next(steps), 0.0))
        sheet.repaint()

    return frame


def _bare_panning(bare: Bare) -> Callable[[], object]:
    steps = cycle([7.0] * 100 + [-7.0] * 100)

    def frame() -> None:
        bare.shift += next(steps)
        bare.repaint()

    return frame


def _editing(sheet: SheetView, document: Document) -> Callable[[], object]:
    there_and_back = cycle(((250.0, 0.0), (-250.0, 0.0)))

    def edit() -> None:
        document.apply("Move P217", partial(edits.move, ids=["P217"], by=next(there_and_back)))
        sheet.repaint()

    return edit


def rows() -> list[Row]:
    """Return panning at three sizes, all in the picture and a part of it, and editing at 500 piers."""
    application = QApplication.instance() or QApplication(["layoutdesk"])
    assert application is not None
    load_type()
    found = []
    for count in (100, 1_000, 10_000):
        plan = grid_plan(count)
        for part, zoom in (("all in the picture", 1.0), ("a part of it", 4.0)):
            sheet, _ = _sheet(plan)
            sheet.zoom_by(zoom)
            bare = Bare(plan, sheet.camera.scale, sheet.camera.centre)
            QApplication.processEvents()
            alone, ours = race(_bare_panning(bare), _panning(sheet), at_least=0.4)
            target = 2.0 if zoom == 1.0 else 3.0
            found.append(Row(f"pan frame, {part}", f"{count} piers", "symbols alone", alone, ours, target))
            sheet.close()
            bare.close()
    for part, zoom in (("all in the picture", 1.0), ("a part of it", 3.0)):
        sheet, document = _sheet(grid_plan(500))
        sheet.zoom_by(zoom)
        QApplication.processEvents()
        (ours,) = race(_editing(sheet, document))
        found.append(Row(f"edit → sheet, {part}", "500 piers", "one frame", FRAME_MS, ours, 1.0))
        sheet.close()
    return found
