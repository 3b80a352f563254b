"""The rules of the columns, and how heights are judged and drawn."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import Qt

from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.height_form import HeightForm, HeightRow
from layoutdesk.desk.notebook.height_words import plain_number
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.rows import TextRow
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import parse_length, parse_lengths

_LENGTHS: Final = (
    ("width", "Width across the beam"),
    ("depth", "Depth along the beam"),
    ("foot", "Foot above the pier top"),
    ("cap", "Cap under the beam"),
    ("margin", "Left on for the last cut"),
    ("kerf", "The saw takes"),
    ("support", "Side supports above ground"),
)
_FINE: Final = (
    ("deviation", "One reading, ±"),
    ("misclosure", "A loop of one setup may miss"),
)
"""Less than the step of a tape: shown in millimetres as they are."""
_JUDGED: Final = (
    ("board_clear", "Boards off the digging"),
    ("line_gap", "Strings cross apart by"),
)


class ColumnForm(HeightForm):
    """The columns of the job."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.rows = {field: self.length_row(words, self._set(field, words)) for field, words in _LENGTHS}
        self.stock = self.text_row("Lengths that are sold", self._set_stock)
        self.stock.box.setPlaceholderText("the usual ones")
        self.add(
            sentence(
                "A foot below nothing is cast in: type it with a minus. The cross piece is fixed at the jig mark."
            )
        )

    def fill(self, plan: Plan) -> None:
        """Show the rules of a plan."""
        text, rule = LengthText.of(plan), plan.levels.columns
        for field, row in self.rows.items():
            row.show_length(getattr(rule, field), text)
        self.stock.box.rest("; ".join(map(text, rule.stock)), "; ".join(map(text.exact, rule.stock)))

    def _set(self, field: str, words: str) -> Callable[[float], None]:
        def commit(value: float) -> None:
            fields: dict[str, Any] = {field: value}
            self.do(f"Columns: {words[0].lower()}{words[1:]}", lambda p: edits.set_columns(p, **fields))

        return commit

    def _set_stock(self, typed: str) -> None:
        stock = parse_lengths(typed, self.document.plan.units) if typed else ()
        self.do("Columns: lengths that are sold", lambda p: edits.set_columns(p, stock=stock))


class HeightSettingsForm(HeightForm):
    """How heights are judged and drawn."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.frost: HeightRow = self.height_row("Frost depth", self._optional("frost"), empty="ask", signed=False)
        self.add(sentence("Ask the local building department how deep the ground freezes."))
        self.fine = {field: self.text_row(words, self._fine(field)) for field, words in _FINE}
        self.rows = {field: self.length_row(words, self._length(field)) for field, words in _JUDGED}
        for row in self.fine.values():
            row.box.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.mass: TextRow = self.text_row("Mason's line, grams a metre", self._number("line_mass", "1"))
        self.pull: TextRow = self.text_row("pulled with, newtons", self._number("line_pull", "50"))
        self.contour: HeightRow = self.height_row(
            "Contours every", self._optional("contour"), empty="as fits", signed=False
        )
        self.factor: TextRow = self.text_row("Draw heights larger, times", self._number("exaggeration", "2"))

    def fill(self, plan: Plan) -> None:
        """Show the settings of a plan."""
        text, settings = LengthText.of(plan), plan.levels.settings
        self.frost.show_height(settings.frost, text)
        for field, row in self.rows.items():
            row.show_length(getattr(settings, field), text)
        for field, fine in self.fine.items():
            fine.show_text(f"{getattr(settings, field):g} mm")
        self.mass.show_text(f"{settings.line_mass:g}")
        self.pull.show_text(f"{settings.line_pull:g}")
        self.contour.show_height(settings.contour, text)
        self.factor.show_text(f"{settings.exaggeration:g}")

    def _change(self, field: str, value: float | None) -> None:
        fields: dict[str, Any] = {field: value}
        self.do(_NAMES[field], lambda p: edits.set_heights(p, **fields))

    def _length(self, field: str) -> Callable[[float], None]:
        def commit(value: float) -> None:
            self._change(field, value)

        return commit

    def _fine(self, field: str) -> Callable[[str], None]:
        def commit(typed: str) -> None:
            self._change(field, parse_length(typed, self.document.plan.units))

        return commit

    def _optional(self, field: str) -> Callable[[float | None], None]:
        def commit(value: float | None) -> None:
            self._change(field, value)

        return commit

    def _number(self, field: str, example: str) -> Callable[[str], None]:
        def commit(typed: str) -> None:
            self._change(field, plain_number(typed, example))

        return commit


_NAMES: Final = {
    "deviation": "Closeness of a reading",
    "misclosure": "Allowed misclosure",
    "frost": "Frost depth",
    "board_clear": "Boards off the digging",
    "line_gap": "Gap of crossing strings",
    "line_mass": "Mason's line",
    "line_pull": "Pull of the mason's line",
    "contour": "Step of the contours",
    "exaggeration": "Heights drawn larger",
}
"""What Undo calls a change of each setting."""
