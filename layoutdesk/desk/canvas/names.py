"""The names of things, each where it hides nothing: marks of piers, points and lines, and what an outline is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from layoutdesk.desk.canvas.crowding import MOST_WEIGHED, NAME_PX, naming_of, spots_round
from layoutdesk.desk.canvas.ground import keepout_colours
from layoutdesk.desk.canvas.lettering import Weight
from layoutdesk.desk.canvas.piers import radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import Vector

MOST_LINES = 60
"""With more beam lines than this their names would only be in the way."""


@dataclass(frozen=True, slots=True)
class _Name:
    """A name to be written: its text, size and colour."""

    text: str
    pixels: float
    colour: str
    weight: Weight = "bold"


class Writer:
    """Writes names and lengths on a picture, each at the freest of a few spots."""

    def __init__(self, painter: QPainter, scene: Scene) -> None:
        self._painter, self._scene = painter, scene
        self._clutter = naming_of(scene).clutter

    def write_names(self) -> None:
        """Write every name there is room for."""
        self._piers()
        theme = self._scene.theme
        for control in self._scene.plan.controls:
            picked = control.id in self._scene.selected
            self._beside(control.at, 9.0, _Name(control.id, 12, theme.work if picked else theme.ink))
        for attachment in self._scene.plan.attachments:
            picked = attachment.id in self._scene.selected
            name = _Name(attachment.id, 11, theme.work if picked else theme.soft, "medium")
            self._beside(attachment.at, 8.0, name)
        self._lines()
        self._outlines()
        self._house()

    def pill(self, spots: Iterable[QPointF], text: str, *, edge: str, ink: str, pixels: float) -> None:
        """Write a text in a rounded box at the freest of some spots."""
        scene, painter = self._scene, self._painter
        size = scene.lettering.laid_out(text, pixels, "bold").size()
        box = self._clutter.freest(_box(spot, size.width() + 18, size.height() + 4) for spot in spots)
        if box is None:
            return
        painter.setBrush(colour(scene.theme.paper))
        painter.setPen(pen(edge, 1.2))
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)
        scene.lettering.write(painter, box.center(), text, pixels, ink, weight="bold", anchor="middle")

    def note(
        self,
        at: QPointF,
        away: float,
        text: str,
        *,
        ink: str,
        pixels: float,
        most: int,
        under: QRectF | None = None,
    ) -> None:
        """Write a text beside a symbol, first under or over its name; not where over ``most`` cells are taken."""
        name = _Name(text, pixels, ink)
        size = self._size(name)
        boxes = list(spots_round(at, away, size))
        if under is not None:
            high = size.height() - 4
            tops = (under.bottom() - 1, under.top() - high + 1)
            boxes[:0] = [QRectF(under.left(), top, size.width(), high) for top in tops]
            boxes[:0] = [QRectF(under.right() + 5, under.center().y() - high / 2, size.width(), high)]
        box = self._clutter.freest(boxes, most=most)
        if box is not None:
            self._write(box.center(), name)

    def load(self, box: QRectF) -> int:
        """Return how much of a rectangle is taken already."""
        return self._clutter.load(box)

    def on_line(self, spots: Iterable[QPointF], text: str, *, ink: str) -> None:
        """Write a text over a thin line at the first free one of some spots, on a patch of paper."""
        name = _Name(text, 10, ink, "medium")
        size = self._size(name)
        box = self._clutter.freest((_box(spot, size.width() + 6, size.height() - 4) for spot in spots), most=2)
        if box is not None:
            fill(self._painter, self._scene.theme.paper)
            self._painter.drawRect(box)
            self._write(box.center(), name)

    def _write(self, middle: QPointF, name: _Name) -> None:
        self._scene.lettering.write(
            self._painter, middle, name.text, name.pixels, name.colour, weight=name.weight, anchor="middle"
        )

    def _size(self, name: _Name) -> QSizeF:
        return self._scene.lettering.laid_out(name.text, name.pixels, name.weight).size()

    def _piers(self) -> None:
        """Write the marks of the piers where they were given room."""
        scene, painter = self._scene, self._painter
        painter.setFont(scene.lettering.font(NAME_PX, "bold"))
        picked, plain = QColor(scene.theme.work), QColor(scene.theme.ink)
        for box, pier in naming_of(scene).names:
            painter.setPen(picked if pier.id in scene.selected else plain)
            painter.drawStaticText(
                box.topLeft() - QPointF(0, 2), scene.lettering.laid_out(pier.label, NAME_PX, "bold")
            )

    def _beside(self, place: Vector, away: float, name: _Name) -> None:
        """Write a name up to the right of a symbol, or else where it is freest round it."""
        at = self._scene.camera.to_screen(place)
        if not self._scene.area.adjusted(-40, -40, 40, 40).contains(at):
            return
        box = self._clutter.freest(spots_round(at, away, self._size(name)))
        if box is not None:
            self._write(box.center(), name)

    def _lines(self) -> None:
        """Write each line's name at its free end: beyond it, or beside it."""
        scene = self._scene
        if len(scene.plan.lines) > MOST_LINES:
            return
        for line in scene.plan.lines:
            end = scene.camera.to_screen(line.end)
            drawn = QLineF(scene.camera.to_screen(line.start), end)
            if drawn.length() < 40 or not scene.area.contains(end):
                continue
            name = _Name(line.id, 11, scene.theme.work, "bold" if line.id in scene.selected else "medium")
            size = self._size(name)
            clear = self._radius_at(line.end)
            box = self._clutter.freest(_along(drawn, size.width(), size.height() - 3, clear))
            if box is not None:
                self._write(box.center(), name)

    def _radius_at(self, place: Vector) -> float:
        """Return the radius of the pier that stands at a place, in pixels; 0 where none does."""
        scene = self._scene
        near = 4.0 / scene.camera.scale
        for pier in scene.plan.piers[:MOST_WEIGHED]:
            if abs(pier.at[0] - place[0]) < near and abs(pier.at[1] - place[1]) < near:
                return max(radii(scene.plan, pier.detail, scene.camera.scale))
        return 0.0

    def _outlines(self) -> None:
        """Write what slabs and keep-outs are, inside them."""
        theme = self._scene.theme
        for keepout in self._scene.plan.keepouts:
            ground, edge = keepout_colours(self._scene, keepout)
            self._inside(keepout.outline, _Name(keepout.kind, 12, edge, "normal"), ground)
        for slab in self._scene.plan.slabs:
            words = f"existing slab {self._scene.length(slab.thickness)}"
            self._inside(slab.outline, _Name(words, 12, theme.soft, "normal"), theme.slab)

    def _inside(self, outline: Sequence[Vector], name: _Name, ground: str) -> None:
        shape = self._scene.camera.polygon(outline).intersected(QPolygonF(self._scene.area))
        if shape.isEmpty():
            return
        size = self._size(name)
        wide, high = size.width() + 10, size.height() + 2
        middle, around = centre_of(shape), shape.boundingRect()
        if around.width() < wide or around.height() < high:
            self._under(around, name)
            return
        spots = [(0.0, 0.0), (0.0, -0.3), (0.0, 0.3), (-0.3, 0.0), (0.3, 0.0), (-0.3, -0.3), (0.3, 0.3)]
        room = QPointF(around.width() - wide, around.height() - high)
        boxes = [_box(middle + QPointF(dx * room.x(), dy * room.y()), wide, high) for dx, dy in spots]
        whole = [b for b in boxes if _holds(shape, b)] or boxes[:1]
        box = self._clutter.freest(whole, most=4)
        if box is None:
            self._under(around, name)
            return
        fill(self._painter, ground)
        self._painter.drawRoundedRect(box, 3, 3)
        self._write(box.center(), name)

    def _under(self, around: QRectF, name: _Name) -> None:
        """Write what a small thing is under it, above it or beside it; from far away not at all."""
        if max(around.width(), around.height()) < 14:
            return
        size = self._size(name)
        wide, high = size.width(), size.height() - 3
        middle, gap = around.center(), 3.0
        box = self._clutter.freest(
            (
                _box(QPointF(middle.x(), around.bottom() + gap + high / 2), wide, high),
                _box(QPointF(middle.x(), around.top() - gap - high / 2), wide, high),
                _box(QPointF(around.right() + gap + 3 + wide / 2, middle.y()), wide, high),
                _box(QPointF(around.left() - gap - 3 - wide / 2, middle.y()), wide, high),
            ),
            most=3,
        )
        if box is not None:
            self._write(box.center(), name)

    def _house(self) -> None:
        """Write HOUSE where the visible part of it is widest, on a patch of its own ground."""
        scene = self._scene
        if scene.layout is None:
            return
        size = scene.lettering.laid_out("HOUSE", 12, "bold", spacing=3.0).size()
        wide, high = size.width() + 14, size.height() + 6
        for outline in scene.layout.house.outlines:
            shape = scene.camera.polygon(outline).intersected(QPolygonF(scene.area.adjusted(4, 4, -4, -4)))
            room = _roomiest(shape)
            if room.width() < wide + 30 or room.height() < high + 2:
                continue
            middles = [
                QPointF(room.left() + share * room.width(), room.center().y())
                for share in (0.5, 0.35, 0.65, 0.2, 0.8)
            ]
            box = self._clutter.freest((_box(m, wide, high) for m in middles), most=0)
            if box is None:
                continue
            fill(self._painter, scene.theme.house)
            self._painter.drawRoundedRect(box, 3, 3)
            at = box.center() + QPointF(1.5, 0)
            ink = scene.theme.soft
            scene.lettering.write(self._painter, at, "HOUSE", 12, ink, weight="bold", anchor="middle", spacing=3.0)


