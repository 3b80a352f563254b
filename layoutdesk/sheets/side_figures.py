"""The figures in the picture of a side view, each where it has room: what has none stands in the table alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from layoutdesk.engine.layout import SideView, StringRun
from layoutdesk.engine.levels.entries import SidePier
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.lettering import fitted, measure_width, text_width
from layoutdesk.sheets.marks import Line, Mark, Measure, Text
from layoutdesk.sheets.numbers import parts, plus_before
from layoutdesk.sheets.side_eye import UNDER_GROUND, Eye, height_on, widest

_CHAIN_SIZES: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_NAME_SIZES: Final = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_COLUMN_SIZE: Final = 10.0
_SIZE: Final = 8.0
_CAPITAL: Final = 0.27
"""How high capitals stand, in millimetres for each point of their size."""
_CLEAR: Final = 1.2
_LINE: Final = 1.0
"""From the edge of a hole to the line that measures its depth."""
_FIGURE_ROOM: Final = 20.0
"""What a figure on the string takes of it at most, in millimetres of paper."""
_LEAST_NAME: Final = 4.0
"""With less room than this a pier has no name in the picture: the table below names it."""
_BROKEN: Final = 1.5
"""How far the broken line of the supports goes beyond the hole."""
_TALL: Final = 16.0
"""Least height between string and beam that figures are written in, in millimetres of paper."""


def names(view: SideView, eye: Eye) -> Iterator[Mark]:
    """Yield the piers' names below them: smaller where they stand close, some left out where none could be read."""
    named = sorted(
        (*eye.at(pier.running, lowest), pier.label)
        for pier in view.piers
        if (lowest := pier.bottom if pier.bottom is not None else pier.ground) is not None
    )
    size = next((s for s in _NAME_SIZES if _apart(named, s)), _NAME_SIZES[-1])
    last = -math.inf
    for x, y, label in named:
        room = 2 * min(x - eye.room.left, eye.room.right - x)
        shown, fit = fitted(label, max(room, _LEAST_NAME), size, "black", least=_NAME_SIZES[-1])
        half = text_width(shown, fit, "black") / 2
        if x - half > last + _CLEAR / 2 and room > _LEAST_NAME:
            yield Text((x, y - 0.6 - fit * _CAPITAL), shown, fit, "black", anchor="middle")
            last = x + half


def _apart(named: Sequence[tuple[float, float, str]], size: float) -> bool:
    """Return whether names keep off each other at a size."""
    halves = [text_width(label, size, "black") / 2 for *_, label in named]
    places = [x for x, *_ in named]
    return all(
        b - a > ha + hb + _CLEAR for (a, b), (ha, hb) in zip(pairwise(places), pairwise(halves), strict=True)
    )


def figures(view: SideView, run: StringRun, plan: Plan, eye: Eye) -> Iterator[Mark]:
    """Yield each column's length and seat, each hole's depth, and how far the string is above each pier's top."""
    stops = {stop.pier: stop for stop in run.stops}
    before = eye.at(view.house if view.house is not None else view.start, 0.0)[0]
    edges = [*(eye.at(pier.running - widest(pier) / 2, 0.0)[0] for pier in view.piers[1:]), eye.room.right]
    for pier, after in zip(view.piers, edges, strict=True):
        half = widest(pier) / 2 * eye.along
        x, _ = eye.at(pier.running, 0.0)
        yield from _column(view, pier, plan, eye, room=after)
        yield from _dig(pier, plan, eye, room=after)
        stop = stops.get(pier.pier)
        yield from _seat_and_string(
            view, pier, stop.above_top if stop else None, plan, eye, room=x - eye.along * pier.column / 2 - before
        )
        before = x + half + 4.0 + _SIZE * _CAPITAL


def _column(view: SideView, pier: SidePier, plan: Plan, eye: Eye, *, room: float) -> Iterator[Mark]:
    """Yield the length of a column beside it, above or below the string, where that leaves more of it."""
    if pier.foot is None or pier.head is None:
        return
    (x, low), (_, high) = (eye.at(pier.running + pier.column / 2, h) for h in (pier.foot, pier.head))
    long = parts(plan, pier.head - pier.foot)
    string = eye.at(0.0, height_on(view.string, pier.running))[1] if view.string else low
    if low < string < high:
        over = string + 2.4 + _SIZE * _CAPITAL
        low, high = max(((low, string), (over, high)), key=lambda part: part[1] - part[0])
    if measure_width(long, _COLUMN_SIZE) < high - low - 2.0 and x + 4.4 < room:
        yield Measure((x + 3.6, (low + high) / 2), long, _COLUMN_SIZE, "semibold", "ink", "middle", turn=90.0)


