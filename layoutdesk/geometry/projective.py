"""Plane projective maps: from a picture or a page of a drawing to the ground, and back.

A map is nine floats, row by row: (x, y) goes to (X/Z, Y/Z) with X = m0·x + m1·y + m2, Y = m3·x + m4·y + m5 and
Z = m6·x + m7·y + m8. A map made here has Z above 0 wherever the picture shows ground; where Z is 0 lies the
horizon, and what lies beyond it is sky. Shifts, turns and scales are the maps whose last row is (0, 0, 1).

Plain Python: a map is made of a few products, and the window needs it before numpy is loaded.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import Final, TypeAlias

from layoutdesk.errors import LayoutdeskError
from layoutdesk.geometry.vector import Vector, cross, distance, minus

Map9: TypeAlias = tuple[float, float, float, float, float, float, float, float, float]
Four: TypeAlias = tuple[Vector, Vector, Vector, Vector]

SAME: Final[Map9] = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0)
"""The map that leaves every point where it is."""
IN_LINE: Final = 1e-4
"""Three points lie in a line when their triangle is lower than this part of its longest side."""


class MapError(LayoutdeskError, ValueError):
    """Points or distances that give no map, or a point that a map takes nowhere."""


def depth(m: Map9, p: Vector) -> float:
    """Return Z at a point: above 0 on the ground, 0 on the horizon, below 0 beyond it."""
    return m[6] * p[0] + m[7] * p[1] + m[8]


def on_ground(m: Map9, p: Vector) -> bool:
    """Return whether a point of the picture shows a place on the ground."""
    return depth(m, p) > 0


def apply(m: Map9, points: Iterable[Vector]) -> tuple[Vector, ...]:
    """Return where the map takes points.

    Raises:
        MapError: when a point lies on the horizon or beyond it.
    """
    mapped = []
    for x, y in points:
        z = m[6] * x + m[7] * y + m[8]
        if not z > 0:
            raise MapError("this point lies on or above the horizon of the photograph; choose one on the ground")
        mapped.append(((m[0] * x + m[1] * y + m[2]) / z, (m[3] * x + m[4] * y + m[5]) / z))
    return tuple(mapped)


def part_on_ground(m: Map9, outline: Sequence[Vector], *, least: float = 0.02) -> tuple[Vector, ...]:
    """Return the part of a convex outline whose Z is at least some part of the greatest Z on it; it may be empty.

    Near the horizon a pixel covers more ground than anybody wants to see: a photograph is painted only this far.

    Args:
        m: the map.
        outline: corners in order, in the map's own source coordinates.
        least: the part of the greatest Z, above 0.
    """
    floor = least * max((depth(m, p) for p in outline), default=0.0)
    if floor <= 0:
        return ()
    kept: list[Vector] = []
    for p, q in zip(outline, (*outline[1:], *outline[:1]), strict=True):
        zp, zq = depth(m, p) - floor, depth(m, q) - floor
        if zp >= 0:
            kept.append(p)
        if (zp >= 0) != (zq >= 0):
            k = zp / (zp - zq)
            kept.append((p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1])))
    return tuple(kept)


def inverse(m: Map9) -> Map9:
    """Return the map back; it has Z above 0 for every place that the map takes ground to.

    Raises:
        MapError: when the map squeezes the plane into a line.
    """
    turned = _adjugate(m)
    determinant = m[0] * turned[0] + m[1] * turned[3] + m[2] * turned[6]
    size = max(map(abs, m)) * max(map(abs, turned))
    if not abs(determinant) > 1e-13 * size:
        raise MapError("this placing squeezes the picture into a line; place it again")
    # Dividing by the determinant keeps the sign: a point with Z above 0 comes back with 1/Z, above 0 as well.
    return _nine(v / determinant for v in turned)


def composed(first: Map9, then: Map9) -> Map9:
    """Return the one map that does ``first`` and ``then`` the other."""
    return _even(_product(then, first))


def similarity(a1: Vector, a2: Vector, b1: Vector, b2: Vector, *, mirrored: bool = False) -> Map9:
    """Return the shift, turn and scale that take a1 to b1 and a2 to b2.

    Args:
        a1: a point of the picture or page.
        a2: another.
        b1: where the first one lies.
        b2: where the second one lies.
        mirrored: True where y runs down on one side and up on the other, as from a picture to the plan.

    Raises:
        MapError: when the two points of either side are the same.
    """
    from_a, to_b = complex(*minus(a2, a1)), complex(*minus(b2, b1))
    if from_a == 0 or to_b == 0:
        raise MapError("two points at the same place give no scale; choose two that lie apart")
    k = to_b / (from_a.conjugate() if mirrored else from_a)
    s = -1.0 if mirrored else 1.0
    # times k, of x + s·i·y
    rows = (k.real, -s * k.imag, k.imag, s * k.real)
    return (
        *(rows[0], rows[1], b1[0] - rows[0] * a1[0] - rows[1] * a1[1]),
        *(rows[2], rows[3], b1[1] - rows[2] * a1[0] - rows[3] * a1[1]),
        *(0.0, 0.0, 1.0),
    )


def through_four(source: Sequence[Vector], target: Sequence[Vector]) -> Map9:
    """Return the one projective map that takes four points to four others.

    The two sides are brought to the four points (1,0,0), (0,1,0), (0,0,1), (1,1,1) of the projective plane and the
    one is undone (as in any book on projective geometry; from memory).

    Args:
        source: four points of the picture, in order.
        target: where they lie.

    Raises:
        MapError: when three points of either side lie in a line, or no photograph can show four places so.
    """
    if len(source) != 4 or len(target) != 4:
        raise MapError("a photograph is set right by four points, no more and no fewer")
    near, far = _centred(source), _centred(target)
    for points in (source, target):
        for three in combinations(range(4), 3):
            if _in_line(*(points[i] for i in three)):
                named = "{}, {} and {}".format(*(i + 1 for i in three))
                raise MapError(f"points {named} lie in one line; choose four points of which no three do")
    a = _from_basis(apply(near, source))
    b = _from_basis(apply(far, target))
    m = _product(_product(inverse(far), _product(b, _adjugate(a))), near)
    depths = [depth(m, p) for p in source]
    if depths[0] < 0:
        m, depths = _nine(-v for v in m), [-z for z in depths]
    if min(depths) <= 0:
        raise MapError("no photograph shows these four places so; choose them in the same order on both sides")
    return _even(m)


def quad_from_distances(
    sides: Sequence[float], diagonal: float, second: float | None = None, *, clockwise: bool = False
) -> tuple[Four, float]:
    """Return four points from the distances between them, and the misclosure of the second diagonal.

    Point 1 lies at (0, 0), point 2 on the x axis; the others follow anticlockwise as in the plan (y up), unless
    ``clockwise``. The first diagonal is exact; the second one only checks.

    Args:
        sides: from 1 to 2, 2 to 3, 3 to 4 and 4 to 1, in mm.
        diagonal: from 1 to 3, in mm.
        second: from 2 to 4 as measured, in mm, or None.
        clockwise: the points follow clockwise as seen.

    Returns:
        The points, and by how many mm the second diagonal was measured longer than the other five give (0 without).

    Raises:
        MapError: when a distance is not above 0 or three of them make no triangle.
    """
    if len(sides) != 4:
        raise MapError("four points in order have four sides")
    if not all(math.isfinite(d) and d > 0 for d in (*sides, diagonal, *(() if second is None else (second,)))):
        raise MapError("a distance between two points must be more than 0")
    one, two = (0.0, 0.0), (sides[0], 0.0)
    three = _apex(sides[0], diagonal, sides[1], ("1 and 2", "1 and 3", "2 and 3"))
    # Point 4 lies on the other side of the diagonal than point 2: turn its triangle on to the diagonal.
    lone = _apex(diagonal, sides[3], sides[2], ("1 and 3", "1 and 4", "3 and 4"))
    c, s = three[0] / diagonal, three[1] / diagonal
    four = (c * lone[0] - s * lone[1], s * lone[0] + c * lone[1])
    off = 0.0 if second is None else second - distance(two, four)
    flip = -1.0 if clockwise else 1.0
    return (one, two, (three[0], flip * three[1]), (four[0], flip * four[1])), off


def rectangle(side: float, other: float, *, clockwise: bool = False) -> Four:
    """Return four square corners: 1 at (0, 0), 2 at (side, 0), the others anticlockwise in the plan.

    Raises:
        MapError: when a side is not above 0.
    """
    if not (math.isfinite(side) and math.isfinite(other) and side > 0 and other > 0):
        raise MapError("a distance between two points must be more than 0")
    y = -other if clockwise else other
    return ((0.0, 0.0), (side, 0.0), (side, y), (0.0, y))


def seen_clockwise(points: Sequence[Vector], *, y_down: bool) -> bool:
    """Return whether an outline runs clockwise as it is seen, with y running down (a picture) or up (the plan)."""
    twice = sum(cross(p, q) for p, q in zip(points, (*points[1:], *points[:1]), strict=True))
    return (twice > 0) == y_down


def mapped_distance(m: Map9, p: Vector, q: Vector) -> float:
    """Return the distance between two points of the picture on the ground, in mm."""
    return distance(*apply(m, (p, q)))


def scale_at(m: Map9, p: Vector) -> float:
    """Return how many mm one unit of the picture is at a point: the square root of how much an area grows there.

    The determinant of the map's derivative is that of the nine floats over the third power of Z.
    """
    z = depth(m, p)
    if not z > 0:
        raise MapError("this point lies on or above the horizon of the photograph; choose one on the ground")
    turned = _adjugate(m)
    return math.sqrt(abs(m[0] * turned[0] + m[1] * turned[3] + m[2] * turned[6]) / z**3)


def _apex(base: float, first: float, last: float, names: tuple[str, str, str]) -> Vector:
    """Return the third corner above a base along x, from its distances to the base's two ends."""
    for longest, a, b, name in (
        (base, first, last, names[0]),
        (first, base, last, names[1]),
        (last, base, first, names[2]),
    ):
        if longest > a + b:
            raise MapError(
                f"the distance between points {name} is longer than the way round over the other two; "
                "measure the three again"
            )
    x = (base * base + first * first - last * last) / (2 * base)
    return x, math.sqrt(max(0.0, (first - x) * (first + x)))