def _box(middle: QPointF, wide: float, high: float) -> QRectF:
    return QRectF(middle.x() - wide / 2, middle.y() - high / 2, wide, high)


def _along(line: QLineF, wide: float, high: float, clear: float) -> Iterator[QRectF]:
    """Yield where a line's name may stand: beside its end, beyond it, or beside it further in.

    ``clear`` is the radius of what stands at the end, in pixels.
    """
    x, y = line.dx() / line.length(), line.dy() / line.length()
    reach = abs(x) * wide / 2 + abs(y) * high / 2 + 5
    aside = abs(y) * wide / 2 + abs(x) * high / 2 + 7
    runs = (clear + reach, -clear - reach - 8, -clear - reach - 26) if clear else (1.0, -9.0, -28.0)
    spots = [(run, hand) for run in runs for hand in (-aside, aside)]
    for run, hand in (*spots[:4], (clear + reach, 0.0), *spots[4:]):
        middle = QPointF(line.x2() + x * run - y * hand, line.y2() + y * run + x * hand)
        yield _box(middle, wide, high)


def centre_of(shape: QPolygonF) -> QPointF:
    """Return the centre of area of an outline; the middle of its box where it has no area."""
    points = [shape.at(k) for k in range(shape.size())]
    area = x = y = 0.0
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        turn = a.x() * b.y() - b.x() * a.y()
        area += turn
        x += (a.x() + b.x()) * turn
        y += (a.y() + b.y()) * turn
    if abs(area) < 1e-6:
        return shape.boundingRect().center()
    return QPointF(x / (3 * area), y / (3 * area))


def _roomiest(shape: QPolygonF) -> QRectF:
    """Return the largest of the upright rectangles between the corners that lies inside the outline."""
    corners = [shape.at(k) for k in range(shape.size())]
    xs, ys = sorted({round(p.x(), 1) for p in corners}), sorted({round(p.y(), 1) for p in corners})
    best = QRectF()
    if not 2 <= len(xs) <= 12 or not 2 <= len(ys) <= 12:
        return best
    sides = [(a, b) for i, a in enumerate(xs) for b in xs[i + 1 :]]
    for left, right in sides:
        for i, top in enumerate(ys):
            for bottom in ys[i + 1 :]:
                box = QRectF(QPointF(left, top), QPointF(right, bottom))
                if box.width() * box.height() > best.width() * best.height() and _holds(shape, box):
                    best = box
    return best


def _holds(shape: QPolygonF, box: QRectF) -> bool:
    inner = box.adjusted(2, 2, -2, -2)
    probes = [inner.topLeft(), inner.topRight(), inner.bottomLeft(), inner.bottomRight(), inner.center()]
    probes += [QPointF(inner.center().x(), y) for y in (inner.top(), inner.bottom())]
    return all(shape.containsPoint(p, Qt.FillRule.OddEvenFill) for p in probes)
