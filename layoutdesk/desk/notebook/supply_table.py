"""Bags of each product beside a truck: how much, how sure, what it costs and what is to be carried."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.table import Column, NumbersTable
from layoutdesk.engine.holes.entries import ConcreteOrder
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_load, format_mass, format_share

if TYPE_CHECKING:
    from layoutdesk.engine.concrete.supply import Supply

TRUCK: Final = "by truck"
"""The key of the truck's row: no bag is called so."""


class SupplyTable(NumbersTable):
    """The table; its picked row is the product that is bought."""

    def __init__(self, dress: Dress) -> None:
        super().__init__("Bags beside a truck", dress, many=False)

    def show_order(self, plan: Plan, order: ConcreteOrder) -> None:
        """Show what each product and the truck come to."""
        rows: list[tuple[str, str, Supply, bool]] = [
            (one.bag.product, f"{one.supply.count:,}", one.supply, one.bag.price > 0) for one in order.products
        ]
        if order.truck is not None:
            truck = order.truck
            rows.append(("truck", format_load(truck.volume, plan.units), truck, plan.holes.truck.price_m3 > 0))
        self.setVisible(bool(rows))
        self.show_rows(
            [*(one.bag.product for one in order.products), TRUCK][: len(rows)],
            (
                Column("", lambda r: rows[r][0], bold=True),
                Column("order", lambda r: rows[r][1], right=True, bold=True),
                Column("short", lambda r: format_share(rows[r][2].chance, tenths=True), right=True),
                Column("carry", lambda r: format_mass(rows[r][2].carried_kg, plan.units), right=True),
                Column("cost", lambda r: f"{rows[r][2].cost:,.0f}" if rows[r][3] else "–", right=True),
            ),
        )
        if order.products:
            self.light([order.products[order.chosen].bag.product])
