"""The middle of the page: the drawing, a line that says what is pointed at, and what picked things can be made."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout

from layoutdesk.desk.dress import Dress, label, set_tone
from layoutdesk.desk.incoming.drawing_view import DrawingView
from layoutdesk.desk.incoming.words import LETTERS, WHAT, about_thing
from layoutdesk.desk.incoming.wrap_row import WrapRow
from layoutdesk.desk.tool_strip import word_button
from layoutdesk.importers.proposal import BECOMES, Becomes
from layoutdesk.session.incoming import Incoming

_NEARER: Final = 1.4
_HINT: Final = "Point at anything to see what it is and why. Press to pick, Shift adds, drag a box round many."
_LINES: Final = 2
_MEASURE: Final = "Press two points whose distance you know, such as the ends of a dimension. Esc gives up."


class DrawingFrame(QFrame):
    """The drawing with its words."""

    def __init__(self, incoming: Incoming, dress: Dress) -> None:
        super().__init__()
        self.setObjectName("desk")
        self._incoming, self._dress = incoming, dress
        self.view = DrawingView(incoming, dress)
        self.view.letter.connect(self._on_letter)
        self.view.looked.connect(self._show_where)
        self.where = label("", "heading")
        self.where.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.whole, self.nearer, self.farther = (
            word_button("Whole drawing"),
            word_button("Nearer"),
            word_button("Farther"),
        )
        self.whole.clicked.connect(self.view.zoom_to_fit)
        self.nearer.clicked.connect(self._on_nearer)
        self.farther.clicked.connect(self._on_farther)
        bar = QHBoxLayout()
        bar.setContentsMargins(6, 0, 6, 0)
        bar.addWidget(self.where, 1)
        for button in (self.farther, self.nearer, self.whole):
            bar.addWidget(button)
        self._said = ""
        self.says = label("", "body", "soft", wrap=True)
        self.says.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.says.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.count = label("", "number")
        self.buttons: dict[Becomes, QPushButton] = {}
        for kind in BECOMES:
            button = QPushButton(WHAT[kind].capitalize())
            button.setToolTip(f"Make what is picked {_article(kind)} ({LETTERS[kind]})")
            button.setProperty("becomes", kind)
            button.clicked.connect(self._on_button)
            self.buttons[kind] = button
        self.row = WrapRow(self.count, *self.buttons.values())
        foot = QFrame()
        foot.setProperty("card", "note")
        feet = QVBoxLayout(foot)
        feet.setContentsMargins(12, 8, 12, 9)
        feet.setSpacing(7)
        feet.addWidget(self.says)
        feet.addWidget(self.row)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(6)
        box.addLayout(bar)
        box.addWidget(self.view, 1)
        box.addWidget(foot)
        incoming.watch(self.refresh)
        dress.changed.connect(self._fit)
        self._fit()
        self.refresh()

    def measure(self) -> None:
        """Have two points pressed whose distance will be told."""
        self.view.measure()
        self.refresh()

    def make(self, becomes: Becomes) -> None:
        """Make what is picked this, and say what of it cannot be."""
        picked = self._incoming.picked
        if not picked:
            self._say("Nothing is picked: press something on the drawing or a row of the table first.", look=True)
            return
        cannot = self._incoming.choose(becomes, picked=picked)
        if cannot:
            some = "It" if cannot == len(picked) == 1 else f"{cannot} of them"
            why = {
                "wall": "a wall needs a line",
                "beam line": "a beam line needs a straight line that is open",
                "slab": "a slab needs an outline",
                "keep-out": "a keep-out needs an outline",
                "spot": "its table says no height",
            }.get(becomes, "it has no place")
            self._say(f"{some} cannot become {_article(becomes)}: {why}.", look=True)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the words anew."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        # Always room for two lines: the drawing must not jump while one points at things.
        self.says.setFixedHeight(_LINES * self.says.fontMetrics().lineSpacing() + 2)
        self.row.arrange()
        # The wheel and keys zoom too, and the leaf names the file: what has no room here may go.
        room = self.width() - 16
        whole, two = self.whole.sizeHint().width(), self.nearer.sizeHint().width() + self.farther.sizeHint().width()
        self.where.setVisible(room >= whole + two + self.where.fontMetrics().averageCharWidth() * 24)
        for button in (self.nearer, self.farther):
            button.setVisible(room >= whole + two)
        self._say_again()

    def _on_button(self) -> None:
        sender = self.sender()
        if isinstance(sender, QPushButton):
            self.make(sender.property("becomes"))
            self.view.setFocus()

    def _on_letter(self, letter: str) -> None:
        for kind, key in LETTERS.items():
            if key == letter:
                self.make(kind)

    def _on_nearer(self) -> None:
        self.view.zoom_by(_NEARER)

    def _on_farther(self) -> None:
        self.view.zoom_by(1 / _NEARER)

    def refresh(self) -> None:
        """Say what is pointed at and what can be made of what is picked."""
        arrival, picked = self._incoming.arrival, self._incoming.picked
        if arrival is None:
            return
        candidates = arrival.proposal.candidates
        if self.view.measuring:
            self._say(_MEASURE)
        elif self._incoming.doubt is not None:
            self._say(f"{self._incoming.doubt.title}. {self._incoming.doubt.text}", look=True)
        elif self._incoming.hovered is not None and self._incoming.hovered < len(candidates):
            self._say(about_thing(arrival, self._incoming.hovered), soft=False)
        elif len(picked) == 1:
            self._say(about_thing(arrival, next(iter(picked))), soft=False)
        else:
            self._say(_HINT)
        can = {k for i in picked for k in candidates[i].can_become} if len(picked) < 2000 else set(BECOMES)
        self.count.setText(f"{len(picked):,} picked: make it" if picked else "None picked")
        set_tone(self.count, "plain" if picked else "soft")
        for kind, button in self.buttons.items():
            button.setEnabled(kind in can)
        self.row.arrange()
        self._show_where()

    def _show_where(self) -> None:
        arrival = self._incoming.arrival
        if arrival is not None:
            self.where.setText(f"{arrival.path.name} · on screen 1 : {self.view.camera.ratio:,.0f}")

    def _say(self, text: str, *, look: bool = False, soft: bool = True) -> None:
        set_tone(self.says, "look" if look else "soft" if soft else "plain")
        self._said = text
        self._say_again()

    def _say_again(self) -> None:
        """Say it in the lines that there are; the whole of it is in the tip."""
        metrics, wide = self.says.fontMetrics(), max(80, self.says.width())
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        text, room = self._said, len(self._said)
        while (
            room > 10 and metrics.boundingRect(QRect(0, 0, wide, 9999), flags, text).height() > self.says.height()
        ):
            room = min(room - 2, round(room * 0.94))
            text = self._said[:room].rstrip(" ,.;:") + "…"
        self.says.setText(text)
        self.says.setToolTip(self._said)
        self.says.setAccessibleName(self._said)


def _article(kind: Becomes) -> str:
    word = WHAT[kind]
    return word if kind == "nothing" else f"{'an' if word[0] in 'aeiou' else 'a'} {word}"
