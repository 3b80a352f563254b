"""The bags of mix that are sold: what each makes, weighs and costs, typed as it is printed on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.table import Column
from layoutdesk.desk.notebook.typed_table import Cell, TypedColumn, TypedTable
from layoutdesk.errors import LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import BagProduct, Plan
from layoutdesk.session.document import Document
from layoutdesk.units import (
    exact_mass,
    format_volume,
    money,
    parse_mass,
    parse_money,
    parse_volume,
)

PRODUCT, MAKES, WEIGHS, COSTS = range(4)
MOST_SHOWN: Final = 12


class BagTable(TypedTable):
    """The table; the first thing typed makes the bags those of the plan."""

    def __init__(self, document: Document, dress: Dress, *, say: Callable[[str], None]) -> None:
        super().__init__("What a bag makes, weighs and costs", dress, self._write, say=say, most_rows=MOST_SHOWN)
        self._document = document
        self.bags: tuple[BagProduct, ...] = ()
        self.first_typed = COSTS
        self.short_columns = frozenset({MAKES, WEIGHS, COSTS})

    def show_bags(self, plan: Plan) -> None:
        """Show the bags that a plan reckons with."""
        from layoutdesk.engine.order import bags_of, mass_of

        self.bags = bags = bags_of(plan)

        def makes(r: int) -> str:
            return format_volume(bags[r].yield_m3, plan.units, small=True)

        def weighs(r: int) -> str:
            return exact_mass(mass_of(bags[r]), plan.units)

        def costs(r: int) -> str:
            return money(bags[r].price)

        self.show_rows(
            [bag.product for bag in bags],
            (
                Column("product", lambda r: bags[r].product, bold=True),
                TypedColumn("makes", makes, right=True, exact=makes),
                TypedColumn("weighs", weighs, right=True, exact=weighs),
                TypedColumn("costs", lambda r: costs(r) or "not asked", right=True, exact=costs),
            ),
        )

    def box_name(self, cell: Cell) -> str:
        """Return what the box of a cell is called, for those who hear it."""
        return f"What one {cell[0]} {self.rows.columns[cell[1]].title}"

    def _write(self, cell: Cell, typed: str) -> str:
        """Take what was typed; return the sentence of what went wrong, or nothing."""
        row = self.rows.row_of(cell[0])
        if row is None:
            return ""
        units, bag = self._document.plan.units, self.bags[row]
        try:
            if cell[1] == MAKES:
                changed = replace(bag, yield_m3=parse_volume(typed, units))
            elif cell[1] == WEIGHS:
                changed = replace(bag, mass_kg=parse_mass(typed, units) if typed.strip() else 0.0)
            else:
                changed = replace(bag, price=parse_money(typed))
            bags = (*self.bags[:row], changed, *self.bags[row + 1 :])
            self._document.apply(bag.product, lambda p: edits.set_bags(p, bags))
        except LayoutdeskError as error:
            return str(error)
        return ""