def _in_line(p: Vector, q: Vector, r: Vector) -> bool:
    longest = max(distance(p, q), distance(q, r), distance(r, p))
    return not abs(cross(minus(q, p), minus(r, p))) > IN_LINE * longest**2


def _centred(points: Sequence[Vector]) -> Map9:
    """Return the map that brings points about (0, 0) and within 1 of it, so that no digits are lost."""
    x, y = sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
    reach = max(max(abs(p[0] - x), abs(p[1] - y)) for p in points)
    if not (math.isfinite(reach) and reach > 0):
        raise MapError("these points lie at one place; choose four that lie apart")
    return (1 / reach, 0.0, -x / reach, 0.0, 1 / reach, -y / reach, 0.0, 0.0, 1.0)


def _from_basis(points: Sequence[Vector]) -> Map9:
    """Return the map from the four points (1,0,0), (0,1,0), (0,0,1), (1,1,1) to these."""
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = points
    t = _adjugate((x1, x2, x3, y1, y2, y3, 1.0, 1.0, 1.0))
    a, b, c = (t[i] * x4 + t[i + 1] * y4 + t[i + 2] for i in (0, 3, 6))
    return (a * x1, b * x2, c * x3, a * y1, b * y2, c * y3, a, b, c)


def _adjugate(m: Map9) -> Map9:
    a, b, c, d, e, f, g, h, i = m
    return (
        *(e * i - f * h, c * h - b * i, b * f - c * e),
        *(f * g - d * i, a * i - c * g, c * d - a * f),
        *(d * h - e * g, b * g - a * h, a * e - b * d),
    )


def _product(m: Map9, n: Map9) -> Map9:
    return _nine(
        sum(m[3 * row + k] * n[3 * k + column] for k in range(3)) for row in range(3) for column in range(3)
    )


def _even(m: Map9) -> Map9:
    """Return the same map with a last number of 1 where it can be, else with Z of a handy size."""
    size = m[8] if m[8] > 1e-9 * max(abs(m[6]), abs(m[7])) else max(abs(m[6]), abs(m[7]))
    return _nine(v / size for v in m)


def _nine(values: Iterable[float]) -> Map9:
    a, b, c, d, e, f, g, h, i = values
    return (a, b, c, d, e, f, g, h, i)
