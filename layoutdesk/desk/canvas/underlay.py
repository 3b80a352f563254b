"""What lies under the sheet, painted on the bare paper: pictures by their maps, and frames of missing ones."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, NamedTuple, Protocol

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QImage, QPainter, QPainterPath, QPolygonF, QTransform

from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.projective import (
    Map9,
    apply,
    composed,
    depth,
    inverse,
    part_on_ground,
    scale_at,
)
from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from layoutdesk.desk.canvas.camera import Camera
    from layoutdesk.desk.canvas.scene import Scene
    from layoutdesk.plan.model import Underlay

State = Literal["coming", "here", "missing"]
LOUPE_PX: Final = 74.0
LOUPE_POWER: Final = 4.0


class Laid(NamedTuple):
    """A picture, or a part of one, to be painted.

    ``image`` shows what begins at ``corner`` in the picture's own coordinates, with ``per_unit`` of its pixels to
    one of them. ``drawing`` says that it is lines on a light ground, which take on the colours of the sheet.
    """

    image: QImage
    per_unit: float
    corner: Vector = (0.0, 0.0)
    drawing: bool = True


class Pictures(Protocol):
    """Has the pictures of what lies under the sheet, or sees to them."""

    @property
    def came(self) -> int:
        """Return how many have come so far: another number means that there is something new to paint."""
        ...

    def laid(
        self, underlay: Underlay, per_unit: float, seen: QRectF, *, dark: bool, ask: bool = True
    ) -> Laid | None:
        """Return the picture that is sharp enough, or the sharpest there is yet; None while there is none.

        Args:
            underlay: which one.
            per_unit: how many pixels of the screen one of its own units takes where it is largest.
            seen: the part of it that is to be seen, in its own coordinates.
            dark: whether a drawing's dark lines are to come light on dark.
            ask: whether a sharper one is to be seen to.
        """
        ...

    def state(self, underlay: Underlay) -> State:
        """Return whether its file is there."""
        ...


def paint_underlays(painter: QPainter, scene: Scene, *, ask: bool = True) -> None:
    """Paint everything that lies under the sheet and is to be seen, the last one on top.

    Sharper pictures are seen to unless ``ask`` is False.
    """
    for underlay in scene.underlays:
        if underlay.shown:
            _paint(painter, scene, underlay, ask=ask)


def to_screen_map(underlay: Underlay, camera: Camera) -> Map9:
    """Return the map from a picture's own coordinates to pixels of the screen."""
    (rx, ry), (dx, dy), (cx, cy), s = camera.right, camera.down, camera.centre, camera.scale
    return composed(
        underlay.to_plan,
        (
            *(s * rx, s * ry, camera.middle[0] - s * (cx * rx + cy * ry)),
            *(s * dx, s * dy, camera.middle[1] - s * (cx * dx + cy * dy)),
            *(0.0, 0.0, 1.0),
        ),
    )


def _paint(painter: QPainter, scene: Scene, underlay: Underlay, *, ask: bool) -> None:
    wide, high = underlay.size
    m = to_screen_map(underlay, scene.camera)
    part = part_on_ground(m, ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)))
    if len(part) < 3:
        return
    shape = QPolygonF([QPointF(x, y) for x, y in apply(m, part)])
    box = shape.boundingRect().intersected(scene.area)
    if box.isEmpty():
        return
    found = None
    if scene.pictures is not None and underlay.strength > 0:
        per_unit, seen = _looked_at(m, part, box, underlay)
        found = scene.pictures.laid(underlay, per_unit * scene.sharpness, seen, dark=scene.theme.dark, ask=ask)
    if found is None:
        _paint_frame(painter, scene, underlay, shape)
        return
    image_to_own = (
        1 / found.per_unit,
        0.0,
        found.corner[0],
        0.0,
        1 / found.per_unit,
        found.corner[1],
        0.0,
        0.0,
        1.0,
    )
    brush = QBrush(found.image)
    brush.setTransform(_as_qt(composed(image_to_own, m)))
    if found.corner != (0.0, 0.0) or abs(found.image.width() / found.per_unit - wide) > 1.5 / found.per_unit:
        x, y = found.corner
        w, h = found.image.width() / found.per_unit, found.image.height() / found.per_unit
        part = part_on_ground(m, ((x, y), (x + w, y), (x + w, y + h), (x, y + h)))
        shape = QPolygonF([QPointF(*p) for p in apply(m, part)])
    modes = QPainter.CompositionMode
    painter.save()
    painter.setOpacity(underlay.strength)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    if found.drawing:
        # White of a scan becomes the paper of the sheet; in the dark dress its ink comes light.
        painter.setCompositionMode(
            modes.CompositionMode_Screen if scene.theme.dark else modes.CompositionMode_Multiply
        )
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(brush)
    painter.drawPolygon(shape)
    painter.restore()


