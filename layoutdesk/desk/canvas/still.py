"""The sheet as painted last, with a margin: panning copies it instead of painting again."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPixmap

from layoutdesk.desk.canvas.layers import paint_sheet
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.underlay_ground import Ground
from layoutdesk.geometry.vector import dot, minus

AHEAD_PX: Final = 240
"""How far beyond the visible part the sheet is painted ahead while it is being panned."""


@dataclass
class Still:
    """A pixmap of the sheet and the scene that it shows.

    ``margin`` is how far beyond the visible part to paint the next time, in pixels: nothing after an edit,
    which must be on the screen at once, and :data:`AHEAD_PX` while the sheet is being panned.
    """

    margin: int = 0
    scene: Scene | None = None
    pixmap: QPixmap | None = None
    painted: int = 0
    """How often the sheet was really painted: for tests and benchmarks."""
    _ahead: int = 0
    _painted_from: Scene | None = None
    _ground: Ground = field(default_factory=Ground)

    def show(self, painter: QPainter, scene: Scene) -> None:
        """Copy the sheet to the painter, painting it anew only when it shows something else."""
        shift = self._shift(scene)
        if shift is None:
            self._paint(scene)
            shift = QPointF(0, 0)
        pixmap = self.pixmap
        if pixmap is not None:
            corner = scene.area.topLeft() - QPointF(self._ahead, self._ahead) + shift
            painter.drawPixmap(corner, pixmap)

    def drop(self) -> None:
        """Forget the pixmap."""
        self.scene = self.pixmap = self._painted_from = None

    def shown_for(self, scene: Scene) -> tuple[Scene, QPointF]:
        """Return the scene that the picture on the screen was painted from, and how far it has moved since."""
        shift = self._shift(scene)
        if shift is None or self._painted_from is None:
            return scene, QPointF(0, 0)
        return self._painted_from, shift

    def _shift(self, scene: Scene) -> QPointF | None:
        """Return how far the pixmap lies from where it was painted, None when it cannot serve."""
        old = self.scene
        if old is None or not same_but_for_place(old, scene):
            return None
        way = minus(old.camera.centre, scene.camera.centre)
        x, y = dot(way, scene.camera.right) * scene.camera.scale, dot(way, scene.camera.down) * scene.camera.scale
        if abs(x) > self._ahead or abs(y) > self._ahead:
            return None
        sharp = scene.sharpness
        return QPointF(round(x * sharp) / sharp, round(y * sharp) / sharp)

    def _paint(self, scene: Scene) -> None:
        ahead = self.margin
        wide = QRectF(scene.area).adjusted(-ahead, -ahead, ahead, ahead)
        size = (wide.size() * scene.sharpness).toSize()
        pixmap = self.pixmap
        if pixmap is None or pixmap.size() != size or pixmap.devicePixelRatio() != scene.sharpness:
            pixmap = QPixmap(size)
            pixmap.setDevicePixelRatio(scene.sharpness)
        painter = QPainter(pixmap)
        try:
            painter.translate(-wide.topLeft())
            self._painted_from = replace(scene, area=wide)
            paint_sheet(painter, self._painted_from, self._ground)
        finally:
            painter.end()
        self.pixmap, self.scene, self._ahead = pixmap, scene, ahead
        self.painted += 1


def same_but_for_place(old: Scene, new: Scene) -> bool:
    """Return whether two scenes differ at most in where the sheet lies."""
    return (
        old.plan is new.plan
        and old.layout is new.layout
        and old.theme is new.theme
        and old.lettering is new.lettering
        and old.camera.scale == new.camera.scale
        and old.camera.right == new.camera.right
        and old.area == new.area
        and old.sharpness == new.sharpness
        and old.columns == new.columns
        and old.numbers == new.numbers
        and old.selected == new.selected
        and old.bay == new.bay
        and old.squaring == new.squaring
        and (old.leveling, old.heights, old.digging) == (new.leveling, new.heights, new.digging)
        and old.proof is new.proof
        and old.tape == new.tape
        and old.underlays is new.underlays
        and old.came == new.came
    )
