"""Drawing rows and grids of piers, each row with its beam line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, islice

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, left, plus, times
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.naming import new_ids
from layoutdesk.plan.edits.pieces import check_detail, find_attachment
from layoutdesk.plan.model import BeamLine, Pier, Plan
from layoutdesk.plan.rules import wrong_place


def add_row(
    plan: Plan,
    start: Vector,
    toward: Vector,
    spacings: Sequence[float],
    *,
    detail: str | None = None,
    attachment: str | None = None,
) -> Plan:
    """Draw a beam line from ``start`` and piers on it.

    ``spacings`` are the gaps one after the other, in millimetres: the first from ``start`` to the first pier
    (it may be 0), each other from pier to pier. The line ends at the last pier; where all piers stand at its
    start it ends at ``toward``, which otherwise only gives the direction.

    Raises:
        EditError: when there is no spacing or more than 10 000, when one is not positive, when ``toward`` gives
            no direction, or when the detail or the attachment is unknown.
    """
    check_detail(plan, detail)
    find_attachment(plan, attachment)
    runs = _runs(spacings, rows=1)
    origin, end = checks.place(start), checks.place(toward)
    way = checks.direction(origin, end, "the row")
    line, piers = _row(
        next(new_ids(plan, "L")),
        new_ids(plan, "P"),
        origin,
        way,
        runs,
        reach=distance(origin, end),
        detail=detail,
        attachment=attachment,
    )
    return plan.with_(lines=(*plan.lines, line), piers=(*plan.piers, *piers))


def add_grid(
    plan: Plan,
    origin: Vector,
    along: Vector,
    spacings: Sequence[float],
    gaps: Sequence[float],
    *,
    detail: str | None = None,
) -> Plan:
    """Draw rows of piers side by side, a beam line to each.

    Args:
        plan: where they are drawn.
        origin: where the first row begins.
        along: the direction of the rows; only its direction counts.
        spacings: along each row, as in :func:`add_row`.
        gaps: from row to row, in millimetres, square to ``along``: to its left when positive, to its right when
            negative. There is one row more than there are gaps.
        detail: of every pier.

    Raises:
        EditError: when there are no spacings, when more than 10 000 piers would come of it, when a spacing is not
            positive or a gap is 0, when ``along`` has no length, or when the detail is unknown.
    """
    check_detail(plan, detail)
    runs = _runs(spacings, rows=len(gaps) + 1)
    for gap in gaps:
        if abs(checks.finite(gap, "a gap between rows")) <= SAME_MM:
            raise EditError("a gap between rows must not be 0")
    first = checks.place(origin)
    way = checks.direction((0.0, 0.0), checks.place(along), "the direction of the rows")
    line_ids, pier_ids = new_ids(plan, "L"), new_ids(plan, "P")
    lines: list[BeamLine] = []
    piers: list[Pier] = []
    for gap in accumulate(gaps, initial=0.0):
        begin = plus(first, times(left(way), gap))
        line, row = _row(next(line_ids), pier_ids, begin, way, runs, reach=1000.0, detail=detail, attachment=None)
        lines.append(line)
        piers += row
    return plan.with_(lines=(*plan.lines, *lines), piers=(*plan.piers, *piers))


def _runs(spacings: Sequence[float], *, rows: int) -> list[float]:
    """Return how far each pier of a row is from the row's start, in millimetres."""
    if not spacings:
        raise EditError("a row of piers needs at least one spacing")
    if len(spacings) * rows > checks.MOST_PIERS:
        raise EditError(f"that is {len(spacings) * rows} piers; one edit adds at most 10 000")
    for index, spacing in enumerate(spacings):
        checks.finite(spacing, "a spacing")
        if spacing < 0 or (index and spacing <= SAME_MM):
            raise EditError("spacings must be more than 0; only the first, from the start of the row, may be 0")
    return list(accumulate(spacings))


def _row(
    line_id: str,
    pier_ids: Iterator[str],
    origin: Vector,
    way: Vector,
    runs: Sequence[float],
    *,
    reach: float,
    detail: str | None,
    attachment: str | None,
) -> tuple[BeamLine, list[Pier]]:
    """Return one beam line and its piers; ``reach`` is its length when all piers stand at its start."""
    end = plus(origin, times(way, runs[-1] if runs[-1] > SAME_MM else reach))
    for at in (origin, end):
        if trouble := wrong_place(at):
            raise EditError(f"the row would reach a place that {trouble}")
    line = BeamLine(id=line_id, start=origin, end=end, attachment=attachment)
    piers = [
        Pier(id=pier_id, at=plus(origin, times(way, run)), line=line_id, detail=detail)
        for pier_id, run in zip(islice(pier_ids, len(runs)), runs, strict=True)
    ]
    return line, piers
