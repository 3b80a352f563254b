"""How a drawing that came in is painted: thin and grey, and in ink what becomes something."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPixmap, QPolygonF

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.strokes import dot_tile, fill, halfway, pen, stroke, tiled, upright
from layoutdesk.desk.incoming.things import Things
from layoutdesk.desk.theme import FAMILY, Theme, colour
from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Drawn
    from layoutdesk.importers.proposal import Candidate

SMOOTH: Final = 15_000
"""More lines than this are drawn without smoothing, which takes several times longer."""
LEAST_TEXT_PX: Final = 5.0
MOST_TEXTS: Final = 1200
MOST_MARKS: Final = 600
MOST_GLOWING: Final = 1500
"""More picked things than this are drawn in thin lines, once for each look."""
SMALLEST_PX: Final = 0.7
"""What is smaller on the screen than this is left out of the grey."""
LONGEST_DASHED_PX: Final = 20_000.0
"""A longer line is drawn without dashes, of which there would be no end."""
LEAST_PIER_PX: Final = 4.0
_CAPITALS: Final = 0.72
"""How high capitals are, as a share of the type's size."""
_TYPE_PX: Final = 32


@dataclass(frozen=True, slots=True)
class View:
    """What is painted: the things, how they are looked at, in which colours, at how many pixels a point."""

    things: Things
    camera: Camera
    theme: Theme
    area: QRectF
    sharpness: float = 1.0
    text_scale: float = 1.0
    many: frozenset[int] = frozenset()
    """What is picked when that is too much to glow."""

    @property
    def box(self) -> tuple[Vector, Vector]:
        """Return the corners of the ground that is seen."""
        a = self.camera.to_plan(self.area.left(), self.area.bottom())
        b = self.camera.to_plan(self.area.right(), self.area.top())
        return (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))


def paint_drawing(painter: QPainter, view: View) -> None:
    """Paint everything that stands still: paper, grey lines and texts, and what becomes something."""
    painter.fillRect(view.area, colour(view.theme.paper))
    _areas(painter, view)
    _grey(painter, view)
    _texts(painter, view)
    _inked(painter, view)
    if view.many:
        _many(painter, view)


def _many(painter: QPainter, view: View) -> None:
    """Paint very many picked things in thin lines."""
    things = view.things
    picked = np.zeros(len(things.candidates) + 1, dtype=bool)
    picked[list(view.many)] = True
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    stroke(painter, pen(view.theme.work, 1.0))
    for lines, chosen in (
        (things.lines, picked[things.owner]),
        (things.runs, picked[:-1] & ~things.has_shapes),
    ):
        size = (lines.high - lines.low).max(axis=1, initial=0.0) * view.camera.scale
        painter.drawPath(
            lines.path(chosen & lines.within(*view.box) & (size >= SMALLEST_PX), *view.camera.columns(lines.xy))
        )
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _grey(painter: QPainter, view: View) -> None:
    things, theme = view.things, view.theme
    lines, off = things.lines, things.geometry.off
    if not len(lines.count):
        return
    size = (lines.high - lines.low).max(axis=1) * view.camera.scale
    seen = lines.within(*view.box) & (size >= SMALLEST_PX)
    x, y = view.camera.columns(lines.xy)
    grey = halfway(theme.soft, theme.paper)
    dashed = things.geometry.dashed & (size <= LONGEST_DASHED_PX)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, int(seen.sum()) <= SMOOTH)
    for chosen, made in (
        (seen & ~off & ~dashed, pen(grey, 1.0)),
        (seen & ~off & dashed, pen(grey, 1.0, (6, 4))),
        (seen & off, pen(theme.faint, 1.0)),
    ):
        if chosen.any():
            stroke(painter, made)
            painter.drawPath(lines.path(chosen, x, y))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _texts(painter: QPainter, view: View) -> None:
    linework = view.things.geometry.linework
    if linework is None:
        return
    things, camera = view.things, view.camera
    (x0, y0), (x1, y1) = view.box
    painter.setPen(colour(halfway(view.theme.soft, view.theme.ink)))
    off, drawn = frozenset(linework.frozen), 0
    for k, words in enumerate(linework.words):
        high = words.height * things.scale * camera.scale
        x, y = things.ground(words.at)
        if high < LEAST_TEXT_PX or words.layer in off or k in things.told_again:
            continue
        wide = words.width * things.scale
        if x + wide < x0 or x - wide > x1 or y + wide < y0 or y - wide > y1:
            continue
        _text(painter, camera.to_screen((x, y)), words.text, high=high, turn=-words.turn, wide=wide * camera.scale)
        drawn += 1
        if drawn >= MOST_TEXTS:
            break
    _dimensions(painter, view, linework.drawn)


