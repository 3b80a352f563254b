"""A PDF that the window's own library paints is read back to its scale: one writer more."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QMarginsF, QPointF, QSizeF, Qt
from PySide6.QtGui import QFont, QPageSize, QPainter, QPdfWriter, QPen
from PySide6.QtWidgets import QApplication

from layoutdesk.desk.theme import FAMILY
from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.pdf import read_pdf
from layoutdesk.importers.scale import guess_scale
from tests.importers.pdf_porch import LETTER, METRIC, PAPER, US, Porch, draw_porch

DOTS = 1200


class PaintedPen:
    """Paints a page through the window's painter, y running down."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._writer = QPdfWriter(str(file))
        self._writer.setPageSize(QPageSize(QSizeF(*PAPER), QPageSize.Unit.Millimeter))
        self._writer.setPageMargins(QMarginsF(0, 0, 0, 0))
        self._writer.setResolution(DOTS)
        self._k = DOTS / 25.4
        self._painter = QPainter(self._writer)
        self._painter.setPen(QPen(Qt.GlobalColor.black, 0.25 * self._k))
        font = QFont(FAMILY)
        font.setPixelSize(round(LETTER * self._k))
        self._painter.setFont(font)

    def _placed(self, p: Vector) -> QPointF:
        return QPointF(p[0] * self._k, (PAPER[1] - p[1]) * self._k)

    def line(self, a: Vector, b: Vector) -> None:
        self._painter.drawLine(self._placed(a), self._placed(b))

    def circle(self, centre: Vector, radius: float) -> None:
        self._painter.drawEllipse(self._placed(centre), radius * self._k, radius * self._k)

    def text(self, at: Vector, text: str, *, upright: bool) -> None:
        self._painter.save()
        self._painter.translate(self._placed(at))
        self._painter.rotate(-90 if upright else 0)
        self._painter.drawText(QPointF(0, 0), text)
        self._painter.restore()

    def file(self) -> bytes:
        self._painter.end()
        return self._file.read_bytes()


@pytest.mark.parametrize(("porch", "scale"), [(US, 32), (US, 48), (US, 96), (METRIC, 50)])
def test_scale_of_a_painted_page_is_found(qapp: QApplication, tmp_path: Path, porch: Porch, scale: float) -> None:
    file = tmp_path / "porch.pdf"
    draw_porch(PaintedPen(file), porch, scale)
    found = read_pdf(file)
    guess = guess_scale(found)
    assert guess.scale == pytest.approx(scale, rel=1e-4)
    assert guess.sure
    assert sum(s.is_circle for s in found.shapes) == len(porch.rows) * (len(porch.gaps) + 1)
