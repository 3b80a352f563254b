"""Dimensions on the pages: their strokes, and their texts where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise
from typing import Final, TypeAlias

from layoutdesk.geometry.vector import Vector, along, distance, middle, minus, plus, times, unit
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
_SLANTING_GAP: Final = 1.5
_FROM_PIECE: Final = 2.2
_BEYOND: Final = 1.4
_TICK: Final = 1.1
SAME_PLACE: Final = 1e-6
"""Ends nearer than this on paper have no direction between them."""
_Spot: TypeAlias = tuple[Vector, float, float]
"""A place, the turn of a text there, and on which side of the place it stands: 0 for centred on it."""
_SLICE: Final = 0.6


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
        inside = taken.window.inset(_TICK + _BEYOND).holds(box_round((start, end)))
        text = (
            length_along(parts(plan, m.value), start, end, taken, first=camera.on_paper(m.text_at))
            if inside
            else None
        )
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
    near, far = _near(start, end, first), _far(start, end)
    for places, over_soft in ((near, False), (near, True), (far, False)):
        if text := _first_free(figure, places, taken, over_soft=over_soft):
            return text
    return None


def _first_free(figure: LengthParts, places: list[_Spot], taken: Taken, *, over_soft: bool) -> Measure | None:
    for at, turn, side in places:
        for size in (SIZE, _SMALLER):
            capital = CAPITAL * size * MM_PER_POINT
            up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
            gap = _GAP if turn % 90 == 0 else _SLANTING_GAP
            foot = plus(at, times(up, side * (capital / 2 + gap) - capital / 2))
            text = Measure(foot, figure, size, "bold", "ink", "middle", turn)
            if all(taken.free(box, over_soft=over_soft) for box in covered(text)):
                return text
    return None


def _near(start: Vector, end: Vector, first: Vector | None) -> list[_Spot]:
    """Return where a text had best stand: where it is wished, or over its line, or under it."""
    turn = _turn_of(start, end)
    centre = middle(start, end)
    spots: list[_Spot] = [(first, turn, 0.0)] if first else []
    spots += [(centre, turn, 1.0), (centre, turn, -1.0)]
    return spots + [(along(start, end, share), turn, 1.0) for share in (0.3, 0.7)]


def _far(start: Vector, end: Vector) -> list[_Spot]:
    """Return where a text may stand when its line has no room: beyond the ends of it."""
    if distance(start, end) <= SAME_PLACE:
        return []
    turn, way = _turn_of(start, end), unit(minus(end, start))
    return [
        (spot, turn, 0.0)
        for out in (11.0, 15.0)
        for spot in (plus(end, times(way, out)), plus(start, times(way, -out)))
    ]


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
        if distance(start, end) > SAME_PLACE:
            way = unit(minus(end, start))
            slant = times((way[0] - way[1], way[0] + way[1]), _TICK / math.sqrt(2))
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
    cuts = [(along(a, b, i / count), along(d, c, i / count)) for i in range(count + 1)]
    # Slices are a little larger than their part: a box across the cut between two of them may reach past both.
    return [box_round((*one, *next_one)).inset(-_SLICE / 4) for one, next_one in pairwise(cuts)]
