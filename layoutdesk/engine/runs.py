"""Running dimensions along every beam line, and how far neighbouring rows are apart."""

from __future__ import annotations

import math

from layoutdesk.engine.families import Family
from layoutdesk.engine.layout import LineRun, RowGap, RunStop
from layoutdesk.engine.points import NO_MINUS, PointTable
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector, cross, dot, minus
from layoutdesk.plan.model import Plan


def line_runs(points: PointTable, rows: RowTable) -> tuple[LineRun, ...]:
    """Return the running dimensions of every beam line, in the order of the plan."""
    return tuple(line_run(points, rows, index) for index in range(len(rows)))


def line_run(points: PointTable, rows: RowTable, index: int) -> LineRun:
    """Return the running dimensions of one beam line."""
    row, part = rows.row(index), rows.stops.of(index)
    u, v = rows.drawn_way[index].tolist()
    stops: list[RunStop] = []
    for point, along in zip(rows.stops.point[part].tolist(), rows.stops.running[part].tolist(), strict=True):
        off = cross((u, v), minus(points.place(point), row.line.start)) + NO_MINUS
        running = along + NO_MINUS
        spacing = running - stops[-1].running if stops else 0.0
        stops.append(RunStop(points.ids[point], points.labels[point], points.kinds[point], running, spacing, off))
    zero = points.labels[row.attachment] if row.attachment >= 0 else f"start of {row.line.id}"
    if points.frame is None:
        return LineRun(row.line.id, zero, tuple(stops))
    station, offset = points.frame.station_offset(row.zero)
    return LineRun(row.line.id, zero, tuple(stops), station + NO_MINUS, offset + NO_MINUS)


def row_gaps(plan: Plan, rows: RowTable, families: tuple[Family, ...]) -> tuple[RowGap, ...]:
    """Return how far neighbouring rows are apart, family by family and in order across."""
    return tuple(_gap(plan, rows, first, second) for family in families for first, second in family.neighbours)


def _gap(plan: Plan, rows: RowTable, index: int, beside: int) -> RowGap:
    first, second = rows.row(index), rows.row(beside)
    piers = rows.piers(beside).tolist()
    ends: tuple[Vector, Vector] = (second.line.start, second.line.end)
    if piers:
        ends = (plan.piers[piers[0]].at, plan.piers[piers[-1]].at)
    at_start, at_end = (first.square_distance(place) for place in ends)
    skew = math.degrees(math.atan2(abs(cross(first.way, second.way)), abs(dot(first.way, second.way))))
    return RowGap(first.line.id, second.line.id, at_start, at_end, skew)
