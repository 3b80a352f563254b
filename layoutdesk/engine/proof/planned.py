"""What a measure would read if everything stood where it is drawn."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, dot, left, minus, unit
from layoutdesk.plan.model import TapeKind

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Points


def planned_reading(points: Points, start: str, end: str, kind: TapeKind, third: str | None) -> float | None:
    """Return what a measure is planned to read, in mm, or in degrees for a right angle; None when it cannot be.

    Args:
        points: all points of the stake-out.
        start: the id of its first point.
        end: the id of its second point.
        kind: what is measured; see :class:`~layoutdesk.plan.model.Tape`.
        third: the id of its third point, which all kinds but a distance need.
    """
    try:
        a, b = _at(points, start), _at(points, end)
        if kind == "distance":
            return math.dist(a, b)
        c = _at(points, third or "")
    except KeyError:
        return None
    if math.dist(a, c) <= SAME_MM:
        return None
    if kind == "right angle":
        first, second = minus(b, a), minus(c, a)
        size = math.hypot(*first) * math.hypot(*second)
        return math.degrees(math.acos(max(-1.0, min(1.0, dot(first, second) / size)))) if size else None
    return dot(minus(b, a), left(unit(minus(c, a))))


def _at(points: Points, point_id: str) -> Vector:
    x, y = points.xy[points.index(point_id)]
    return float(x), float(y)
