"""Where names stand on a picture: never on another name, never on a symbol, inside the window."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.geometry.vector import Vector, along, distance
from layoutdesk.sheets.extents import box_round, line_box
from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Anchor, Ink, Text, Weight
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import MM_PER_POINT

_CELL: Final = 6.0
_MOST: Final = 0.5
"""Names that would cover more of a window than this share have no room in it."""
_CROWDED: Final = 0.2
"""Names that would cover more than this share at their smallest are thinned out."""
_STEP: Final = 0.7
"""How finely a stroke is covered with boxes, in millimetres."""


class Taken:
    """The parts of a window that are written or drawn on, found by the square of paper they lie in.

    What is ``soft`` had better be left alone, but a length that has no other place may stand on it.
    """

    def __init__(self, window: Box) -> None:
        self.window = window
        self._cells: dict[tuple[int, int], list[tuple[Box, bool]]] = {}

    def take(self, box: Box, *, soft: bool = False) -> None:
        """Keep others off a box."""
        for cell in _cells(box):
            self._cells.setdefault(cell, []).append((box, soft))

    def take_stroke(self, start: Vector, end: Vector, *, width: float = 0.4, soft: bool = False) -> None:
        """Keep others off a stroke."""
        steps = max(1, math.ceil(distance(start, end) / _STEP))
        if start[0] == end[0] or start[1] == end[1]:
            steps = 1
        half = width / 2
        for i in range(steps):
            a, b = along(start, end, i / steps), along(start, end, (i + 1) / steps)
            round_both = box_round((a, b))
            self.take(
                Box(
                    round_both.left - half,
                    round_both.bottom - half,
                    round_both.right + half,
                    round_both.top + half,
                ),
                soft=soft,
            )

    def take_round(self, centre: Vector, radius: float) -> None:
        """Keep others off a round symbol."""
        x, y = centre
        self.take(Box(x - radius, y - radius, x + radius, y + radius))

    def free(self, box: Box, *, over_soft: bool = False) -> bool:
        """Return whether a box lies inside the window and on nothing, or on nothing but what is soft."""
        return self.window.holds(box) and not any(
            box.meets(other) and not (soft and over_soft)
            for cell in _cells(box)
            for other, soft in self._cells.get(cell, ())
        )

    def copy(self) -> Taken:
        """Return another one with the same parts taken."""
        other = Taken(self.window)
        other.become(self)
        return other

    def become(self, other: Taken) -> None:
        """Have the same parts taken as another one."""
        self._cells = {cell: list(boxes) for cell, boxes in other._cells.items()}


def _cells(box: Box) -> Iterable[tuple[int, int]]:
    for i in range(math.floor(box.left / _CELL), math.floor(box.right / _CELL) + 1):
        for j in range(math.floor(box.bottom / _CELL), math.floor(box.top / _CELL) + 1):
            yield i, j


@dataclass(frozen=True, slots=True)
class Name:
    """A name that wants to stand beside a round symbol; ``inks`` and weights as in Text."""

    text: str
    at: Vector
    clear: float
    weight: Weight = "bold"
    ink: Ink = "ink"


def place_names(
    names: Sequence[Name], taken: Taken, sizes: Sequence[float], *, shy_of: Taken | None = None
) -> tuple[list[Text], int]:
    """Return the names where they have room, all at the largest of some sizes that has room for all of them.

    A name keeps off ``shy_of`` too, unless it has no other place.
    What has no room even at the last size is left out: also returned is how many were. The places are taken.
    """
    last = sizes[-1]
    wanted = _thinned(names, taken.window, last)
    for size in sizes:
        if size != last and not (len(wanted) == len(names) and _share(names, taken.window, size) < _MOST):
            continue
        trial = taken.copy()
        placed: list[Text] = []
        for name in wanted:
            text = _placed(name, size, trial, shy_of)
            if text is not None:
                placed.append(text)
            elif size != last:
                break
        else:
            taken.become(trial)
            return placed, len(names) - len(placed)
    return [], len(names)


def _share(names: Sequence[Name], window: Box, size: float) -> float:
    """Return how much of a window the names would cover."""
    lines = sum(text_width(name.text, size, name.weight) for name in names) * size * MM_PER_POINT
    return lines / (window.width * window.height)


def _thinned(names: Sequence[Name], window: Box, size: float) -> Sequence[Name]:
    """Return the names, or every so many of them where all would cover the picture."""
    return names[:: max(1, math.ceil(_share(names, window, size) / _CROWDED))]


def _placed(name: Name, size: float, taken: Taken, shy_of: Taken | None) -> Text | None:
    wide = text_width(name.text, size, name.weight)
    free = [
        (box, at, anchor)
        for at, anchor in _places(name.at, name.clear, size)
        if taken.free(box := line_box(at, wide, size, anchor))
    ]
    if not free:
        return None
    clear = (place for place in free if shy_of is None or shy_of.free(place[0]))
    box, at, anchor = next(clear, free[0])
    taken.take(box)
    return Text(at, name.text, size, name.weight, name.ink, anchor)


def _places(at: Vector, clear: float, size: float) -> Iterable[tuple[Vector, Anchor]]:
    """Yield where a name may stand beside a symbol, the best place first, then farther out."""
    x, y = at
    capital = size * 0.255
    for out in (0.0, 1.5, 3.5):
        side = clear + 0.7 + out
        slant = side * 0.75
        yield (x + slant, y + slant), "start"
        yield (x - slant, y + slant), "end"
        yield (x + slant, y - slant - capital), "start"
        yield (x - slant, y - slant - capital), "end"
        yield (x + side, y - capital / 2), "start"
        yield (x - side, y - capital / 2), "end"
        yield (x, y + side + 0.4), "middle"
        yield (x, y - side - capital), "middle"


def place_inside(text: str, size: float, ring: Sequence[Vector], taken: Taken) -> Text | None:
    """Return a text that lies inside an outline and on nothing, near its middle; None when there is no room."""
    wide = text_width(text, size)
    box = box_round(tuple(ring))
    tries = sorted(
        ((i, j) for i in range(1, 10) for j in range(1, 10)),
        key=lambda t: (t[0] - 5) ** 2 + (t[1] - 5) ** 2,
    )
    for i, j in tries:
        at = (box.left + box.width * i / 10, box.bottom + box.height * j / 10 - size * 0.13)
        covered = line_box(at, wide, size, "middle")
        if all(_lies_in(p, ring) for p in covered.corners) and taken.free(covered):
            taken.take(covered)
            return Text(at, text, size, anchor="middle")
    return None


def _lies_in(p: Vector, ring: Sequence[Vector]) -> bool:
    """Return whether a place lies in an outline, counting how often the way to the right crosses it."""
    inside = False
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y1 > p[1]) != (y2 > p[1]) and p[0] < x1 + (p[1] - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside
