"""Running dimensions: along each beam line from its zero, spacing by spacing, and from row to row."""

from __future__ import annotations

from typing import Final

from layoutdesk.engine.layout import Layout, LineRun, RowGap
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.numbers import parts, said, said_small
from layoutdesk.sheets.table import Column, Figure, Row, fit_table

SECTION: Final = "Running dimensions"
_SIZES: Final = (14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_STOPS: Final[tuple[Column, ...]] = (
    Column("at", "start", weight="black"),
    Column("running"),
    Column("read", blank=True, least=18.0),
    Column("spacing", weight="semibold", scale=0.85),
)
_ROWS: Final[tuple[Column, ...]] = (
    Column("row", "start", weight="black"),
    Column("to", "start", weight="black"),
    Column("at its start"),
    Column("at its end"),
)


def run_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the sheet of running dimensions, in two columns, with as many pages as the lines need."""
    plan = layout.plan
    blocks: list[tuple[str, tuple[Column, ...], list[Row]]] = [
        (_heading(plan, run), _STOPS, _stops(plan, run)) for run in layout.runs if run.stops
    ]
    if layout.gaps:
        blocks.append(("From row to row, square from the first", _ROWS, [_gap(plan, gap) for gap in layout.gaps]))
    if not blocks:
        return []
    flow = Flow(SECTION, size, columns=2)
    wide = flow.width
    stops = [row for _, columns, rows in blocks if columns is _STOPS for row in rows]
    tables = {
        _STOPS: fit_table(_STOPS, stops, wide, sizes=_SIZES, row_share=0.62),
        _ROWS: fit_table(_ROWS, blocks[-1][2] if layout.gaps else [], wide, sizes=_SIZES, row_share=0.62),
    }
    for heading, columns, rows in blocks:
        flow.table(heading, tables[columns], rows)
    return flow.drafts()


def _heading(plan: Plan, run: LineRun) -> str:
    """Return which line it is and where its tape is hooked: at a named point, or at a station and an offset."""
    attached = next((line.attachment for line in plan.lines if line.id == run.line), None)
    if attached is not None or run.zero_station is None or run.zero_offset is None:
        return f"{run.line} from {run.zero_label}"
    return f"{run.line} from station {said(plan, run.zero_station)}, offset {said(plan, run.zero_offset)}"


def _stops(plan: Plan, run: LineRun) -> list[Row]:
    near = plan.rounding / 2
    return [
        (
            stop.label,
            Figure(parts(plan, stop.running), caption=_off(plan, stop.off) if abs(stop.off) >= near else ""),
            None,
            Figure(parts(plan, stop.spacing)) if i else None,
        )
        for i, stop in enumerate(run.stops)
    ]


def _off(plan: Plan, off: float) -> str:
    """Return how far a stop lies off its line."""
    return f"{said_small(plan, abs(off))} off the line, {'left' if off > 0 else 'right'}"


def _gap(plan: Plan, gap: RowGap) -> Row:
    return (gap.first, gap.second, Figure(parts(plan, gap.at_start)), Figure(parts(plan, gap.at_end)))
