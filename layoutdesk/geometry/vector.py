"""Arithmetic on single points and directions, in plain Python: for edits and gestures.

Many points at once go through numpy in the engine.
"""

from __future__ import annotations

import math

from layoutdesk.geometry.tolerance import SAME_MM

Vector = tuple[float, float]
"""A point or a direction: x and y in millimetres, y up."""


def plus(a: Vector, b: Vector) -> Vector:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1])


def minus(a: Vector, b: Vector) -> Vector:
    """Return the way from b to a."""
    return (a[0] - b[0], a[1] - b[1])


def times(a: Vector, k: float) -> Vector:
    """Return a stretched by k."""
    return (a[0] * k, a[1] * k)


def dot(a: Vector, b: Vector) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def cross(a: Vector, b: Vector) -> float:
    """Return the z of the vector product: positive where b lies to the left of a."""
    return a[0] * b[1] - a[1] * b[0]


def length(a: Vector) -> float:
    """Return how long a is."""
    return math.hypot(*a)


def distance(a: Vector, b: Vector) -> float:
    """Return the distance between two points."""
    return math.hypot(a[0] - b[0], a[1] - b[1])


def left(a: Vector) -> Vector:
    """Return a turned a quarter to the left."""
    return (-a[1], a[0])


def unit(a: Vector) -> Vector:
    """Return the direction of a, one millimetre long.

    Raises:
        ValueError: when a has no length.
    """
    size = length(a)
    if size <= SAME_MM:
        raise ValueError("two points at the same place give no direction")
    return (a[0] / size, a[1] / size)


def middle(a: Vector, b: Vector) -> Vector:
    """Return the point halfway."""
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def along(a: Vector, b: Vector, share: float) -> Vector:
    """Return the point that lies ``share`` of the way from a to b."""
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)


def turned(a: Vector, degrees: float) -> Vector:
    """Return a turned to the left by so many degrees."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (a[0] * c - a[1] * s, a[0] * s + a[1] * c)


def foot(p: Vector, a: Vector, b: Vector) -> Vector:
    """Return the point of the endless straight line a-b that is square from p.

    Raises:
        ValueError: when a and b are the same place.
    """
    u = unit(minus(b, a))
    return plus(a, times(u, dot(minus(p, a), u)))


def nearest_on_segment(p: Vector, a: Vector, b: Vector) -> Vector:
    """Return the point of the segment a-b nearest to p; a itself when the segment has no length."""
    way = minus(b, a)
    size = dot(way, way)
    if size <= SAME_MM**2:
        return a
    return along(a, b, min(1.0, max(0.0, dot(minus(p, a), way) / size)))


def mirrored(p: Vector, a: Vector, b: Vector) -> Vector:
    """Return p mirrored in the straight line a-b.

    Raises:
        ValueError: when a and b are the same place.
    """
    f = foot(p, a, b)
    return (2 * f[0] - p[0], 2 * f[1] - p[1])


def crossing(a: Vector, b: Vector, c: Vector, d: Vector) -> Vector | None:
    """Return where the endless straight lines a-b and c-d cross, or None when they run side by side."""
    u, v = minus(b, a), minus(d, c)
    turn = cross(u, v)
    if abs(turn) <= 1e-12 * max(1.0, length(u) * length(v)):
        return None
    return plus(a, times(u, cross(minus(c, a), v) / turn))
