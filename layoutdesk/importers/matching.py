"""Lines and texts that make up a dimension, in drawings that have none as such: pages, and dimensions taken apart.

A text that reads as a length and stands in a gap of a line, over it or beside it may measure that line, from one
mark to the next: arrowheads, dots, oblique strokes, and lines that meet it square.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, left, plus, times
from layoutdesk.importers.dimensioned import FARTHEST, SOLID, Dimensioned, Option, use_of
from layoutdesk.importers.linework import Drawn, Linework, Words
from layoutdesk.importers.strokes import StrokeIndex, strokes_of
from layoutdesk.importers.written import Unread, readings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

BESIDE: Final = 2.2
"""The middle of a text lies at most so many times its height from its line."""
PARALLEL: Final = 0.03
"""Sine of the angle within which a line runs along a text."""
LONGEST: Final = 250.0
"""A dimension line is at most so many times as long as its text is high, to either side."""
MOST_WORK: Final = 5e7
"""Texts times strokes: of a drawing with more, only the first texts are looked at, and that is said."""
FEWEST_TEXTS: Final = 200
BARE_END, SQUARE, MARKED = 1.0, 1.2, 2.0
"""What speaks for an end: the line ends there, another meets it square, an arrowhead, a dot or a tick is there."""
OFF_CENTRE: Final = 0.6
"""A text whose middle lies farther from the middle of its line, as a part of half of it, belongs elsewhere."""
UPRIGHT: Final = 0.3
"""So much less sure is a line that runs square to its text."""
PLAIN: Final = 0.85
"""Beside a line as sure as this, none is looked for square to its text."""
FEW: Final = 2
MOST_ENDS: Final = 3
MOST_LINES: Final = 6
MOST_OPTIONS: Final = 6

_MAY_BE_LENGTH: Final = re.compile(r"(?:^|[^A-Za-z\d.,#/-]|(?<![A-Za-z])[Rr])[.,]?[\d¼-¾⅐-⅞]")
"""A number that is not grown together with letters: a quick look that spares the marks of piers a slow one."""


def matched(linework: Linework) -> tuple[Dimensioned, ...]:
    """Return the texts that read as a length, with what they may measure, likeliest first."""
    texts = _texts(linework)
    if not texts or not linework.shapes:
        return ()
    heights = sorted(words.height for words, _ in texts)
    index = strokes_of(linework, 2.5 * heights[len(heights) // 2]).index()
    found: list[Dimensioned] = []
    most = max(FEWEST_TEXTS, int(MOST_WORK / max(1, len(index.strokes.a))))
    for words, dimension in texts[:most]:
        if options := _options(index, words):
            found.append(
                Dimensioned(dimension.text, options, dimension.readings, use_of(dimension.readings[0]), loose=True)
            )
    solid = [d for d in found if d.options[0].sure >= SOLID]
    if 2 * sum(not d.bare for d in solid) > max(len(solid), 2 * FEW):
        # Where lengths carry their unit, numbers without are marks, or of a scale bar.
        found = [d for d in found if not d.bare]
    return (*found, *(_left_out(words, dimension) for words, dimension in texts[most:]))


def _left_out(words: Words, dimension: Dimensioned) -> Dimensioned:
    drawn = Drawn(kind="distance", start=words.at, end=words.at, measured=0.0, text=words.text, middle=words.middle)
    why = "so large a drawing has too many texts to look at all"
    return Dimensioned(dimension.text, (Option(drawn, 0.0),), dimension.readings, why, loose=True)


def _texts(linework: Linework) -> list[tuple[Words, Dimensioned]]:
    """Return the texts that read as a length and nothing else."""
    frozen = frozenset(linework.frozen)
    found: list[tuple[Words, Dimensioned]] = []
    for words in linework.words:
        place = (*words.at, words.height, words.width, words.turn)
        if words.layer in frozen or words.height < 1 / FARTHEST or not all(abs(v) < FARTHEST for v in place):
            continue
        if not _MAY_BE_LENGTH.search(words.text):
            continue
        said = readings(words.text, None)
        if isinstance(said, Unread) or not said[0].usual or said[0].mark or said[0].total is None:
            continue
        if said[0].total > 0:
            found.append((words, Dimensioned(words.text, (), said)))
    return found


@dataclass(frozen=True, slots=True)
class _Axis:
    """A text's own axes: its middle, along it and square from it, its height, half its width in that direction."""

    middle: Vector
    way: Vector
    height: float
    half: float
    turn: float

    @property
    def square(self) -> Vector:
        return left(self.way)

    def local(self, places: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return how far along and how far aside places lie."""
        x, y = places[:, 0] - self.middle[0], places[:, 1] - self.middle[1]
        return x * self.way[0] + y * self.way[1], -x * self.way[1] + y * self.way[0]

    def place(self, along: float, aside: float) -> Vector:
        """Return the place so far along and aside."""
        return plus(self.middle, plus(times(self.way, along), times(self.square, aside)))


def _options(index: StrokeIndex, words: Words) -> tuple[Option, ...]:
    """Return what a text may measure: lines along it first, then lines square to it (texts all upright)."""
    half = words.width / 2 or 0.35 * words.height * len(words.text)
    found: list[tuple[float, Option]] = []
    for turn, along, aside in ((words.turn, half, words.height / 2), (words.turn + 90, words.height / 2, half)):
        angle = radians(turn)
        axis = _Axis(words.middle, (cos(angle), sin(angle)), words.height, along, turn)
        lower = 0.0 if turn == words.turn else UPRIGHT
        for level, distance in _lines(index, axis, aside + (BESIDE - 0.5) * words.height):
            for speaks, start, end in _ends(index, axis, level):
                sure = speaks / 2 if abs(start + end) > OFF_CENTRE * (end - start) else speaks
                option = Option(_drawn(words, axis, level, start, end), max(0.0, min(1.0, sure - lower)))
                found.append((0.15 * distance / words.height + lower - sure, option))
        if any(option.sure >= PLAIN for _, option in found):
            break
    found.sort(key=lambda f: f[0])
    return tuple(option for _, option in found[:MOST_OPTIONS])


def _drawn(words: Words, axis: _Axis, level: float, start: float, end: float) -> Drawn:
    """Return a line along a text as a dimension."""
    return Drawn(
        kind="distance",
        start=axis.place(start, level),
        end=axis.place(end, level),
        measured=end - start,
        text=words.text,
        along=axis.turn % 360,
        typed=True,
        line_at=axis.place(start, level),
        middle=words.middle,
        layer=words.layer,
    )


def _lines(index: StrokeIndex, axis: _Axis, room: float) -> list[tuple[float, float]]:
    """Return how far aside the lines beside a text run, the nearest first, with that distance."""
    import numpy as np

    reach = axis.half + 2 * axis.height
    corners = np.array([axis.place(s * reach, t * room) for s in (-1, 1) for t in (-1, 1)])
    low, high = corners.min(axis=0), corners.max(axis=0)
    near = index.near((low[0], low[1]), (high[0], high[1]))
    if not len(near):
        return []
    s0, t0 = axis.local(index.strokes.a[near])
    s1, t1 = axis.local(index.strokes.b[near])
    long = np.abs(s1 - s0)
    fits = (np.abs(t1 - t0) <= PARALLEL * long) & (long > 0.3 * axis.height)
    fits &= (np.abs(t0 + t1) / 2 <= room) & (np.minimum(s0, s1) <= reach) & (np.maximum(s0, s1) >= -reach)
    levels: list[float] = []
    for level in sorted((float(t) for t in ((t0 + t1) / 2)[fits]), key=abs):
        if all(abs(level - other) > 0.05 * axis.height for other in levels):
            levels.append(level)
    return [(level, abs(level)) for level in levels[:MOST_LINES]]


def _ends(index: StrokeIndex, axis: _Axis, level: float) -> Iterator[tuple[float, float, float]]:
    """Yield where a line along a text may be measured from and to, and how sure each is."""
    import numpy as np

    reach = LONGEST * axis.height
    close = 0.25 * axis.height
    near, marks = index.across(axis.place(-reach, level), axis.place(reach, level), close)
    s0, t0 = axis.local(index.strokes.a[near])
    s1, t1 = axis.local(index.strokes.b[near])
    t0, t1 = t0 - level, t1 - level
    flat = np.abs(t1 - t0) <= PARALLEL * np.abs(s1 - s0)
    on = flat & (np.abs(t0 + t1) / 2 <= 0.05 * axis.height)
    pieces = sorted(zip(np.minimum(s0, s1)[on].tolist(), np.maximum(s0, s1)[on].tolist(), strict=True))
    covered = _covered(pieces, axis)
    if covered is None:
        return
    low, high, ends = covered
    stops = [(s, BARE_END, True) for s in ends]
    with np.errstate(divide="ignore", invalid="ignore"):
        at = s0 - t0 * (s1 - s0) / (t1 - t0)
    steep = ~flat & (np.abs(t1 - t0) > 0.15 * np.hypot(s1 - s0, t1 - t0))
    square = steep & (np.abs(s1 - s0) <= PARALLEL * np.abs(t1 - t0))
    short = np.hypot(s1 - s0, t1 - t0) <= 3 * axis.height
    centred = np.abs(t0 + t1) / 2 <= 0.3 * axis.height
    touches = (np.minimum(t0, t1) <= close) & (np.maximum(t0, t1) >= -close)
    for s, is_square, is_tick in zip(
        at[steep & touches].tolist(),
        square[steep & touches].tolist(),
        (short & centred & ~square)[steep & touches].tolist(),
        strict=True,
    ):
        if is_square or is_tick:
            stops.append((s, SQUARE if is_square else MARKED, is_square))
    if len(marks):
        s, t = axis.local(index.strokes.tips[marks])
        stops += [(float(v), MARKED, False) for v, off in zip(s, t - level, strict=True) if abs(off) <= close]
    slack = 0.3 * axis.height
    before = _best_stops([(-s, w, e) for s, w, e in stops if low - slack <= s < 0], close)
    behind = _best_stops([(s, w, e) for s, w, e in stops if 0 < s <= high + slack], close)
    for b_score, b in before:
        for e_score, e in behind:
            yield min(b_score, e_score) / 3 + (b_score + e_score) / 30, -b, e


def _covered(pieces: list[tuple[float, float]], axis: _Axis) -> tuple[float, float, list[float]] | None:
    """Return from where to where a line runs on past a text, with the ends of all its pieces; None beside none.

    Only the text itself may break it.
    """
    gap = axis.half + 1.5 * axis.height
    touch = 0.05 * axis.height
    low = high = None
    for start, end in pieces:
        if start <= gap and end >= -gap:
            low = start if low is None else min(low, start)
            high = end if high is None else max(high, end)
    if low is None or high is None:
        return None
    for start, end in pieces:
        if start <= high + touch:
            high = max(high, end)
    for start, end in sorted(pieces, key=lambda p: -p[1]):
        if end >= low - touch:
            low = min(low, start)
    if low > -0.2 * axis.height or high < 0.2 * axis.height:
        return None
    return low, high, [s for piece in pieces for s in piece if low <= s <= high]


def _best_stops(stops: list[tuple[float, float, bool]], close: float) -> list[tuple[float, float]]:
    """Return the likeliest ends on one side of a text: how much speaks for each, and where it is.

    Marks at one place add up; of equals the nearest comes first. The place is that of a line which meets or ends
    there where there is one, for a tip or a tick may be drawn off it.
    """
    stops.sort()
    groups: list[list[tuple[float, float, bool]]] = []
    for stop in stops:
        if groups and stop[0] - groups[-1][0][0] <= close:
            groups[-1].append(stop)
        else:
            groups.append([stop])
    ranked = sorted(groups, key=lambda group: (-_speaks(group), group[0][0]))
    return [(_speaks(group), _place(group, 0.08 * close)) for group in ranked[:MOST_ENDS]]


def _speaks(group: list[tuple[float, float, bool]]) -> float:
    """Return how much speaks for an end: each kind of mark once."""
    return min(3.0, sum({weight for _, weight, _ in group}))


def _place(group: list[tuple[float, float, bool]], same: float) -> float:
    """Return where most marks of a group lie: at the line that meets or ends there, if any."""

    def speaks(stop: tuple[float, float, bool]) -> tuple[float, int, bool]:
        here = [w for s, w, _ in group if abs(s - stop[0]) <= same]
        return sum(set(here)), len(here), stop[2]

    return max(group, key=speaks)[0]