def _dimensions(painter: QPainter, view: View, drawn: tuple[Drawn, ...]) -> None:
    """Paint dimensions: from their ends to their line, the line with a slash at its ends, and what they say."""
    soft = halfway(view.theme.soft, view.theme.paper)
    high = max(8.5, 9.5 * view.text_scale)
    shown = 0
    for dimension in drawn:
        if dimension.kind in {"angle", "ordinate"} or shown >= MOST_TEXTS:
            continue
        ends = [view.things.ground(p) for p in (dimension.start, dimension.end)]
        line = _dimension_line(view.things, dimension, ends)
        a, b = (view.camera.to_screen(p) for p in line)
        if not QRectF(a, b).normalized().adjusted(-2, -2, 2, 2).intersects(view.area):
            continue
        shown += 1
        stroke(painter, pen(soft, 1.0))
        for end, foot in zip(ends, (a, b), strict=True):
            painter.drawLine(view.camera.to_screen(end), foot)
        painter.drawLine(a, b)
        for foot in (a, b):
            painter.drawLine(foot + QPointF(-3.5, 3.5), foot + QPointF(3.5, -3.5))
        long = ((b.x() - a.x()) ** 2 + (b.y() - a.y()) ** 2) ** 0.5
        if long > 26 and dimension.text:
            at = view.camera.to_screen(view.things.ground(dimension.middle)) if dimension.middle else (a + b) / 2
            painter.setPen(colour(halfway(view.theme.soft, view.theme.ink)))
            turn = _slope(a, b)
            _centred(painter, at, dimension.text, high=high, turn=turn, room=long - 6, paper=view.theme.paper)


def _dimension_line(things: Things, dimension: Drawn, ends: list[Vector]) -> tuple[Vector, Vector]:
    """Return the two ends of a dimension's line on the ground."""
    if dimension.line_at is None or dimension.kind in {"diameter", "radius"}:
        return ends[0], ends[1]
    at = things.ground(dimension.line_at)
    if dimension.along is None:
        way = (ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])
    else:
        turn = np.radians(dimension.along)
        way = (float(np.cos(turn)), float(np.sin(turn)))
    size = way[0] ** 2 + way[1] ** 2
    if size <= 0:
        return ends[0], ends[1]

    def foot(p: Vector) -> Vector:
        share = ((p[0] - at[0]) * way[0] + (p[1] - at[1]) * way[1]) / size
        return at[0] + way[0] * share, at[1] + way[1] * share

    return foot(ends[0]), foot(ends[1])


def _slope(a: QPointF, b: QPointF) -> float:
    return upright(float(np.degrees(np.arctan2(b.y() - a.y(), b.x() - a.x()))))


@lru_cache(maxsize=2)
def _type(weight: QFont.Weight) -> tuple[QFont, QFontMetricsF]:
    font = QFont(FAMILY)
    font.setPixelSize(_TYPE_PX)
    font.setWeight(weight)
    return font, QFontMetricsF(font)


def _text(painter: QPainter, at: QPointF, text: str, *, high: float, turn: float, wide: float) -> None:
    """Write a text whose capitals are so many pixels high, from its left foot; ``turn`` is clockwise."""
    font, metrics = _type(QFont.Weight.Normal)
    by = high / (_CAPITALS * _TYPE_PX)
    natural = metrics.horizontalAdvance(text) * by
    squeeze = min(1.4, max(0.6, wide / natural)) if wide > 0 and natural > 0 else 1.0
    painter.save()
    painter.translate(at)
    painter.rotate(turn)
    painter.scale(by * squeeze, by)
    painter.setFont(font)
    painter.drawText(QPointF(0, 0), text)
    painter.restore()


def _centred(
    painter: QPainter, at: QPointF, text: str, *, high: float, turn: float, room: float, paper: str
) -> None:
    """Write a text round a place on a bit of paper, smaller where there is less room; ``high`` is of its type."""
    font, metrics = _type(QFont.Weight.DemiBold)
    natural = metrics.horizontalAdvance(text)
    by = high / _TYPE_PX * 1.25
    by = min(by, max(room / max(natural, 1.0), by * 0.62))
    painter.save()
    painter.translate(at)
    painter.rotate(turn)
    painter.scale(by, by)
    box = QRectF(-natural / 2 - 5, -metrics.height() / 2, natural + 10, metrics.height())
    painter.fillRect(box, colour(paper))
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()


@lru_cache(maxsize=8)
def _tile(name: str, sharpness: float) -> QPixmap:
    return dot_tile(name, sharpness)


def _areas(painter: QPainter, view: View) -> None:
    """Paint what lies under the lines: existing concrete, dotted, and keep-outs."""
    theme, anchor = view.theme, view.camera.to_screen((0.0, 0.0))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for candidate in _seen(view, "slab"):
        shape = view.camera.polygon(candidate.run)
        fill(painter, theme.slab)
        painter.drawPolygon(shape)
        tiled(painter, shape, _tile(theme.hatch, view.sharpness), anchor, view.area)
        stroke(painter, pen(theme.soft, 1.6, (2, 3)))
        painter.drawPolygon(shape)
    for candidate in _seen(view, "keep-out"):
        tree = candidate.mark == "tree"
        shape = view.camera.polygon(candidate.run)
        fill(painter, theme.growth if tree else theme.look_wash)
        painter.drawPolygon(shape)
        stroke(painter, pen(theme.holds if tree else theme.look, 1.6, (5, 4)))
        painter.drawPolygon(shape)