def _dig(pier: SidePier, plan: Plan, eye: Eye, *, room: float) -> Iterator[Mark]:
    """Yield the depth of a hole beside it, below the hatch of the ground."""
    if pier.ground is None or pier.bottom is None or not pier.profile:
        return
    (x, ground), (_, bottom) = (eye.at(pier.running + widest(pier) / 2, h) for h in (pier.ground, pier.bottom))
    dig = parts(plan, pier.ground - pier.bottom)
    x += _LINE
    clear = ground - UNDER_GROUND - 1.0
    if measure_width(dig, _SIZE, "semibold") > clear - bottom or x + 3.6 > room:
        return
    yield Line((x, bottom), (x, ground), 0.2)
    yield from (tick(x, y) for y in (ground, bottom))
    yield Measure((x + 2.9, (clear + bottom) / 2), dig, _SIZE, "semibold", "ink", "middle", turn=90.0)


def _seat_and_string(
    view: SideView, pier: SidePier, above_top: float | None, plan: Plan, eye: Eye, *, room: float
) -> Iterator[Mark]:
    """Yield the elevation of the seat under the beam, and how far the string is above the top, left of a column."""
    x, _ = eye.at(pier.running - pier.column / 2, 0.0)
    x -= _CLEAR
    string = eye.at(0.0, height_on(view.string, pier.running))[1] if view.string else None
    seat = height_on(view.beam, pier.running) if view.beam else None
    high = eye.room.top if seat is None else eye.at(0.0, seat)[1]
    if string is not None and high - string < _TALL:
        return
    under = high
    if seat is not None and view.beam is not None:
        figure = parts(plan, seat)
        before = plus_before(plan, seat)
        wide = measure_width(figure, _SIZE, "semibold", before=before)
        far = eye.at(0.0, height_on(view.beam, pier.running - wide / eye.along))[1]
        if wide + 2 * _CLEAR < room:
            under = min(high, far) - 1.4 - _SIZE * _CAPITAL
            at = (x, under)
            yield Measure(at, figure, _SIZE, "semibold", "work", "end", before=before)
    if string is not None and above_top is not None and view.string is not None:
        figure = parts(plan, above_top)
        wide = measure_width(figure, _SIZE, "semibold")
        x = min(x, eye.at(pier.running - widest(pier) / 2, 0.0)[0] - _BROKEN - _CLEAR)
        far = eye.at(0.0, height_on(view.string, pier.running - wide / eye.along))[1]
        base = max(string, far) + 1.2
        # Where beam or string are steep, the lower of the two gives way: the table below has it too.
        clear = base + _SIZE * _CAPITAL + _CLEAR < under
        if clear and wide + 2 * _CLEAR + _BROKEN < room - (widest(pier) - pier.column) / 2 * eye.along:
            yield Measure((x, base), figure, _SIZE, "semibold", "check", "end")


def string_name(view: SideView, eye: Eye) -> Iterator[Mark]:
    """Yield the name of the string in the widest part of it between columns and boards, if that has room."""
    if view.string is None:
        return
    start, end = view.string[0][0], view.string[1][0]
    edges = [pier.running + widest(pier) / 2 + _BROKEN / eye.along for pier in view.piers]
    stops = sorted({start, *(edge for edge in edges if start < edge < end), end})
    a, b = max(pairwise(stops), key=lambda part: part[1] - part[0], default=(start, end))
    wide = text_width("string", _SIZE)
    if (b - a) * eye.along < wide + _FIGURE_ROOM:
        return
    heights = (height_on(view.string, a), height_on(view.string, a + (wide + _CLEAR) / eye.along))
    x, y = eye.at(a, max(heights))
    if view.beam and 0 <= eye.at(0.0, height_on(view.beam, a))[1] - y < _TALL / 2:
        y = eye.at(a, min(heights))[1] - 2.4 - _SIZE * _CAPITAL
    yield Text((x + _CLEAR, y + 1.2), "string", _SIZE, ink="check")


def chain(view: SideView, plan: Plan, eye: Eye, y: float) -> Iterator[Mark]:
    """Yield the distances along the line from its zero, pier to pier, where each has its room."""
    stops = sorted({0.0, *(pier.running for pier in view.piers)})
    gaps = [(eye.at(a, 0.0)[0], eye.at(b, 0.0)[0], parts(plan, b - a)) for a, b in pairwise(stops)]
    if not gaps:
        return
    wide = [gap for gap in gaps if gap[1] - gap[0] > max(b - a for a, b, _ in gaps) / 2]
    size = next(
        (s for s in _CHAIN_SIZES if all(measure_width(gap, s, "semibold") < b - a - 1.0 for a, b, gap in wide)),
        _CHAIN_SIZES[-1],
    )
    yield Line((gaps[0][0], y), (gaps[-1][1], y), 0.2)
    for x in (gaps[0][0], *(b for _, b, _ in gaps)):
        yield tick(x, y)
    for a, b, gap in gaps:
        fits = next(
            (s for s in _CHAIN_SIZES if s <= size and measure_width(gap, s, "semibold") < b - a - 0.5), None
        )
        if fits:
            yield Measure(((a + b) / 2, y + 1.4), gap, fits, "semibold", "ink", "middle")


def tick(x: float, y: float) -> Line:
    """Return the slanting stroke that ends a line of dimensions."""
    at: Vector = (x - 0.9, y - 0.9)
    return Line(at, (x + 0.9, y + 0.9), 0.4)
