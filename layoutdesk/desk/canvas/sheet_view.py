"""The sheet in the window: it paints the plan, and turns mouse and keys into what gestures understand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.dimensions import placed_dimensions
from layoutdesk.desk.canvas.fit import fitted
from layoutdesk.desk.canvas.ghosts import paint_hover, paint_preview, paint_slip
from layoutdesk.desk.canvas.lettering import Lettering
from layoutdesk.desk.canvas.retype import DimensionEditor
from layoutdesk.desk.canvas.rulers import SIDE_PX, TOP_PX, paint_rulers
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.still import AHEAD_PX, Still
from layoutdesk.desk.canvas.strokes import pen
from layoutdesk.desk.theme import Theme
from layoutdesk.errors import LayoutdeskError
from layoutdesk.gestures.bearings import Bearings, bearings_of
from layoutdesk.gestures.carry import carry_out
from layoutdesk.gestures.catalogue import CATALOGUE, GestureKind
from layoutdesk.gestures.commands import delete_picked, nudge_picked
from layoutdesk.gestures.gesture import Gesture, Outcome, Pointer, Preview
from layoutdesk.gestures.pick import Pick
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

REACH_PX: Final = 6.0
LIVE_PIERS: Final = 600
"""With more piers than this, dimensions wait until a drag has ended."""
_TYPED: Final = frozenset("0123456789.'\"/-−")
_ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class SheetView(QWidget):
    """The plan on its sheet of paper with its two rulers.

    Signals:
        gesture_changed: another gesture, another step of it, or other live values in its fields.
        cursor_moved: where the pointer is: (station, offset) or (x, y) in mm, None when it left the sheet.
        trouble: one sentence about something that could not be done.
        scale_changed: how many times smaller than the ground the screen shows the plan.
        entry_wanted: the entry line should take over, at this field, with this text typed already.
    """

    gesture_changed = Signal()
    cursor_moved = Signal(object)
    trouble = Signal(str)
    scale_changed = Signal(float)
    entry_wanted = Signal(int, str)

    def __init__(self, document: Document, view: ViewState, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._view, self._theme = document, view, theme
        self._lettering = Lettering()
        self._still = Still()
        self._bearings = bearings_of(document.plan)
        self._camera = Camera().turned_to(self._bearings)
        self._follows = True
        self._ready = False
        self._broken: object = None
        self._sentence = self._last_trouble = ""
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._after_picture)
        self._preview_layout: Layout | None = None
        self._cursor: QPointF | None = None
        self._pan_from: QPointF | None = None
        self._space = False
        self._kind = CATALOGUE[0]
        self._gesture: Gesture = self._kind.make(document, view)
        self._editor = DimensionEditor(document, self)
        self._editor.trouble.connect(self.trouble)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Sheet")
        self.setAccessibleDescription("The plan on paper: house at the top, yard below")
        document.watch(self._on_plan_changed)
        view.watch(self._on_view_changed)

    # ---- what others ask of the sheet

    @property
    def gesture(self) -> Gesture:
        """Return the gesture that is under way."""
        return self._gesture

    @property
    def kind(self) -> GestureKind:
        """Return which entry of the catalogue is under way."""
        return self._kind

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
        self._editor.close_quietly()
        self.update()

    def set_text_scale(self, factor: float) -> None:
        """Make all text on the sheet larger or smaller."""
        self._lettering = Lettering(factor)
        self.update()

    def take_up(self, kind: GestureKind) -> None:
        """Begin another gesture; what was half done is dropped."""
        self._kind = kind
        self._gesture = kind.make(self._document, self._view)
        self._editor.close_quietly()
        self._aim()
        self._gesture_moved_on()

    def zoom_to_fit(self) -> None:
        """Show the whole plan, and follow it when the window changes its size."""
        self._follows = True
        self._look(fitted(self._scene(), self._document.plan))

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the sheet."""
        self._follows = False
        self._look(self._camera.zoomed(factor, *self._camera.middle))

    @property
    def last_trouble(self) -> str:
        """Return the sentence about what could not be done last."""
        return self._last_trouble

    @property
    def rests(self) -> bool:
        """Return whether no drawing is under way, only picking."""
        return isinstance(self._gesture, Pick)

    def carry_out(self, outcome: Outcome | None) -> bool:
        """Do what a gesture asked for; return whether it could be done."""
        try:
            carry_out(outcome, self._document, self._view)
        except LayoutdeskError as error:
            self._tell(str(error))
            return False
        finally:
            self._gesture_moved_on()
        return True

    def commit(self) -> bool:
        """Complete the present step with the values as they stand, as Enter does; return whether it could be."""
        return self._ask(self._gesture.commit)

    def cancel(self) -> None:
        """Go a step back, as Esc does; with nothing to leave, Pick takes over."""
        if self._gesture.cancel():
            self._gesture_moved_on()
        else:
            self.take_up(CATALOGUE[0])

    def refresh_gesture(self) -> None:
        """Show a gesture whose typed values have changed."""
        self._gesture_moved_on()

    # ---- painting

    def sizeHint(self) -> QSize:
        """Return the size of a sheet that is comfortable to read."""
        return QSize(900, 640)

    def minimumSizeHint(self) -> QSize:
        """Return the smallest size that is still of use."""
        return QSize(320, 240)

    def _area(self) -> QRectF:
        """Return where the plan is drawn, inside the rulers, in pixels."""
        side = SIDE_PX * max(1.0, self._lettering.factor)
        return QRectF(side, TOP_PX, max(self.width() - side - 1, 1), max(self.height() - TOP_PX - 1, 1))

    def _scene(self, plan: Plan | None = None) -> Scene:
        """Return what is to be painted now."""
        shown = self._document.plan if plan is None else plan
        return Scene(
            plan=shown,
            layout=self._layout_of(shown) if self._ready else None,
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
            painter.fillRect(event.rect(), self._theme.paper)
            if self._broken is not self._document.plan:
                self._broken = self._document.plan
                self._sentence = f"The sheet could not be drawn: {error}"
                self._later.start()
        finally:
            painter.end()
        if not self._ready:
            self._later.start()

    def _paint(self, painter: QPainter) -> None:
        preview = self._gesture.preview
        scene = self._scene(preview.plan)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.save()
        painter.setClipRect(scene.area)
        self._still.show(painter, scene)
        self._paint_over(painter, scene, preview)
        painter.restore()
        paint_rulers(painter, scene, self._cursor)
        painter.setPen(pen(self._theme.edge, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(0.5, 0.5, self.width() - 1, self.height() - 1))

    def _paint_over(self, painter: QPainter, scene: Scene, preview: Preview) -> None:
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

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle, or the whole plan in sight."""
        super().resizeEvent(event)
        middle = self._area().center()
        self._camera = replace(self._camera, middle=(middle.x(), middle.y()))
        self._editor.close_quietly()
        if self._follows:
            self._look(fitted(self._scene(), self._document.plan))

    def _look(self, camera: Camera) -> None:
        changed = camera.scale != self._camera.scale
        self._camera = camera
        self._editor.close_quietly()
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

    def _end_pan(self) -> None:
        self._pan_from = None
        self._still.margin = 0
        self._aim()

    def _aim(self) -> None:
        """Show by the cursor's shape what a press would do."""
        if self._space:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif isinstance(self._gesture, Pick):
            self.setCursor(Qt.CursorShape.ArrowCursor)
        else:
            self.setCursor(Qt.CursorShape.CrossCursor)

    # ---- changes from elsewhere

    def _on_plan_changed(self) -> None:
        plan = self._document.plan
        self._editor.close_quietly()
        self._view.keep_only(p.id for p in plan.pieces())
        bearings = bearings_of(plan)
        if bearings != self._bearings:
            self._bearings = bearings
            turned = self._camera.turned_to(bearings)
            if turned != self._camera:
                self._camera = turned
                if self._follows:
                    self._camera = fitted(self._scene(), plan)
        self._gesture.plan_changed(plan)
        self._gesture_moved_on()

    def _on_view_changed(self) -> None:
        self.update()
        self.gesture_changed.emit()

    def _gesture_moved_on(self) -> None:
        self.update()
        self.gesture_changed.emit()

    def _tell(self, sentence: str) -> None:
        self._last_trouble = sentence
        self.trouble.emit(sentence)

    # ---- mouse

    def _pointer(self, event: QMouseEvent) -> Pointer:
        keys = event.modifiers()
        at = event.position()
        free = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ControlModifier
        return Pointer(
            at=self._camera.to_plan(at.x(), at.y()),
            reach=REACH_PX / self._camera.scale,
            add=bool(keys & Qt.KeyboardModifier.ShiftModifier),
            free=bool(keys & free),
        )

    def _ask(self, step: Callable[[], Outcome | None]) -> bool:
        """Feed the gesture and do what it asks for; return whether that could be done."""
        try:
            outcome = step()
        except LayoutdeskError as error:
            self._tell(str(error))
            self._gesture_moved_on()
            return False
        return self.carry_out(outcome)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to pan, or hand the press to the gesture."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._editor.close_quietly()
        left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space):
            self._start_pan(event.position())
        elif left and self._area().contains(event.position()):
            pointer = self._pointer(event)
            self._ask(lambda: self._gesture.pressed(pointer))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan, or let the gesture follow."""
        at = event.position()
        if self._pan_from is not None:
            way = at - self._pan_from
            self._pan_from = at
            self._follows = False
            self._look(self._camera.panned(way.x(), way.y()))
        self._cursor = at
        pointer = self._pointer(event)
        if self._pan_from is None:
            self._gesture.moved(pointer)
            self._gesture_moved_on()
        self.cursor_moved.emit(self._bearings.read(pointer.at) if self._area().contains(at) else None)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End panning, or hand the release to the gesture."""
        if self._pan_from is not None and event.button() in (
            Qt.MouseButton.MiddleButton,
            Qt.MouseButton.LeftButton,
        ):
            self._end_pan()
        elif event.button() == Qt.MouseButton.LeftButton:
            pointer = self._pointer(event)
            self._ask(lambda: self._gesture.released(pointer))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Retype the dimension under the pointer, type where a picked piece should be, or press again."""
        if event.button() != Qt.MouseButton.LeftButton or not isinstance(self._gesture, Pick) or self._space:
            self.mousePressEvent(event)
            return
        at = event.position()
        if self.retype_at(at):
            return
        if self._gesture.fields:
            self.entry_wanted.emit(0, "")

    def retype_at(self, at: QPointF) -> bool:
        """Open the editor on the dimension whose text is at a pixel; return whether there is one."""
        for placed in placed_dimensions(self._scene()):
            if placed.holds(at):
                self._editor.open(
                    placed.dimension, QPoint(round(placed.middle.x()), round(placed.middle.y())), self._theme
                )
                return True
        return False

    def leaveEvent(self, event: QEvent) -> None:
        """Take the pointer's marks off the sheet."""
        super().leaveEvent(event)
        self._cursor = None
        self._view.hover(None)
        self.cursor_moved.emit(None)
        self.update()

    # ---- keys

    def event(self, event: QEvent) -> bool:
        """Take Tab for the entry line, and letters that the gesture under way has a use for."""
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and event.key() == Qt.Key.Key_Tab and self._gesture.fields:  # type: ignore[attr-defined]
            self.entry_wanted.emit(0, "")
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge, delete, cancel, complete, fit, or pass digits on to the entry line."""
        key, text = event.key(), event.text()
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier)
        picking = isinstance(self._gesture, Pick)
        if held:
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Escape:
            self.cancel()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.commit()
        elif key == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self._space = True
                self._aim()
        elif key in _ARROWS and picking:
            right, down = _ARROWS[Qt.Key(key)]
            self._ask(lambda: nudge_picked(self._document.plan, self._view.selected, right, down, coarse=shift))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and picking:
            self._ask(lambda: delete_picked(self._document.plan, self._view.selected))
        elif key == Qt.Key.Key_Backspace:
            self.cancel()
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_F):
            self.zoom_to_fit()
        elif text and text in _TYPED and self._gesture.fields:
            self.entry_wanted.emit(0, text)
        elif text.isalpha() and self._gesture.letter(text.upper()):
            self._gesture_moved_on()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the sheet when Space is let go."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._aim()
        else:
            super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Forget a held Space: its release goes elsewhere."""
        super().focusOutEvent(event)
        self._space = False
        self._aim()
