"""One box of the entry line: its label inside at the left, its live value at the right."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from layoutdesk.desk.theme import FAMILY, Theme, colour
from layoutdesk.errors import LayoutdeskError
from layoutdesk.gestures.gesture import Field, Value
from layoutdesk.units import (
    Units,
    format_exact,
    format_length,
    parse_angle,
    parse_length,
    parse_lengths,
)

PADDING: Final = 10
STEP_PX: Final = 18
"""The width of a mark that is clicked to step through values."""
_LEAST: Final = {"length": "88.888 m", "lengths": "88 @ 8.888 m", "angle": "188.88°", "count": "888"}
"""What must be readable in a box at the least, by kind."""
_WIDTHS: Final = {
    "length": 152,
    "lengths": 232,
    "angle": 124,
    "count": 122,
    "text": 140,
    "choice": 96,
    "chain": 420,
}


class EntryBox(QLineEdit):
    """Shows a field of a gesture and takes what is typed for it.

    The value follows the gesture until something is typed; it is then the person's, until Tab or Enter hands
    it over or Esc gives it up. A choice is stepped with the up and down keys, or by its first letters.

    Signals:
        changed: something was typed; carries the box.
        next_wanted: Tab (1) or Shift+Tab (-1); carries the box and the step.
        set_wanted: Enter; carries the box.
        leave_wanted: Esc; carries the box.
        left: the cursor went elsewhere; carries the box.
    """

    changed = Signal(object)
    next_wanted = Signal(object, int)
    set_wanted = Signal(object)
    leave_wanted = Signal(object)
    left = Signal(object)

    def __init__(self, field: Field, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = field.name
        self.edited = False
        self.typed = field.typed
        self._field = field
        self._theme: Theme | None = None
        self._wrong = False
        self._factor = 1.0
        self._usual = _WIDTHS[field.kind]
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.setMaxLength(400 if field.kind in {"lengths", "chain"} else 80)
        if field.kind == "choice":
            self.setToolTip("Up and down keys choose: " + ", ".join(field.options))
        if field.kind == "lengths":
            self.setToolTip("Lengths one after the other; a number and @ before one repeats it")
        if field.kind == "chain":
            self.setToolTip("The numbers of a chain with commas between them, then = and the overall dimension")
        self.textEdited.connect(self._on_edited)

    # ---- showing

    def dress(self, theme: Theme, factor: float) -> None:
        """Change colours and size."""
        self._theme, self._factor = theme, factor
        edge = theme.wrong if self._wrong else theme.edge
        lit = theme.wrong if self._wrong else theme.work
        room = self._label_width(factor)
        self.setStyleSheet(
            f"QLineEdit {{ background: {theme.field}; color: {theme.ink}; border: 1px solid {edge};"
            f" border-radius: 6px; padding-left: {PADDING}px; padding-right: {PADDING}px; font-family: {FAMILY};"
            f" font-size: {round(16 * factor)}px; font-weight: 700;"
            f" selection-background-color: {theme.work}; selection-color: {theme.work_ink}; }}"
            f"QLineEdit:focus {{ border: 2px solid {lit}; padding-left: {PADDING - 1}px;"
            f" padding-right: {PADDING - 1}px; }}"
        )
        self.setTextMargins(room + 10, 0, self._room_for_marks(factor), 0)
        self._usual = self._usual_width(factor)
        least = self.least_width(factor)
        self.setMinimumWidth(least)
        self.setMaximumWidth(max(self._usual, room + 90, least))
        self.update()

    def _label_font(self, factor: float) -> QFont:
        font = self.font()
        font.setFamily(FAMILY)
        font.setPixelSize(round(13 * factor))
        font.setWeight(font.Weight.Normal)
        return font

    def _label_width(self, factor: float) -> int:
        return round(QFontMetricsF(self._label_font(factor)).horizontalAdvance(self.name))

    def _value_width(self, factor: float, texts: Iterable[str]) -> float:
        """Return the width of the longest of some values, in pixels."""
        font = self.font()
        font.setFamily(FAMILY)
        font.setPixelSize(round(16 * factor))
        font.setWeight(font.Weight.Bold)
        metrics = QFontMetricsF(font)
        return max((metrics.horizontalAdvance(text) for text in texts), default=0.0)

    def least_width(self, factor: float) -> int:
        """Return the width below which a value could no longer be read beside the label, in pixels."""
        values = self._field.options or (_LEAST.get(self._field.kind, "888"),)
        around = self._label_width(factor) + 2 * PADDING + 18 + self._room_for_marks(factor)
        return around + round(self._value_width(factor, values))

    def sizeHint(self) -> QSize:
        """Return the usual size of a box of this kind."""
        return QSize(self._usual, round(36 * self._factor))

    def _usual_width(self, factor: float) -> int:
        """Return the width that shows every usual value beside the label, in pixels."""
        longest = round(self._value_width(factor, self._field.options))
        beside = self._label_width(factor) + 2 * PADDING + 20 + self._room_for_marks(factor)
        return max(round(_WIDTHS[self._field.kind] * factor), beside + longest)

    def set_wrong(self, *, wrong: bool) -> None:
        """Show whether the value cannot be read."""
        if wrong != self._wrong and self._theme is not None:
            self._wrong = wrong
            self.dress(self._theme, self._factor)

    def show_field(self, field: Field, units: Units, rounding: float) -> None:
        """Show the live value, unless the person is typing another."""
        self._field, self.typed = field, field.typed
        if self.edited:
            return
        text = value_text(field, units, rounding, pretty=not self.hasFocus())
        if text != self.text():
            chosen = self.hasSelectedText() and len(self.selectedText()) == len(self.text())
            self.setText(text)
            if not self.hasFocus():
                self.home(False)  # noqa: FBT003 - Qt's own signature
            elif chosen or not self.isModified():
                self.selectAll()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box, its label inside at the left, and an arrow pair where it offers a choice."""
        super().paintEvent(event)
        if self._theme is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._label_font(self._factor))
        painter.setPen(colour(self._theme.soft))
        painter.drawText(
            QRectF(PADDING + 1, 0, self.width(), self.height()),
            int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft),
            self.name,
        )
        if self.typed and not self.edited:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour(self._theme.work))
            painter.drawRoundedRect(QRectF(4, self.height() - 6, self.width() - 8, 2), 1, 1)
        self._paint_marks(painter, self._theme)
        painter.end()

    def _room_for_marks(self, factor: float) -> int:
        """Return the room at the right for what is clicked to step through values, in pixels."""
        marks = {"choice": 1, "count": 2}.get(self._field.kind, 0)
        return round(marks * STEP_PX * factor)

    def _paint_marks(self, painter: QPainter, theme: Theme) -> None:
        """Paint a hook that opens the next choice, or minus and plus beside a count."""
        step, middle = STEP_PX * self._factor, self.height() / 2
        arm = 4 * self._factor
        mark = QPen(colour(theme.soft), 1.6 * self._factor)
        mark.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(mark)
        x = self.width() - PADDING - step / 2 + 3
        if self._field.kind == "choice":
            painter.drawPolyline(
                [QPointF(x + dx * arm, middle + dy * arm) for dx, dy in ((-1, -0.5), (0, 0.5), (1, -0.5))]
            )
        elif self._field.kind == "count":
            painter.drawLine(QPointF(x - arm, middle), QPointF(x + arm, middle))
            painter.drawLine(QPointF(x, middle - arm), QPointF(x, middle + arm))
            painter.drawLine(QPointF(x - step - arm, middle), QPointF(x - step + arm, middle))

    # ---- typing

    def type_first(self, text: str) -> None:
        """Begin with a first character that was typed on the sheet."""
        self.setText(text)
        self._on_edited()

    def _on_edited(self) -> None:
        self.edited = True
        self.changed.emit(self)

    def accept(self) -> None:
        """Let the gesture's value show again."""
        self.edited = False
        self.setModified(False)

    def value(self, units: Units) -> Value:
        """Return what is typed, in millimetres or degrees or as text.

        Raises:
            LengthError: when it cannot be read.
        """
        text = self.text()
        match self._field.kind:
            case "length":
                return parse_length(text, units)
            case "lengths":
                return parse_lengths(text, units)
            case "angle":
                return parse_angle(text)
            case "count":
                return _count(text)
            case _:
                return text.strip()

    def event(self, event: QEvent) -> bool:
        """Take Tab, Enter and Esc before the window's own use of them."""
        if isinstance(event, QKeyEvent) and event.type() in (QEvent.Type.KeyPress, QEvent.Type.ShortcutOverride):
            keys = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)
            if event.key() in keys:
                event.accept()
                if event.type() == QEvent.Type.KeyPress:
                    self._special(Qt.Key(event.key()))
                return True
        return super().event(event)

    def _special(self, key: Qt.Key) -> None:
        if key == Qt.Key.Key_Tab:
            self.next_wanted.emit(self, 1)
        elif key == Qt.Key.Key_Backtab:
            self.next_wanted.emit(self, -1)
        elif key == Qt.Key.Key_Escape:
            self.leave_wanted.emit(self)
        else:
            self.set_wanted.emit(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step through a choice with the up and down keys, or by a first letter."""
        options = self._field.options
        if self._field.kind == "count" and event.key() in {Qt.Key.Key_Up, Qt.Key.Key_Down}:
            self._step(1 if event.key() == Qt.Key.Key_Up else -1)
            return
        if self._field.kind == "choice" and options:
            if event.key() in {Qt.Key.Key_Down, Qt.Key.Key_Right}:
                self._step(1)
                return
            if event.key() in {Qt.Key.Key_Up, Qt.Key.Key_Left}:
                self._step(-1)
                return
            now = str(self._field.value)
            index = options.index(now) if now in options else 0
            letter = event.text().lower()
            if letter.strip():
                later = (*options[index + 1 :], *options[: index + 1])
                found = next((o for o in later if o.lower().startswith(letter)), None)
                if found is not None:
                    self._pick(found)
                return
        super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the next choice on a click; in other boxes choose all, so that typing replaces it."""
        fresh = not self.hasFocus()
        super().mousePressEvent(event)
        plus = self.width() - PADDING - STEP_PX * self._factor + 3
        if event.button() != Qt.MouseButton.LeftButton:
            return
        if self._field.kind == "choice":
            self._step(1)
        elif self._field.kind == "count" and event.position().x() > plus - STEP_PX * self._factor:
            self._step(1 if event.position().x() > plus else -1)
        elif fresh:
            self.selectAll()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step through a choice or a count with the wheel."""
        if self._field.kind in {"choice", "count"}:
            up = event.angleDelta().y() > 0
            self._step(1 if up == (self._field.kind == "count") else -1)
            event.accept()
        else:
            super().wheelEvent(event)

    def _step(self, by: int) -> None:
        """Take the next choice, or one more or one less."""
        options = self._field.options
        if self._field.kind == "choice" and options:
            now = str(self._field.value)
            index = options.index(now) if now in options else -1
            self._pick(options[(index + by) % len(options)])
        elif self._field.kind == "count":
            self._pick(str(max(1, int(self._field.value) + by)))  # type: ignore[arg-type]

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the cursor went elsewhere in the window."""
        super().focusOutEvent(event)
        self.deselect()
        if event.reason() != Qt.FocusReason.ActiveWindowFocusReason:
            self.left.emit(self)

    def _pick(self, option: str) -> None:
        self.setText(option)
        self.changed.emit(self)
        self.selectAll()


def _count(text: str) -> float:
    try:
        return int(text.strip())
    except ValueError:
        raise CountError(text) from None


class CountError(LayoutdeskError, ValueError):
    """A count that is no whole number."""

    def __init__(self, text: str) -> None:
        super().__init__(f"“{text[:40]}” is no whole number; type for example 3")


def value_text(field: Field, units: Units, rounding: float, *, pretty: bool) -> str:
    """Return a field's value as its box shows it: typed values exactly, live ones to the tape's step.

    A box that is being typed in shows plain marks, which every keyboard has.
    """
    value = field.value
    match field.kind:
        case "length":
            return _length_text(float(value), units, rounding, exact=field.typed, pretty=pretty)  # type: ignore[arg-type]
        case "lengths":
            return _list_text(value if isinstance(value, tuple) else (), units, rounding, pretty=pretty)
        case "angle":
            return f"{float(value):.10g}°" if field.typed else f"{float(value):.2f}°"  # type: ignore[arg-type]
        case "count":
            return str(int(value))  # type: ignore[arg-type]
        case _:
            return str(value)


def _length_text(mm: float, units: Units, rounding: float, *, exact: bool, pretty: bool) -> str:
    shown = format_length(mm, units, rounding, pretty=pretty)
    if not exact or parse_length(shown, units) == mm:
        return shown
    whole = format_exact(mm, units)
    return whole if len(whole) <= 20 else shown


def _list_text(values: tuple[float, ...], units: Units, rounding: float, *, pretty: bool) -> str:
    """Return lengths with repeats gathered: ``8' 0", 3 @ 6' 0"``."""
    pieces: list[tuple[int, str]] = []
    for value in values:
        text = format_length(value, units, rounding, pretty=pretty)
        if pieces and pieces[-1][1] == text:
            pieces[-1] = (pieces[-1][0] + 1, text)
        else:
            pieces.append((1, text))
    return ", ".join(text if n == 1 else f"{n} @ {text}" for n, text in pieces)
