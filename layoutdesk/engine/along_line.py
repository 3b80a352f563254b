"""Setting a pier along its beam line, when tapes and square do not reach it but reach others on the line."""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.columns import Bools
from layoutdesk.engine.layout import AlongLine
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import RowTable


def along_line(points: PointTable, rows: RowTable, settable: Bools, pier: int) -> AlongLine | None:
    """Return how a pier is set along its line's string, or None when fewer than two of its points can be set.

    Args:
        points: all points.
        rows: the rows.
        settable: which piers can be put on the ground by themselves, (piers,); attachments always can.
        pier: the index of the pier.
    """
    line = int(rows.line_of_pier[pier])
    if line < 0:
        return None
    part = rows.stops.of(line)
    stops, running = rows.stops.point[part], rows.stops.running[part]
    here = float(running[stops == points.first_pier + pier][0])
    piers = stops - points.first_pier
    known = (piers < 0) | settable[np.maximum(piers, 0)]
    if known.sum() < 2:
        return None
    order = np.argsort(np.abs(running[known] - here), kind="stable")[:2]
    near, other = (points.labels[k] for k in stops[known][order].tolist())
    distance = float(np.abs(running[known][order[0]] - here))
    return AlongLine(rows.row(line).line.id, near, other, distance)
