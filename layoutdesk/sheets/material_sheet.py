"""The materials report: net concrete by detail, bags by product, posts, and every flag."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Concrete, Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.marks import Mark, Text
from layoutdesk.sheets.numbers import counted, parts, said_small
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.table import Column, Figure, Row, Table, fit_table
from layoutdesk.units import format_volume, to_unit

SECTION: Final = "Materials"
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_SEVERITY: Final = {"error": "Error", "warning": "Warning", "note": "Note"}
_PIECES: Final = 12
"""How many columns one row tells of."""
_UNKNOWN: Final = "not known"
_CODE: Final = (
    "Local code and the licensed designer decide on depth, width, frost, steel and strength; this report only"
    " counts what the plan draws."
)
_BAGS: Final = (
    "Yields are the makers' own figures: read the bag before buying. Volumes are net, as drawn; the sheet of the"
    " **concrete order** says what to buy, with holes that come out bigger."
)


def material_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the materials report, in as many pages as it needs."""
    flow = Flow(SECTION, size)
    plan, concrete = layout.plan, layout.concrete
    if plan.piers:
        flow.block(15.0, lambda box: _big_number(plan, concrete, box), after=3.0)
        flow.table("Concrete by detail", *_by_detail(plan, concrete, flow.width))
        if concrete.orders and concrete.net_m3 > 0:
            flow.table("Bags", *_bags(plan, concrete, flow.width))
            flow.text(_BAGS, size=9.0, after=5.0)
    if layout.columns:
        _posts(flow, layout)
    high = caution_height((_CODE,), flow.width)
    flow.block(high, lambda box: caution_box((_CODE,), box.left, box.top, box.width), after=5.0)
    _flags(flow, layout)
    return flow.drafts(taped=False)


def _big_number(plan: Plan, concrete: Concrete, box: Box) -> list[Mark]:
    """Return the net concrete of the job, large, in the units that it is sold in."""
    unknown = sum(1 for pier in concrete.piers if not pier.depth)
    known = unknown < len(concrete.piers)
    net = format_volume(concrete.net_m3, plan.units) if known else _UNKNOWN
    if known and plan.units == "ft-in":
        net += f" = {to_unit(concrete.net_m3, 'm**3', 'yd**3'):.2f} cu yd"
    without = f", without the {unknown} that have no detail" if unknown and known else ""
    return [
        Text((box.left, box.top - 4.5), f"Net concrete, {counted(len(plan.piers), 'pier')}{without}", 11.0),
        Text((box.left, box.top - 13.5), net, 24.0, "black"),
    ]


def _by_detail(plan: Plan, concrete: Concrete, width: float) -> tuple[Table, list[Row]]:
    columns = (
        Column("detail", "start", weight="black"),
        Column("piers"),
        Column("which", "start", weight="regular", grows=True, scale=0.75),
        Column("each"),
        Column("all"),
    )
    rows: list[Row] = [
        (
            total.detail or "none",
            str(len(total.piers)),
            ", ".join(total.piers),
            format_volume(total.each_m3, plan.units) if total.depth else _UNKNOWN,
            format_volume(total.total_m3, plan.units) if total.depth else _UNKNOWN,
        )
        for total in concrete.details
    ]
    return fit_table(columns, rows, width, sizes=_SIZES, row_share=0.62), rows


def _bags(plan: Plan, concrete: Concrete, width: float) -> tuple[Table, list[Row]]:
    columns = (
        Column("bag", "start", weight="black"),
        Column("one makes"),
        Column("rounded up pier by pier"),
        Column("rounded up once for the job"),
    )
    rows: list[Row] = [
        (
            order.product,
            format_volume(order.yield_m3, plan.units, small=True),
            counted(order.count_by_pier, "bag"),
            counted(order.count_by_job, "bag"),
        )
        for order in concrete.orders
    ]
    return fit_table(columns, rows, width, sizes=_SIZES, row_share=0.62), rows


def _posts(flow: Flow, layout: Layout) -> None:
    """Lay what posts to buy for the columns, what is cut from each, and what no stock is long enough for."""
    plan = layout.plan
    columns = (
        Column("posts", "end", weight="black"),
        Column("of"),
        Column("cut from each, in this order", "start", weight="regular", grows=True, scale=0.75),
        Column("left over, all"),
    )
    rows: list[Row] = []
    for group in layout.stock:
        pieces = [" + ".join(piece) for piece in group.cuts]
        per_row = _PIECES // max(len(piece) for piece in group.cuts)
        for first in range(0, len(pieces), max(1, per_row)):
            here = "; ".join(pieces[first : first + max(1, per_row)])
            if first:
                rows.append(("", "", here, ""))
            else:
                rows.append(
                    (str(len(pieces)), Figure(parts(plan, group.stock)), here, Figure(parts(plan, group.waste)))
                )
    if rows:
        flow.table(
            "Posts for the columns", fit_table(columns, rows, flow.width, sizes=_SIZES, row_share=0.62), rows
        )
    longer = [cut.label for cut in layout.columns if cut.stock is None]
    if longer:
        flow.text(
            f"**No stock length is long enough** for the columns of {', '.join(longer)}.", size=9.5, after=2.0
        )
    kerf = said_small(plan, plan.levels.columns.kerf)
    flow.text(
        f"Columns are cut with their margin; the saw takes {kerf} at each cut."
        " What holds a post up, its kind, size and treatment, is for local code and the licensed designer.",
        size=9.0,
        after=5.0,
    )


def _flags(flow: Flow, layout: Layout) -> None:
    """Write every flag as its sentence, the errors first."""
    flow.heading("What to look at", keep=12.0)
    if not layout.flags:
        flow.text("Nothing: the plan agrees with itself as far as the program can tell.", after=4.0)
        return
    for flag in layout.flags:
        flow.text(f"**{_SEVERITY[flag.severity]}:** {flag.text}", size=9.5, after=1.5)
    flow.gap(2.5)
