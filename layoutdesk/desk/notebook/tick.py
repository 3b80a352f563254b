"""A box to tick, drawn like the other boxes of the notebook in both dresses."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QCheckBox

_GAP = 8


class Tick(QCheckBox):
    """A small square with or without a tick, and its word; the ring says where the keyboard is."""

    def _side(self) -> int:
        return round(self.fontMetrics().height() * 0.85)

    def sizeHint(self) -> QSize:
        """Return room for the square and the word."""
        high = self.fontMetrics().height() + 4
        return QSize(self._side() + _GAP + self.fontMetrics().horizontalAdvance(self.text()) + 4, high)

    def minimumSizeHint(self) -> QSize:
        """Return the same: the word is never cut."""
        return self.sizeHint()

    def hitButton(self, pos: object) -> bool:
        """Take a press on the word as well as on the square."""
        return self.rect().contains(pos)  # type: ignore[call-overload, no-any-return]

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the square, the tick and the word."""
        painter, colours = QPainter(self), self.palette()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        side = float(self._side())
        box = QRectF(1, (self.height() - side) / 2, side, side)
        role = QPalette.ColorRole
        edge = colours.color(role.Highlight if self.hasFocus() else role.PlaceholderText)
        painter.setPen(QPen(edge, 2.0 if self.hasFocus() else 1.0))
        painter.setBrush(colours.color(role.Base))
        painter.drawRoundedRect(box, 3, 3)
        if self.isChecked():
            painter.setPen(
                QPen(colours.color(role.Text), side / 7, c=Qt.PenCapStyle.RoundCap, j=Qt.PenJoinStyle.RoundJoin)
            )
            places = ((0.22, 0.52), (0.43, 0.73), (0.79, 0.28))
            painter.drawPolyline([QPointF(box.left() + x * side, box.top() + y * side) for x, y in places])
        painter.setPen(colours.color(role.Text if self.isEnabled() else role.PlaceholderText))
        words = QRectF(box.right() + _GAP, 0, self.width() - box.right() - _GAP, self.height())
        painter.drawText(words, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), self.text())
