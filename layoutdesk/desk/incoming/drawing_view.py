"""The drawing as it came, on paper: looked at, pointed at, picked."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.incoming.hand import paint_doubt, paint_measured, paint_picked, paint_pointed, signs
from layoutdesk.desk.incoming.painting import MOST_GLOWING, View
from layoutdesk.desk.incoming.still import StillPicture
from layoutdesk.desk.incoming.things import Geometry, Things
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.session.incoming import Arrival, Doubt, Incoming

REACH_PX: Final = 7.0
DOUBT_PX: Final = 14.0
MARGIN_PX: Final = 46.0
_PAN_PX: Final = 60.0
_NEAR: Final = 1.25
_PANS: Final = {
    Qt.Key.Key_Left: (_PAN_PX, 0.0),
    Qt.Key.Key_Right: (-_PAN_PX, 0.0),
    Qt.Key.Key_Up: (0.0, _PAN_PX),
    Qt.Key.Key_Down: (0.0, -_PAN_PX),
}


class DrawingView(QWidget):
    """Shows what waits to be taken in; pan with wheel and keys, press to pick, drag a box to pick more.

    Signals:
        letter: a letter was typed on the drawing.
        measured: two points of the drawing were pressed, so many drawing units apart; None when that was given up.
        looked: the scale at which it is looked at has changed.
    """

    letter = Signal(str)
    measured = Signal(object)
    looked = Signal()

    def __init__(self, incoming: Incoming, dress: Dress) -> None:
        super().__init__()
        self._incoming, self._dress = incoming, dress
        self._geometry: Geometry | None = None
        self._things: Things | None = None
        self._camera = Camera()
        self._fitted = False
        self._still = StillPicture(self)
        self._pan_from: QPointF | None = None
        self._press: QPointF | None = None
        self._box: QRectF | None = None
        self._space = False
        self._ends: list[Vector] | None = None
        self._cursor: Vector | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 180)
        self.setAccessibleName("The drawing that came in")
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        incoming.watch(self._on_incoming)
        dress.changed.connect(self.update)

    @property
    def things(self) -> Things | None:
        """Return what is shown."""
        return self._things

    @property
    def camera(self) -> Camera:
        """Return how it is looked at."""
        return self._camera

    @property
    def measuring(self) -> bool:
        """Return whether two points are being pressed whose distance will be told."""
        return self._ends is not None

    # ---- what is shown

    def _on_incoming(self) -> None:
        arrival = self._incoming.arrival
        if arrival is None:
            self._things = self._geometry = self._ends = None
            self._still.forget()
            self._fitted = False
        elif self._things is None or self._things.arrival.proposal is not arrival.proposal:
            self._take(arrival)
        self.update()

    def _take(self, arrival: Arrival) -> None:
        before = self._things
        if self._geometry is None or self._geometry.linework is not arrival.linework:
            self._geometry, self._fitted = Geometry(arrival.linework), False
        elif arrival.linework is None and before is not None and _places(before.arrival) != _places(arrival):
            self._geometry, self._fitted = Geometry(None), False  # another list of points; none has lines
        after = None if before is None or before.geometry is not self._geometry else before.chosen(arrival)
        self._things = after or Things(self._geometry, arrival)
        if before is not None and (before.scale, before.shift) != (self._things.scale, self._things.shift):
            self._fitted = False

    def zoom_to_fit(self) -> None:
        """Show the whole drawing."""
        if self._things is not None:
            self._fit(self._things.extent())

    def _fit(self, places: list[Vector]) -> None:
        wide, high = (max(40.0, side - 2 * MARGIN_PX) for side in (self.width(), self.height()))
        self._fitted = True
        self._look(self._camera.fitted(places, wide, high))

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Look from nearer, about a pixel or the middle."""
        held = at or QPointF(self.width() / 2, self.height() / 2)
        self._fitted = True
        self._look(self._camera.zoomed(factor, held.x(), held.y()))

    def show_place(self, at: Vector) -> None:
        """Bring a place into the middle, near enough to see what is there."""
        self._fitted = True
        self._look(replace(self._camera, centre=at, scale=max(self._camera.scale, 0.12)))

    def measure(self) -> None:
        """Have two points pressed whose distance will be told."""
        self._ends = []
        self._incoming.hover(None)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setFocus()
        self.update()

    def stop_measuring(self) -> None:
        """Give up pressing two points."""
        if self._ends is not None:
            self._ends = None
            self.unsetCursor()
            self.measured.emit(None)
            self.update()

    def _look(self, camera: Camera) -> None:
        self._camera = camera
        self.looked.emit()
        self.update()

    # ---- painting

    def _view(self) -> View | None:
        if self._things is None:
            return None
        area = QRectF(self.rect())
        return View(
            self._things,
            self._camera,
            self._dress.theme,
            area,
            self.devicePixelRatioF(),
            self._dress.scale,
            self._incoming.picked if len(self._incoming.picked) > MOST_GLOWING else frozenset(),
        )

    def paintEvent(self, _: QPaintEvent) -> None:
        """Show the picture that stands still, and over it what follows the hand."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._things is not None and not self._fitted:
            self._fit(self._things.main_extent())
        view = self._view()
        if view is None:
            painter.fillRect(self.rect(), colour(self._dress.theme.paper))
            return
        self._still.show(painter, view)
        self._follow_hand(painter, view)
        painter.setPen(QPen(colour(self._dress.theme.work if self.hasFocus() else self._dress.theme.edge), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def _follow_hand(self, painter: QPainter, view: View) -> None:
        incoming, theme = self._incoming, view.theme
        if 0 < len(incoming.picked) <= MOST_GLOWING:
            paint_picked(painter, view, incoming.picked)
        if incoming.hovered is not None and incoming.hovered < len(view.things.candidates):
            paint_pointed(painter, view, incoming.hovered)
        for doubt, where in signs(view):
            paint_doubt(painter, view, where, doubt.severity, lit=doubt is incoming.doubt)
        if self._ends is not None:
            paint_measured(painter, view, self._ends, self._cursor)
        if self._box is not None:
            painter.setPen(QPen(colour(theme.work), 1.2, Qt.PenStyle.DashLine))
            painter.setBrush(colour(theme.work, 0.08))
            painter.drawRect(self._box)

    # ---- the hand

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle."""
        super().resizeEvent(event)
        self._camera = replace(self._camera, middle=(self.width() / 2, self.height() / 2))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer; with Shift or sideways, push the paper."""
        way = event.angleDelta()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier or abs(way.x()) > abs(way.y()):
            self._fitted = True
            self._look(self._camera.panned((way.x() or way.y()) / 2, 0.0))
        else:
            self.zoom_by(1.15 ** (way.y() / 120), event.position())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to push the paper, to drag a box, or press a point."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space):
            self._pan_from = event.position()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif left and self._ends is not None:
            self._press_end(event.position())
        elif left:
            self._press = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Push, stretch the box, or point."""
        at = event.position()
        if self._pan_from is not None:
            by = at - self._pan_from
            self._pan_from = at
            self._fitted = True
            self._look(self._camera.panned(by.x(), by.y()))
        elif self._press is not None:
            away = (at - self._press).manhattanLength() > QApplication.startDragDistance()
            if self._box is not None or away:
                self._box = QRectF(self._press, at).normalized()
                self.update()
        elif self._ends is not None:
            self._cursor = self._snapped(at)
            self.update()
        else:
            self._point(at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Pick what the box holds, or what was pressed; Shift adds."""
        if self._pan_from is not None:
            self._pan_from = None
            self._aim()
            return
        if event.button() != Qt.MouseButton.LeftButton or self._press is None:
            return
        add = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        box, self._box, self._press = self._box, None, None
        if self._things is None:
            return
        if box is not None:
            a = self._camera.to_plan(box.left(), box.bottom())
            b = self._camera.to_plan(box.right(), box.top())
            self._incoming.pick(self._things.inside(a, b), add=add)
        else:
            found = self._things.at(self._place(event.position()), REACH_PX / self._camera.scale)
            if found is not None or not add:
                self._incoming.pick(() if found is None else (found,), add=add)
        self.update()

    def _place(self, at: QPointF) -> Vector:
        return self._camera.to_plan(at.x(), at.y())

    def _point(self, at: QPointF) -> None:
        if self._things is None:
            return
        place = self._place(at)
        doubt = self._doubt_at(at)
        found = None if doubt else self._things.at(place, REACH_PX / self._camera.scale)
        self._incoming.hover(found, doubt)

    def _doubt_at(self, at: QPointF) -> Doubt | None:
        view = self._view()
        stand = signs(view) if view else []
        return next((d for d, where in stand if (where - at).manhattanLength() <= 1.4 * DOUBT_PX), None)

    def _snapped(self, at: QPointF) -> Vector:
        place = self._place(at)
        found = self._things.nearest_corner(place, 12 / self._camera.scale) if self._things else None
        return found or place

    def _press_end(self, at: QPointF) -> None:
        assert self._ends is not None
        place = self._snapped(at)
        if self._ends and distance(self._ends[0], place) <= 0:
            return
        self._ends.append(place)
        self.update()
        if len(self._ends) == 2 and self._things is not None:
            apart = distance(*self._ends) / self._things.scale
            self._ends = None
            self.unsetCursor()
            self.measured.emit(apart)

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing."""
        super().leaveEvent(event)
        self._cursor = None
        self._incoming.hover(None)
        self.update()

    # ---- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Push, look nearer, walk through the things, give up, or hand a letter on."""
        key, text = Qt.Key(event.key()), event.text()
        held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier)
        if held:
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Space:
            self._space = True
            self._aim()
        elif key in _PANS:
            self._fitted = True
            self._look(self._camera.panned(*_PANS[key]))
        elif text in {"+", "="}:
            self.zoom_by(_NEAR)
        elif text == "-":
            self.zoom_by(1 / _NEAR)
        elif key == Qt.Key.Key_Home:
            self.zoom_to_fit()
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            self._walk(1 if key == Qt.Key.Key_PageDown else -1)
        elif key == Qt.Key.Key_Escape:
            if self._ends is not None:
                self.stop_measuring()
            else:
                self._incoming.pick(())
        elif key == Qt.Key.Key_Delete:
            self.letter.emit("N")
        elif len(text) == 1 and text.isalpha():
            self.letter.emit(text.upper())
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the paper."""
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

    def _walk(self, step: int) -> None:
        """Pick the next thing that becomes something, and bring it into sight."""
        if self._things is None or not self._things.becoming:
            return
        order = [int(k) for indices in self._things.becoming.values() for k in indices]
        now = next(iter(self._incoming.picked), None) if len(self._incoming.picked) == 1 else None
        at = order.index(now) + step if now in order else 0
        chosen = order[at % len(order)]
        self._incoming.pick((chosen,))
        self._incoming.hover(chosen)
        centre = self._things.candidates[chosen].centre
        if not QRectF(self.rect()).adjusted(40, 40, -40, -40).contains(self._camera.to_screen(centre)):
            self.show_place(centre)

    def _aim(self) -> None:
        if self._pan_from is None:
            if self._ends is not None:
                self.setCursor(Qt.CursorShape.CrossCursor)
            elif self._space:
                self.setCursor(Qt.CursorShape.OpenHandCursor)
            else:
                self.unsetCursor()

    def sizeHint(self) -> QSize:
        """Return a size like the sheet's."""
        return QSize(700, 600)


def _places(arrival: Arrival) -> list[Vector]:
    return [c.centre for c in arrival.proposal.candidates]
