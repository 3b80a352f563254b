"""How much paper a mark covers: to keep text clear of text, and everything inside the margins."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.geometry.vector import Vector, plus, turned
from layoutdesk.sheets.lettering import line_height, measure_text, paragraph_lines, text_width
from layoutdesk.sheets.marks import (
    Anchor,
    Circle,
    Hatch,
    Line,
    Mark,
    Measure,
    Paragraph,
    Polyline,
    Stamp,
    Text,
)
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, DESCENT, MM_PER_POINT

SHARE: Final[dict[Anchor, float]] = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Which share of a text's width lies to the left of where it stands."""
UNDER_FIGURES: Final = 0.06
"""How far a fraction hangs below the figures beside it, as a share of the size."""
OVER_CAPITALS: Final = 0.10
"""How far a fraction or an accent reaches over the capitals, as a share of the size."""


def text_corners(mark: Text | Measure) -> tuple[Vector, Vector, Vector, Vector]:
    """Return the corners of what a text covers, from the lower left one to the left round it as one reads it."""
    if isinstance(mark, Text):
        text, descent = mark.text, DESCENT
    else:
        text, descent = measure_text(mark.parts, mark.before), UNDER_FIGURES
    wide = text_width(text, mark.size, mark.weight)
    return line_corners(mark.at, wide, mark.size, mark.anchor, mark.turn, descent=descent)


def line_corners(
    at: Vector, wide: float, size: float, anchor: Anchor, turn: float = 0.0, *, descent: float = DESCENT
) -> tuple[Vector, Vector, Vector, Vector]:
    """Return the corners of a line of text that is ``wide`` millimetres wide."""
    box = line_box((0.0, 0.0), wide, size, anchor, descent=descent)
    a, b, c, d = (plus(at, turned(p, turn) if turn else p) for p in box.corners)
    return a, b, c, d


def line_box(at: Vector, wide: float, size: float, anchor: Anchor, *, descent: float = DESCENT) -> Box:
    """Return what an upright line of text covers."""
    em = size * MM_PER_POINT
    left = at[0] - SHARE[anchor] * wide
    return Box(left, at[1] - descent * em, left + wide, at[1] + (CAPITAL + OVER_CAPITALS) * em)


def box_round(points: tuple[Vector, ...]) -> Box:
    """Return the smallest upright rectangle round some points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def mark_boxes(mark: Mark) -> Iterator[Box]:
    """Yield what a mark covers: a rectangle, one for each line of running text, those of a stencil for a stamp."""
    match mark:
        case Text() | Measure():
            yield box_round(text_corners(mark))
        case Line(start=start, end=end):
            yield box_round((start, end))
        case Polyline(points=points) | Hatch(outline=points):
            yield box_round(points)
        case Circle(centre=(x, y), radius=r):
            yield Box(x - r, y - r, x + r, y + r)
        case Paragraph():
            y = mark.at[1]
            for line in paragraph_lines(mark):
                if line:
                    last = line[-1]
                    wide = last.right + text_width(last.text, mark.size, last.weight)
                    below = y - line_height(mark.size, mark.leading)
                    yield Box(mark.at[0], below, mark.at[0] + wide, y)
                y -= line_height(mark.size, mark.leading)
        case Stamp(at=(dx, dy), stencil=stencil):
            for part in stencil.marks:
                for b in mark_boxes(part):
                    yield Box(b.left + dx, b.bottom + dy, b.right + dx, b.top + dy)
