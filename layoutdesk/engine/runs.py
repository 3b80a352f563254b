"""Running dimensions along every beam line, and how far neighbouring rows are apart."""

from __future__ import annotations

import math

from layoutdesk.engine.layout import LineRun, RowGap, RunStop
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import Row, RowTable, SideBySide, square_distance
from layoutdesk.geometry.vector import cross, dot, left, minus
from layoutdesk.plan.model import Plan


def line_runs(points: PointTable, rows: RowTable) -> tuple[LineRun, ...]:
    """Return the running dimensions of every beam line, in the order of the plan."""
    return tuple(_run(points, rows, index, row) for index, row in enumerate(rows.rows))


def _run(points: PointTable, rows: RowTable, index: int, row: Row) -> LineRun:
    stops: list[RunStop] = []
    if row.attachment >= 0:
        away = minus(row.line.end, row.line.start)
        size = math.hypot(*away)
        off = dot(left(away), minus(row.zero, row.line.start)) / size if size else 0.0
        label = points.labels[row.attachment]
        stops.append(RunStop(points.ids[row.attachment], label, "attachment", 0.0, 0.0, off))
    for pier in rows.piers(index).tolist():
        at = points.first_pier + pier
        running = float(rows.running[pier])
        spacing = running - stops[-1].running if stops else 0.0
        stops.append(RunStop(points.ids[at], points.labels[at], "pier", running, spacing, float(rows.off[pier])))
    zero = points.labels[row.attachment] if row.attachment >= 0 else f"start of {row.line.id}"
    return LineRun(row.line.id, zero, tuple(stops))


def row_gaps(plan: Plan, rows: RowTable) -> tuple[RowGap, ...]:
    """Return how far neighbouring rows are apart, family by family and in order across."""
    return tuple(_gap(plan, rows, pair) for family in rows.families for pair in family.neighbours)


def _gap(plan: Plan, rows: RowTable, pair: SideBySide) -> RowGap:
    first, second = rows.rows[pair.first], rows.rows[pair.second]
    piers = rows.piers(pair.second).tolist()
    ends = (plan.piers[piers[0]].at, plan.piers[piers[-1]].at) if piers else (second.line.start, second.line.end)
    at_start, at_end = (square_distance(first, place) for place in ends)
    skew = math.degrees(math.atan2(abs(cross(first.way, second.way)), abs(dot(first.way, second.way))))
    return RowGap(first.line.id, second.line.id, at_start, at_end, skew)
