"""A pier's section, drawn to scale, with its depths at the left, its widths, steel and cover at the right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.profile_hand import Hold, holds_of
from layoutdesk.desk.notebook.section_ink import SectionInk
from layoutdesk.desk.notebook.section_scale import SectionScale, fitted, reach_of, spread
from layoutdesk.desk.notebook.section_words import Callout, depth_words, width_words
from layoutdesk.units import format_volume

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Section
    from layoutdesk.plan.model import Detail

_EDGE: Final = 7.0
_GAP: Final = 7.0
_SOIL: Final = 8.0
"""Ground beside the widest part, in pixels."""
_LEAST: Final = 300.0
_MOST: Final = 440.0
_TALL: Final = 1.05
"""How high a drawing is to its width."""
_SHARE: Final = 0.37
"""The words at a side take no more of the width than this."""
_ROWS: Final = 24
"""So many words stand at one side; where there are more, some between are left out: the boxes have them all."""
HINT: Final = "Drag a point, or Page Down and the arrows"


class SectionView(QWidget):
    """The section of one detail, with its words, and what can be taken hold of."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self._detail: Detail | None = None
        self._section: Section | None = None
        self._text = LengthText("mm", 1.0)
        self._dragged: tuple[Detail, Section] | None = None
        self._held: SectionScale | None = None
        self.here: tuple[str, int] | None = None
        """The hold that is taken with the keys or lies under the mouse."""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        dress.changed.connect(self._fit)

    def show_section(self, detail: Detail | None, section: Section | None, text: LengthText) -> None:
        """Draw a detail by its section."""
        if detail is None or self._detail is None or detail.id != self._detail.id:
            self.here = None
        if detail != self._detail:
            self._dragged = self._held = None
        self._detail, self._section, self._text = detail, section, text
        self.setVisible(section is not None)
        if section is not None and section.parts:
            widest = max(max(part.upper, part.lower) for part in section.parts)
            self.setAccessibleName(
                f"Section of {section.detail}: {text(section.bottom)} deep, {text(widest)} across at its widest"
            )
            self._tell()
        self._fit()
        self.update()

    @property
    def shown(self) -> tuple[Detail, Section] | None:
        """Return what is drawn, that of a drag while there is one."""
        if self._dragged is not None:
            return self._dragged
        return None if self._detail is None or self._section is None else (self._detail, self._section)

    @property
    def dragging(self) -> bool:
        """Return whether a point is being dragged."""
        return self._dragged is not None

    # ---- room

    def _font(self, *, bold: bool = False) -> QFont:
        made = QFont(self.font())
        made.setPointSizeF(self._dress.points(0.86))
        made.setWeight(QFont.Weight.Bold if bold else QFont.Weight.DemiBold)
        return made

    def _words(self) -> tuple[list[Callout], list[Callout]]:
        if self.shown is None:
            return [], []
        detail, section = self.shown
        return few(depth_words(section, self._text)), few(width_words(section, detail, self._text))

    def _gutter(self, words: Sequence[Callout], metrics: QFontMetricsF) -> float:
        wide = max((metrics.horizontalAdvance(callout.text) for callout in words), default=0.0)
        return min(wide + _EDGE + 1.5 * _GAP, self.width() * _SHARE)

    def scale(self) -> SectionScale:
        """Return how the section lies in the drawing.

        What is dragged lies as it did when it was taken, so that nothing jumps; once it would leave the drawing, it
        is drawn smaller.
        """
        assert self.shown is not None
        metrics = QFontMetricsF(self._font())
        left, right = self._words()
        x0, x1 = self._gutter(left, metrics), self.width() - self._gutter(right, metrics)
        reach, top, foot = reach_of(self.shown[1]), 18.0, self._foot(metrics) - 26
        held = self._held
        if (
            held is not None
            and x0 <= held.x(-reach.half)
            and held.x(reach.half) <= x1
            and top - 8 <= held.y(reach.high)
            and held.y(reach.low) <= foot + 10
        ):
            return held
        wide = max(24.0, x1 - x0 - 2 * _SOIL)
        return fitted(reach, x0=x0 + _SOIL, wide=wide, y0=top, tall=max(40.0, foot - top))

    def _foot(self, metrics: QFontMetricsF) -> float:
        """Return where the line of words under the drawing begins."""
        return self.height() - metrics.height() - 10

    def _fit(self) -> None:
        """Take a height that hangs on the width alone, so that nothing under the drawing moves while one types."""
        metrics = QFontMetricsF(self._font())
        rows = max(map(len, self._words()), default=0)
        high = min(_MOST, max(_LEAST, self.width() * _TALL))
        high = max(high, (rows + 1) * (metrics.height() + 1) + 24)
        self.setFixedHeight(round(high + metrics.height() + 10))

    def sizeHint(self) -> QSize:
        """Return a comfortable width and the height that the drawing takes."""
        return QSize(360, self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height of the new width."""
        super().resizeEvent(event)
        self._fit()

    # ---- painting

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the section, its words, and what can be taken hold of."""
        shown = self.shown
        if shown is None or not shown[1].parts:
            return
        p, theme = QPainter(self), self._dress.theme
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        p.setPen(QPen(QColor(theme.work if self.hasFocus() else theme.edge), 2 if self.hasFocus() else 1))
        p.setBrush(QColor(theme.field))
        p.drawRoundedRect(box, 6, 6)
        metrics = QFontMetricsF(self._font())
        at, (detail, section) = self.scale(), shown
        left, right = self._words()
        foot = self._foot(metrics)
        x0, x1 = self._gutter(left, metrics), self.width() - self._gutter(right, metrics)
        ink = SectionInk(p, theme, at, section)
        reach = reach_of(section)
        p.save()
        p.setClipRect(QRectF(x0, 2, x1 - x0, foot - 4))
        ink.ground(QRectF(x0, 2, x1 - x0, foot - 4))
        ink.concrete(QColor(theme.work))
        ink.axis(6, foot - 6)
        ink.steel()
        ink.cast_in(reach.high)
        ink.tube()
        ink.covers()
        p.restore()
        self._callouts(p, left, (x0, foot), at, side=-1)
        self._callouts(p, right, (x1, foot), at, side=1)
        self._holds(p, detail, at)
        self._line_of_words(p, foot, metrics)

    def _callouts(
        self, p: QPainter, words: Sequence[Callout], edge: tuple[float, float], at: SectionScale, *, side: int
    ) -> None:
        """Write words beside the drawing, each with a thin line to its place."""
        theme, (x, foot) = self._dress.theme, edge
        p.setFont(self._font())
        metrics = QFontMetricsF(self._font())
        high = metrics.height() + 1
        middles = spread([at.y(w.depth) for w in words], high, 6 + high / 2, foot - 4 - high / 2)
        for word, y in zip(words, middles, strict=True):
            tone = QColor(getattr(theme, word.ink))
            elbow = QPointF(x, y)
            p.setPen(QPen(QColor(theme.soft if word.ink == "ink" else tone), 0.9))
            p.drawLine(QLineF(QPointF(x + side * (_GAP - 2), y), elbow))
            p.drawLine(QLineF(elbow, QPointF(at.x(word.across), at.y(word.depth))))
            near, far = x + side * (_GAP + 1), self.width() - 6 if side > 0 else 6.0
            room = QRectF(QPointF(min(near, far), y - high / 2), QPointF(max(near, far), y + high / 2))
            text = metrics.elidedText(word.text, Qt.TextElideMode.ElideRight, room.width() + 1)
            p.setPen(tone)
            away = Qt.AlignmentFlag.AlignLeft if side > 0 else Qt.AlignmentFlag.AlignRight
            p.drawText(room, away | Qt.AlignmentFlag.AlignVCenter, text)

    def _holds(self, p: QPainter, detail: Detail, at: SectionScale) -> None:
        theme = self._dress.theme
        for hold in holds_of(detail):
            taken = hold.key == self.here
            radius = 6.5 if taken else 4.0
            p.setPen(QPen(QColor(theme.work), 2))
            p.setBrush(QColor(theme.work if taken else theme.field))
            sides = (-1, 1) if hold.kind == "point" else (1,)
            for side in sides:
                p.drawEllipse(QPointF(at.x(side * hold.across), at.y(hold.depth)), radius, radius)

    def _line_of_words(self, p: QPainter, foot: float, metrics: QFontMetricsF) -> None:
        """Write what is taken hold of and its numbers under the drawing, or how to begin."""
        theme, said = self._dress.theme, self.says
        p.setPen(QPen(QColor(theme.edge), 1))
        p.drawLine(QLineF(2, foot, self.width() - 2, foot))
        p.setFont(self._font(bold=bool(said)))
        p.setPen(QColor(theme.work if self.dragging else theme.ink if said else theme.soft))
        room = QRectF(_EDGE, foot, self.width() - 2 * _EDGE, self.height() - foot)
        words = QFontMetricsF(p.font()).elidedText(said or HINT, Qt.TextElideMode.ElideRight, room.width())
        p.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
        del metrics

    # ---- what is said

    @property
    def says(self) -> str:
        """Return what is taken hold of, with its depth and its width; nothing when nothing is."""
        shown = self.shown
        if shown is None or (hold := self._hold()) is None:
            return ""
        detail, section = shown
        text = self._text
        if hold.kind == "top":
            side = "above" if detail.reveal >= 0 else "below"
            said = f"Pier top: {text.held(abs(detail.reveal))} {side} the ground"
        elif hold.kind == "tube":
            said = f"Tube: down to {text.held(hold.depth)}"
        else:
            name = self._name(hold.index)
            said = f"{name}: {text.held(hold.depth)} deep, {text.held(2 * hold.across)} across"
        holds = self.dragging and section.gross_m3 > 0
        return f"{said} · {format_volume(section.gross_m3, text.units)}" if holds else said

    def _name(self, index: int) -> str:
        assert self._detail is not None
        return "Top" if index == 0 else "Bottom" if index == len(self._detail.profile) - 1 else f"Level {index + 1}"

    def _tell(self) -> None:
        self.setAccessibleDescription(self.says or HINT)

    def _hold(self) -> Hold | None:
        if self.shown is None:
            return None
        return next((hold for hold in holds_of(self.shown[0]) if hold.key == self.here), None)


def few(words: Sequence[Callout]) -> list[Callout]:
    """Return words that have room at one side: all of them, or evenly chosen ones from the first to the last."""
    if len(words) <= _ROWS:
        return list(words)
    return [words[round(k * (len(words) - 1) / (_ROWS - 1))] for k in range(_ROWS)]
