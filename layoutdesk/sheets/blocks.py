"""Blocks that several sheets share: headings, numbered steps, lists and cautions, each telling where it ends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from layoutdesk.sheets.lettering import first_baseline, fitted, line_height, paragraph_height
from layoutdesk.sheets.marks import Mark, Paragraph, Polyline, Text
from layoutdesk.sheets.paper import Box

BODY: Final = 10.0
"""Size of running text in points."""
HEADING: Final = 12.0
_INDENT: Final = 5.5
_PAD: Final = 3.0
_BETWEEN: Final = 1.2

BEFORE_DIGGING: Final = (
    "**Before any digging:** have buried lines located and marked. Cover every open hole; mark the cover."
)


class Column:
    """A column of blocks, one under the other; ``y`` is where the next one begins, in millimetres of paper."""

    def __init__(self, room: Box) -> None:
        self.room = room
        self.y = room.top
        self.marks: list[Mark] = []

    def gap(self, mm: float) -> None:
        """Leave some paper free."""
        self.y -= mm

    def heading(self, text: str) -> None:
        """Write a heading."""
        self.marks.append(Text((self.room.left, self.y - 4.2), text, HEADING, "bold"))
        self.y -= 6.5

    def text(self, text: str, *, size: float = BODY) -> None:
        """Write running text."""
        self.marks.append(Paragraph((self.room.left, self.y), self.room.width, text, size))
        self.y -= paragraph_height(text, size, self.room.width)

    def steps(self, steps: Iterable[str], *, size: float = BODY) -> None:
        """Write numbered steps."""
        for number, step in enumerate(steps, start=1):
            self._hanging(f"{number}.", step, size)

    def points(self, points: Iterable[str], *, size: float = BODY) -> None:
        """Write a list with a dot before each point."""
        for point in points:
            self._hanging("•", point, size)

    def listing(self, entries: Iterable[tuple[str, str]], *, size: float = BODY, places: float = 26.0) -> None:
        """Write what is where: names on the left, places flush right in so many millimetres."""
        for name, place in entries:
            base = self.y - first_baseline(size)
            shown, fit = fitted(name, self.room.width - places, size)
            self.marks.append(Text((self.room.left, base), shown, fit))
            self.marks.append(Text((self.room.right, base), place, size, anchor="end"))
            self.y -= line_height(size) + 0.4

    def _hanging(self, before: str, text: str, size: float) -> None:
        left, wide = self.room.left + _INDENT, self.room.width - _INDENT
        self.marks.append(Paragraph((self.room.left, self.y), _INDENT, before, size))
        self.marks.append(Paragraph((left, self.y), wide, text, size))
        self.y -= paragraph_height(text, size, wide) + _BETWEEN


def fitting(room: Box, write: Callable[[Column, float], None], sizes: Sequence[float]) -> Column:
    """Return a column that ``write`` has filled, at the first of some sizes at which it stays in its room."""
    for size in sizes:
        column = Column(room)
        write(column, size)
        if column.y >= room.bottom:
            break
    return column


def caution_height(texts: Sequence[str], width: float, *, size: float = BODY, columns: int = 1) -> float:
    """Return how high a box of cautions stands."""
    inner = _caution_width(width, columns)
    shares = _shares(texts, columns)
    highest = max(sum(paragraph_height(t, size, inner) + _BETWEEN for t in share) for share in shares)
    return highest - _BETWEEN + 2 * _PAD - 0.6


def caution_box(
    texts: Sequence[str], left: float, top: float, width: float, *, size: float = BODY, columns: int = 1
) -> list[Mark]:
    """Return a heavy frame with cautions in it, in one or more columns."""
    high = caution_height(texts, width, size=size, columns=columns)
    marks: list[Mark] = [Polyline(Box(left, top - high, left + width, top).corners, width=0.6, closed=True)]
    inner = _caution_width(width, columns)
    for i, share in enumerate(_shares(texts, columns)):
        y = top - _PAD + 0.3
        for text in share:
            marks.append(Paragraph((left + _PAD + i * (inner + 2 * _PAD), y), inner, text, size))
            y -= paragraph_height(text, size, inner) + _BETWEEN
    return marks


def _caution_width(width: float, columns: int) -> float:
    return (width - 2 * _PAD * columns) / columns


def _shares(texts: Sequence[str], columns: int) -> list[Sequence[str]]:
    per = -(-len(texts) // columns)
    return [texts[i * per : (i + 1) * per] for i in range(columns)]
