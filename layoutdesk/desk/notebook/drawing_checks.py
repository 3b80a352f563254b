"""What the drawing writes: each dimension against what is drawn, each chain against its overall dimension."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import Heading, sentence, side_by_side
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column, RowTable
from layoutdesk.engine.layout import ChainCheck, Layout, WrittenCheck
from layoutdesk.plan.model import Plan


class DrawingChecks(QWidget):
    """Two lists of written numbers, those that are wrong first; and what can be done with the picked ones.

    Signals:
        shown: the ids of the pieces that a picked number measures between.
        taken_out: the ids of the written dimensions and chains that are to go.
    """

    shown = Signal(object)
    taken_out = Signal(object)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._picked: tuple[str, ...] = ()
        self._on: dict[str, tuple[str, ...]] = {}
        self.written = RowTable("Dimensions that the drawing writes", dress, most_rows=12)
        self.chains = RowTable("Chains of dimensions", dress, most_rows=8)
        self.written_heading, self.chains_heading = Heading("Written dimensions"), Heading("Chains")
        self.take_out = QPushButton("Take out what is picked")
        self.take_out.setToolTip("The numbers go; what is drawn stays")
        self.about = sentence(
            "Written dimensions count, not what is measured off a print. Where they disagree, ask."
        )
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        for part in (self.written_heading, self.written, self.chains_heading, self.chains, self.about):
            box.addWidget(part)
        box.addWidget(side_by_side(self.take_out, QWidget()))
        for table in (self.written, self.chains):
            table.picked.connect(self._on_picked)
        self.take_out.clicked.connect(self._on_take_out)

    def fill(self, plan: Plan, layout: Layout) -> None:
        """Show what a plan holds of the drawing's numbers; nothing is shown of a plan without."""
        self.setVisible(bool(plan.written or plan.chains))
        if not plan.written and not plan.chains:
            return
        text = LengthText.of(plan)
        written = sorted(layout.written, key=lambda w: w.agrees)
        chains = sorted(layout.chains, key=lambda c: c.closes)
        self._on = {w.id: w.on for w in written} | {c.id: c.about for c in chains}
        wrong = sum(not w.agrees for w in written)
        self.written_heading.set_text(
            "Written dimensions",
            f"{wrong} of {len(written)} disagree" if wrong else f"{len(written)} agree",
            "look" if wrong else "soft",
        )
        open_chains = sum(not c.closes for c in chains)
        self.chains_heading.set_text(
            "Chains",
            f"{open_chains} of {len(chains)} not closed" if open_chains else f"{len(chains)} add up",
            "look" if open_chains else "soft",
        )
        for widget in (self.written_heading, self.written):
            widget.setVisible(bool(written))
        for widget in (self.chains_heading, self.chains):
            widget.setVisible(bool(chains))
        self.written.show_rows([w.id for w in written], _written_columns(written, text))
        self.chains.show_rows([c.id for c in chains], _chain_columns(chains, text))
        self._picked = tuple(i for i in self._picked if i in self._on)
        self.take_out.setEnabled(bool(self._picked))

    def _on_picked(self, ids: Sequence[str]) -> None:
        sender = self.sender()
        (self.chains if sender is self.written else self.written).light(())
        self._picked = tuple(ids)
        self.take_out.setEnabled(bool(ids))
        self.shown.emit(tuple(dict.fromkeys(piece for i in ids for piece in self._on.get(i, ()))))

    def _on_take_out(self) -> None:
        self.taken_out.emit(self._picked)


def _written_columns(rows: Sequence[WrittenCheck], text: LengthText) -> tuple[Column, ...]:
    def between(r: int) -> str:
        first, second = rows[r].ends
        return f"{first} – {second}" if first and second else rows[r].kind

    return (
        Column("between", between, bold=True),
        Column("written", lambda r: text(rows[r].value), right=True),
        Column("drawn", lambda r: text(rows[r].drawn), right=True),
        Column("", lambda r: "" if rows[r].agrees else "!", right=True, tone="look", bold=True),
    )


def _chain_columns(rows: Sequence[ChainCheck], text: LengthText) -> tuple[Column, ...]:
    def gap(r: int) -> str:
        found = rows[r].gap
        if found is None:
            return "not written"
        return "closes" if rows[r].closes else f"! {text(found)}"

    return (
        Column("chain", lambda r: rows[r].id, bold=True),
        Column("parts", lambda r: str(len(rows[r].parts)), right=True),
        Column("add up to", lambda r: text(rows[r].total), right=True),
        Column("overall", lambda r: "–" if rows[r].overall is None else text(rows[r].overall or 0.0), right=True),
        Column("gap", gap, right=True),
    )