def _looked_at(m: Map9, part: tuple[Vector, ...], box: QRectF, underlay: Underlay) -> tuple[float, QRectF]:
    """Return the most pixels that one unit takes in the part that is seen, and that part."""
    wide, high = underlay.size
    back = inverse(m)
    own: list[Vector] = []
    for i in range(5):
        for k in range(5):
            at = (box.left() + box.width() * i / 4, box.top() + box.height() * k / 4)
            if depth(back, at) > 0:
                ((x, y),) = apply(back, (at,))
                if depth(m, (x, y)) > 0:
                    own.append((min(max(x, 0.0), wide), min(max(y, 0.0), high)))
    own = own or list(part)
    xs, ys = [p[0] for p in own], [p[1] for p in own]
    seen = QRectF(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    try:
        return max(scale_at(m, p) for p in own), seen
    except LayoutdeskError:
        return 1.0, seen


def _as_qt(m: Map9) -> QTransform:
    return QTransform(m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8])


def _paint_frame(painter: QPainter, scene: Scene, underlay: Underlay, shape: QPolygonF) -> None:
    """Paint an empty frame with the name of the file, while it is on its way or when it is not there."""
    missing = scene.pictures is not None and scene.pictures.state(underlay) == "missing"
    name = scene.theme.look if missing else scene.theme.soft
    stroke(painter, pen(name, 1.4, (7, 5)))
    painter.drawPolygon(shape)
    words = Path(underlay.file).name
    if missing:
        words = f"{words} is not where it was"
    elif underlay.strength <= 0:
        words = f"{words}, strength 0"
    laid = scene.lettering.laid_out(words, 13, "bold").size()
    at = shape.boundingRect().intersected(scene.area).center()
    patch = QRectF(0, 0, laid.width() + 16, laid.height() + 6)
    patch.moveCenter(at)
    fill(painter, scene.theme.look_wash if missing else scene.theme.paper, alpha=0.95)
    painter.drawRoundedRect(patch, 4, 4)
    scene.lettering.write(painter, at, words, 13, name, weight="bold", anchor="middle")


def paint_loupe(painter: QPainter, scene: Scene, at: Vector) -> None:
    """Paint what lies under the sheet about a place, enlarged, in a round window beside it."""
    here = scene.camera.to_screen(at)
    shift = LOUPE_PX + 26
    middle = QPointF(
        here.x() + (shift if here.x() + 2 * shift < scene.area.right() else -shift),
        here.y() - (shift if here.y() - 2 * shift > scene.area.top() else -shift),
    )
    window = QRectF(0, 0, 2 * LOUPE_PX, 2 * LOUPE_PX)
    window.moveCenter(middle)
    power = scene.camera.scale * LOUPE_POWER
    camera = replace(scene.camera, centre=at, middle=(middle.x(), middle.y()), scale=power)
    path = QPainterPath()
    path.addEllipse(window)
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    fill(painter, scene.theme.paper)
    painter.drawRect(window)
    # What is at hand is enlarged: asking for more here would take turns with what the sheet asks for.
    paint_underlays(painter, replace(scene, camera=camera, area=window), ask=False)
    painter.restore()
    stroke(painter, pen(scene.theme.note, 1.6))
    painter.drawEllipse(window)
    stroke(painter, pen(scene.theme.work, 1.2))
    for way in (QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)):
        painter.drawLine(middle + way * 4, middle + way * 16)
