"""Where a batter board can stand: square across its string, clear of the digging and of what is in the way.

A board that slides along its line meets an obstacle over the whole reach of the part of that obstacle that lies in
the board's own strip; so the free places are what those reaches leave over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, dot, minus

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

FARTHEST_MM: Final = 6000.0
"""A board is looked for no farther beyond the last hole."""


@dataclass(frozen=True, slots=True)
class Hole:
    """What is dug at one pier: its centre and the radius of its widest part, mm."""

    at: Vector
    radius: float


@dataclass(frozen=True, slots=True)
class Reach:
    """From where to where along the line a board would stand in an obstacle, and what that is called."""

    low: float
    high: float
    label: str


def reaches(
    zero: Vector, way: Vector, half: float, *, obstacles: Obstacles, holes: Sequence[Hole], clear: float
) -> list[Reach]:
    """Return all along a line where a board cannot stand.

    Args:
        zero: where the running along the line begins.
        way: its direction, 1 mm long.
        half: how far the board reaches to each side of the line, mm.
        obstacles: the house and the keep-outs.
        holes: all that is dug.
        clear: how far a board stands off the digging, mm.
    """
    found = [
        Reach(low, high, obstacles.labels[i])
        for i in range(len(obstacles.labels))
        for low, high in _strip_reach(obstacles.shape(i), zero, way, half)
    ]
    for hole in holes:
        away = minus(hole.at, zero)
        beside, along = abs(cross(way, away)), dot(way, away)
        radius = hole.radius + clear
        if beside - half < radius:
            least = max(0.0, beside - half)
            reach = (radius * radius - least * least) ** 0.5
            found.append(Reach(along - reach, along + reach, "the digging"))
    return found


def _strip_reach(shape: BaseGeometry, zero: Vector, way: Vector, half: float) -> Iterable[tuple[float, float]]:
    """Yield the reach of each part of an obstacle that lies within ``half`` of the line."""
    import shapely

    (u, v), (x0, y0) = way, zero
    # The obstacle as seen from the line: running to the right, across it up.
    flat = shapely.affinity.affine_transform(shape, (u, v, -v, u, -(u * x0 + v * y0), v * x0 - u * y0))
    low, _, high, _ = flat.bounds
    strip = shapely.box(low - 1.0, -half, high + 1.0, half)
    for part in shapely.get_parts(shapely.intersection(flat, strip)):
        if not part.is_empty:
            left, _, right, _ = part.bounds
            yield left, right


def free_place(start: float, sign: int, taken: Sequence[Reach]) -> tuple[float | None, tuple[str, ...]]:
    """Return the first free running from ``start`` on, and what it had to pass by.

    Args:
        start: where the board would stand if nothing were in the way.
        sign: 1 to look on along the line, -1 to look back.
        taken: where it cannot stand.

    Returns:
        The running, None when there is none within reach; and the labels of what lies between.
    """
    place = start
    passed: list[str] = []
    while True:
        inside = [r for r in taken if r.low + SAME_MM < place < r.high - SAME_MM]
        if not inside:
            return place, tuple(dict.fromkeys(passed))
        passed += [r.label for r in inside]
        place = max(r.high for r in inside) if sign > 0 else min(r.low for r in inside)
        if abs(place - start) > FARTHEST_MM:
            return None, tuple(dict.fromkeys(passed))
