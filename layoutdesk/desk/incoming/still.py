"""A drawing's picture that stands still: painted once for each look, pushed and stretched while the hand moves."""

from __future__ import annotations

import time
from typing import Final

from PySide6.QtCore import QRectF, QSize, QTimer
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QWidget

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.incoming.painting import View, paint_drawing
from layoutdesk.desk.theme import colour

SLOW_S: Final = 0.025
"""A picture that takes longer to paint is pushed and stretched while the hand moves, and painted anew after."""
REST_MS: Final = 90


class StillPicture:
    """Keeps the last picture, for ``over``, which is updated when a better one is due."""

    def __init__(self, over: QWidget) -> None:
        self._over = over
        self._picture: QPixmap | None = None
        self._key: tuple[object, ...] = ()
        self._camera = Camera()
        self._cost = 0.0
        self._rest = QTimer(over)
        self._rest.setSingleShot(True)
        self._rest.timeout.connect(self._paint_anew)

    def forget(self) -> None:
        """Keep nothing of a drawing that is gone."""
        self._picture, self._key = None, ()

    def show(self, painter: QPainter, view: View) -> None:
        """Paint the picture; one that is slow to make may be a stretched one, until the hand rests."""
        size = view.area.size().toSize()
        key = (view.things, view.theme, view.sharpness, view.text_scale, view.many, size)
        if self._picture is None or key != self._key:
            self._paint(view, key, size)
        elif view.camera != self._camera:
            if self._cost > SLOW_S:
                self._stretch(painter, view, self._picture)
                return
            self._paint(view, key, size)
        if self._picture is not None:
            painter.drawPixmap(0, 0, self._picture)

    def _stretch(self, painter: QPainter, view: View, picture: QPixmap) -> None:
        painter.fillRect(view.area, colour(view.theme.paper))
        by = view.camera.scale / self._camera.scale
        at = view.camera.to_screen(self._camera.to_plan(0.0, 0.0))
        shown = QRectF(at, picture.deviceIndependentSize() * by)
        painter.drawPixmap(shown, picture, QRectF(picture.rect()))
        self._rest.start(REST_MS)

    def _paint(self, view: View, key: tuple[object, ...], size: QSize) -> None:
        began = time.monotonic()
        picture = QPixmap(size * view.sharpness)
        picture.setDevicePixelRatio(view.sharpness)
        painter = QPainter(picture)
        paint_drawing(painter, view)
        painter.end()
        self._cost = time.monotonic() - began
        self._picture, self._key, self._camera = picture, key, view.camera

    def _paint_anew(self) -> None:
        self.forget()
        self._over.update()
