"""Curves of a PDF: it knows lines and cubic Béziers only, and what was a circle is found again from them.

Four Béziers are the usual circle. They lie within 3 parts in 10,000 of its radius, and exactly on it at their ends
and middles; so ends and middles are what a circle is found from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, TypeAlias

from layoutdesk.geometry.vector import Vector, cross, distance, dot, minus

Piece: TypeAlias = tuple[Vector, ...]
"""One piece of a path, from where the last one ended: (end,) of a line, (control, control, end) of a Bézier."""

OFF_CIRCLE: Final = 5e-4
"""By what part of the radius ends and middles may lie beside the circle."""
OFF_MM: Final = 0.002
"""What they may lie beside it in any case: numbers of a PDF are often rounded to hundredths of a point."""
STEP_DEGREES: Final = 15.0
POLYGON_SIDES: Final = 12
"""A closed run of at least so many equal sides on a circle was a circle once."""

Round: TypeAlias = tuple[Vector, float]
"""Centre and radius."""


def round_of(start: Vector, pieces: Sequence[Piece]) -> tuple[Round, float] | None:
    """Return the circle that a run of curves lies on, and by how many radians it turns (anticlockwise above 0).

    None when it runs along none, or holds a line.
    """
    if not pieces or any(len(piece) != 3 for piece in pieces):
        return None
    on: list[Vector] = [start]
    here = start
    for one, two, end in pieces:
        on += [_on_curve(here, one, two, end, 0.5), end]
        here = end
    found = _circle_through(on)
    if found is None:
        return None
    swept = 0.0
    for p, q in pairwise(on):
        from_p, from_q = minus(p, found[0]), minus(q, found[0])
        swept += math.atan2(cross(from_p, from_q), dot(from_p, from_q))
    # Quarter points: a curve that leaves the circle between its ends and middles is none.
    here = start
    for one, two, end in pieces:
        for t in (0.2, 0.8):
            if abs(distance(_on_curve(here, one, two, end, t), found[0]) - found[1]) > 3e-3 * found[1] + OFF_MM:
                return None
        here = end
    return found, swept


def round_polygon(corners: Sequence[Vector]) -> Round | None:
    """Return the circle that a closed run of many equal sides stands for, or None.

    Its corners lie on the circle: programs that flatten a circle put them there.
    """
    if len(corners) < POLYGON_SIDES:
        return None
    sides = [distance(p, q) for p, q in zip(corners, (*corners[1:], corners[0]), strict=True)]
    if max(sides) > 1.02 * min(sides) + 2 * OFF_MM:
        return None
    return _circle_through(corners)


def arc_points(found: Round, start: Vector, swept: float) -> tuple[Vector, ...]:
    """Return points along an arc from its start, no farther than 15 degrees from one to the next."""
    (x, y), radius = found
    first = math.atan2(start[1] - y, start[0] - x)
    count = max(1, math.ceil(abs(math.degrees(swept)) / STEP_DEGREES - 1e-6))
    turns = (first + swept * i / count for i in range(count + 1))
    return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)


def flattened(start: Vector, pieces: Sequence[Piece]) -> list[Vector]:
    """Return a run of lines and curves as points: curves in steps of at most 15 degrees or 64 to a piece."""
    points = [start]
    for piece in pieces:
        if len(piece) == 1:
            points.append(piece[0])
            continue
        one, two, end = piece
        here = points[-1]
        legs = [leg for leg in (minus(one, here), minus(two, one), minus(end, two)) if leg != (0.0, 0.0)]
        bend = sum(abs(math.atan2(cross(a, b), dot(a, b))) for a, b in pairwise(legs))
        count = max(1, min(64, math.ceil(math.degrees(bend) / STEP_DEGREES)))
        points += [_on_curve(here, one, two, end, i / count) for i in range(1, count)]
        points.append(end)
    return points


def _on_curve(a: Vector, b: Vector, c: Vector, d: Vector, t: float) -> Vector:
    s = 1 - t
    k, m, n, o = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    return k * a[0] + m * b[0] + n * c[0] + o * d[0], k * a[1] + m * b[1] + n * c[1] + o * d[1]


def _circle_through(points: Sequence[Vector]) -> Round | None:
    """Return the circle on which all points lie, or None: least squares, so that rounded numbers even out.

    The circle x² + y² = 2·u·x + 2·v·y + w in coordinates about the points' middle is linear in u, v and w
    (from memory). One that bends by less than its points are rough is no circle but a line.
    """
    n = len(points)
    if n < 3:
        return None
    mx, my = sum(p[0] for p in points) / n, sum(p[1] for p in points) / n
    near = [(p[0] - mx, p[1] - my) for p in points]
    xx, yy, xy = sum(x * x for x, _ in near), sum(y * y for _, y in near), sum(x * y for x, y in near)
    determinant = xx * yy - xy * xy
    if not determinant > 1e-9 * (xx + yy) ** 2:
        return None
    xz = sum(x * (x * x + y * y) for x, y in near) / 2
    yz = sum(y * (x * x + y * y) for x, y in near) / 2
    u, v = (yy * xz - xy * yz) / determinant, (xx * yz - xy * xz) / determinant
    radius = math.sqrt((xx + yy) / n + u * u + v * v)
    allowed = OFF_CIRCLE * radius + OFF_MM
    if not math.isfinite(radius) or any(abs(math.hypot(x - u, y - v) - radius) > allowed for x, y in near):
        return None
    return (mx + u, my + v), radius
