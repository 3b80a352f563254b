"""Circles, arcs and ellipses as they are seen from above, and runs whose sides may be bulged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.dxf_frames import Frame, Triple

ARC_STEP: Final = math.radians(10.0)
"""Points along an arc stand no farther from each other."""

ELLIPSE_STEP: Final = math.radians(5.0)
"""Finer, because an ellipse is known by its points only; they miss it by a thousandth of its size at most."""

_SAME: Final = 1e-9
_FLAT: Final = 1e-12
_WHOLE: Final = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Form:
    """What is drawn, seen from above, without its layer; the fields are those of a shape."""

    points: tuple[Vector, ...] = ()
    closed: bool = False
    centre: Vector | None = None
    radius: float = 0.0


def round_form(
    frame: Frame, centre: Sequence[float], first: Triple, second: Triple, *, start: float, span: float
) -> Form | None:
    """Return a circle, an arc or an ellipse as it is seen from above; None when it is seen from its edge.

    Args:
        frame: the frame that the rest is given in.
        centre: its middle.
        first: from the middle to where the parameter is 0.
        second: from the middle to where it is a quarter turn.
        start: the parameter at which it begins, in radians.
        span: how far it goes, anticlockwise; a whole turn or more is whole.
    """
    z = centre[2] if len(centre) > 2 else 0.0
    cx, cy = frame.plan(centre[0], centre[1], z)
    ax, ay = frame.way(*first)
    bx, by = frame.way(*second)
    long, other = ax * ax + ay * ay, bx * bx + by * by
    if not abs(ax * by - ay * bx) > _FLAT * (long + other):
        return None
    is_round = abs(long - other) <= _SAME * long and abs(ax * bx + ay * by) <= _SAME * long
    whole = span >= _WHOLE - _SAME
    if is_round and whole:
        return Form(centre=(cx, cy), radius=math.sqrt(long))
    count = max(2, math.ceil((_WHOLE if whole else span) / (ARC_STEP if is_round else ELLIPSE_STEP) - _SAME))
    step = (_WHOLE if whole else span) / count
    turns = [start + k * step for k in range(count if whole else count + 1)]
    points = []
    for turn in turns:
        c, s = math.cos(turn), math.sin(turn)
        points.append((cx + c * ax + s * bx, cy + c * ay + s * by))
    if is_round:
        return Form(tuple(points), closed=False, centre=(cx, cy), radius=math.sqrt(long))
    return Form(tuple(points), closed=whole)


def circle_form(frame: Frame, centre: Sequence[float], radius: float, start: float, span: float) -> Form | None:
    """Return a circle or an arc that lies flat in its frame; angles in radians."""
    return round_form(frame, centre, (radius, 0.0, 0.0), (0.0, radius, 0.0), start=start, span=span)


def run_form(
    frame: Frame, corners: Sequence[Vector], bulges: Sequence[float], height: float, *, closed: bool
) -> Form | None:
    """Return a run of sides, each straight or an arc: a circle or an arc when it is one and nothing else.

    A bulge is the tangent of a quarter of the angle of its arc, positive when that turns left.
    """
    if not any(bulges):
        return straight_form([frame.plan(x, y, height) for x, y in corners], closed=closed)
    arcs = [
        _arc(corners[k], corners[(k + 1) % len(corners)], bulges[k])
        for k in range(len(corners) if closed else len(corners) - 1)
    ]
    one = _one_arc(arcs)
    if one is not None:
        centre, radius, start, span = one
        return circle_form(frame, (*centre, height), radius, start, span)
    points: list[Vector] = []
    for corner, arc in zip(corners, [*arcs, None], strict=False):
        points.append(frame.plan(*corner, height))
        if arc is not None:
            (x, y), radius, start, span = arc
            count = math.ceil(abs(span) / ARC_STEP)
            for k in range(1, count):
                turn = start + span * k / count
                points.append(frame.plan(x + radius * math.cos(turn), y + radius * math.sin(turn), height))
    return straight_form(points, closed=closed)


def straight_form(points: Sequence[Vector], *, closed: bool) -> Form | None:
    """Return a run of straight sides, places that repeat left out; None when it has no length.

    A run that ends where it began is closed.
    """
    kept: list[Vector] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    if len(kept) > 3 and _same(kept[0], kept[-1]):
        closed = True
    if closed:
        while len(kept) > 2 and _same(kept[0], kept[-1]):
            kept.pop()
    if len(kept) < 2:
        return None
    return Form(tuple(kept), closed=closed and len(kept) > 2)


def _same(a: Vector, b: Vector) -> bool:
    near = _SAME * max(1.0, abs(a[0]), abs(a[1]))
    return abs(a[0] - b[0]) <= near and abs(a[1] - b[1]) <= near


_Arc = tuple[Vector, float, float, float]


def _arc(a: Vector, b: Vector, bulge: float) -> _Arc | None:
    """Return centre, radius, start and span (negative: clockwise) of a bulged side; None when it is straight."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if not bulge or (dx == 0.0 and dy == 0.0):
        return None
    # The centre lies square from the middle of the side, by (1 - bulge²) / (4 bulge) of its length to the left.
    off = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = ((a[0] + b[0]) / 2 - dy * off, (a[1] + b[1]) / 2 + dx * off)
    radius = math.hypot(dx, dy) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return centre, radius, math.atan2(a[1] - centre[1], a[0] - centre[0]), 4.0 * math.atan(bulge)


def _one_arc(arcs: Sequence[_Arc | None]) -> _Arc | None:
    """Return the one circle or arc that all arcs lie on, anticlockwise; None when there is none."""
    first = arcs[0] if arcs else None
    if first is None:
        return None
    (x, y), radius, start, _ = first
    near = 1e-7 * radius
    total = 0.0
    for arc in arcs:
        if arc is None or abs(arc[1] - radius) > near or math.hypot(arc[0][0] - x, arc[0][1] - y) > near:
            return None
        total += arc[3]
    if abs(total) > _WHOLE + 1e-6:
        return None
    if abs(abs(total) - _WHOLE) < 1e-6:
        return (x, y), radius, 0.0, _WHOLE
    return ((x, y), radius, start, total) if total > 0 else ((x, y), radius, start + total, -total)
