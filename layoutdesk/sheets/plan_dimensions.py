"""Dimensions on the pages: their strokes, and their texts where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final, TypeAlias

from layoutdesk.geometry.vector import Vector, along, distance, middle, minus, plus, times, unit
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.camera import Camera
from layoutdesk.sheets.drawing_clear import Scene, with_clear_extensions
from layoutdesk.sheets.drawing_marks import Measured
from layoutdesk.sheets.extents import box_round, text_corners
from layoutdesk.sheets.labels import Taken
from layoutdesk.sheets.marks import Line, Mark, Measure, Polyline
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT
from layoutdesk.units import LengthParts

SIZE: Final = 9.5
EXTENSION: Final = 0.13
"""Width of an extension line, in millimetres."""
_SMALLER: Final = 7.5
_GAP: Final = 1.0
"""From a dimension line to the foot of its text."""
_SLANTING_GAP: Final = 1.5
_SYMBOL: Final = 2.0
"""Radius that an extension line takes a pier to have on paper, where its hole is no wider."""
_MOST_CLEARED: Final = 500
"""With more dimensions than this they are too fine for anybody to see where their extension lines begin."""
_SHORTEST: Final = 0.5
"""An extension line shorter than this is left out."""
_BEYOND: Final = 1.4
_TICK: Final = 1.1
SAME_PLACE: Final = 1e-6
"""Ends nearer than this on paper have no direction between them."""
_Spot: TypeAlias = tuple[Vector, float, float]
"""A place, the turn of a text there, and on which side of the place it stands: 0 for centred on it."""
_SLICE: Final = 0.6
_APART: Final = 0.5
"""Texts of dimensions keep this far from each other."""
_WORTH_COUNTING: Final = 3
"""So many equal spacings in one line are written once."""


class Dimensions:
    """The dimensions of a page: their strokes first, then whatever else is written, then their texts.

    Names go before dimensions, which can be read elsewhere: so the strokes are only kept in mind until the names
    are placed, and a text that finds no room after that is left out with its strokes. A text stands over its line,
    or under it, or beyond one of its ends; it breaks the strokes that it crosses, and never stands on a wall, a
    symbol or another text. Equal spacings in one line are written once, as ``4 @ 6' 0"``.
    """

    def __init__(self, measured: Iterable[Measured], plan: Plan, camera: Camera, taken: Taken) -> None:
        self._plan = plan
        self._camera = camera
        self._taken = taken
        room = taken.window.inset(_TICK + _BEYOND)
        chains = _chains(_cleared(tuple(measured), plan, camera.ratio), plan.rounding / 10)
        self._chains = [c for c in chains if all(room.holds(box_round(self._line(m))) for m in c)]
        self._outside = len(chains) - len(self._chains)
        self._chains.sort(key=lambda chain: sum(m.value for m in chain))
        for chain in self._chains:
            for stroke in self._strokes(chain):
                taken.take_stroke(stroke.start, stroke.end, soft=True)

    def _line(self, m: Measured) -> tuple[Vector, Vector]:
        return self._camera.on_paper(m.line_start), self._camera.on_paper(m.line_end)

    def _strokes(self, chain: Sequence[Measured]) -> list[Line]:
        on_paper = self._camera.on_paper
        return [s for m in chain for s in _strokes(on_paper(m.from_start), on_paper(m.from_end), *self._line(m))]

    def written(self) -> tuple[list[Mark], int]:
        """Return the marks of all dimensions that have room, and how many have none."""
        strokes: list[Mark] = []
        texts: list[Mark] = []
        missing = self._outside
        for chain in self._chains:
            text = self._text(chain)
            if text is None:
                missing += 1
                continue
            strokes += self._strokes(chain)
            texts += [backing(text), text]
            for box in covered(text):
                self._taken.take(box.inset(-_APART))
        return [*strokes, *texts], missing

    def _text(self, chain: Sequence[Measured]) -> Measure | None:
        figure = parts(self._plan, chain[0].value)
        start, end = self._line(chain[0])[0], self._line(chain[-1])[1]
        if len(chain) > 1:
            # Over the middle of one spacing: in the middle of an even number of them stands a tick.
            one = chain[(len(chain) - 1) // 2]
            over = self._camera.on_paper(one.text_at)
            return length_along(figure, start, end, self._taken, first=over, before=f"{len(chain)} @ ")
        return length_along(figure, start, end, self._taken, first=self._camera.on_paper(chain[0].text_at))


def _cleared(measured: tuple[Measured, ...], plan: Plan, ratio: float) -> tuple[Measured, ...]:
    """Return the dimensions with extension lines that begin beyond the beam lines and piers that lie under them."""
    if len(measured) > _MOST_CLEARED:
        return measured
    holes = {detail.id: detail.profile[0][1] / 2 for detail in plan.details if detail.profile}
    rounds = tuple((pier.at, max(holes.get(pier.detail or "", 0.0), _SYMBOL * ratio)) for pier in plan.piers)
    return with_clear_extensions(measured, Scene(tuple((n.start, n.end) for n in plan.lines), rounds, ratio, 0.0))


def _chains(measured: Iterable[Measured], near: float) -> list[list[Measured]]:
    """Return the dimensions, those together that follow each other in one line and are equal: three or more."""
    runs: list[list[Measured]] = []
    for m in measured:
        last = runs[-1][-1] if runs else None
        if last and distance(last.line_end, m.line_start) <= near and abs(last.value - m.value) <= near:
            runs[-1].append(m)
        else:
            runs.append([m])
    return [part for run in runs for part in ([run] if len(run) >= _WORTH_COUNTING else [[m] for m in run])]


def length_along(
    figure: LengthParts,
    start: Vector,
    end: Vector,
    taken: Taken,
    *,
    first: Vector | None = None,
    before: str = "",
) -> Measure | None:
    """Return a length written along a line of the page where nothing else stands, or None; takes no room.

    Args:
        figure: the length.
        start: one end of the line.
        end: the other.
        taken: what is written and drawn on.
        first: where the middle of the text had best be, if not over the middle of the line.
        before: what stands in front of the length.
    """
    near, far = _near(start, end, first), _far(start, end)
    for places, over_soft in ((near, False), (near, True), (far, False)):
        if text := _first_free(figure, before, places, taken, over_soft=over_soft):
            return text
    return None


def _first_free(
    figure: LengthParts, before: str, places: list[_Spot], taken: Taken, *, over_soft: bool
) -> Measure | None:
    for at, turn, side in places:
        for size in (SIZE, _SMALLER):
            capital = CAPITAL * size * MM_PER_POINT
            up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
            gap = _GAP if turn % 90 == 0 else _SLANTING_GAP
            foot = plus(at, times(up, side * (capital / 2 + gap) - capital / 2))
            text = Measure(foot, figure, size, "bold", "ink", "middle", turn, before)
            if all(taken.free(box, over_soft=over_soft) for box in covered(text)):
                return text
    return None


def _near(start: Vector, end: Vector, first: Vector | None) -> list[_Spot]:
    """Return where a text had best stand: where it is wished, or over its line, or under it."""
    turn = _turn_of(start, end)
    centre = middle(start, end)
    spots: list[_Spot] = [(first, turn, 0.0)] if first else []
    spots += [(centre, turn, 1.0), (centre, turn, -1.0)]
    return spots + [(along(start, end, share), turn, 1.0) for share in (0.3, 0.7, 0.25, 0.75)]


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
    """Return a dimension's line, its ticks, and its extension lines, which begin at ``a`` and ``b``."""
    marks = [Line(start, end, 0.18)]
    for foot, at in ((a, start), (b, end)):
        if distance(foot, at) > _SHORTEST:
            marks.append(Line(foot, plus(at, times(unit(minus(at, foot)), _BEYOND)), EXTENSION))
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