def _seen(view: View, kind: str) -> list[Candidate]:
    indices = view.things.becoming.get(kind)
    if indices is None:
        return []
    kept = view.things.runs.within(*view.box)[indices]
    return [view.things.candidates[int(k)] for k in indices[kept]]


def _inked(painter: QPainter, view: View) -> None:
    theme, camera = view.theme, view.camera
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for candidate in _seen(view, "wall"):
        edge = pen(theme.ink, 3.4)
        edge.setCapStyle(Qt.PenCapStyle.SquareCap)
        stroke(painter, edge)
        painter.drawPolyline(_run(camera, candidate))
    for candidate in _seen(view, "beam line"):
        stroke(painter, pen(theme.check, 2.4, (11, 6)))
        painter.drawPolyline(_run(camera, candidate))
    paint_points(painter, view)


def paint_points(painter: QPainter, view: View) -> None:
    """Paint piers with their marks, attachments, control points and spots."""
    theme, camera = view.theme, view.camera
    piers = _seen(view, "pier")
    for candidate in piers:
        _pier(painter, view, candidate)
    for candidate in _seen(view, "attachment"):
        at = camera.to_screen(candidate.centre)
        painter.setBrush(colour(theme.paper))
        painter.setPen(pen(theme.work, 2.2))
        painter.drawRect(QRectF(at.x() - 5, at.y() - 5, 10, 10))
    for candidate in _seen(view, "control point"):
        _triangle(painter, camera.to_screen(candidate.centre), theme.ink)
    stroke(painter, pen(theme.ink, 1.8))
    for candidate in _seen(view, "spot"):
        at = camera.to_screen(candidate.centre)
        for rise in (-4.5, 4.5):
            painter.drawLine(at + QPointF(-4.5, rise), at - QPointF(-4.5, rise))
    if len(piers) <= MOST_MARKS:
        taken: list[QRectF] = []
        for candidate in piers:
            _mark(painter, view, candidate, taken)


def _run(camera: Camera, candidate: Candidate) -> QPolygonF:
    return camera.polygon((*candidate.run, candidate.run[0]) if candidate.closed else candidate.run)


def pier_radius(camera: Camera, candidate: Candidate) -> float:
    """Return how large a pier is drawn, in pixels."""
    return max(LEAST_PIER_PX, candidate.size * camera.scale / 2)


def _pier(painter: QPainter, view: View, candidate: Candidate) -> None:
    at, r = view.camera.to_screen(candidate.centre), pier_radius(view.camera, candidate)
    painter.setBrush(colour(view.theme.glow))
    painter.setPen(pen(view.theme.ink, 2.1))
    if candidate.square:
        if candidate.run:
            painter.drawPolygon(view.camera.polygon(candidate.run))
        else:
            painter.drawRect(QRectF(at.x() - r, at.y() - r, 2 * r, 2 * r))
    else:
        painter.drawEllipse(at, r, r)
    arm = min(r * 0.5, 9.0)
    painter.setPen(pen(view.theme.ink, 1.4))
    painter.drawLine(at - QPointF(arm, 0), at + QPointF(arm, 0))
    painter.drawLine(at - QPointF(0, arm), at + QPointF(0, arm))


def _mark(painter: QPainter, view: View, candidate: Candidate, taken: list[QRectF]) -> None:
    """Write a pier's mark beside it, up and to the right, where no other mark stands yet."""
    if not candidate.mark:
        return
    r = pier_radius(view.camera, candidate)
    if r <= LEAST_PIER_PX and view.camera.scale * 1000 < 6:
        return
    high = 11.5 * view.text_scale
    wide = QFontMetricsF(_type(QFont.Weight.DemiBold)[0]).horizontalAdvance(candidate.mark)
    wide *= high * 1.25 / _TYPE_PX
    at = view.camera.to_screen(candidate.centre) + QPointF(r * 0.75 + wide / 2 + 4, -r * 0.75 - high * 0.7)
    box = QRectF(at.x() - wide / 2, at.y() - high * 0.6, wide, high * 1.2)
    if any(box.intersects(other) for other in taken):
        return
    taken.append(box)
    painter.setPen(colour(view.theme.ink))
    _centred(painter, at, candidate.mark, high=high, turn=0.0, room=wide * 2, paper=view.theme.paper)


def _triangle(painter: QPainter, at: QPointF, ink: str) -> None:
    fill(painter, ink)
    painter.drawPolygon(QPolygonF([at + QPointF(0, -7), at + QPointF(6, 4.5), at + QPointF(-6, 4.5)]))
