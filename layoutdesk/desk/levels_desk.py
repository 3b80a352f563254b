"""The Levels page on the desk: the side view in a window of its own, and the gesture that belongs to the page."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QMouseEvent
from PySide6.QtWidgets import QDialog, QScrollArea, QVBoxLayout, QWidget

from layoutdesk.desk.canvas.sheet_view import REACH_PX, SheetView
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.levels_page import LevelsPage
from layoutdesk.desk.notebook.side_drawing import SideDrawing
from layoutdesk.gestures.hits import piece_at
from layoutdesk.gestures.pick import Pick

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Flag, Layout

_TALLEST = 1400.0


class SideWindow(QDialog):
    """The side view of a beam line, as large as the window is; it may stay open beside the work."""

    def __init__(self, dress: Dress, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
        self.drawing = SideDrawing(dress, tallest=_TALLEST)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        holder = QWidget()
        inner = QVBoxLayout(holder)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.drawing)
        inner.addStretch(1)
        scroll.setWidget(holder)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 10, 10, 10)
        box.addWidget(scroll)
        self.resize(980, 720)


class LevelsOnDesk(QObject):
    """Joins the page of the levels with its window and its gesture."""

    def __init__(self, page: LevelsPage, sheet: SheetView, dress: Dress, *, spot: QAction, over: QWidget) -> None:
        super().__init__(over)
        self._page, self._dress, self._over = page, dress, over
        self._sheet = sheet
        sheet.installEventFilter(self)
        sheet.knows_heights = page.work.knows
        page.work.came.connect(sheet.update)
        self.window: SideWindow | None = None
        page.line.large_wanted.connect(self._on_large)
        page.line.drawn.connect(self._on_drawn)
        spot.triggered.connect(self._on_spot)

    def with_flags(self, others: Callable[[Layout], tuple[Flag, ...]], layout: Layout) -> tuple[Flag, ...]:
        """Return the flags of a layout: those of its heights after the others."""
        return (*others(layout), *self._page.work.flags(layout))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Retype the height of a spot that is pressed twice; everything else is the sheet's own."""
        if watched is self._sheet and event.type() == QEvent.Type.MouseButtonDblClick:
            assert isinstance(event, QMouseEvent)
            spot = self._spot_at(event)
            if spot is not None:
                self._page.view.turn_to("levels")
                self._page.retype(spot)
                return True
        return super().eventFilter(watched, event)

    def _spot_at(self, event: QMouseEvent) -> str | None:
        """Return the spot under the pointer while nothing is drawn, or None."""
        if event.button() != Qt.MouseButton.LeftButton or not isinstance(self._sheet.gesture, Pick):
            return None
        camera, at = self._sheet.camera, event.position()
        plan = self._page.document.plan
        found = piece_at(plan, camera.to_plan(at.x(), at.y()), REACH_PX / camera.scale)
        return found if any(spot.id == found for spot in plan.spots) else None

    def shut(self) -> None:
        """Close the window, if there is one."""
        if self.window is not None:
            self.window.close()

    def _on_spot(self) -> None:
        """Open the page that shows what a spot tells."""
        self._page.view.turn_to("levels")

    def _on_large(self) -> None:
        if self.window is None:
            self.window = SideWindow(self._dress, self._over)
        self._on_drawn()
        self.window.show()
        self.window.raise_()
        self.window.activateWindow()

    def _on_drawn(self) -> None:
        """Show in the window what the page shows."""
        if self.window is None:
            return
        line = self._page.line
        self.window.setWindowTitle(f"Side view of {line.shown}" if line.shown else "Side view")
        line.draw(self.window.drawing)
