"""The columns: their rules, their cuts with jig marks, and the lengths they are cut from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import Card, Heading, sentence
from layoutdesk.desk.notebook.height_settings import ColumnForm
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.table import Column, NumbersTable
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import ColumnCut, StockGroup

_CAUTION = (
    "Brace every column both ways before you let go of it, lift with enough hands, and keep ladders, columns and "
    "beams away from overhead lines. Local code and the licensed designer decide what is built."
)
_NONE = (
    "Columns are cut when the underside of the beam is known, and the ground or the tops of the piers: give the "
    "beam line its height above."
)
MOST_GROUPS = 12


class ColumnPart(Section):
    """The section of the columns.

    Signals:
        trouble: a sentence about something that could not be done.
        picked: the ids of the piers whose columns were picked.
    """

    trouble = Signal(str)
    picked = Signal(object)

    def __init__(self, document: Document, dress: Dress) -> None:
        self.none = sentence(_NONE)
        self.cuts = NumbersTable("Cut list of the columns", dress)
        self.says = sentence()
        self.stock_heading = Heading("Cut from")
        self.stock = sentence(tone="plain")
        self.caution = sentence(_CAUTION)
        self.rule_heading = Heading("How columns are made")
        self.form = ColumnForm(document)
        super().__init__(
            "Columns",
            self.none,
            self.cuts,
            self.says,
            self.stock_heading,
            self.stock,
            self.caution,
            self.rule_heading,
            Card(self.form),
        )
        self.cuts.picked.connect(self.picked)
        self.form.trouble.connect(self.trouble)
        self._cuts: Sequence[ColumnCut] = ()

    def show_columns(self, plan: Plan, cuts: Sequence[ColumnCut], stock: Sequence[StockGroup]) -> None:
        """Show the columns of a plan."""
        text = LengthText.of(plan)
        self._cuts = cuts
        self.none.setVisible(not cuts)
        self.cuts.setVisible(bool(cuts))
        self.caution.setVisible(bool(cuts))
        count = len(cuts)
        self.say(f"{count} {'column' if count == 1 else 'columns'}" if count else "")
        columns = [
            Column("pier", lambda r: cuts[r].label, bold=True),
            Column("cut", lambda r: text(cuts[r].length), right=True, bold=True),
        ]
        if any(c.long != c.short for c in cuts):
            columns.append(Column("long edge", lambda r: text(cuts[r].long), right=True))
        if any(c.rough != c.long for c in cuts):
            columns.append(Column("rough", lambda r: text(cuts[r].rough), right=True))
        columns += [
            Column("jig mark", lambda r: text(cuts[r].jig), right=True),
            Column("buy", lambda r: text(cuts[r].stock), right=True, tone="soft"),
        ]
        self.cuts.show_rows([c.pier for c in cuts], tuple(columns))
        self.stock_heading.setVisible(bool(stock))
        self.stock.setVisible(bool(stock))
        self.stock.setText(_stock(stock, text))
        self.form.fill(plan)

    def light(self, picked: Sequence[str]) -> None:
        """Pick the rows of columns whose piers were picked elsewhere, and say how the one is cut."""
        self.cuts.light(picked)
        chosen = set(picked)
        cut = next((c for c in self._cuts if c.pier in chosen), None)
        self.says.setText(cut.says if cut else "")
        self.says.setVisible(cut is not None)


def _stock(groups: Sequence[StockGroup], text: LengthText) -> str:
    """Return what is cut from what, a line for each length."""
    lines: list[str] = []
    for group in groups[:MOST_GROUPS]:
        pieces = [" + ".join(labels) for labels in group.cuts]
        alike = Counter(pieces)
        listed = ", ".join(piece if n == 1 else f"{n} times {piece}" for piece, n in alike.items())
        left = text.held(group.waste)
        lines.append(f"{len(group.cuts)} of {text.held(group.stock)}: {listed}; {left} is left over")
    if len(groups) > MOST_GROUPS:
        lines.append(f"and {len(groups) - MOST_GROUPS} more lengths")
    return "\n".join(lines)
