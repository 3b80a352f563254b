"""The scale of the drawing: what it is, why, how many dimensions agree, and how it is said when nobody knows."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout

from layoutdesk.desk.dress import label, set_tone
from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.rows import ChoiceRow, TextRow
from layoutdesk.errors import EditError, LengthError
from layoutdesk.session.incoming import Incoming
from layoutdesk.units import Units, parse_length

UNITS: Final[tuple[tuple[float, str], ...]] = (
    (1.0, "millimetres"),
    (10.0, "centimetres"),
    (1000.0, "metres"),
    (25.4, "inches"),
    (304.8, "feet"),
)
SCALES: Final[tuple[tuple[float, str], ...]] = (
    (10.0, "1 : 10"),
    (20.0, "1 : 20"),
    (25.0, "1 : 25"),
    (50.0, "1 : 50"),
    (100.0, "1 : 100"),
    (200.0, "1 : 200"),
    (12.0, "1″ = 1′ (1 : 12)"),
    (16.0, "¾″ = 1′ (1 : 16)"),
    (24.0, "½″ = 1′ (1 : 24)"),
    (48.0, "¼″ = 1′ (1 : 48)"),
    (64.0, "3/16″ = 1′ (1 : 64)"),
    (96.0, "⅛″ = 1′ (1 : 96)"),
    (120.0, "1″ = 10′ (1 : 120)"),
)
SAME: Final = 1e-6
Kind = Literal["dxf", "pdf", "points"]


class ScaleCard(QFrame):
    """Says the scale and takes another.

    Signals:
        said: another scale, in mm on the ground a drawing unit.
        confirmed: the scale that was guessed is right.
        measure_wanted: two points are to be pressed whose distance will be told.
    """

    said = Signal(float)
    confirmed = Signal()
    measure_wanted = Signal()

    def __init__(self, incoming: Incoming) -> None:
        super().__init__()
        self.setProperty("card", "plain")
        self._incoming = incoming
        self._apart: float | None = None
        self.big = label("", "number", wrap=True)
        self.agree = label("", "body", "holds", wrap=True)
        self.why = sentence()
        self.unit = ChoiceRow("One unit of the drawing is", self._set_unit)
        self.ratio = ChoiceRow("Drawn at", self._set_ratio)
        self.other = TextRow("or at 1 :", self._set_other)
        self.between = TextRow("Distance of the two points", self._set_between)
        self.right = QPushButton("This is right")
        self.right.clicked.connect(self.confirmed)
        self.two = QPushButton("By two points …")
        self.two.setToolTip("Press two points on the drawing whose distance is written, then type it")
        self.two.clicked.connect(self.measure_wanted)
        self.buttons = button_row(self.right, self.two)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 9, 12, 10)
        box.setSpacing(6)
        for w in (self.big, self.agree, self.why, self.unit, self.ratio, self.other, self.between, self.buttons):
            box.addWidget(w)
        self.between.hide()

    def refresh(self) -> None:
        """Show the scale of what waits."""
        arrival = self._incoming.arrival
        if arrival is None:
            return
        guess, known = arrival.proposal.scale, self._incoming.scale_known
        unit, ratio = self._parts()
        kind = self.kind
        self.big.setText(self._told(unit, ratio, known=known))
        if self.property("card") != ("plain" if known else "look"):
            self.setProperty("card", "plain" if known else "look")
            self.style().unpolish(self)
            self.style().polish(self)
        # What was only printed from what is drawn says nothing about the scale: the guess counts the others.
        written, agree = guess.written, guess.agree
        if self._incoming.scale_said is not None and not written:
            written, agree = arrival.agreement.written, arrival.agreement.agree
        self.agree.setVisible(written > 0)
        self.agree.setText(f"{agree} of {written} written dimensions agree")
        set_tone(self.agree, "holds" if agree == written else "look")
        self.why.setText(_capital(guess.why))
        self.why.setVisible(bool(guess.why))
        self.unit.setVisible(kind != "pdf")
        self.unit.show_choice(UNITS, unit)
        entries = list(SCALES) if kind == "pdf" else [(1.0, "full size, 1 : 1"), *SCALES]
        if ratio is not None and all(abs(ratio - n) > SAME * n for n, _ in entries):
            entries.append((ratio, f"1 : {ratio:,.4g}"))
        self.ratio.setVisible(kind != "points")
        self.ratio.show_choice(entries, next((n for n, _ in entries if ratio and abs(ratio - n) <= SAME * n), None))
        self.other.setVisible(kind == "pdf")
        self.other.show_text("")
        self.right.setVisible(not known)
        self.two.setVisible(kind != "points")

    @property
    def kind(self) -> Kind:
        """Return what came in."""
        arrival = self._incoming.arrival
        return "points" if arrival is None or arrival.linework is None else arrival.linework.kind

    def take_measured(self, apart: float | None) -> None:
        """Ask for the distance of two points that were pressed, so many drawing units apart."""
        self._apart = apart
        self.between.setVisible(apart is not None)
        if apart is not None and self._incoming.arrival is not None:
            self.between.show_text("")
            self.between.box.setPlaceholderText("as 8' 2\"" if self._units == "ft-in" else "as 2490 mm")
            self.between.box.setFocus()

    @property
    def _units(self) -> Units:
        return self._incoming.arrival.proposal.units if self._incoming.arrival else "mm"

    def _parts(self) -> tuple[float, float | None]:
        """Return the unit (mm) and the ratio that together are the scale."""
        arrival = self._incoming.arrival
        assert arrival is not None
        scale = arrival.proposal.scale.scale
        if self.kind == "pdf":
            return 1.0, scale
        said = arrival.linework.unit if arrival.linework else None
        full, usual = (1.0,), tuple(n for n, _ in SCALES)
        units = tuple(u for u, _ in UNITS)
        # The file's own unit at any usual scale comes first; then full size in any unit, which is how people draw.
        for offered, ratios in (((said,) if said else (), full + usual), (units, full), (units, usual)):
            for unit in offered:
                if any(abs(scale / unit - n) <= SAME * n for n in ratios):
                    return unit, scale / unit
        return (said, scale / said) if said else (scale, 1.0)

    def _told(self, unit: float, ratio: float | None, *, known: bool) -> str:
        if not known:
            return "How large is it? Say so before it is taken in."
        if self.kind == "pdf":
            return _named(ratio)
        name = dict(UNITS).get(unit, f"units of {unit:,.5g} mm")
        return f"Drawn in {name}" + ("" if ratio == 1.0 or ratio is None else f" at {_named(ratio)}")

    def _set_unit(self, unit: object) -> None:
        assert isinstance(unit, float)
        _, ratio = self._parts()
        known = self._incoming.scale_known
        self.said.emit(unit * (ratio if ratio and known else 1.0))

    def _set_ratio(self, ratio: object) -> None:
        assert isinstance(ratio, float)
        self.said.emit(self._parts()[0] * ratio)

    def _set_other(self, typed: str) -> None:
        text = typed.removeprefix("1").lstrip(" :/") if ":" in typed or "/" in typed else typed
        try:
            ratio = float(text.replace(",", ""))
        except ValueError:
            ratio = 0.0
        if not 0.01 <= ratio <= 100_000:
            raise EditError(f"“{typed}” is no scale; type for example 48 for 1 : 48")
        self.said.emit(ratio)

    def _set_between(self, typed: str) -> None:
        if self._apart is None:
            return
        value = parse_length(typed, self._units)
        if value <= 0:
            raise LengthError(typed, "is no distance", "8' 2\"")
        apart, self._apart = self._apart, None
        self.between.hide()
        self.said.emit(value / apart)


def _named(ratio: float | None) -> str:
    if ratio is None:
        return ""
    return next((t for n, t in SCALES if abs(n - ratio) <= SAME * n), f"1 : {ratio:,.5g}")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) or not text else ".")
