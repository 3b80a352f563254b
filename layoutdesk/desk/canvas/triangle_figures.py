"""Where the figures of the squaring triangle stand: clear of symbols, and of dimensions if they can."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF

from layoutdesk.desk.canvas.clutter import Clutter, part_inside
from layoutdesk.desk.canvas.scene import Scene

LENGTH_PX = 12
"""The size of the lengths of its sides."""
END_PX = 13
"""The size of the names of its ends."""
_SMALL_PX = 120.0
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)


@dataclass(frozen=True, slots=True)
class TriangleFigures:
    """The sides of the squaring triangle on the screen, and what is written at them, each with its box.

    ``sides`` are the leg along the line, the leg out from it, and the long side. ``lengths`` holds only those
    there is room for.
    """

    sides: tuple[QLineF, QLineF, QLineF]
    lengths: tuple[tuple[QRectF, str], ...]
    names: tuple[tuple[QRectF, str], ...]


def triangle_figures(scene: Scene, clutter: Clutter, names: Sequence[QRectF]) -> TriangleFigures | None:
    """Return where the figures stand, and take their room and the sides'; None while the triangle is not shown.

    Args:
        scene: what is painted.
        clutter: all that is taken already, dimensions among it.
        names: boxes of symbols, and of names that stand already, which are never written over.
    """
    square = scene.layout.square if scene.squaring and scene.numbers and scene.layout is not None else None
    if square is None:
        return None
    corner, along, out = (scene.camera.to_screen(p) for p in (square.corner, square.on_line, square.out))
    sides = (QLineF(corner, along), QLineF(corner, out), QLineF(along, out))
    kept = [box.adjusted(-4, -4, 4, 4) for box in names]
    symbols = [p.at for p in scene.plan.attachments] + [p.at for p in scene.plan.controls]
    kept += [_round(scene.camera.to_screen(at), 7.0) for at in symbols]
    kept += [
        around
        for around in (scene.camera.polygon(keepout.outline).boundingRect() for keepout in scene.plan.keepouts)
        if max(around.width(), around.height()) <= _SMALL_PX
    ]
    inner = (corner + along + out) / 3
    lengths: list[tuple[QRectF, str]] = []
    for side, mm in zip(sides, (square.leg_along, square.leg_out, square.hypotenuse), strict=True):
        text = scene.length(mm)
        size = scene.lettering.laid_out(text, LENGTH_PX, "bold").size() + QSizeF(18, 4)
        box = _room(scene, clutter, kept, _spots(side, size, inner))
        if box is not None:
            kept.append(box)
            lengths.append((box, text))
    for side in sides:
        clutter.take_line(side.p1(), side.p2())
    ends: list[tuple[QRectF, str]] = []
    for name, at in (("a", along), ("b", out)):
        size = scene.lettering.laid_out(name, END_PX, "bold").size()
        spots = [spot for spot in _beside(at, size) if not any(crosses(side, spot) for side in sides)]
        box = _room(scene, clutter, kept, spots)
        if box is not None:
            kept.append(box)
            ends.append((box, name))
    return TriangleFigures(sides, tuple(lengths), tuple(ends))


def crosses(line: QLineF, box: QRectF) -> bool:
    """Return whether a straight line runs through a box."""
    return part_inside(box, line.p1(), line.p2()) is not None


def _room(scene: Scene, clutter: Clutter, kept: Sequence[QRectF], boxes: Iterable[QRectF]) -> QRectF | None:
    """Return the emptiest of the boxes that lie on nothing that is kept, and take it."""
    return clutter.freest(
        box for box in boxes if scene.area.contains(box) and not any(box.intersects(other) for other in kept)
    )


def _spots(side: QLineF, size: QSizeF, inner: QPointF) -> Iterator[QRectF]:
    """Yield the boxes that a length may take: on its side, else beside it within the triangle, else outside."""
    if side.length() < 1.0:
        return
    normal = QPointF(-side.dy(), side.dx()) / side.length()
    if QPointF.dotProduct(normal, inner - side.center()) < 0:
        normal = -normal
    aside = abs(normal.x()) * size.width() / 2 + abs(normal.y()) * size.height() / 2 + 4
    for off in (0.0, aside, -aside):
        for share in _SHARES:
            yield _box(side.pointAt(share) + normal * off, size)


def _beside(at: QPointF, size: QSizeF) -> Iterator[QRectF]:
    x, y = size.width() / 2 + 7, size.height() / 2 + 3
    for away in (1.0, 1.7):
        for dx, dy in ((1, -1), (-1, -1), (1, 1), (-1, 1), (1, 0), (-1, 0), (0, -1.2), (0, 1.2)):
            yield _box(at + QPointF(dx * x, dy * y) * away, size)


def _box(middle: QPointF, size: QSizeF) -> QRectF:
    return QRectF(middle.x() - size.width() / 2, middle.y() - size.height() / 2, size.width(), size.height())


def _round(at: QPointF, half: float) -> QRectF:
    return QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half)
