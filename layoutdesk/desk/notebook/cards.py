"""Cards: one big number to a question, rows of values, and flags as sentences."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress, Tone, label, set_tone
from layoutdesk.desk.signs import draw_sign
from layoutdesk.engine.layout import Flag, Severity


class BigNumber(QFrame):
    """A card with a caption and one big number."""

    def __init__(self, caption: str) -> None:
        super().__init__()
        self.setProperty("card", "plain")
        self.caption = label(caption, "caption", "soft", wrap=True)
        self.number = label("–", "big")
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 7, 12, 8)
        box.setSpacing(1)
        box.addWidget(self.caption)
        box.addWidget(self.number)

    def show_number(self, text: str) -> None:
        """Show a number."""
        self.number.setText(text)
        self.setAccessibleName(f"{self.caption.text()}: {text}")


class Heading(QWidget):
    """A heading, and at the right a few soft words about it."""

    def __init__(self, text: str, aside: str = "", *, title: bool = False) -> None:
        super().__init__()
        self.text = label(text, "title" if title else "heading", wrap=True)
        self.aside = label(aside, "body", "soft", wrap=True)
        self.aside.setVisible(bool(aside))
        self.aside.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom)
        self.text.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0 if title else 6, 0, 0)
        box.setSpacing(10)
        box.addWidget(self.text, 1 if title else 2)
        box.addWidget(self.aside, 1 if title else 3)

    def set_text(self, text: str, aside: str = "", tone: Tone = "soft") -> None:
        """Show another heading."""
        self.text.setText(text)
        self.aside.setText(aside)
        self.aside.setVisible(bool(aside))
        set_tone(self.aside, tone)


class ValueRow(QWidget):
    """A name at the left and its value at the right, in a line of a card."""

    def __init__(self, letter: str = "") -> None:
        super().__init__()
        self.letter = label(letter, "number", "check")
        self.letter.setVisible(bool(letter))
        self.name = label("", "body", "soft", wrap=True)
        self.value = label("", "number")
        self.value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(10)
        box.addWidget(self.letter)
        box.addWidget(self.name, 1)
        box.addWidget(self.value)

    def set_values(self, name: str, value: str, tone: Tone = "plain") -> None:
        """Show a name and a value."""
        self.name.setText(name)
        self.value.setText(value)
        set_tone(self.value, tone)


class Card(QFrame):
    """A rounded card with widgets one below the other."""

    def __init__(self, *widgets: QWidget) -> None:
        super().__init__()
        self.setProperty("card", "plain")
        self.box = QVBoxLayout(self)
        self.box.setContentsMargins(12, 8, 12, 8)
        self.box.setSpacing(7)
        for w in widgets:
            self.box.addWidget(w)


def side_by_side(*widgets: QWidget) -> QWidget:
    """Return widgets of equal width next to each other."""
    row = QWidget()
    box = QHBoxLayout(row)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(8)
    for w in widgets:
        box.addWidget(w, 1)
    return row


def stacked(*widgets: QWidget, spacing: int = 6) -> QWidget:
    """Return widgets one below the other."""
    column = QWidget()
    box = QVBoxLayout(column)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(spacing)
    for w in widgets:
        box.addWidget(w)
    return column


def sentence(text: str = "", tone: Tone = "soft") -> QLabel:
    """Return running text in the small size."""
    made = label(text, "caption", tone, wrap=True)
    made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    return made


class Sentences(QWidget):
    """Sentences one below the other, as many as there are."""

    def __init__(self) -> None:
        super().__init__()
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(5)
        self.labels: list[QLabel] = []

    def show_sentences(self, sentences: Sequence[str]) -> None:
        """Show sentences."""
        while len(self.labels) < len(sentences):
            self.labels.append(sentence(tone="plain"))
            self._box.addWidget(self.labels[-1])
        for k, one in enumerate(self.labels):
            one.setVisible(k < len(sentences))
            one.setText(sentences[k] if k < len(sentences) else "")
        self.setVisible(bool(sentences))


class Sign(QWidget):
    """The sign of a severity."""

    def __init__(self, severity: Severity, dress: Dress) -> None:
        super().__init__()
        self._severity, self._dress = severity, dress
        self.setFixedSize(20, 19)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the sign."""
        draw_sign(QPainter(self), QRectF(self.rect()), self._severity, self._dress.theme)


class FlagCard(QFrame):
    """A flag: its sign, its title, its sentence. Pressing it picks the pieces that it is about.

    Signals:
        pressed: the ids of those pieces.
    """

    pressed = Signal(object)

    def __init__(self, flag: Flag, dress: Dress) -> None:
        super().__init__()
        self.flag = flag
        self.setProperty("card", {"error": "wrong", "warning": "look", "note": "note"}[flag.severity])
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(f"{flag.severity}: {flag.title}")
        self.setAccessibleDescription(flag.text)
        if flag.about:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        box = QHBoxLayout(self)
        box.setContentsMargins(10, 9, 12, 10)
        box.setSpacing(10)
        box.addWidget(Sign(flag.severity, dress), 0, Qt.AlignmentFlag.AlignTop)
        box.addWidget(stacked(label(flag.title, "number", wrap=True), sentence(flag.text), spacing=2), 1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Pick the pieces."""
        super().mousePressEvent(event)
        self.pressed.emit(self.flag.about)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Pick the pieces on Space or Enter."""
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.pressed.emit(self.flag.about)
        else:
            super().keyPressEvent(event)


class FlagList(QWidget):
    """The flags of a stage, the first few as cards and the rest counted.

    Signals:
        pressed: the ids of the pieces that the pressed flag is about.
    """

    pressed = Signal(object)
    MOST = 12

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self._shown: tuple[Flag, ...] = ()
        self._cards: list[QWidget] = []
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(7)
        self.setVisible(False)

    def show_flags(self, flags: tuple[Flag, ...]) -> None:
        """Show flags, errors first as they come."""
        if flags == self._shown:
            return
        self._shown = flags
        for old in self._cards:
            self._box.removeWidget(old)
            old.deleteLater()
        self._cards = []
        for flag in flags[: self.MOST]:
            card = FlagCard(flag, self._dress)
            card.pressed.connect(self.pressed)
            self._cards.append(card)
        if len(flags) > self.MOST:
            self._cards.append(sentence(f"and {len(flags) - self.MOST} more, which show when these are mended"))
        for shown in self._cards:
            self._box.addWidget(shown)
        self.setVisible(bool(flags))

    def sizeHint(self) -> QSize:
        """Return the room that the cards want."""
        return self._box.sizeHint()
