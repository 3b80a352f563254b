"""The sheet in the window: it paints the plan, and turns mouse and keys into what gestures understand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
)
from PySide6.QtWidgets import QWidget

from layoutdesk.desk.canvas.crowding import shown_dimensions
from layoutdesk.desk.canvas.fit import fitted, in_sight, including
from layoutdesk.desk.canvas.retype import DimensionEditor
from layoutdesk.desk.canvas.sheet_paper import LIVE_PIERS, SheetPaper
from layoutdesk.desk.theme import Theme
from layoutdesk.errors import LayoutdeskError
from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.gestures.carry import carry_out
from layoutdesk.gestures.catalogue import CATALOGUE, GestureKind
from layoutdesk.gestures.commands import delete_picked, nudge_picked
from layoutdesk.gestures.gesture import Gesture, Outcome, Pointer, Preview
from layoutdesk.gestures.pick import Pick
from layoutdesk.plan.model import Plan, places_of
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

REACH_PX: Final = 6.0
_TYPED: Final = frozenset("0123456789.'\"/-−")
_ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class SheetView(SheetPaper):
    """The sheet with the gesture that is under way on it.

    Signals:
        gesture_changed: another gesture, another step of it, or other live values in its fields.
        cursor_moved: where the pointer is: (station, offset) or (x, y) in mm, None when it left the sheet.
        entry_wanted: the entry line should take over, at this field, with this text typed already.
    """

    gesture_changed = Signal()
    cursor_moved = Signal(object)
    entry_wanted = Signal(int, str)

    def __init__(self, document: Document, view: ViewState, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(document, view, theme, parent)
        self._last_trouble = ""
        self._quiet = False
        self._space = False
        self._kind = CATALOGUE[0]
        self._gesture: Gesture = self._kind.make(document, view)
        self._editor = DimensionEditor(document, self)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Sheet")
        self.setAccessibleDescription("The plan on paper: house at the top, yard below")
        self._stood = _standing(document.plan)
        document.watch(self._on_plan_changed)
        view.watch(self._on_view_changed)

    def _preview(self) -> Preview:
        return self._gesture.preview

    def _on_looked(self) -> None:
        self._editor.close_quietly()
        if self._cursor is not None:
            self._tell_place()

    def _tell_place(self) -> None:
        """Tell where the pointer is now: the sheet may have moved under it."""
        at = self._cursor
        if at is None or not self._area().contains(at):
            self.cursor_moved.emit(None)
            return
        self.cursor_moved.emit(self._bearings.read(self._camera.to_plan(at.x(), at.y())))

    # ---- what others ask of the sheet

    @property
    def gesture(self) -> Gesture:
        """Return the gesture that is under way."""
        return self._gesture

    @property
    def kind(self) -> GestureKind:
        """Return which entry of the catalogue is under way."""
        return self._kind

    def take_up(self, kind: GestureKind) -> None:
        """Begin another gesture; what was drawn whole enough is kept, what was only begun is dropped."""
        self.carry_out(self._gesture.put_down())
        self._kind = kind
        self._gesture = kind.make(self._document, self._view)
        self._editor.close_quietly()
        self._aim()
        self._gesture_moved_on()

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

    def commit(self, *, quietly: bool = False) -> bool:
        """Complete the present step with the values as they stand, as Enter does; return whether it could be.

        With ``quietly`` the sentence about what cannot be done is only kept in :attr:`last_trouble`: for the
        entry line, which shows it at the values.
        """
        before = self._document.plan
        self._quiet = quietly
        done = self._ask(self._gesture.commit)
        self._quiet = False
        if done:
            self._keep_in_sight(before)
        return done

    def cancel(self) -> None:
        """Go a step back, as Esc does; with nothing to leave, Pick takes over."""
        if self._gesture.cancel():
            self._gesture_moved_on()
        else:
            self.take_up(CATALOGUE[0])

    def refresh_gesture(self) -> None:
        """Show a gesture whose typed values have changed."""
        self._gesture_moved_on()

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
        standing = _standing(plan)
        moved, self._stood = standing != self._stood, standing
        if bearings != self._bearings:
            self._bearings = bearings
            turned = self._camera.turned_to(bearings)
            if turned != self._camera:
                self._camera = turned
                if self._follows:
                    self._camera = fitted(self._scene(), plan)
        # Another detail moves no pier, only figures beside a wider one: they are no reason to zoom.
        elif moved and self._may_fit(plan) and not in_sight(self._scene(), plan):
            self.zoom_to_fit()
        self._gesture.plan_changed(plan)
        self._gesture_moved_on()
        if self._cursor is not None:
            self._tell_place()

    def _may_fit(self, plan: Plan) -> bool:
        return self._follows and self._ready and len(plan.piers) <= LIVE_PIERS

    def _keep_in_sight(self, before: Plan) -> None:
        """Zoom out when typed values led beyond the edge of the sheet."""
        places = [p for ghost in self._gesture.preview.ghosts for p in ghost.points]
        if self._document.plan is not before and len(self._view.selected) <= LIVE_PIERS:
            picked = set(self._view.selected)
            places += [p for piece in self._document.plan.pieces() if piece.id in picked for p in places_of(piece)]
        wide = including(self._scene(), places)
        if wide is not self._camera:
            self._look(wide)

    def _on_view_changed(self) -> None:
        self.update()
        self.gesture_changed.emit()

    def _gesture_moved_on(self) -> None:
        self.update()
        self.gesture_changed.emit()

    def _tell(self, sentence: str) -> None:
        self._last_trouble = sentence
        if not self._quiet:
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
        """Begin to pan, complete a stroke with the right button, or hand the press to the gesture."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._editor.close_quietly()
        left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space):
            self._start_pan(event.position())
        elif event.button() == Qt.MouseButton.RightButton:
            if not self.rests:
                self.commit()
        elif left and self._area().contains(event.position()):
            pointer = self._pointer(event)
            self._ask(lambda: self._gesture.pressed(pointer))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan, or let the gesture follow."""
        at = event.position()
        self._cursor = at
        self._pan_to(at)
        pointer = self._pointer(event)
        if self._pan_from is None:
            self._gesture.moved(pointer)
            self._gesture_moved_on()
        self._tell_place()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End panning, or hand the release to the gesture."""
        if self._pan_from is not None and event.button() in (
            Qt.MouseButton.MiddleButton,
            Qt.MouseButton.LeftButton,
        ):
            self._end_pan()
            self._aim()
            self._gesture.moved(self._pointer(event))
            self._gesture_moved_on()
            self._tell_place()
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
        scene, moved = self._still.shown_for(self._scene())
        for placed in shown_dimensions(scene):
            if placed.holds(at - moved):
                middle = (placed.middle + moved).toPoint()
                self._editor.open(placed.group or (placed.dimension,), middle, self._theme)
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
        elif text.isupper() and self._gesture.fields and self._gesture.fields[0].kind == "text":
            self.entry_wanted.emit(0, text)  # the name of a point begins with a capital
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


def _standing(plan: Plan) -> tuple[object, ...]:
    """Return what a plan holds and where it stands, whatever the piers are built to."""
    return (
        *(plan.walls, plan.lines, plan.slabs, plan.keepouts, plan.attachments, plan.controls, plan.spots),
        *(plan.underlays, plan.baseline, plan.bays),
        tuple([pier.at for pier in plan.piers]),
    )
