"""Text on the sheet: the program's type at pixel sizes, laid out once and drawn often."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QStaticText, QTransform

from layoutdesk.desk.theme import FAMILY

Anchor = Literal["left", "middle", "right"]
SMALLEST: Final = 9
"""No text on the sheet is smaller than this many pixels."""
_MOST: Final = 20_000
_WEIGHTS: Final = {
    "normal": QFont.Weight.Normal,
    "medium": QFont.Weight.Medium,
    "bold": QFont.Weight.Bold,
}
Weight = Literal["normal", "medium", "bold"]


class Lettering:
    """Fonts by size and weight, and texts that are laid out already.

    ``factor`` makes all text larger or smaller, as the person prefers.
    """

    def __init__(self, factor: float = 1.0) -> None:
        self.factor = factor
        self._fonts: dict[tuple[int, Weight, float], QFont] = {}
        self._texts: dict[tuple[str, int, Weight, float], QStaticText] = {}

    def size(self, pixels: float) -> int:
        """Return a nominal size in pixels as it is drawn."""
        return max(SMALLEST, round(pixels * self.factor))

    def font(self, pixels: float, weight: Weight = "normal", spacing: float = 0.0) -> QFont:
        """Return the type at a nominal size in pixels, with extra space between letters in pixels."""
        key = (self.size(pixels), weight, spacing)
        font = self._fonts.get(key)
        if font is None:
            font = QFont(FAMILY)
            font.setPixelSize(key[0])
            font.setWeight(_WEIGHTS[weight])
            font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
            if spacing:
                font.setLetterSpacing(QFont.SpacingType.AbsoluteSpacing, spacing)
            self._fonts[key] = font
        return font

    def laid_out(self, text: str, pixels: float, weight: Weight = "normal", *, spacing: float = 0.0) -> QStaticText:
        """Return a text ready to draw."""
        key = (text, self.size(pixels), weight, spacing)
        known = self._texts.get(key)
        if known is None:
            if len(self._texts) > _MOST:
                self._texts.clear()
            known = QStaticText(text)
            known.setTextFormat(Qt.TextFormat.PlainText)
            known.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
            known.prepare(QTransform(), self.font(pixels, weight, spacing))
            self._texts[key] = known
        return known

    def width(self, text: str, pixels: float, weight: Weight = "normal") -> float:
        """Return how wide a text is drawn, in pixels."""
        return self.laid_out(text, pixels, weight).size().width()

    def write(
        self,
        painter: QPainter,
        at: QPointF,
        text: str,
        pixels: float,
        colour: QColor | str,
        *,
        weight: Weight = "normal",
        anchor: Anchor = "left",
        spacing: float = 0.0,
    ) -> QRectF:
        """Draw a text whose middle height is at a point, and return the rectangle it takes."""
        laid = self.laid_out(text, pixels, weight, spacing=spacing)
        size = laid.size()
        shift = {"left": 0.0, "middle": size.width() / 2, "right": size.width()}[anchor]
        corner = QPointF(at.x() - shift, at.y() - size.height() / 2)
        painter.setFont(self.font(pixels, weight, spacing))
        painter.setPen(QColor(colour))
        painter.drawStaticText(corner, laid)
        return QRectF(corner, size)
