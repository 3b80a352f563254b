"""The sheet as a thing to look at: it paints the plan and is panned and zoomed; gestures come on top of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.fit import fitted
from layoutdesk.desk.canvas.ghosts import paint_hover, paint_preview, paint_slip
from layoutdesk.desk.canvas.lettering import Lettering
from layoutdesk.desk.canvas.rulers import SIDE_PX, TOP_PX, paint_rulers
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.still import AHEAD_PX, Still
from layoutdesk.desk.canvas.strokes import pen
from layoutdesk.desk.canvas.underlay import paint_loupe
from layoutdesk.desk.theme import Theme
from layoutdesk.gestures.bearings import Bearings, bearings_of
from layoutdesk.gestures.gesture import Preview
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.desk.canvas.underlay import Pictures
    from layoutdesk.engine.layout import Layout
    from layoutdesk.engine.proof.entries import Proof

LIVE_PIERS: Final = 600
"""With more piers than this, dimensions wait until a drag has ended."""
WHEEL_STEP: Final = 1.2
"""One notch of the wheel zooms by this factor."""


def _known(_: Layout) -> bool:
    """Return that heights are known: nobody works them out beside this sheet."""
    return True


class SheetPaper(QWidget):
    """The plan on its sheet of paper with its two rulers.

    The first picture is painted from the plan alone, before the libraries for numbers are loaded; a zero timer
    then lets the numbers come.

    Signals:
        trouble: one sentence about something that could not be done.
        scale_changed: how many times smaller than the ground the screen shows the plan.
    """

    trouble = Signal(str)
    scale_changed = Signal(float)

    def __init__(self, document: Document, view: ViewState, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._view, self._theme = document, view, theme
        self._lettering = Lettering()
        self._still = Still()
        self._bearings = bearings_of(document.plan)
        self._camera = Camera().turned_to(self._bearings)
        self._follows = True
        self._ready = False
        self._broken: Plan | None = None
        self._sentence = ""
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._after_picture)
        self._preview_layout: Layout | None = None
        self._cursor: QPointF | None = None
        self._pan_from: QPointF | None = None
        self._pictures: Pictures | None = None
        self._proof: tuple[Plan, Proof | None] | None = None
        self.knows_heights: Callable[[Layout], bool] = _known
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def _preview(self) -> Preview:
        """Return what is shown over the plan."""
        return Preview()

    def _on_looked(self) -> None:
        """Learn that the sheet is looked at in another way now."""

    @property
    def camera(self) -> Camera:
        """Return how the sheet is looked at."""
        return self._camera

    @property
    def bearings(self) -> Bearings:
        """Return how places are read."""
        return self._bearings

    def set_theme(self, theme: Theme) -> None:
        """Change the dress."""
        self._theme = theme
        self._on_looked()
        self.update()

    def set_text_scale(self, factor: float) -> None:
        """Make all text on the sheet larger or smaller."""
        self._lettering = Lettering(factor)
        self.update()

    # ---- painting

    def sizeHint(self) -> QSize:
        """Return the size of a sheet that is comfortable to read."""
        return QSize(900, 640)

    def minimumSizeHint(self) -> QSize:
        """Return the smallest size that is still of use."""
        return QSize(320, 240)

    def plan_area(self) -> QRectF:
        """Return where the plan is drawn, in pixels."""
        return self._area()

    def _area(self) -> QRectF:
        """Return where the plan is drawn, inside the rulers, in pixels."""
        side = SIDE_PX * max(1.0, self._lettering.factor)
        return QRectF(side, TOP_PX, max(self.width() - side - 1, 1), max(self.height() - TOP_PX - 1, 1))

    def show_pictures(self, pictures: Pictures) -> None:
        """Take the pictures of what lies under the sheet from here on from ``pictures``."""
        self._pictures = pictures
        self.update()

    def show_proof(self, plan: Plan, proof: Proof | None) -> None:
        """Draw a proof over the plan that it is of, while the page of the proof is open."""
        self._proof = (plan, proof)
        self.update()

    def _scene(self, plan: Plan | None = None, underlays: tuple[Underlay, ...] | None = None) -> Scene:
        """Return what is to be painted now."""
        shown = self._document.plan if plan is None else plan
        proving, leveling = self._view.page == "proof", self._view.page == "levels"
        layout = self._layout_of(shown) if self._ready else None
        return Scene(
            plan=shown,
            layout=layout,
            bearings=self._bearings,
            camera=self._camera,
            theme=self._theme,
            lettering=self._lettering,
            area=self._area(),
            sharpness=self.devicePixelRatioF(),
            columns=self._ready,
            numbers=shown is self._document.plan or len(shown.piers) <= LIVE_PIERS,
            selected=frozenset(self._view.selected),
            bay=self._view.bay,
            squaring=self._view.page == "control",
            leveling=leveling,
            digging=self._view.page == "piers" and shown is self._document.plan,
            heights=leveling and layout is not None and self.knows_heights(layout),
            proof=self._proof[1] if proving and self._proof and self._proof[0] is shown else None,
            tape=self._view.tape if proving else None,
            underlays=shown.underlays if underlays is None else underlays,
            pictures=self._pictures,
            came=0 if self._pictures is None else self._pictures.came,
        )

    def _layout_of(self, plan: Plan) -> Layout:
        """Return what follows from the plan, or from the plan as it would be after the drag under way."""
        if plan is self._document.plan:
            return self._document.layout
        if self._preview_layout is None or self._preview_layout.plan is not plan:
            from layoutdesk.engine.derive import derive

            self._preview_layout = derive(plan)
        return self._preview_layout

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the sheet; what goes wrong is told once and never ends the program."""
        painter = QPainter(self)
        try:
            self._paint(painter)
        except Exception as error:  # noqa: BLE001 - an exception that leaves a paint event can end the process
            painter.fillRect(event.rect(), QColor(self._theme.paper))
            if self._broken is not self._document.plan:
                self._broken = self._document.plan
                self._sentence = f"The sheet could not be drawn: {error}"
                self._later.start()
        finally:
            painter.end()
        if not self._ready:
            self._later.start()

    def _paint(self, painter: QPainter) -> None:
        preview = self._preview()
        scene = self._scene(preview.plan, preview.underlays)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.save()
        try:
            painter.setClipRect(scene.area)
            self._still.show(painter, scene)
            self._paint_over(painter, scene, preview)
        finally:
            painter.restore()
        paint_rulers(painter, scene, self._cursor)
        painter.setPen(pen(self._theme.edge, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.drawRect(0, 0, self.width() - 1, self.height() - 1)

    def _paint_over(self, painter: QPainter, scene: Scene, preview: Preview) -> None:
        if preview.near is not None and scene.underlays and self._cursor is not None:
            paint_loupe(painter, scene, preview.near)
        paint_hover(painter, scene, self._view.hovered)
        paint_preview(painter, scene, preview)
        if preview.snap is not None and self._cursor is not None:
            paint_slip(painter, scene, preview.snap)

    def _after_picture(self) -> None:
        """Tell of trouble; after the first picture, let the numbers come."""
        if self._sentence:
            self.trouble.emit(self._sentence)
            self._sentence = ""
        if self._ready:
            return
        self._ready = True
        if self._follows:
            self.zoom_to_fit()
        self.update()

    # ---- looking

    def zoom_to_fit(self) -> None:
        """Show the whole plan, and follow it when the window changes its size."""
        self._follows = True
        self._look(fitted(self._scene(), self._document.plan))

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the sheet."""
        self._follows = False
        self._look(self._camera.zoomed(factor, *self._camera.middle))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle, or the whole plan in sight."""
        super().resizeEvent(event)
        middle = self._area().center()
        self._camera = replace(self._camera, middle=(middle.x(), middle.y()))
        self._on_looked()
        if self._follows:
            self._look(fitted(self._scene(), self._document.plan))

    def _look(self, camera: Camera) -> None:
        changed = camera.scale != self._camera.scale
        self._camera = camera
        self._on_looked()
        if changed:
            self.scale_changed.emit(camera.ratio)
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        turn = event.angleDelta().y() or event.angleDelta().x()
        if turn:
            self._follows = False
            at = event.position()
            self._look(self._camera.zoomed(1.2 ** (turn / 120), at.x(), at.y()))
        event.accept()

    def _start_pan(self, at: QPointF) -> None:
        self._pan_from = at
        self._still.margin = AHEAD_PX
        self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def _pan_to(self, at: QPointF) -> None:
        if self._pan_from is not None:
            way = at - self._pan_from
            self._pan_from = at
            self._follows = False
            self._look(self._camera.panned(way.x(), way.y()))

    def _end_pan(self) -> None:
        self._pan_from = None
        self._still.margin = 0
