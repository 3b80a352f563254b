"""A beam line from its side, drawn: ground, string, holes, piers, columns and beam.

Lengths and heights are to scale; heights may be drawn taller by a factor, which the sheet says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.layout import SideView, StringRun
from layoutdesk.engine.levels.entries import SidePier
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.lettering import measure_width
from layoutdesk.sheets.marks import Hatch, Line, Mark, Measure, Polyline, Text
from layoutdesk.sheets.numbers import parts
from layoutdesk.sheets.paper import Box

_CHAIN: Final = 11.0
"""Room below the picture for the distances along it, in millimetres."""
_CHAIN_SIZES: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_COLUMN_SIZE: Final = 10.0
_NAME: Final = 5.5
_UNDER_GROUND: Final = 3.0
_BOARD: Final = 4.0
_WALL: Final = 4.0
_AIR: Final = 3.0
_LABEL: Final = 8.0


def picture_height(view: SideView, width: float, *, times: float = 1.0) -> float:
    """Return how high a side view is when it is drawn over the whole of a width, in millimetres."""
    low, high = _reach(view)
    along = (width - _WALL - 2.0) / (view.end - view.start)
    return (high - low) * along * times + _UNDER_GROUND + _NAME + _LABEL + _CHAIN


def side_marks(view: SideView, run: StringRun, plan: Plan, box: Box, *, times: float = 1.0) -> list[Mark]:
    """Return a side view drawn in a box, as large as it has room.

    Args:
        view: what is seen.
        run: its string.
        plan: the plan.
        box: where on the page.
        times: how much taller than wide the heights are drawn.
    """
    eye = _Eye.fitted(view, Box(box.left + _WALL, box.bottom + _CHAIN, box.right, box.top), times)
    marks: list[Mark] = [*_house(view, eye), *_ground(view, eye)]
    for pier in view.piers:
        marks += _pier(pier, eye, plan)
    marks += _beam(view, eye)
    marks += _string(view, run, eye)
    marks += _chain(view, plan, eye, box.bottom + _CHAIN - 7.0)
    return marks


@dataclass(frozen=True, slots=True)
class _Eye:
    """Where running and elevation lie on the page: millimetres of paper for each millimetre on site."""

    room: Box
    zero: Vector
    along: float
    up: float

    @classmethod
    def fitted(cls, view: SideView, room: Box, times: float) -> _Eye:
        """Return the largest eye with heights ``times`` taller that shows the whole view."""
        low, high = _reach(view)
        inner = Box(room.left + 1.0, room.bottom + _UNDER_GROUND + _NAME, room.right - 1.0, room.top - _LABEL)
        along = min(inner.width / (view.end - view.start), inner.height / (times * max(high - low, 1.0)))
        return cls(
            room, (inner.left - view.start * along, inner.bottom - low * along * times), along, along * times
        )

    def at(self, running: float, elevation: float) -> Vector:
        """Return the place on the page."""
        return (self.zero[0] + running * self.along, self.zero[1] + elevation * self.up)


def _reach(view: SideView) -> tuple[float, float]:
    """Return the lowest and the highest elevation that a view shows; a metre where it shows none."""
    heights = [height for part in view.ground for _, height in part]
    heights += [height for line in (view.string, view.beam) if line for _, height in line]
    for pier in view.piers:
        heights += [h for h in (pier.ground, pier.top, pier.bottom, pier.head, pier.support) if h is not None]
    return (min(heights), max(heights)) if heights else (0.0, 1000.0)


def _house(view: SideView, eye: _Eye) -> Iterator[Mark]:
    if view.house is None:
        return
    x, _ = eye.at(view.house, 0.0)
    wall = Box(x - _WALL, eye.room.bottom, x, eye.room.top)
    yield Hatch(wall.corners, gap=1.6, ink="soft", width=0.13)
    yield Line((x, wall.bottom), (x, wall.top), 0.7)


def _ground(view: SideView, eye: _Eye) -> Iterator[Mark]:
    for part in view.ground:
        line = tuple(eye.at(running, height) for running, height in part)
        low = min(y for _, y in line) - _UNDER_GROUND
        yield Hatch((*line, (line[-1][0], low), (line[0][0], low)), gap=1.4, ink="faint", width=0.15)
        yield Polyline(line, width=0.5)


def _pier(pier: SidePier, eye: _Eye, plan: Plan) -> Iterator[Mark]:
    """Yield the concrete in its hole, the column with its length, the upper edge of its supports, and its name."""
    if pier.ground is not None and pier.profile and pier.bottom is not None:
        yield Polyline(_outline(pier, eye, pier.ground, pier.bottom), width=0.4, closed=True, fill="shade")
    if pier.foot is not None and pier.head is not None:
        half = pier.column / 2
        corners = [
            eye.at(pier.running + side * half, height)
            for side, height in ((-1, pier.foot), (1, pier.foot), (1, pier.head), (-1, pier.head))
        ]
        yield Polyline(tuple(corners), width=0.35, closed=True, fill="paper")
        long = parts(plan, pier.head - pier.foot)
        if measure_width(long, _COLUMN_SIZE) < corners[2][1] - corners[1][1] - 2.0:
            beside = (corners[1][0] + 3.6, (corners[1][1] + corners[2][1]) / 2)
            yield Measure(beside, long, _COLUMN_SIZE, "semibold", "ink", "middle", turn=90.0)
    if pier.support is not None:
        reach = max(pier.column, max((d for _, d in pier.profile), default=0.0)) / 2
        (x, y), (x2, _) = eye.at(pier.running - reach, pier.support), eye.at(pier.running + reach, pier.support)
        yield Line((x - 1.5, y), (x2 + 1.5, y), 0.5, "work", (1.4, 0.8))
    lowest = pier.bottom if pier.bottom is not None else pier.ground
    if lowest is not None:
        x, y = eye.at(pier.running, lowest)
        yield Text((x, y - 4.6), pier.label, 12.0, "black", anchor="middle")


def _outline(pier: SidePier, eye: _Eye, ground: float, bottom: float) -> tuple[Vector, ...]:
    """Return the outline of the concrete: its profile below the ground, its top above or below it."""
    top = pier.top if pier.top is not None else ground
    way = [(top, pier.profile[0][1])]
    for depth, diameter in pier.profile:
        if ground - depth < top:
            way.append((ground - depth, diameter))
    way.append((min(bottom, way[-1][0]), way[-1][1]))
    right = [eye.at(pier.running + diameter / 2, height) for height, diameter in way]
    left = [eye.at(pier.running - diameter / 2, height) for height, diameter in way]
    return (*left, *reversed(right))


def _beam(view: SideView, eye: _Eye) -> Iterator[Mark]:
    if view.beam is None:
        return
    (start, low), (end, high) = view.beam
    a, b = eye.at(start, low), eye.at(end, high)
    yield Polyline(
        (a, b, (b[0], b[1] + _AIR), (a[0], a[1] + _AIR)), width=0.25, ink="soft", closed=True, fill="wash"
    )
    yield Line(a, b, 0.8, "work")
    yield Text((b[0], b[1] + _AIR + 1.2), "underside of the beam", 8.0, ink="work", anchor="end")


def _string(view: SideView, run: StringRun, eye: _Eye) -> Iterator[Mark]:
    if view.string is None:
        return
    a, b = (eye.at(*end) for end in view.string)
    yield Line(a, b, 0.35, "check")
    for board, (x, y) in zip(run.boards, (a, b), strict=True):
        if board.held_by == "board":
            foot = y if board.ground is None else min(y, eye.at(board.running, board.ground)[1])
            yield Line((x, foot - _BOARD), (x, y + 0.8), 0.9)
    yield Text((b[0] - 1.0, b[1] + 1.4), "string", 8.0, ink="check", anchor="end")


def _chain(view: SideView, plan: Plan, eye: _Eye, y: float) -> Iterator[Mark]:
    """Yield the distances along the line from its zero, pier to pier, in one size that fits the narrowest."""
    stops = sorted({0.0, *(pier.running for pier in view.piers)})
    gaps = [(eye.at(a, 0.0)[0], eye.at(b, 0.0)[0], parts(plan, b - a)) for a, b in pairwise(stops)]
    if not gaps:
        return
    size = next(
        (s for s in _CHAIN_SIZES if all(measure_width(gap, s, "semibold") < b - a - 1.0 for a, b, gap in gaps)),
        _CHAIN_SIZES[-1],
    )
    yield Line((gaps[0][0], y), (gaps[-1][1], y), 0.2)
    for x in (gaps[0][0], *(b for _, b, _ in gaps)):
        yield Line((x - 0.9, y - 0.9), (x + 0.9, y + 0.9), 0.4)
    for a, b, gap in gaps:
        yield Measure(((a + b) / 2, y + 1.4), gap, size, "semibold", "ink", "middle")
