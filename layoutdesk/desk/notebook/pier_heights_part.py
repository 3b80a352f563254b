"""Each pier's heights: how deep its hole is, how high its top and its seat are, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import Card, Heading, ValueRow, sentence
from layoutdesk.desk.notebook.height_form import PierHeightForm
from layoutdesk.desk.notebook.height_words import FROM, height
from layoutdesk.desk.notebook.lengths import LengthText, held
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.table import Column, NumbersTable
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import ColumnCut, PierHeight

_DOUBTFUL = ("surface", "beyond the spots", "none")


class PierHeightsPart(Section):
    """The section of the piers' heights.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the piers whose rows were picked.
    """

    trouble = Signal(str)
    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self.holes_heading = Heading("Holes", "ground and bottom")
        self.holes = NumbersTable("Ground and bottom of every hole", dress)
        self.tops_heading = Heading("Tops", "pier, seat and column")
        self.tops = NumbersTable("Pier top, seat and column of every pier", dress)
        self.pier_heading = Heading("Pier")
        self.values = tuple(ValueRow() for _ in range(8))
        self.says = sentence()
        self.form = PierHeightForm(document)
        self.card = Card(*self.values, self.says)
        self.form_card = Card(self.form)
        super().__init__(
            "Piers",
            self.holes_heading,
            self.holes,
            self.tops_heading,
            self.tops,
            self.pier_heading,
            self.card,
            self.form_card,
        )
        for table in (self.holes, self.tops):
            table.picked.connect(self.picked)
        self.form.trouble.connect(self.trouble)
        self._rows: Mapping[str, PierHeight] = {}
        self._cuts: Mapping[str, ColumnCut] = {}

    def show_piers(self, plan: Plan, rows: Sequence[PierHeight], cuts: Mapping[str, ColumnCut]) -> None:
        """Show the heights of all piers, in the order of the plan."""
        text = LengthText.of(plan)
        self._plan, self._cuts = plan, cuts
        self._rows = {row.id: row for row in rows}
        guessed = sum(row.ground_from in _DOUBTFUL for row in rows)
        self.say(f"{guessed} of {len(rows)} without a reading" if guessed else "")
        ids = [row.id for row in rows]
        self.holes.show_rows(
            ids,
            (
                Column("pier", lambda r: rows[r].label, bold=True),
                Column("ground", lambda r: height(rows[r].ground, text), right=True),
                Column("is", lambda r: FROM[rows[r].ground_from], tone="soft"),
                Column("bottom", lambda r: height(rows[r].bottom, text), right=True, bold=True),
            ),
        )
        self.tops.show_rows(
            ids,
            (
                Column("pier", lambda r: rows[r].label, bold=True),
                Column("top", lambda r: height(rows[r].top, text), right=True),
                Column("seat", lambda r: height(rows[r].seat, text), right=True),
                Column("column", lambda r: _length(cuts.get(rows[r].id), text), right=True, bold=True),
            ),
        )

    def light(self, picked: Sequence[str]) -> None:
        """Pick the rows of piers that were picked elsewhere, and show the one."""
        for table in (self.holes, self.tops):
            table.light(picked)
        here = [self._rows[i] for i in picked if i in self._rows]
        row = here[0] if here else None
        for w in (self.pier_heading, self.card, self.form_card):
            w.setVisible(row is not None)
        if row is not None:
            self._show_pier(row)

    def told(self, picked: Sequence[str]) -> str:
        """Return the heights of the first picked pier in one line; nothing when none is picked."""
        row = next((self._rows[i] for i in picked if i in self._rows), None)
        if row is None:
            return ""
        text = LengthText.of(self._plan)
        cut = self._cuts.get(row.id)
        known = (
            (f"ground ({FROM[row.ground_from]})", row.ground),
            ("bottom", row.bottom),
            ("top", row.top),
            ("seat", row.seat),
        )
        told = [f"{name} {held(height(value, text))}" for name, value in known if value is not None]
        if cut is not None:
            told.append(f"column {text.held(cut.length)}")
        return f"{row.label}: {', '.join(told) or 'nothing is known of its heights yet'}."

    def _show_pier(self, row: PierHeight) -> None:
        text = LengthText.of(self._plan)
        on = f"beam line {row.line}" if row.line else "on no beam line"
        self.pier_heading.set_text(f"Pier {row.label}", on)
        ground = f"Ground, {FROM[row.ground_from]}"
        within = "" if row.ground is None or not row.within > 0 else f" ± {text.up(row.within)}"
        cut = self._cuts.get(row.id)
        shown = (
            (ground, f"{height(row.ground, text)}{within}"),
            ("Lowest beside the hole", height(row.lowest, text)),
            ("Bottom, by the frost depth" if row.frost_governs else "Bottom", height(row.bottom, text)),
            ("To dig", text(row.dig)),
            ("Pier top", height(row.top, text)),
            ("Pier top as built", height(row.built, text)),
            ("Seat", height(row.seat, text)),
            ("Column", _length(cut, text)),
        )
        for value, (name, words) in zip(self.values, shown, strict=True):
            value.set_values(name, words)
        self.values[5].setVisible(row.built is not None)
        self.says.setText(row.says)
        self.form.fill(self._plan, row.id)


def _length(cut: ColumnCut | None, text: LengthText) -> str:
    return text(cut.length) if cut is not None else "–"
