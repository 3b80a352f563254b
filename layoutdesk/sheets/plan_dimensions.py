"""Dimensions on the pages: their strokes, and their texts where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from layoutdesk.geometry.vector import Vector, distance, middle, minus, plus, times, unit
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.camera import Camera
from layoutdesk.sheets.drawing_marks import Measured
from layoutdesk.sheets.extents import box_round, text_corners
from layoutdesk.sheets.labels import Taken
from layoutdesk.sheets.marks import Line, Mark, Measure, Polyline
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT
from layoutdesk.units import LengthParts

SIZE: Final = 9.5
_SMALLER: Final = 7.5
_GAP: Final = 1.0
"""From a dimension line to the foot of its text."""
_FROM_PIECE: Final = 2.2
_BEYOND: Final = 1.4
_TICK: Final = 1.1
_SLICE: Final = 1.0


def dimension_marks(
    measured: Iterable[Measured], plan: Plan, camera: Camera, taken: Taken
) -> tuple[list[Mark], int]:
    """Return dimensions as marks, and how many found no room; the room of the others is taken.

    A text stands over its line, or under it, or beyond one of its ends. It breaks the extension lines that it
    crosses, and never stands on a wall, a symbol or another text.
    """
    strokes: list[Line] = []
    texts: list[Mark] = []
    missing = 0
    on_page = sorted(measured, key=lambda m: m.value)
    for m in on_page:
        start, end = camera.on_paper(m.line_start), camera.on_paper(m.line_end)
        text = length_along(parts(plan, m.value), start, end, taken, first=camera.on_paper(m.text_at))
        if text is None:
            missing += 1
            continue
        strokes += _strokes(camera.on_paper(m.start), camera.on_paper(m.end), start, end)
        texts += [backing(text), text]
        for box in covered(text):
            taken.take(box)
    for stroke in strokes:
        taken.take_stroke(stroke.start, stroke.end)
    return [*strokes, *texts], missing


def length_along(
    figure: LengthParts, start: Vector, end: Vector, taken: Taken, *, first: Vector | None = None
) -> Measure | None:
    """Return a length written along a line of the page where nothing else stands, or None; takes no room.

    Args:
        figure: the length.
        start: one end of the line.
        end: the other.
        taken: what is written and drawn on.
        first: where the middle of the text had best be, if not over the middle of the line.
    """
    for at, turn, side in _places(start, end, first):
        for size in (SIZE, _SMALLER):
            capital = CAPITAL * size * MM_PER_POINT
            up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
            foot = plus(at, times(up, side * (capital / 2 + _GAP) - capital / 2))
            text = Measure(foot, figure, size, "bold", "ink", "middle", turn)
            if all(taken.free(box) for box in covered(text)):
                return text
    return None


def _places(start: Vector, end: Vector, first: Vector | None) -> Iterator[tuple[Vector, float, float]]:
    """Yield where a text may stand: a place, its turn, and on which side of it (0 centred on it)."""
    turn = _turn_of(start, end)
    if first:
        yield first, turn, 0.0
    centre = middle(start, end)
    yield centre, turn, 1.0
    yield centre, turn, -1.0
    if distance(start, end) > 1e-6:
        way = unit(minus(end, start))
        for share in (0.3, 0.7):
            yield plus(start, times(way, distance(start, end) * share)), turn, 1.0
        for out in (11.0, 15.0):
            yield plus(end, times(way, out)), turn, 0.0
            yield plus(start, times(way, -out)), turn, 0.0


def _turn_of(start: Vector, end: Vector) -> float:
    """Return the turn of text along a line that reads from the bottom or the right of the page."""
    way = minus(end, start)
    turn = math.degrees(math.atan2(way[1], way[0]))
    if turn > 90.0 + 1e-6:
        return turn - 180.0
    return turn + 180.0 if turn <= -90.0 + 1e-6 else turn


def _strokes(a: Vector, b: Vector, start: Vector, end: Vector) -> list[Line]:
    marks = [Line(start, end, 0.18)]
    for piece, at in ((a, start), (b, end)):
        reach = distance(piece, at)
        if reach > _FROM_PIECE + 0.5:
            way = unit(minus(at, piece))
            marks.append(Line(plus(piece, times(way, _FROM_PIECE)), plus(at, times(way, _BEYOND)), 0.13))
        if distance(start, end) > 1e-6:
            along = unit(minus(end, start))
            slant = times((along[0] - along[1], along[0] + along[1]), _TICK / math.sqrt(2))
            marks.append(Line(minus(at, slant), plus(at, slant), 0.45))
    return marks


def backing(text: Measure) -> Polyline:
    """Return the paper under a text, so that no extension line strikes it through."""
    return Polyline(text_corners(text), ink=None, closed=True, fill="paper")


def covered(text: Measure) -> list[Box]:
    """Return what a text covers: slices along it, so that a slanting text keeps little from others."""
    a, b, c, d = text_corners(text)
    if text.turn % 90 == 0:
        return [box_round((a, b, c, d))]
    count = max(1, math.ceil(distance(a, b) / _SLICE))
    return [
        box_round(
            (_on(a, b, i / count), _on(a, b, (i + 1) / count), _on(d, c, i / count), _on(d, c, (i + 1) / count))
        )
        for i in range(count)
    ]


def _on(p: Vector, q: Vector, share: float) -> Vector:
    return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)
