"""The concrete order: how many bags at the chance that is borne, a truck beside them, mixing, pours and spoil."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import ConcreteOrder, Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.cells import UNKNOWN, name_cells
from layoutdesk.sheets.curve_picture import chance_words, curve_marks
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import fitted, paragraph_height
from layoutdesk.sheets.marks import Mark, Text
from layoutdesk.sheets.numbers import counted
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.table import Column, Row, Tick, fit_table
from layoutdesk.units import format_load, format_mass, format_volume

SECTION: Final = "Concrete order"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_CURVE: Final = (66.0, 42.0)
"""How high the curve is drawn at most and at least: as high as its page has room beside all else."""
_HEAD: Final = 16.0
_WORDS: Final = 9.5
_AROUND_TABLE: Final = 13.5
"""Heading over a table, and what is free below it."""
_LETTERS: Final = 110
"""How many letters of the names of piers one row holds."""
_CAUTIONS: Final = (
    "**Wet concrete** burns skin and eyes: gloves, goggles, boots; wash it off at once, and keep it out of boots.",
    "**Cement dust** harms the lungs: mask on while bags are opened, wind at your back.",
    "**Lifting:** a bag a time, from the knees; a barrow on planks. Keep hands out of a turning mixer.",
    "**Not before the hold point:** no concrete until the inspector has signed the sheet of the holes.",
)
_SUPPLY: Final[tuple[Column, ...]] = (
    Column("from", "start", weight="black"),
    Column("order"),
    Column("makes"),
    Column("runs short", "start", weight="regular", scale=0.85),
    Column("left over"),
    Column("to carry"),
    Column("cost"),
)
_POURS: Final[tuple[Column, ...]] = (
    Column("pour", "start", weight="black"),
    Column("piers, in this order", "start", weight="regular", scale=0.85, grows=True),
    Column("takes"),
    Column("done", "middle", least=12.0),
)


def order_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the concrete order; nothing where nothing is left to pour."""
    order, plan = layout.order, layout.plan
    if not order.left and not order.trouble:
        return []
    flow = Flow(SECTION, size)
    if order.trouble:
        flow.text(f"**{order.trouble}**", size=_WORDS, after=4.0)
    pours = _pour_rows(order, plan)
    poured = fit_table(_POURS, pours, flow.width, sizes=_SIZES, row_share=0.66)
    high = caution_height(_CAUTIONS, flow.width, size=9.5, columns=2)
    if order.products:
        flow.block(_HEAD, lambda box: _big_number(order, box), after=2.0)
        rows = _supply_rows(order, plan)
        table = fit_table(_SUPPLY, rows, flow.width, sizes=_SIZES, row_share=0.62)
        said = sum(paragraph_height(text, _WORDS, flow.width) + 1.2 for text in order.says)
        tables = table.height(len(rows)) + poured.height(len(pours)) + 2 * _AROUND_TABLE
        _curve(flow, order, flow.free - said - tables - high - 8.0)
        flow.table("Bags beside a truck", table, rows)
    for text in order.says:
        flow.text(text, size=_WORDS, after=1.2)
    flow.gap(3.0)
    if pours:
        flow.table("Pours: a pier is filled in one go", poured, pours, whole=False)
    flow.block(high, lambda box: caution_box(_CAUTIONS, box.left, box.top, box.width, size=9.5, columns=2))
    return flow.drafts(taped=False)


def _big_number(order: ConcreteOrder, box: Box) -> list[Mark]:
    """Return what to buy, large, over the words for how sure that is."""
    product = order.products[order.chosen]
    number = f"{product.supply.count:,} × {product.bag.product}"
    shown, size = fitted(number, box.width, 26.0, "black", least=12.0)
    above = (
        f"To buy for {counted(len(order.left), 'hole')} still to be filled, so that not more than"
        f" {round(100 * order.chance, 1):g} of 100 such jobs run short"
    )
    told, small = fitted(above, box.width, 11.0, least=7.0)
    return [Text((box.left, box.top - 4.5), told, small), Text((box.left, box.top - 14.0), shown, size, "black")]


def _curve(flow: Flow, order: ConcreteOrder, room: float) -> None:
    """Draw the curve as high as its room allows."""
    if len(order.curve) <= 1:
        return
    product = order.products[order.chosen]

    def drawn(box: Box) -> list[Mark]:
        return curve_marks(
            order.curve,
            chosen=product.supply.count,
            chance=order.chance,
            what=f"bags: {product.bag.product}",
            box=box,
        )

    flow.block(max(_CURVE[1], min(_CURVE[0], room)), drawn, after=4.0)


def _supply_rows(order: ConcreteOrder, plan: Plan) -> list[Row]:
    """Return one row for every product, the chosen one marked, and one for a truck."""
    rows: list[Row] = []
    for k, product in enumerate(order.products):
        supply = product.supply
        rows.append(
            (
                f"{product.bag.product}{', to buy' if k == order.chosen and len(order.products) > 1 else ''}",
                counted(supply.count, "bag"),
                format_volume(supply.volume, plan.units),
                chance_words(supply.chance),
                format_volume(supply.left_over, plan.units),
                format_mass(supply.carried_kg, plan.units),
                f"{supply.cost:,.0f}" if product.bag.price else UNKNOWN,
            )
        )
    truck = order.truck
    if truck is not None:
        rows.append(
            (
                "truck",
                format_load(truck.volume, plan.units),
                format_volume(truck.volume, plan.units),
                chance_words(truck.chance),
                format_volume(truck.left_over, plan.units),
                format_mass(truck.carried_kg, plan.units),
                f"{truck.cost:,.0f}" if truck.cost > truck.fee else UNKNOWN,
            )
        )
    return rows


def _pour_rows(order: ConcreteOrder, plan: Plan) -> list[Row]:
    """Return the pours; one of many piers takes several rows."""
    rows: list[Row] = []
    for n, (labels, volume) in enumerate(order.pours, start=1):
        for k, here in enumerate(name_cells(labels, _LETTERS)):
            if k:
                rows.append(("", here, "", ""))
            else:
                rows.append((str(n), here, format_volume(volume, plan.units), Tick()))
    return rows
