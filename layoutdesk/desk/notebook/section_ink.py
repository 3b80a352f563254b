"""Paints a section to scale: ground, concrete, tube, what is cast in, steel, and the dimensions of its cover."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from layoutdesk.desk.notebook.section_scale import SectionScale
from layoutdesk.desk.notebook.section_words import beside
from layoutdesk.desk.theme import Theme, colour

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Section

_HATCH: Final = 9.0
"""Pixels between the strokes of the ground."""
_MOST: Final = 400
"""So many bars or hoops are drawn."""
_LEAST: Final = 1.4
_JOIN: Final = Qt.PenJoinStyle.RoundJoin


class SectionInk:
    """A painter with the scale and the colours of one drawing."""

    def __init__(self, painter: QPainter, theme: Theme, scale: SectionScale, section: Section) -> None:
        self._p, self._theme, self._at, self._section = painter, theme, scale, section

    def _point(self, across: float, depth: float) -> QPointF:
        return QPointF(self._at.x(across), self._at.y(depth))

    def ground(self, room: QRectF) -> None:
        """Fill and hatch the ground, and draw its line; a pit where the pier's top lies below it."""
        p, theme, y = self._p, self._theme, self._at.ground
        soil = QRectF(room.left(), y, room.width(), max(0.0, room.bottom() - y))
        p.save()
        p.setClipRect(soil)
        p.fillRect(soil, QColor(theme.house))
        p.setPen(QPen(colour(theme.hatch, 0.55), 1))
        x = soil.left() - soil.height()
        while x < soil.right():
            p.drawLine(QLineF(x, soil.bottom(), x + soil.height(), soil.top()))
            x += _HATCH
        p.restore()
        if self._section.top > 0 and self._section.parts:
            half = self._section.parts[0].upper / 2
            p.fillRect(QRectF(self._point(-half, 0), self._point(half, self._section.top)), QColor(theme.field))
        p.setPen(QPen(QColor(theme.ink), 1.8))
        p.drawLine(QLineF(room.left(), y, room.right(), y))

    def concrete(self, edge: QColor) -> None:
        """Fill the concrete and draw its outline."""
        section, theme = self._section, self._theme
        ends = [end for part in section.parts for end in ((part.top, part.upper), (part.bottom, part.lower))]
        sides = [self._point(-width / 2, depth) for depth, width in ends]
        sides += [self._point(width / 2, depth) for depth, width in reversed(ends)]
        self._p.setPen(QPen(edge, 2, j=_JOIN))
        self._p.setBrush(QColor(theme.hatch if theme.dark else theme.slab))
        self._p.drawPolygon(QPolygonF(sides))
        self._p.setPen(QPen(colour(theme.soft, 0.7), 1, Qt.PenStyle.DashLine))
        for above, below in zip(section.parts, section.parts[1:], strict=False):
            if above.shape != below.shape:
                half = min(above.lower, below.upper) / 2
                self._p.drawLine(self._point(-half, below.top), self._point(half, below.top))

    def tube(self) -> None:
        """Draw the wall of the form tube at both sides."""
        if self._section.tube is None or not self._section.parts:
            return
        half, (top, bottom) = self._section.parts[0].upper / 2, self._section.tube
        self._p.setPen(QPen(QColor(self._theme.ink), 4, c=Qt.PenCapStyle.FlatCap))
        for side in (-1, 1):
            self._p.drawLine(self._point(side * half, top), self._point(side * half, bottom))

    def cast_in(self, high: float) -> None:
        """Draw a post with its grain, or a column base; ``high`` is how high up the drawing goes."""
        if self._section.cast_in is None:
            return
        p, theme = self._p, self._theme
        top, foot, width, kind = self._section.cast_in
        half = width / 2
        p.setPen(QPen(QColor(theme.ink), 1.5, j=_JOIN))
        if kind == "post":
            p.setBrush(QColor(theme.paper))
            p.drawRect(QRectF(self._point(-half, high), self._point(half, foot)))
            p.setPen(QPen(QColor(theme.soft), 1))
            for share in (-0.5, 0.0, 0.5):
                p.drawLine(self._point(half * share, high), self._point(half * share, foot))
            return
        wall = max(1.0, min(half * 0.3, 8.0 / self._at.scale))
        shape = QPainterPath()
        shape.addPolygon(
            QPolygonF(
                [
                    self._point(-half, top),
                    self._point(half, top),
                    self._point(wall, top + min(wall, foot - top)),
                    self._point(wall, foot),
                    self._point(-wall, foot),
                    self._point(-wall, top + min(wall, foot - top)),
                ]
            )
        )
        shape.closeSubpath()
        p.setBrush(QColor(theme.field))
        p.drawPath(shape)

    def steel(self) -> None:
        """Draw hoops and bars, as thick as they are but never too thin to see."""
        p, section, theme = self._p, self._section, self._theme
        half = (section.hoop_width - section.hoop_diameter) / 2
        thick = max(_LEAST, section.hoop_diameter * self._at.scale)
        p.setPen(QPen(colour(theme.ink, 0.62), thick, c=Qt.PenCapStyle.FlatCap))
        for depth in section.hoops[:_MOST]:
            p.drawLine(self._point(-half, depth), self._point(half, depth))
        for bar in section.bars[:_MOST]:
            thick = max(_LEAST, bar.diameter * self._at.scale)
            p.setPen(QPen(QColor(theme.ink), thick, c=Qt.PenCapStyle.FlatCap, j=_JOIN))
            way = [self._point(bar.across, bar.top), self._point(bar.across, bar.bottom)]
            if bar.hook:
                way.append(self._point(bar.across + bar.hook, bar.bottom))
            p.drawPolyline(QPolygonF(way))

    def covers(self) -> None:
        """Draw the three dimensions of the cover where they are measured."""
        section = self._section
        if section.cover is None or not section.bars:
            return
        outer = max(section.bars, key=lambda bar: bar.across)
        edge = max(section.hoop_width / 2, outer.across + outer.diameter / 2)
        depth = beside(section)
        self._between((edge, depth), (edge + section.cover[0], depth))
        if outer.top > section.top:
            self._between((outer.across, section.top), (outer.across, outer.top))
        self._between((outer.across, outer.bottom), (outer.across, section.bottom))

    def _between(self, one: tuple[float, float], other: tuple[float, float]) -> None:
        """Draw a dimension between two places, with a stroke across each end."""
        a, b = self._point(*one), self._point(*other)
        self._p.setPen(QPen(QColor(self._theme.check), 1.6))
        self._p.drawLine(a, b)
        across = QPointF(0, 4) if one[1] == other[1] else QPointF(4, 0)
        for end in (a, b):
            self._p.drawLine(end - across, end + across)

    def axis(self, high: float, low: float) -> None:
        """Draw the axis of the pier."""
        pen = QPen(colour(self._theme.soft, 0.8), 1)
        pen.setDashPattern([9, 4, 2, 4])
        self._p.setPen(pen)
        self._p.drawLine(QPointF(self._at.middle, high), QPointF(self._at.middle, low))
