"""Forms of heights: rows that may be left empty, and the forms of the Levels page made of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.notebook.boxes import Box
from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import Form, button_row
from layoutdesk.desk.notebook.height_words import METHODS, STRINGS, TOPS, exact_height, height, read_height
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.rows import FieldRow
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.heights import (
    SETUP_METHODS,
    STRING_RULES,
    TOP_RULES,
    Setup,
    SetupMethod,
    StringRule,
    TopRule,
)
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document
from layoutdesk.units import exact_slope, format_slope, parse_slope


class HeightRow(FieldRow[float | None]):
    """A caption and a box for an elevation or a length that may be left empty; ``empty`` says what holds then."""

    def __init__(
        self, caption: str, commit: Callable[[float | None], None], *, empty: str = "", signed: bool = True
    ) -> None:
        super().__init__(caption, commit)
        self.box = Box(caption)
        self.box.setPlaceholderText(empty)
        self.box.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.box.finished.connect(self._on_finished)
        self._signed = signed
        self._way = LengthText("mm", 1.0)
        self._follow(self.box)
        self._place(self.box)

    def show_height(self, value: float | None, text: LengthText) -> None:
        """Show an elevation, or nothing."""
        self._way = text
        shown = "" if value is None else height(value, text) if self._signed else text(value)
        self.box.rest(shown, exact_height(value, text))

    def _on_finished(self, typed: str) -> None:
        try:
            value = read_height(typed, self._way)
        except LayoutdeskError as error:
            self.say(str(error))
            self.box.refuse(str(error))
            return
        if trouble := self._take(value):
            self.box.refuse(trouble)


class HeightForm(Form):
    """A form with rows of heights."""

    def height_row(
        self, caption: str, commit: Callable[[float | None], None], *, empty: str = "", signed: bool = True
    ) -> HeightRow:
        """Add a row for an elevation that may be left empty; without ``signed`` a length."""
        row = HeightRow(caption, commit, empty=empty, signed=signed)
        self.add(row)
        return row


class SetupForm(HeightForm):
    """By what a setup was read, and how closely."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._setup = 1
        self.method = self.choice_row("Read with", self._set_method)
        self.deviation = self.height_row("One reading, ±", self._set_deviation, empty="as usual", signed=False)

    def fill(self, plan: Plan, setup: int) -> None:
        """Show a setup."""
        self._setup = setup
        here = next((s for s in plan.levels.setups if s.setup == setup), Setup(setup=setup))
        self.method.show_choice([(m, METHODS[m]) for m in SETUP_METHODS], here.method)
        self.deviation.show_height(here.deviation, LengthText.of(plan))

    def _set_method(self, key: object) -> None:
        setup, method = self._setup, cast("SetupMethod", key)
        self.do(f"Method of setup {setup}", lambda p: edits.set_setup(p, setup, method=method))

    def _set_deviation(self, value: float | None) -> None:
        setup = self._setup
        self.do(f"Readings of setup {setup}", lambda p: edits.set_setup(p, setup, deviation=value))


class PierHeightForm(HeightForm):
    """What is different at one pier."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.ground = self.height_row("Ground here", self._set("ground"), empty="as found")
        self.top = self.height_row("Pier top here", self._set("top"), empty="by the rule")
        self.support = self.height_row("Side supports here", self._set("support"), empty="by the rule")

    def fill(self, plan: Plan, pier: str) -> None:
        """Show a pier."""
        self.piece_id = pier
        here = plan.levels.of_pier(pier)
        text = LengthText.of(plan)
        for row, value in ((self.ground, here.ground), (self.top, here.top), (self.support, here.support)):
            row.show_height(value, text)

    def _set(self, field: str) -> Callable[[float | None], None]:
        words = {"ground": "Ground at", "top": "Top of", "support": "Side supports of"}[field]

        def commit(value: float | None) -> None:
            pier = self.piece_id
            fields: dict[str, Any] = {field: value}
            self.do(f"{words} {pier}", lambda p: edits.set_pier_heights(p, [pier], **fields))

        return commit


_BELOW: Final[dict[TopRule, str]] = {"level": "All pier tops at", "string": "Below the string", "reveal": ""}


class LineHeightForm(HeightForm):
    """Seat, fall, pier tops and string of one beam line."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.seat = self.height_row("Underside of the beam", self._set("seat", "Seat"), empty="not known")
        self.fall = self.text_row("Falls from there", self._set_fall)
        self.fall.box.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.top = self.choice_row("Pier tops follow", self._set_top)
        self.pier_top = self.height_row("", self._set("pier_top", "Pier tops"), empty="not known")
        self.string = self.height_row("String", self._set("string", "String"), empty="proposed")
        self.rule = self.choice_row("String is hung", self._set_rule)
        self.note = sentence()
        self.add(self.note)
        self.all = QPushButton("The same for all beam lines")
        self.all.setToolTip("Give every beam line the heights and rules of this one")
        self.all.clicked.connect(self._on_all)
        self.add(button_row(self.all))

    def fill(self, plan: Plan, line_id: str) -> None:
        """Show a beam line."""
        self.piece_id = line_id
        here = plan.levels.of_line(line_id)
        text = LengthText.of(plan)
        line = next((x for x in plan.lines if x.id == line_id), None)
        zero = (line.attachment if line else None) or "its start"
        self.seat.show_height(here.seat, text)
        self.fall.box.rest(
            format_slope(here.fall, plan.units) if here.fall else "level", exact_slope(here.fall, plan.units)
        )
        self.top.show_choice([(rule, TOPS[rule]) for rule in TOP_RULES], here.top)
        self.pier_top.setVisible(here.top != "reveal")
        self.pier_top.caption.setText(_BELOW[here.top])
        self.pier_top.box.setAccessibleName(_BELOW[here.top])
        self.pier_top.show_height(here.pier_top, text)
        self.string.show_height(here.string, text)
        self.rule.show_choice([(rule, STRINGS[rule]) for rule in STRING_RULES], here.string_rule)
        tops = "Each pier top stands the reveal of its detail above the ground. " if here.top == "reveal" else ""
        self.note.setText(f"{tops}Underside and string are told at {zero}; the beam falls from there.")
        self.all.setVisible(len(plan.lines) > 1)

    def _change(self, words: str, **fields: Any) -> None:
        line = self.piece_id
        self.do(f"{words} of {line}", lambda p: edits.set_line_heights(p, [line], **fields))

    def _set(self, field: str, words: str) -> Callable[[float | None], None]:
        def commit(value: float | None) -> None:
            self._change(words, **{field: value})

        return commit

    def _set_fall(self, typed: str) -> None:
        self._change("Fall", fall=parse_slope(typed, self.document.plan.units) if typed else 0.0)

    def _set_top(self, key: object) -> None:
        self._change("Pier tops", top=cast("TopRule", key))

    def _set_rule(self, key: object) -> None:
        self._change("String", string_rule=cast("StringRule", key))

    def _on_all(self) -> None:
        here = self.document.plan.levels.of_line(self.piece_id)
        fields: dict[str, Any] = {
            name: getattr(here, name) for name in ("seat", "fall", "top", "pier_top", "string", "string_rule")
        }
        self.try_to(
            "Heights of all beam lines",
            lambda p: edits.set_line_heights(p, [x.id for x in p.lines], **fields),
        )
