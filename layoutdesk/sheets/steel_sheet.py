"""The steel list: what is bought of every size of bar, and how its pieces are cut from stock."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from typing import Final

from layoutdesk.engine.layout import Layout, SteelList, SteelSize
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import HEADING, caution_box, caution_height
from layoutdesk.sheets.cells import length_cell
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Mark, Text
from layoutdesk.sheets.numbers import said_whole
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.table import Column, Row, fit_table
from layoutdesk.units import format_mass

SECTION: Final = "Steel"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_WORDS: Final = 9.5
_ROW: Final = 0.58
"""Height of a row for each point of its type, in millimetres."""
_CAUTION: Final = (
    (
        "**Cutting and bending:** goggles, gloves, long sleeves; clamp the bar; nobody stands where an end may"
        " spring. Bars are bent cold, never straightened and bent again. The licensed designer decides on steel."
    ),
)
_BOUGHT: Final[tuple[Column, ...]] = (
    Column("size", "start", weight="black"),
    Column("pieces"),
    Column("length of all"),
    Column("mass"),
    Column("to buy", "start", grows=True, scale=0.9),
)
_KINDS: Final[tuple[Column, ...]] = (
    Column("detail", "start", weight="black"),
    Column("piece", "start", weight="regular"),
    Column("size", "start"),
    Column("pieces"),
    Column("cut to"),
    Column("mass"),
)
_CUTS: Final[tuple[Column, ...]] = (
    Column("bars", "end", weight="black"),
    Column("of"),
    Column("cut from each", "start", weight="regular", scale=0.8, grows=True),
    Column("left over, each"),
)


def steel_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the steel list; nothing where no pier has steel."""
    steel, plan = layout.steel, layout.plan
    if not steel.sizes:
        return []
    flow = Flow(SECTION, size)
    flow.block(15.0, lambda box: _big_number(steel, plan, box), after=3.0)
    high = caution_height(_CAUTION, flow.width, size=_WORDS)
    flow.block(high, lambda box: caution_box(_CAUTION, box.left, box.top, box.width, size=_WORDS), after=4.0)
    bought: list[Row] = [_bought(one, plan) for one in steel.sizes]
    flow.table("What to buy", fit_table(_BOUGHT, bought, flow.width, sizes=_SIZES, row_share=_ROW), bought)
    for text in steel.says:
        flow.text(text, size=_WORDS, after=1.2)
    flow.gap(2.0)
    kinds: list[Row] = [
        (
            detail,
            kind.what,
            kind.bar.name,
            f"{kind.count:,}",
            length_cell(plan, kind.cut),
            format_mass(kind.mass, plan.units, decimals=1),
        )
        for detail, kind in steel.kinds
    ]
    flow.table("All pieces", fit_table(_KINDS, kinds, flow.width, sizes=_SIZES, row_share=_ROW), kinds, whole=False)
    for one in steel.sizes:
        rows = _cut_rows(one, plan)
        says = list(dict.fromkeys(text for text in (one.says, one.cutting.says if one.cutting else "") if text))
        heading = f"How {one.size} is cut"
        if len(says) == 1 and text_width(f"{heading}: {says[0]}", HEADING, "bold") <= flow.width:
            heading = f"{heading}: {says.pop().rstrip('.')}"
        if rows:
            table = fit_table(_CUTS, rows, flow.width, sizes=_SIZES, row_share=_ROW)
            flow.table(heading, table, rows)
        for text in says if rows else [f"**{heading}.**", *says]:
            flow.text(text, size=_WORDS, after=1.2)
    return flow.drafts(taped=False)


def _big_number(steel: SteelList, plan: Plan, box: Box) -> list[Mark]:
    with_steel = sum(1 for pier in steel.piers if pier.kinds)
    return [
        Text((box.left, box.top - 4.5), f"Steel of {with_steel} of {len(plan.piers)} piers", 11.0),
        Text((box.left, box.top - 13.5), format_mass(steel.mass, plan.units), 24.0, "black"),
    ]


def _bought(one: SteelSize, plan: Plan) -> Row:
    return (
        one.size,
        f"{one.count:,}",
        length_cell(plan, one.length),
        format_mass(one.mass, plan.units, decimals=1),
        _to_buy(one, plan),
    )


def _to_buy(one: SteelSize, plan: Plan) -> str:
    """Return the stock of one size in words, the longest first."""
    if one.cutting is None:
        return "not cut: see below"
    counts = Counter(piece.stock.length for piece in one.cutting.pieces)
    return ", ".join(f"{n:,} × {said_whole(plan, length)}" for length, n in sorted(counts.items(), reverse=True))


def _cut_rows(one: SteelSize, plan: Plan) -> list[Row]:
    """Return how stock is cut, stock that is cut alike in one row."""
    if one.cutting is None:
        return []
    alike = Counter((piece.stock.length, piece.cuts, piece.left_over) for piece in one.cutting.pieces)
    return [
        (f"{n:,}", length_cell(plan, stock), _runs(cuts), length_cell(plan, left))
        for (stock, cuts, left), n in alike.items()
    ]


def _runs(cuts: tuple[str, ...]) -> str:
    """Return labels with those that follow one another counted: ``3 × D1 bar + 1 × D1 hoop``."""
    runs = [(label, len(list(run))) for label, run in groupby(cuts)]
    return " + ".join(f"{n} × {label}" if n > 1 else label for label, n in runs)
