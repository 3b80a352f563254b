"""What a window shows of a line or an area: any line and any area, also one that crosses itself or has no size."""

from __future__ import annotations

from itertools import pairwise

from layoutdesk.geometry.vector import Vector, along
from layoutdesk.sheets.paper import Box


def clipped_lines(path: tuple[Vector, ...], window: Box) -> list[tuple[Vector, ...]]:
    """Return the parts of a bent line that lie in a window."""
    parts: list[list[Vector]] = []
    for start, end in pairwise(path):
        span = _span_inside(start, end, window)
        if span is None:
            continue
        a = start if span[0] == 0.0 else along(start, end, span[0])
        b = end if span[1] == 1.0 else along(start, end, span[1])
        if parts and span[0] == 0.0 and parts[-1][-1] == a:
            parts[-1].append(b)
        else:
            parts.append([a, b])
    return [tuple(part) for part in parts]


def _span_inside(start: Vector, end: Vector, window: Box) -> tuple[float, float] | None:
    """Return from which to which share of its length a straight line lies in a window."""
    low, high = 0.0, 1.0
    dx, dy = end[0] - start[0], end[1] - start[1]
    for way, room in (
        (-dx, start[0] - window.left),
        (dx, window.right - start[0]),
        (-dy, start[1] - window.bottom),
        (dy, window.top - start[1]),
    ):
        if way == 0:
            if room < 0:
                return None
        elif way < 0:
            low = max(low, room / way)
        else:
            high = min(high, room / way)
    return (low, high) if low <= high else None


def clipped_outline(ring: tuple[Vector, ...], window: Box) -> tuple[Vector, ...]:
    """Return the part of an outlined area that lies in a window; empty when none does.

    It is cut along each edge in turn. Parts that an edge keeps asunder stay joined along it, which is not seen in
    an area that is filled and not stroked.
    """
    for axis, limit, sign in (
        (0, window.left, 1.0),
        (0, window.right, -1.0),
        (1, window.bottom, 1.0),
        (1, window.top, -1.0),
    ):
        ring = _beyond(ring, axis, limit, sign)
    return ring


def _beyond(ring: tuple[Vector, ...], axis: int, limit: float, sign: float) -> tuple[Vector, ...]:
    """Return the part of an area on one side of an upright or level line."""
    kept: list[Vector] = []
    for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        a_inside, b_inside = (sign * (p[axis] - limit) >= 0 for p in (a, b))
        if a_inside:
            kept.append(a)
        if a_inside != b_inside:
            p = along(a, b, (limit - a[axis]) / (b[axis] - a[axis]))
            kept.append((limit, p[1]) if axis == 0 else (p[0], limit))
    return tuple(kept)
