"""The bare paper with what lies under the sheet, kept from one painting to the next: pictures paint slowly."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPixmap, QRegion

from layoutdesk.desk.canvas.paper import paint_paper
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.underlay import paint_underlays
from layoutdesk.geometry.vector import dot, minus


class Ground:
    """The ground of the sheet. Without anything under the sheet it is paper, and nothing is kept."""

    def __init__(self) -> None:
        self._scene: Scene | None = None
        self._pixmap: QPixmap | None = None
        self.painted = 0
        """How often pictures were really painted: for tests and benchmarks."""

    def paint(self, painter: QPainter, scene: Scene) -> None:
        """Paint it for a scene, from what was kept as far as that still serves."""
        if not any(u.shown for u in scene.underlays):
            self._scene = self._pixmap = None
            paint_paper(painter, scene)
            return
        shift = self._shift(scene)
        if shift is None:
            self._paint_anew(scene)
            shift = QPointF(0, 0)
        if self._pixmap is not None:
            painter.drawPixmap(scene.area.topLeft() + shift, self._pixmap)

    def _shift(self, scene: Scene) -> QPointF | None:
        """Return how far the kept ground lies from the scene; None when it does not cover it."""
        old = self._scene
        if old is None or not _same_but_for_place(old, scene):
            return None
        way = minus(old.camera.centre, scene.camera.centre)
        x = dot(way, scene.camera.right) * scene.camera.scale + old.camera.middle[0] - scene.camera.middle[0]
        y = dot(way, scene.camera.down) * scene.camera.scale + old.camera.middle[1] - scene.camera.middle[1]
        x, y = x + old.area.left() - scene.area.left(), y + old.area.top() - scene.area.top()
        sharp = scene.sharpness
        shift = QPointF(round(x * sharp) / sharp, round(y * sharp) / sharp)
        kept = QRectF(scene.area.topLeft() + shift, old.area.size())
        return shift if kept.adjusted(-0.5, -0.5, 0.5, 0.5).contains(scene.area) else None

    def _paint_anew(self, scene: Scene) -> None:
        size = (scene.area.size() * scene.sharpness).toSize()
        pixmap = QPixmap(size)
        pixmap.setDevicePixelRatio(scene.sharpness)
        painter = QPainter(pixmap)
        try:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.translate(-scene.area.topLeft())
            paint_paper(painter, scene)
            painter.setClipRegion(QRegion(scene.area.toAlignedRect()))
            paint_underlays(painter, scene)
        finally:
            painter.end()
        self._pixmap, self._scene = pixmap, scene
        self.painted += 1


def _same_but_for_place(old: Scene, new: Scene) -> bool:
    return (
        old.underlays is new.underlays
        and old.came == new.came
        and old.pictures is new.pictures
        and old.theme is new.theme
        and old.lettering is new.lettering
        and old.camera.scale == new.camera.scale
        and old.camera.right == new.camera.right
        and old.sharpness == new.sharpness
    )
