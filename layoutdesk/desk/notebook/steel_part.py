"""The steel of the job by size: pieces, mass, and how they come out of the lengths that are sold."""

from __future__ import annotations

from collections import Counter
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.section import Section
from layoutdesk.desk.notebook.table import Column, NumbersTable
from layoutdesk.desk.steel_work import SteelWork
from layoutdesk.engine.holes.entries import SteelList, SteelSize
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_mass

_LOOK: Final = "Look for less stock"
_STOP: Final = "Looking … stop"
MOST_WAYS: Final = 12
"""So many ways of cutting one size are told; the sheets have all."""
_CAUTION: Final = (
    "Cut ends are sharp: gloves and eye protection. Cap starters that stand up where somebody could fall on them."
)


class SteelPart(Section):
    """The section of the steel; hidden while no detail has any.

    Where the first cutting is not proven to be the least stock, that is looked for beside the desk.

    Signals:
        trouble: a sentence about something that could not be done.
    """

    trouble = Signal(str)

    def __init__(self, dress: Dress) -> None:
        self.sizes = NumbersTable("Steel by size", dress, many=False)
        self.kinds = NumbersTable("Pieces to cut and bend", dress)
        self.cuts = sentence(tone="plain")
        self.says = sentence()
        self.caution = sentence(_CAUTION)
        self.search = QPushButton(_LOOK)
        self.search.clicked.connect(self._on_search)
        self.buttons = button_row(self.search)
        super().__init__("Steel", self.sizes, self.kinds, self.cuts, self.buttons, self.says, self.caution)
        self._layout: Layout | None = None
        self.work = SteelWork(self)
        self.work.found.connect(self._on_found)
        self.work.failed.connect(self._on_failed)

    def show_layout(self, layout: Layout) -> None:
        """Show the steel of a layout; what was looked for in another one is not waited for any more."""
        self._layout = layout
        self.work.stop()
        if _unproven(layout.steel):
            self.work.look(layout)
        self.show_steel(layout.plan, layout.steel)

    def _on_search(self) -> None:
        if self.work.busy or self._layout is None:
            self.work.stop()
        else:
            self.work.look(self._layout)
        self._show_search()

    def _on_found(self, layout: Layout, steel: SteelList) -> None:
        self.show_steel(layout.plan, steel)

    def _on_failed(self, sentence_: str) -> None:
        self._show_search()
        self.trouble.emit(sentence_)

    def _show_search(self) -> None:
        self.search.setText(_STOP if self.work.busy else _LOOK)

    def show_steel(self, plan: Plan, steel: SteelList) -> None:
        """Show the steel of a plan."""
        self._show_search()
        self.buttons.setVisible(_unproven(steel))
        text = LengthText.of(plan)
        sizes, kinds = steel.sizes, steel.kinds
        self.setVisible(bool(sizes) or bool(steel.says))
        self.say(format_mass(steel.mass, plan.units) if sizes else "")
        for table in (self.sizes, self.kinds):
            table.setVisible(bool(sizes))
        self.sizes.show_rows(
            [one.size for one in sizes],
            (
                Column("size", lambda r: sizes[r].size, bold=True),
                Column("buy", lambda r: bought(sizes[r], text), bold=True),
                Column("pieces", lambda r: f"{sizes[r].count:,}", right=True),
                Column("mass", lambda r: format_mass(sizes[r].mass, plan.units), right=True),
            ),
        )
        self.kinds.show_rows(
            [f"{k}" for k in range(len(kinds))],
            (
                Column("detail", lambda r: kinds[r][0], bold=True),
                Column("piece", lambda r: f"{kinds[r][1].what} {kinds[r][1].bar.name}"),
                Column("count", lambda r: f"{kinds[r][1].count:,}", right=True),
                Column("cut", lambda r: text(kinds[r][1].cut), right=True, bold=True),
            ),
        )
        told = [line for one in sizes for line in cutting_lines(one, text)]
        self.cuts.setText("\n".join(told))
        self.cuts.setVisible(bool(told))
        self.says.setText("\n".join(steel.says))
        self.says.setVisible(bool(steel.says))


def _unproven(steel: SteelList) -> bool:
    return any(one.cutting is not None and not one.cutting.proven for one in steel.sizes)


def bought(one: SteelSize, text: LengthText) -> str:
    """Return the pieces of stock that a size is cut from, such as 3 × 20′."""
    if one.cutting is None:
        return "–"
    stock = Counter(piece.stock.length for piece in one.cutting.pieces)
    return ", ".join(f"{count:,}\u00a0×\u00a0{text.held(length)}" for length, count in stock.items())


def cutting_lines(one: SteelSize, text: LengthText) -> list[str]:
    """Return in words how a size is cut, the ways that are alike in one line; what is wrong with it else."""
    if one.cutting is None:
        return [f"{one.size}: {one.says}"] if one.says else []
    ways = Counter((piece.stock.length, piece.cuts, round(piece.left_over, 6)) for piece in one.cutting.pieces)
    lines = [f"{one.size}: {one.cutting.says}"]
    for k, ((length, cuts, left), count) in enumerate(ways.items()):
        if k == MOST_WAYS:
            lines.append(f"   and {len(ways) - k:,} more ways, on the sheets")
            break
        over = f", {text.held(left)} left over" if left >= text.step else ""
        lines.append(f"   {count:,} × {text.held(length)}: {runs(cuts)}{over}")
    if one.says:
        lines.append(one.says)
    return lines


def runs(cuts: tuple[str, ...]) -> str:
    """Return what is cut from one piece of stock, pieces that are alike counted."""
    return " + ".join(f"{n} × {label}" for label, n in Counter(cuts).items())
