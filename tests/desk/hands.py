"""Mouse and keyboard on the sheet and the entry line, as Qt delivers them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.entry_box import EntryBox
from layoutdesk.desk.entry_line import EntryLine
from layoutdesk.desk.theme import LIGHT, Theme
from layoutdesk.geometry.vector import Vector
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState

NONE, SHIFT, ALT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)
LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton


class Bench(QWidget):
    """A sheet with its entry line below it, on one document."""

    def __init__(self, qtbot: QtBot, plan: Plan | None = None, theme: Theme = LIGHT) -> None:
        super().__init__()
        self.qtbot = qtbot
        self.document, self.view = Document(plan), ViewState()
        self.sheet = SheetView(self.document, self.view, theme)
        self.entry = EntryLine(self.document, self.view, self.sheet, theme)
        self.troubles: list[str] = []
        self.sheet.trouble.connect(self.troubles.append)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.sheet, 1)
        column.addWidget(self.entry)
        self.resize(1100, 760)
        qtbot.addWidget(self)
        with qtbot.waitExposed(self):
            self.show()
        self.activateWindow()
        self.sheet.setFocus()
        qtbot.waitUntil(self.sheet.hasFocus)
        qtbot.waitUntil(lambda: self.sheet._ready)

    @property
    def plan(self) -> Plan:
        return self.document.plan

    def take_up(self, name: str) -> Bench:
        self.sheet.take_up(next(k for k in CATALOGUE if k.name == name))
        return self

    # ---- mouse

    def at(self, place: Vector) -> QPointF:
        """Return the pixel of a place."""
        return self.sheet.camera.to_screen(place)

    def send(
        self,
        kind: QEvent.Type,
        at: QPointF,
        button: Qt.MouseButton = LEFT,
        keys: Qt.KeyboardModifier = NONE,
    ) -> None:
        """Deliver one mouse event to the sheet."""
        pressed = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else button
        there = self.sheet.mapToGlobal(at)
        QApplication.sendEvent(self.sheet, QMouseEvent(kind, at, there, pressed, pressed, keys))

    def move_px(self, at: QPointF, keys: Qt.KeyboardModifier = NONE) -> None:
        self.send(QEvent.Type.MouseMove, at, keys=keys)

    def click(self, place: Vector, keys: Qt.KeyboardModifier = NONE) -> Bench:
        at = self.at(place)
        self.move_px(at, keys)
        self.send(QEvent.Type.MouseButtonPress, at, keys=keys)
        self.send(QEvent.Type.MouseButtonRelease, at, keys=keys)
        return self

    def double_click(self, at: QPointF) -> None:
        self.move_px(at)
        self.send(QEvent.Type.MouseButtonPress, at)
        self.send(QEvent.Type.MouseButtonRelease, at)
        self.send(QEvent.Type.MouseButtonDblClick, at)
        self.send(QEvent.Type.MouseButtonRelease, at)

    def drag_px(
        self, start: QPointF, end: QPointF, button: Qt.MouseButton = LEFT, keys: Qt.KeyboardModifier = NONE
    ) -> None:
        self.move_px(start, keys)
        self.send(QEvent.Type.MouseButtonPress, start, button, keys)
        for k in range(1, 6):
            self.move_px(start + (end - start) * (k / 5), keys)
            self.sheet.repaint()
        self.send(QEvent.Type.MouseButtonRelease, end, button, keys)

    def drag(self, start: Vector, end: Vector, keys: Qt.KeyboardModifier = NONE) -> Bench:
        self.drag_px(self.at(start), self.at(end), keys=keys)
        return self

    def wheel(self, at: QPointF, notches: int) -> None:
        event = QWheelEvent(
            at,
            self.sheet.mapToGlobal(at),
            QPoint(),
            QPoint(0, 120 * notches),
            Qt.MouseButton.NoButton,
            NONE,
            Qt.ScrollPhase.NoScrollPhase,
            False,  # noqa: FBT003 - Qt's own signature
        )
        QApplication.sendEvent(self.sheet, event)

    # ---- keys

    def key(self, key: Qt.Key, keys: Qt.KeyboardModifier = NONE) -> Bench:
        """Press a key wherever the cursor is."""
        target = QApplication.focusWidget()
        assert target is not None
        self.qtbot.keyClick(target, key, keys)
        return self

    def type(self, text: str) -> Bench:
        """Type text wherever the cursor is, each character where the one before led to."""
        for character in text:
            target = QApplication.focusWidget()
            assert target is not None
            self.qtbot.keyClicks(target, character)
        return self

    def enter(self, *texts: str) -> Bench:
        """Type texts into the boxes from the first, with Tab between them, and press Enter."""
        for k, text in enumerate(texts):
            if k:
                self.key(Qt.Key.Key_Tab)
            if text:
                self.type(text)
        return self.key(Qt.Key.Key_Return)

    def box(self, name: str) -> EntryBox:
        return next(b for b in self.entry.boxes if b.name == name)
