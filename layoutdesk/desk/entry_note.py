"""The hint of the entry line, and in its place the sentence about a value that cannot be read."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.theme import FAMILY, Theme, colour


class EntryNote(QWidget):
    """The hint, or in its place the sentence about a value that cannot be read, with a mark before it."""

    def __init__(self) -> None:
        super().__init__()
        self._hint = self.sentence = ""
        self._theme: Theme | None = None
        self._pixels = 14
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Expanding)

    def dress(self, theme: Theme, pixels: int) -> None:
        """Change colours and size."""
        self._theme, self._pixels = theme, pixels
        self.update()

    def set_hint(self, hint: str) -> None:
        """Say what to do next."""
        if hint != self._hint:
            self._hint = hint
            self._tell()

    def set_sentence(self, sentence: str) -> None:
        """Say what is wrong; nothing brings the hint again."""
        if sentence != self.sentence:
            self.sentence = sentence
            self._tell()

    def _tell(self) -> None:
        text = self.sentence or self._hint
        self.setAccessibleName(text or "Hint")
        self.setToolTip(text)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the text anew."""
        super().resizeEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the hint, or a cross and the sentence, on as many lines as there is room for."""
        if self._theme is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = self.font()
        font.setFamily(FAMILY)
        font.setPixelSize(self._pixels)
        left = 2.0
        if self.sentence:
            font.setWeight(font.Weight.DemiBold)
            middle = self.height() / 2
            painter.setBrush(colour(self._theme.wrong))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawEllipse(QRectF(2, middle - 8, 16, 16))
            pen = painter.pen()
            pen.setColor(colour(self._theme.panel))
            pen.setStyle(Qt.PenStyle.SolidLine)
            pen.setWidthF(2)
            painter.setPen(pen)
            painter.drawLine(7, round(middle - 3), 13, round(middle + 3))
            painter.drawLine(13, round(middle - 3), 7, round(middle + 3))
            left = 26.0
        painter.setFont(font)
        painter.setPen(colour(self._theme.wrong if self.sentence else self._theme.soft))
        space = QRectF(left, 0, self.width() - left, self.height())
        flags = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
        text, metrics = self.sentence or self._hint, QFontMetricsF(font)
        if metrics.boundingRect(QRectF(0, 0, space.width(), 1e4), flags, text).height() > 2.4 * metrics.height():
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, space.width() * 1.7)
        if space.width() > 60:
            painter.drawText(space, flags, text)
        painter.end()
        event.accept()
