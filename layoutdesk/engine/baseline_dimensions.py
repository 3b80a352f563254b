"""Dimensions from the baseline: what ties rows to it that nothing ties to the house.

A row along the baseline is dimensioned by its distance from it, a row square to it by the offset of its nearer
end, and a row askew by the offsets of its first and last point. They are left out where there is no room.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from layoutdesk.engine.layout import Dimension
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.rows import Row
from layoutdesk.engine.wall_dimensions import ALONG_DEG, Lanes
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import (
    Vector,
    cross,
    distance,
    dot,
    foot,
    left,
    minus,
    nearest_on_segment,
    plus,
    times,
    unit,
)

BASELINE: Final = "baseline"
"""What a dimension from the baseline names as its first end: the baseline is no piece and has no id."""
_LANES: Final = (0.0, 2.0, 3.0)
"""Where a dimension line is tried, in gaps beyond its first place."""
_TRIM_MM: Final = 5.0
"""A dimension line may meet another one at its end: so much of it does not count."""
_TOUCH_MM: Final = 2.0


def from_baseline(
    frame: Frame,
    points: PointTable,
    row: Row,
    ends: tuple[int, int],
    lanes: Lanes,
    *,
    shown: Sequence[Dimension],
    radius: float,
) -> Iterator[Dimension]:
    """Yield what ties a row to the baseline.

    Args:
        frame: the baseline.
        points: the points of the plan.
        row: the row.
        ends: its first and last point along ``lanes.way``.
        lanes: where the dimension lines stand.
        shown: the dimensions that stand already; no dimension line crosses theirs.
        radius: of the widest pier, in mm; no dimension line comes so near to a pier.
    """
    turn = abs(cross(frame.along, lanes.way))
    if turn <= math.sin(math.radians(ALONG_DEG)):
        found = [(ends[1], row.line.id, lanes.level - dot(points.place(ends[1]), lanes.way))]
    elif turn >= math.cos(math.radians(ALONG_DEG)):
        near = min(ends, key=lambda end: abs(frame.station_offset(points.place(end))[1]))
        found = [(near, points.ids[near], lanes.gap)]
    else:
        found = [(end, points.ids[end], lanes.gap) for end in dict.fromkeys(ends)]
    standing = [_line(one) for one in shown if distance(one.start, one.end) > SAME_MM]
    for end, second, beyond in found:
        at = points.place(end)
        start = foot(at, frame.origin, plus(frame.origin, frame.along))
        if distance(start, at) <= _TRIM_MM:
            continue
        aside = left(unit(minus(at, start)))
        # Beyond the end of the row; beside a row that is square to the baseline, where its spacings stand.
        outward = times(lanes.way, 1.0 if end == ends[1] else -1.0)
        if turn >= math.cos(math.radians(ALONG_DEG)):
            outward = times(left(lanes.way), lanes.side)
        side = 1.0 if dot(aside, outward) > 0 else -1.0
        for more in _LANES:
            shift = side * (beyond + more * lanes.gap)
            one = Dimension(start, at, shift, distance(start, at), BASELINE, second, "from baseline")
            if _clear(_line(one), standing, points, radius):
                standing.append(_line(one))
                yield one
                break


def _line(one: Dimension) -> tuple[Vector, Vector]:
    """Return the ends of a dimension line."""
    aside = times(left(unit(minus(one.end, one.start))), one.shift)
    return plus(one.start, aside), plus(one.end, aside)


def _clear(
    line: tuple[Vector, Vector], standing: Sequence[tuple[Vector, Vector]], points: PointTable, radius: float
) -> bool:
    """Return whether a dimension line stands clear of piers and of other dimension lines."""
    a, b = line
    way, long = unit(minus(b, a)), distance(a, b)
    away = points.xy[points.first_pier :] - np.array(a)
    along = np.clip(away @ np.array(way), 0.0, long)
    if (np.hypot(*(away - along[:, None] * np.array(way)).T) <= radius).any():
        return False
    trim = times(way, min(_TRIM_MM, long / 4))
    a, b = plus(a, trim), minus(b, trim)
    return all(_apart(a, b, c, d) > _TOUCH_MM for c, d in standing)


def _apart(a: Vector, b: Vector, c: Vector, d: Vector) -> float:
    """Return how far two straights a–b and c–d are from each other, in mm; 0 when they cross."""
    one, other = minus(b, a), minus(d, c)
    if (
        cross(one, minus(c, a)) * cross(one, minus(d, a)) < 0
        and cross(other, minus(a, c)) * cross(other, minus(b, c)) < 0
    ):
        return 0.0
    return min(
        *(distance(p, nearest_on_segment(p, c, d)) for p in (a, b)),
        *(distance(p, nearest_on_segment(p, a, b)) for p in (c, d)),
    )
