"""Every beam line seen from its side: ground, string, holes, piers, columns and beam at their true places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from layoutdesk.engine.levels.entries import ColumnCut, PierHeight, SidePier, SideView, StringRun
from layoutdesk.engine.levels.ground_contract import GroundBelow
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import plus, times
from layoutdesk.plan.model import Detail, Plan

BESIDE_MM: Final = 300.0
"""The ground is shown this far beyond the ends of string and beam."""


def side_views(
    plan: Plan,
    rows: RowTable,
    ground: GroundBelow,
    *,
    runs: Sequence[StringRun],
    heights: Mapping[str, PierHeight],
    cuts: Mapping[str, ColumnCut],
) -> tuple[SideView, ...]:
    """Return the side view of every beam line that has a string, in plan order.

    Args:
        plan: the plan.
        rows: its beam lines with their piers.
        ground: the ground.
        runs: the strings.
        heights: the heights of the piers by id.
        cuts: the columns by the id of their pier; a pier without one has no column.
    """
    index = {line.id: i for i, line in reversed(list(enumerate(plan.lines)))}
    details = {detail.id: detail for detail in reversed(plan.details)}
    views = []
    for run in runs:
        if run.over != "beam line":
            continue
        row, said = rows.row(index[run.id]), plan.levels.of_line(run.id)
        ends = [row.running(end) for end in (row.line.start, row.line.end)]
        stops = [stop.running for stop in run.stops]
        low = min(0.0, *stops) if row.attachment >= 0 else min(*ends, *stops)
        high = max(*ends, *stops)
        house = run.boards[0].running if run.boards[0].held_by == "house" else None
        halves = [_half(details.get(plan.piers[k].detail or "")) for k in rows.piers(index[run.id]).tolist()]
        start = min(low, run.boards[0].running) - (0.0 if house is not None else BESIDE_MM)
        start = min(start, *(r - half for r, half in zip(stops, halves, strict=True)))
        end = max(high, run.boards[1].running) + BESIDE_MM
        end = max(end, *(r + half for r, half in zip(stops, halves, strict=True)))
        parts = ground.profile(plus(row.zero, times(row.way, start)), plus(row.zero, times(row.way, end)))
        piers = []
        for k, stop in zip(rows.piers(index[run.id]).tolist(), run.stops, strict=True):
            pier = plan.piers[k]
            known, cut = heights.get(stop.pier), cuts.get(stop.pier)
            detail = details.get(pier.detail) if pier.detail else None
            piers.append(
                SidePier(
                    pier=stop.pier,
                    label=stop.label,
                    running=stop.running,
                    ground=known.ground if known else None,
                    top=known.top if known else None,
                    bottom=known.bottom if known else None,
                    profile=detail.profile if detail else (),
                    foot=cut.foot if cut else None,
                    head=cut.head if cut else None,
                    column=plan.levels.columns.depth,
                    support=cut.support if cut else None,
                )
            )
        near, far = run.boards
        views.append(
            SideView(
                line=run.id,
                label=run.label,
                start=start,
                end=end,
                ground=tuple(tuple((start + along, height) for along, height in part) for part in parts),
                string=None
                if near.string is None or far.string is None
                else ((near.running, near.string), (far.running, far.string)),
                beam=None
                if said.seat is None
                else ((low, said.seat - said.fall * low), (high, said.seat - said.fall * high)),
                piers=tuple(piers),
                house=house,
            )
        )
    return tuple(views)


def _half(detail: Detail | None) -> float:
    """Return half the greatest width of a hole, in mm."""
    return max((diameter for _, diameter in detail.profile), default=0.0) / 2 if detail else 0.0
