"""The house as closed outlines, as far as the plan knows it: its walls, closed behind their house side."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, product
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import House
from layoutdesk.geometry.polygon import GRID_MM, on_grid
from layoutdesk.geometry.vector import Vector, distance, dot, left, length, middle, minus, plus, times, unit
from layoutdesk.plan.model import Plan, Wall

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

HOUSE_DEPTH_MM: Final = 2400.0
"""How deep a house is drawn behind its walls where the plan says no more."""

STRIP_MM: Final = 300.0
"""How thick a wall is taken to be where no way of closing it makes sense."""

_JOIN_MM: Final = 1.0
"""Walls whose ends are nearer than this are one wall."""
_PROBE_MM: Final = 1.0
"""How far beside a wall one looks for the house."""


def house_of(plan: Plan) -> House:
    """Return the house of a plan: walls that meet are joined, open walls closed on their house side.

    A house with a courtyard is cut into rings without holes, so that each can be hatched by itself.
    """
    if not plan.walls:
        return House(())
    lines = joined_walls(plan.walls)
    if len(lines) == 1 and len(lines[0]) == 2:
        a, b = lines[0]
        back = times(left(unit(minus(b, a))), HOUSE_DEPTH_MM)
        return House(((a, b, plus(b, back), plus(a, back)),))
    import shapely

    bodies = [body_behind(line) for line in lines]
    whole = shapely.union_all(bodies, grid_size=GRID_MM)
    return House(tuple(_ring(p) for part in _polygons(whole) for p in _without_holes(part)))


def joined_walls(walls: tuple[Wall, ...]) -> list[tuple[Vector, ...]]:
    """Return the walls as polylines with the house on their left, joined where one begins at another's end."""
    open_lines = [line for wall in walls if len(line := _house_on_left(wall)) >= 2]
    done: list[tuple[Vector, ...]] = []
    while open_lines:
        line = open_lines.pop(0)
        found = True
        while found and distance(line[0], line[-1]) > _JOIN_MM:
            found = False
            for i, other in enumerate(open_lines):
                if distance(line[-1], other[0]) <= _JOIN_MM:
                    line = line + other[1:]
                elif distance(other[-1], line[0]) <= _JOIN_MM:
                    line = other + line[1:]
                else:
                    continue
                del open_lines[i]
                found = True
                break
        done.append(line)
    return done


def _house_on_left(wall: Wall) -> tuple[Vector, ...]:
    """Return the points of a wall without repeats, walked so that the house lies to the left."""
    kept: list[Vector] = []
    for point in map(on_grid, wall.points):
        if not kept or distance(kept[-1], point) > _JOIN_MM:
            kept.append(point)
    return tuple(kept if wall.house_side == "left" else reversed(kept))


def body_behind(line: tuple[Vector, ...]) -> BaseGeometry:
    """Return what lies on the left of a wall, closed: the ring itself, or the wall closed behind it.

    Several ways of closing are tried, from the one a builder would draw to a plain strip along the wall; the
    first that has all of the wall's left in it, and none of its right, is taken.
    """
    import shapely

    if distance(line[0], line[-1]) <= _JOIN_MM and len(line) >= 4:
        ring = shapely.Polygon(line[:-1])
        if ring.is_valid and shapely.is_ccw(ring.exterior):
            return ring
    else:
        for ring_points in _closings(line):
            body = shapely.Polygon(ring_points)
            if body.is_valid and _is_behind(body, line):
                return body
    return _strip_behind(line)


def _strip_behind(line: tuple[Vector, ...]) -> BaseGeometry:
    """Return a strip as thick as a wall on the left of a polyline, for walls that cannot be closed sensibly."""
    import shapely

    backs = [times(left(unit(minus(b, a))), STRIP_MM) for a, b in pairwise(line)]
    pieces = [(a, b, plus(b, back), plus(a, back)) for (a, b), back in zip(pairwise(line), backs, strict=True)]
    turns = list(zip(line[1:-1], pairwise(backs), strict=True))
    if distance(line[0], line[-1]) <= _JOIN_MM:
        turns.append((line[0], (backs[-1], backs[0])))
    corners = [(at, plus(at, before), plus(at, after)) for at, (before, after) in turns]
    strip: BaseGeometry = shapely.union_all([shapely.Polygon(p) for p in (*pieces, *corners)], grid_size=GRID_MM)
    return strip


def _closings(line: tuple[Vector, ...]) -> Iterator[tuple[Vector, ...]]:
    """Yield rings that close a wall behind it: square to its longest straight first, then to its other ones.

    At each end the ring goes straight back, or first clear of the wall's own end and then back.
    """
    ways = sorted((minus(b, a) for a, b in pairwise(line)), key=length, reverse=True)
    chord = minus(line[-1], line[0])
    if length(chord) > _JOIN_MM:
        ways.append(chord)
    first, last = unit(minus(line[1], line[0])), unit(minus(line[-1], line[-2]))
    tried: set[Vector] = set()
    for way in ways[:12]:
        back = left(unit(way))
        key = (round(back[0], 9), round(back[1], 9))
        if key in tried:
            continue
        tried.add(key)
        far = max(dot(p, back) for p in line) + HOUSE_DEPTH_MM
        for clear_first, clear_last in product((False, True), repeat=2):
            ends = []
            if clear_last:
                ends.append(plus(line[-1], times(left(last), HOUSE_DEPTH_MM)))
            ends.append(_pushed(ends[-1] if ends else line[-1], back, far))
            start = plus(line[0], times(left(first), HOUSE_DEPTH_MM)) if clear_first else line[0]
            ends.append(_pushed(start, back, far))
            if clear_first:
                ends.append(start)
            yield (*line, *ends)


def _pushed(p: Vector, back: Vector, far: float) -> Vector:
    """Return p moved along ``back`` until it lies ``far`` along it."""
    return plus(p, times(back, far - dot(p, back)))


def _is_behind(body: Polygon, line: tuple[Vector, ...]) -> bool:
    """Return whether the body lies to the left of every straight of the wall and never to its right."""
    import shapely

    middles = [(middle(a, b), left(unit(minus(b, a)))) for a, b in pairwise(line)]
    inside = [plus(m, times(n, _PROBE_MM)) for m, n in middles]
    outside = [plus(m, times(n, -_PROBE_MM)) for m, n in middles]
    shapely.prepare(body)
    return bool(shapely.contains_xy(body, inside).all() and not shapely.contains_xy(body, outside).any())


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons that a shape is made of."""
    import shapely

    parts = shapely.get_parts(shape)
    return [part for part in parts if part.geom_type == "Polygon" and part.area > 1.0]


def _without_holes(shape: Polygon) -> list[Polygon]:
    """Return the polygon cut upright through its holes until none is left."""
    import shapely

    if not shape.interiors:
        return [shape]
    x_min, y_min, x_max, y_max = shape.bounds
    x = shape.interiors[0].centroid.x
    halves = (
        shape.intersection(shapely.box(x_min - 1, y_min - 1, x, y_max + 1)),
        shape.intersection(shapely.box(x, y_min - 1, x_max + 1, y_max + 1)),
    )
    return [ring for half in halves for part in _polygons(half) for ring in _without_holes(part)]


def _ring(shape: Polygon) -> tuple[Vector, ...]:
    """Return the outer ring of a polygon as points, the first not repeated."""
    points = shape.exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in points)
