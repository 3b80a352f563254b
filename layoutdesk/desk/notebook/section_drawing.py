"""A hand on a pier's section: its points are dragged with the mouse or moved with the keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QLineF, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.profile_hand import (
    Hold,
    drag_step,
    holds_of,
    moved,
    snapped,
    with_point,
    without_point,
)
from layoutdesk.desk.notebook.section_view import SectionView
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.session.document import Document
from layoutdesk.units import inches

if TYPE_CHECKING:
    from layoutdesk.plan.model import Detail, Plan

_NEAR: Final = 11.0
_MOVES: Final = {
    Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
    Qt.Key.Key_Left: (0, -1),
    Qt.Key.Key_Right: (0, 1),
}
_KEYS_TOLD: Final = (
    "Drag a point; with Shift its whole straight side goes along. Or with the keys: Page Down and Page Up take a "
    "point, the arrows move it by the smallest step, with Ctrl by an inch or 10 mm, with Shift its side. Insert "
    "adds a level, Delete takes one away, Esc takes the move back."
)
_KEYS: Final = frozenset(
    {
        *_MOVES,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
        Qt.Key.Key_Insert,
        Qt.Key.Key_Delete,
        Qt.Key.Key_Backspace,
    }
)


class SectionDrawing(SectionView):
    """The section of one detail of a document, whose profile can be shaped in it.

    While a point is dragged only the drawing follows; the plan is changed once, when it is let go. Esc takes the
    drag back. A run of keys on one point is one step to undo.

    Signals:
        trouble: a sentence about something that could not be done.
    """

    trouble = Signal(str)

    def __init__(self, document: Document, dress: Dress) -> None:
        super().__init__(dress)
        self._document = document
        self._grip = QPointF()
        self._nudged: tuple[object, Plan] | None = None
        self.setToolTip(_KEYS_TOLD)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    # ---- taking hold

    def place_of(self, key: tuple[str, int]) -> QPointF:
        """Return the pixel of a hold, at the right of the axis."""
        assert self.shown is not None
        at = self.scale()
        hold = next(hold for hold in holds_of(self.shown[0]) if hold.key == key)
        return QPointF(at.x(hold.across), at.y(hold.depth))

    def _under(self, pos: QPointF) -> Hold | None:
        """Return the hold under the mouse, at either side of the axis."""
        if self.shown is None or not self.shown[1].parts:
            return None
        at = self.scale()

        def away(hold: Hold) -> float:
            sides = (-1, 1) if hold.kind == "point" else (1,)
            return min(QLineF(pos, QPointF(at.x(side * hold.across), at.y(hold.depth))).length() for side in sides)

        nearest = min(holds_of(self.shown[0]), key=away)
        return nearest if away(nearest) <= _NEAR else None

    def _take(self, key: tuple[str, int] | None) -> None:
        if key != self.here:
            self._end_nudges()
            self.here = key
            self._tell()
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of what lies under the mouse."""
        hold = self._under(event.position())
        if event.button() != Qt.MouseButton.LeftButton or self.shown is None:
            return
        self._take(hold.key if hold else None)
        if hold is not None:
            at = self.scale()
            side = -1 if hold.kind == "point" and event.position().x() < at.middle else 1
            self._grip = event.position() - QPointF(at.x(side * hold.across), at.y(hold.depth))
            self._dragged, self._held = self.shown, at
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show what could be dragged, or drag it."""
        if self._dragged is None:
            hold = self._under(event.position())
            if hold is not None or not self.hasFocus():
                self._take(hold.key if hold else None)
            self.setCursor(Qt.CursorShape.SizeAllCursor if hold else Qt.CursorShape.ArrowCursor)
            return
        hold, detail = self._hold(), self._detail
        if hold is None or detail is None:
            return
        at = self._held or self.scale()
        place = event.position() - self._grip
        step = drag_step(self._text.step, self._text.units, at.scale)
        began = next(h for h in holds_of(detail) if h.key == hold.key)
        side = -1 if place.x() < at.middle else 1
        depth = _pulled(began.depth, at.depth(place.y()), step)
        width = max(step, _pulled(2 * began.across, 2 * side * at.across(place.x()), step))
        straight = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        self._follow(moved(detail, began, depth, width, straight=straight))

    def _follow(self, detail: Detail) -> None:
        """Draw a detail that is not in the plan yet; one that cannot be is not followed."""
        from layoutdesk.engine.derive import derive

        try:
            plan = edits.replace_detail(self._document.plan, detail)
        except EditError:
            return
        section = derive(plan).section_of(detail.id)
        if section is not None and section.parts:
            self._dragged = detail, section
            self._tell()
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go: the plan takes what is drawn, as one step to undo."""
        if self._dragged is None or event.button() != Qt.MouseButton.LeftButton:
            return
        detail = self._dragged[0]
        self._let_go()
        self._apply(f"Shape {detail.id}", detail)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Let go of what only lay under the mouse."""
        super().leaveEvent(event)
        if self._dragged is None and not self.hasFocus():
            self._take(None)

    def _apply(self, label: str, detail: Detail, merge: object = None) -> None:
        try:
            self._document.apply(label, lambda p: edits.replace_detail(p, detail), merge=merge)
        except EditError as error:
            self.trouble.emit(str(error))

    # ---- keys

    def event(self, event: QEvent) -> bool:
        """Keep the keys of the drawing from the desk's own."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            escapes = event.key() == Qt.Key.Key_Escape and (self.dragging or self._nudged is not None)
            if event.key() in _KEYS or escapes:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, move, add and take away points; take the move back on Esc."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape and (self.dragging or self._nudged is not None):
            self._take_back()
        elif self.dragging or self._detail is None or key not in _KEYS:
            super().keyPressEvent(event)
        elif key in _MOVES:
            self._nudge(*_MOVES[key], event.modifiers())
        elif key == Qt.Key.Key_Insert:
            self._add()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._remove()
        else:
            self._walk(key)

    def _walk(self, key: Qt.Key) -> None:
        assert self._detail is not None
        keys = [hold.key for hold in holds_of(self._detail)]
        if key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self._take(keys[0 if key == Qt.Key.Key_Home else -1])
            return
        step = 1 if key == Qt.Key.Key_PageDown else -1
        now = keys.index(self.here) if self.here in keys else (-1 if step > 0 else 0)
        self._take(keys[(now + step) % len(keys)])

    def _nudge(self, down: int, wider: int, modifiers: Qt.KeyboardModifier) -> None:
        hold, detail = self._hold(), self._detail
        if detail is None:
            return
        if hold is None:
            self._take(("point", len(detail.profile) - 1))
            return
        text = self._text
        large = inches(1) if text.units == "ft-in" else 10.0
        step = max(large, text.step) if modifiers & Qt.KeyboardModifier.ControlModifier else text.step
        depth = hold.depth if not down else snapped(hold.depth, text.step) + down * step
        width = 2 * hold.across if not wider else snapped(2 * hold.across, text.step) + wider * step
        straight = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
        after = moved(detail, hold, depth, max(text.step, width), straight=straight)
        if self._nudged is None:
            self._nudged = object(), self._document.plan
        self._apply(f"Shape {detail.id}", after, self._nudged[0])

    def _end_nudges(self) -> None:
        if self._nudged is not None:
            self._nudged = None
            self._document.end_merge()

    def _take_back(self) -> None:
        """Have the detail as it was before the drag, or before the run of keys."""
        if self._nudged is not None and self._detail is not None:
            (merge, before), self._nudged = self._nudged, None
            old = before.detail(self._detail.id)
            if old is not None:
                self._apply(f"Shape {old.id}", old, merge)
        self._let_go()
        self._tell()
        self.update()

    def _let_go(self) -> None:
        self._dragged = self._held = None

    def _add(self) -> None:
        detail, hold = self._detail, self._hold()
        assert detail is not None
        index = hold.index if hold is not None and hold.kind == "point" else len(detail.profile) - 1
        reach = inches(6) if self._text.units == "ft-in" else 150.0
        self._end_nudges()
        self._apply(f"Another level in {detail.id}", with_point(detail, index, reach))
        self._take(("point", index + 1))

    def _remove(self) -> None:
        detail, hold = self._detail, self._hold()
        assert detail is not None
        if hold is None or hold.kind != "point":
            return
        if len(detail.profile) <= 2:
            self.trouble.emit("A profile has at least two levels: its top and its bottom.")
            return
        self._end_nudges()
        self._apply(f"One level less in {detail.id}", without_point(detail, hold.index))
        self._take(("point", max(0, hold.index - 1)))

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End a run of keys, and a drag that something broke off."""
        super().focusOutEvent(event)
        self._end_nudges()
        self._let_go()
        self._take(None)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that the keys go here."""
        super().focusInEvent(event)
        self.update()


def _pulled(began: float, to: float, step: float) -> float:
    """Return the step that a length is pulled to; one that was not pulled stays as exact as it was typed."""
    return began if abs(to - began) < step / 2 else snapped(to, step)
