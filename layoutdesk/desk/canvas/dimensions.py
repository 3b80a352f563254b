"""Dimensions on the sheet, and where each of them can be caught to retype it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import groupby

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QTransform

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, halfway, pen, stroke, upright
from layoutdesk.engine.layout import Dimension
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import distance, left, minus, plus, times, unit
from layoutdesk.gestures.kept import Kept

TEXT_PX = 13
_TICK = 4.0
_GAP = 4.0
_MOST = 500
_APART_PX = 600.0
_CLEAR_PX = 9.0
LEAST_PX = 5.0
"""A dimension shorter than this on the screen is not drawn."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A dimension as it lies on the screen: its line, the middle and turn of its text, and the text.

    ``text`` is empty where there is no room for it; ``group`` are all the equal dimensions that it speaks for
    when it speaks for more than its own.
    """

    dimension: Dimension
    start: QPointF
    end: QPointF
    foot: QPointF
    toe: QPointF
    middle: QPointF
    turn: float
    text: str
    width: float
    height: float
    group: tuple[Dimension, ...] = ()

    def holds(self, at: QPointF) -> bool:
        """Return whether a pixel is on the text."""
        if not self.text:
            return False
        turned = QTransform().rotate(-self.turn).map(at - self.middle)
        return abs(turned.x()) <= self.width / 2 + 3 and abs(turned.y()) <= self.height / 2 + 3


def _placed(scene: Scene) -> list[Placed]:
    if scene.layout is None or scene.leveling:
        return []
    found: list[Placed] = []
    in_sight = 0
    sight = scene.area.adjusted(-60, -60, 60, 60)
    nearest = 12.0 / scene.camera.scale
    for dimension in scene.layout.dimensions:
        if distance(dimension.start, dimension.end) <= max(SAME_MM, LEAST_PX / scene.camera.scale):
            continue
        if abs(dimension.shift) > SAME_MM and abs(dimension.shift) < nearest:
            continue
        one = _place(scene, dimension)
        found.append(one)
        in_sight += sight.intersects(_box(one.start, one.end))
        if in_sight >= _MOST:
            break
    return [one for one in _gathered(scene, found) if sight.intersects(_box(one.start, one.end))]


placed_dimensions = Kept(_placed)
"""Return the dimensions that are in the picture and long enough to show, as they lie on the screen."""


def _place(scene: Scene, dimension: Dimension) -> Placed:
    camera = scene.camera
    aside = times(left(unit(minus(dimension.end, dimension.start))), dimension.shift)
    start, end = camera.to_screen(plus(dimension.start, aside)), camera.to_screen(plus(dimension.end, aside))
    line = QLineF(start, end)
    text = scene.length(dimension.value)
    size = scene.lettering.laid_out(text, TEXT_PX, "bold").size()
    turn = upright(math.degrees(math.atan2(line.dy(), line.dx())))
    middle, width = (start + end) / 2, size.width()
    if width + 2 * _GAP + 8 > line.length():
        middle += _lifted(scene, dimension, turn, size.height())
        if width + 4 > line.length():
            text, width = "", 0.0
    foot, toe = camera.to_screen(dimension.start), camera.to_screen(dimension.end)
    return Placed(dimension, start, end, foot, toe, middle, turn, text, width, size.height())


def _lifted(scene: Scene, dimension: Dimension, turn: float, height: float) -> QPointF:
    """Return the way from the middle of a dimension line to the middle of a text that stands over it.

    Where the line stands too near to what it measures for that, the text stands on the line itself.
    """
    if SAME_MM < abs(dimension.shift) < (height + _CLEAR_PX) / scene.camera.scale:
        return QPointF(0, 0)
    return QTransform().rotate(turn).map(QPointF(0, -height / 2 - 3))


def _gathered(scene: Scene, placed: list[Placed]) -> list[Placed]:
    """Say equal spacings that are too short for their figures once, in the middle: ``39 @ 8′ 2 1/2″``.

    A chain counts whole, also where part of it is out of sight; a very long one says it again every so often.
    A short one alone carries its figure over the line; what has no room even so waits until one looks closer.
    """
    done: list[Placed] = []
    for (plain, shown, *_), run in groupby(placed, key=_chain(scene)):
        members = list(run)
        if plain:
            done += members
            continue
        if len(members) == 1:
            done += _alone(scene, members[0])
            continue
        text = f"{len(members)} @ {shown}"
        size = scene.lettering.laid_out(text, TEXT_PX, "bold").size()
        first, last = members[0], members[-1]
        length = QLineF(first.start, last.end).length()
        if size.width() + 4 > length:
            continue
        group = tuple([one.dimension for one in members])
        apart = math.ceil(_APART_PX * len(members) / length)
        half = len(members) // 2
        for k in range(half % apart, len(members), apart) if apart < half else (half,):
            one = members[k]
            on_line = (one.start + one.end if apart < half else first.start + last.end) / 2
            middle = on_line + _lifted(scene, one.dimension, first.turn, size.height())
            members[k] = replace(one, middle=middle, text=text, width=size.width(), group=group)
        done += members
    return done


def _alone(scene: Scene, one: Placed) -> list[Placed]:
    """Return a short dimension with its figure over the line, when it reaches little beyond its ends."""
    text = scene.length(one.dimension.value)
    wide = scene.lettering.width(text, TEXT_PX, "bold")
    lifted = one.middle != (one.start + one.end) / 2
    if wide > QLineF(one.start, one.end).length() + (16 if lifted else -8):
        return []
    return [replace(one, text=text, width=wide)]


def _chain(scene: Scene) -> Callable[[Placed], tuple[bool, str, str, int]]:
    """Return what tells chains apart: whether a figure is shown, what it says and sets, and a count of breaks."""
    before: list[Placed] = []
    breaks = 0

    def key(one: Placed) -> tuple[bool, str, str, int]:
        nonlocal breaks
        if before and QLineF(before[-1].end, one.start).length() > 1.5:
            breaks += 1
        before[:] = [one]
        return bool(one.text), scene.length(one.dimension.value), one.dimension.sets, breaks

    return key


def _box(a: QPointF, b: QPointF) -> QRectF:
    return QRectF(a, b).normalized().adjusted(-1, -1, 1, 1)


def paint_dimensions(painter: QPainter, scene: Scene, placed: list[Placed]) -> None:
    """Paint every dimension: thin lines out to it, ticks at its ends, and the length in a gap of its line."""
    theme = scene.theme
    lines: list[QLineF] = []
    thin: list[QLineF] = []
    ticks: list[QLineF] = []
    for one in placed:
        line = QLineF(one.start, one.end)
        x, y = line.dx() / line.length(), line.dy() / line.length()
        lines.append(line)
        for at, comes in ((one.start, one.foot), (one.end, one.toe)):
            out = QLineF(comes, at)
            if out.length() > 14:
                ux, uy = out.dx() / out.length(), out.dy() / out.length()
                thin.append(QLineF(comes + QPointF(ux * 5, uy * 5), at + QPointF(ux * 5, uy * 5)))
            slant = QPointF((x + y) * _TICK, (y - x) * _TICK)
            ticks.append(QLineF(at - slant, at + slant))
    stroke(painter, pen(halfway(theme.soft, theme.paper), 1.0))
    painter.drawLines(thin)
    stroke(painter, pen(theme.ink, 1.1))
    painter.drawLines(lines)
    stroke(painter, pen(theme.ink, 1.6))
    painter.drawLines(ticks)
    for one in placed:
        if not one.text:
            continue
        painter.save()
        painter.translate(one.middle)
        painter.rotate(one.turn)
        fill(painter, theme.paper)
        painter.drawRect(QRectF(-one.width / 2 - _GAP, -one.height / 2, one.width + 2 * _GAP, one.height))
        scene.lettering.write(painter, QPointF(0, 0), one.text, TEXT_PX, theme.ink, weight="bold", anchor="middle")
        painter.restore()
