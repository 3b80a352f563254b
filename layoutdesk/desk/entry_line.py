"""The entry line: what is being done, its values in boxes, and where the pointer is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from layoutdesk.desk.canvas.sheet_view import SheetView
from layoutdesk.desk.entry_box import EntryBox
from layoutdesk.desk.entry_note import EntryNote
from layoutdesk.desk.theme import FAMILY, Theme, colour
from layoutdesk.errors import LayoutdeskError
from layoutdesk.gestures.gesture import Field
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState
from layoutdesk.units import format_length

HEIGHT_PX: Final = 56
_SHARES: Final = (1.0, 0.9, 0.8, 0.7, 0.6)
ROOM_PX: Final = 260
"""A sentence about a value needs this much room to be read beside the boxes."""


class EntryLine(QWidget):
    """The line under the sheet, from which a whole plan can be drawn without a mouse.

    Tab goes to the next box, Shift+Tab to the one before, Enter completes the step with the values as they
    stand, Esc gives a typed value up and then leaves. A value that cannot be read is refused in a sentence at
    its box, and stays to be mended.
    """

    def __init__(self, document: Document, view: ViewState, sheet: SheetView, theme: Theme) -> None:
        super().__init__()
        self._document, self._view, self._sheet, self._theme = document, view, sheet, theme
        self._factor = self._lettered = 1.0
        self._boxes: list[EntryBox] = []
        self._shown: tuple[str, ...] = ()
        self._scale = sheet.camera.ratio
        self._cursor: tuple[float, float] | None = None
        self._doing = QLabel()
        self._doing.setObjectName("doing")
        self._note = EntryNote()
        self._over = QLabel(sheet)
        self._over.setWordWrap(True)
        self._over.hide()
        self._place = QLabel()
        self._place.setObjectName("place")
        self._place.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(16, 8, 16, 8)
        self._row.setSpacing(10)
        self._row.addWidget(self._doing)
        self._row.addWidget(self._note, 1)
        self._row.addWidget(self._place)
        self.setAccessibleName("Entry line")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        sheet.gesture_changed.connect(self._on_gesture_changed)
        sheet.cursor_moved.connect(self._on_cursor_moved)
        sheet.scale_changed.connect(self._on_scale_changed)
        sheet.entry_wanted.connect(self._on_entry_wanted)
        self._dress()
        self._on_gesture_changed()
        self._show_place()

    # ---- what others ask

    def set_theme(self, theme: Theme) -> None:
        """Change the dress."""
        self._theme = theme
        self._dress()

    def set_text_scale(self, factor: float) -> None:
        """Make the text larger or smaller."""
        self._factor = factor
        self._dress()

    def focus_field(self, index: int) -> None:
        """Put the cursor into a box, all its text chosen so that typing replaces it."""
        if not self._boxes:
            self._sheet.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        box = self._boxes[index % len(self._boxes)]
        box.setFocus(Qt.FocusReason.TabFocusReason)
        box.selectAll()

    @property
    def boxes(self) -> Sequence[EntryBox]:
        """Return the boxes of the present step, from left to right."""
        return tuple(self._boxes)

    @property
    def sentence(self) -> str:
        """Return the sentence about a value that cannot be read, or nothing."""
        return self._note.sentence

    def sizeHint(self) -> QSize:
        """Return the height of the line."""
        return QSize(600, round(HEIGHT_PX * max(1.0, self._factor)))

    def minimumSizeHint(self) -> QSize:
        """Return a width that the boxes can be fitted into by smaller letters."""
        return QSize(600, self.sizeHint().height())

    # ---- showing

    def _dress(self) -> None:
        theme, small = self._theme, round(14 * self._factor)
        self.setStyleSheet(
            f"EntryLine {{ background: {theme.panel}; }}"
            f"QLabel {{ color: {theme.soft}; font-family: {FAMILY}; font-size: {small}px; }}"
            f"QLabel#doing {{ color: {theme.ink}; font-weight: 600; }}"
        )
        self._note.dress(theme, small)
        self._lettered = self._factor
        self._over.setStyleSheet(
            f"QLabel {{ background: {theme.wrong_wash}; color: {theme.wrong}; border: 1px solid {theme.wrong};"
            f" border-radius: 5px; padding: 6px 10px; font-family: {FAMILY}; font-size: {small}px;"
            f" font-weight: 600; }}"
        )
        for box in self._boxes:
            box.dress(theme, self._factor)
        self._fit()
        self.updateGeometry()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ground of the line."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), colour(self._theme.panel))
        painter.end()

    def _on_gesture_changed(self) -> None:
        """Show the fields of the present step; boxes are kept while their names stay the same."""
        gesture = self._sheet.gesture
        fields = gesture.fields
        names = tuple(f"{f.name}/{f.kind}" for f in fields)
        if names != self._shown:
            self._set_boxes(fields)
            self._shown = names
        plan = self._document.plan
        for box, field in zip(self._boxes, fields, strict=True):
            box.show_field(field, plan.units, plan.rounding)
        if self._doing.text() != gesture.doing:
            self._doing.setText(gesture.doing)
            self._fit()
        self._note.set_hint(gesture.hint)

    def _set_boxes(self, fields: tuple[Field, ...]) -> None:
        """Make the boxes of a new step; a cursor that was in the old ones goes to the first of the new."""
        had = any(box.hasFocus() for box in self._boxes)
        for box in self._boxes:
            self._row.removeWidget(box)
            box.hide()
            box.deleteLater()
        self._say("")
        self._boxes = []
        for k, field in enumerate(fields):
            box = EntryBox(field, self)
            box.dress(self._theme, self._lettered)
            box.changed.connect(self._on_changed)
            box.next_wanted.connect(self._on_next_wanted)
            box.set_wanted.connect(self._on_set_wanted)
            box.leave_wanted.connect(self._on_leave_wanted)
            box.left.connect(self._on_left)
            self._row.insertWidget(1 + k, box)
            box.setVisible(self.isVisible())
            self._boxes.append(box)
        self._name_boxes()
        self._fit()
        if had:
            self.focus_field(0)

    def _name_boxes(self) -> None:
        doing = self._sheet.gesture.doing
        for box in self._boxes:
            box.setAccessibleName(f"{doing} {box.name}")

    def _show_place(self) -> None:
        plan = self._document.plan
        where = ""
        if self._cursor is not None:
            numbers = (format_length(v, plan.units, plan.rounding, pretty=True) for v in self._cursor)
            where = f"cursor {', '.join(numbers)} · "
        self._place.setText(
            f"{where}1 : {self._scale:.3g}" if self._scale < 10 else f"{where}1 : {self._scale:.0f}"
        )
        self._fit()

    def _fit(self) -> None:
        """Keep every box readable: with little room the cursor's place goes first, then letters get smaller."""
        edges = self._row.contentsMargins()
        room = self.width() - edges.left() - edges.right() - self._doing.sizeHint().width()
        room -= (len(self._boxes) + 2) * self._row.spacing()
        self._place.setVisible(not self._boxes or self._needed(1.0) + self._place.sizeHint().width() <= room)
        fits = (share for share in _SHARES if self._needed(share) <= room)
        lettered = self._factor * next(fits, _SHARES[-1])
        if lettered != self._lettered:
            self._lettered = lettered
            for box in self._boxes:
                box.dress(self._theme, lettered)

    def _needed(self, share: float) -> int:
        """Return the least width of all boxes with letters of so much of the text size, in pixels."""
        return sum(box.least_width(self._factor * share) for box in self._boxes)

    def _on_cursor_moved(self, cursor: tuple[float, float] | None) -> None:
        self._cursor = cursor
        self._show_place()

    def _on_scale_changed(self, ratio: float) -> None:
        self._scale = ratio
        self._show_place()

    # ---- typing

    def _on_entry_wanted(self, index: int, text: str) -> None:
        """Take over from the sheet, with what was typed there already."""
        self.focus_field(index)
        if text and self._boxes:
            self._boxes[index % len(self._boxes)].type_first(text)

    def _read(self, box: EntryBox) -> bool:
        """Hand what is typed in a box to the gesture; return whether it could be read."""
        if not box.edited:
            return True
        index = self._boxes.index(box)
        try:
            value = box.value(self._document.plan.units)
            self._sheet.gesture.type_in(index, value)
        except LayoutdeskError as error:
            self._refuse(box, str(error))
            return False
        box.accept()
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the sentence where there is room for it."""
        super().resizeEvent(event)
        self._fit()
        self._say(self._note.sentence)

    def _say(self, sentence: str) -> None:
        """Say what is wrong: in place of the hint, or over the foot of the sheet when the boxes take the room."""
        self._note.set_sentence(sentence)
        over = bool(sentence) and self._note.width() < ROOM_PX
        self._over.setVisible(over)
        if over:
            self._over.setText(f"✕  {sentence}")
            self._over.setFixedWidth(min(560, self._sheet.width() - 24))
            self._over.adjustSize()
            self._over.move(12, self._sheet.height() - self._over.height() - 8)
            self._over.raise_()

    def _refuse(self, box: EntryBox, sentence: str) -> None:
        self._say(sentence)
        box.set_wrong(wrong=True)
        box.setFocus(Qt.FocusReason.OtherFocusReason)
        box.selectAll()  # typing again begins anew

    def _on_changed(self, box: EntryBox) -> None:
        """Let the drawing follow what is being typed, as far as it can be read already."""
        self._say("")
        box.set_wrong(wrong=False)
        try:
            value = box.value(self._document.plan.units)
            self._sheet.gesture.type_in(self._boxes.index(box), value)
        except LayoutdeskError:
            return
        self._sheet.refresh_gesture()

    def _on_next_wanted(self, box: EntryBox, step: int) -> None:
        if not self._read(box):
            return
        index = self._boxes.index(box) + step
        self._sheet.refresh_gesture()
        self.focus_field(index)

    def _on_set_wanted(self, box: EntryBox) -> None:
        """Complete the step; the cursor goes to the first box of the next one."""
        if not all(self._read(one) for one in (*[b for b in self._boxes if b is not box], box)):
            return
        before = self._shown
        if not self._sheet.commit(quietly=True):
            self._say(self._sheet.last_trouble)
            return
        if not self._boxes or self._sheet.rests:
            self._sheet.setFocus(Qt.FocusReason.OtherFocusReason)
        elif self._shown == before or not any(b.hasFocus() for b in self._boxes):
            self.focus_field(0)

    def _on_leave_wanted(self, box: EntryBox) -> None:
        """Give up what was typed here; with nothing typed, go a step back and return to the sheet."""
        self._say("")
        box.set_wrong(wrong=False)
        if box.edited or box.typed:
            box.accept()
            index = self._boxes.index(box)
            self._sheet.gesture.type_in(index, None)
            self._sheet.refresh_gesture()
            box.selectAll()
            return
        self._sheet.setFocus(Qt.FocusReason.OtherFocusReason)
        self._sheet.cancel()

    def _on_left(self, box: EntryBox) -> None:
        """Keep what was typed when the cursor goes elsewhere; what cannot be read is given up."""
        if not box.edited or box not in self._boxes or any(b.hasFocus() for b in self._boxes):
            return
        box.accept()
        box.set_wrong(wrong=False)
        self._say("")
        self._on_gesture_changed()
