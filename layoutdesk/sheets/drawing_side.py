"""Side views of beam lines in the plan drawing: beside the plan at true scale, with their dimensions.

Each is drawn in axes of the page, lengths to the right and elevations up, and then turned like the plan, so that
it reads upright on the sheets that show it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, distance, middle, minus, plus, times, turned, unit
from layoutdesk.sheets.drawing_dimensions import readable, text_width
from layoutdesk.sheets.drawing_heights import elevation_text
from layoutdesk.sheets.drawing_marks import (
    CLEAR_MM,
    GAP_MM,
    SMALL_TEXT_MM,
    TEXT_MM,
    Drawn,
    Filling,
    Label,
    Measured,
    SideDrawing,
    Stroke,
)
from layoutdesk.sheets.side_eye import height_on, reach, widest
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.layout import SideView
    from layoutdesk.engine.levels.entries import SidePier
    from layoutdesk.plan.model import Plan

SIDE_MM: Final = 14.0
"""Room at both sides of a view, on paper, for what is written there."""
BELOW_MM: Final = 24.0
"""Room below it, for the names of piers, the distances along the line and its title."""
ABOVE_MM: Final = 9.0
_CHAIN_MM: Final = 11.0
_GROUND_MM: Final = 2.0
_HATCH_MM: Final = 1.2
_LENGTH_MM: Final = 6.0
_DIG_MM: Final = 5.5
_STRING_MM: Final = 4.0
_NAMES_MM: Final = 5.0
"""Below the holes, for the names of the piers: extension lines begin under them."""
_NARROW_MM: Final = 16.0
"""Piers that stand closer than this on paper have no figures at their left, and under half of it none at all."""


def side_size(view: SideView, ratio: float) -> Vector:
    """Return how wide and high a view is with all that is written round it, in millimetres on site."""
    low, high = reach(view)
    wide = view.end - view.start + 2 * SIDE_MM * ratio
    return wide, high - low + (BELOW_MM + ABOVE_MM) * ratio


def side_drawing(view: SideView, plan: Plan, *, corner: Vector, ratio: float, turn: float) -> SideDrawing:
    """Return one side view drawn.

    Args:
        view: what is seen.
        plan: the plan.
        corner: where its lower left corner lies, in axes of the page.
        ratio: millimetres of ground to one of paper, for what is written.
        turn: the direction in the plan that lies to the right on the page, in degrees.
    """
    low, _ = reach(view)
    shift = (corner[0] + SIDE_MM * ratio - view.start, corner[1] + BELOW_MM * ratio - low)
    pen = _Pen(plan, shift, ratio, turn)
    marks: list[Drawn] = [*_ground(view, pen), *_house(view, pen), *_lines(view, pen)]
    for pier in view.piers:
        marks += _pier(pier, pen)
    marks += _names(view, pen)
    marks += _seats(view, pen)
    title = pen.at(view.start, low, down=BELOW_MM - 3.0)
    marks.append(pen.label(title, f"Side view of beam line {view.label}", TEXT_MM * 1.2, strong=True))
    wide, high = side_size(view, ratio)
    box = [pen.turned(plus(corner, at)) for at in ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))]
    xs, ys = [x for x, _ in box], [y for _, y in box]
    return SideDrawing(
        view.line, tuple(marks), tuple(_dimensions(view, pen)), (min(xs), min(ys)), (max(xs), max(ys))
    )


@dataclass(frozen=True, slots=True)
class _Pen:
    """Where running and elevation lie in the plan, and how large on paper what is written there."""

    plan: Plan
    shift: Vector
    ratio: float
    turn: float

    def turned(self, on_page: Vector) -> Vector:
        """Return a place of the page in the plan."""
        return turned(on_page, self.turn)

    def at(self, running: float, elevation: float, *, right: float = 0.0, down: float = 0.0) -> Vector:
        """Return a place of the view in axes of the page, moved by some paper."""
        x, y = running + self.shift[0], elevation + self.shift[1]
        return (x + right * self.ratio, y - down * self.ratio)

    def stroke(self, *places: Vector, role: str, closed: bool = False, hidden: bool = False) -> Stroke:
        """Return a line through places of the page."""
        return Stroke(tuple(map(self.turned, places)), role, closed=closed, hidden=hidden)  # type: ignore[arg-type]

    def label(self, at: Vector, text: str, mm: float, *, anchor: str = "start", strong: bool = False) -> Label:
        """Return a text of so high capitals at a place of the page."""
        return Label(self.turned(at), text, mm * self.ratio, "text", anchor, turn=self.turn, strong=strong)  # type: ignore[arg-type]

    def measured(
        self, start: Vector, end: Vector, out: Vector, *, clear: float = CLEAR_MM, shrinks: bool = False
    ) -> Measured:
        """Return a dimension between two places of the page whose line lies ``out`` of them, in mm of paper.

        Where its line is too short for its text, that is written small; then smaller still if it ``shrinks``, and
        else beyond the end of the line. Extension lines begin ``clear`` of what is measured.
        """
        off = times(out, self.ratio)
        a, b = plus(start, off), plus(end, off)
        value = distance(start, end)
        text = format_length(value, self.plan.units, self.plan.rounding)
        mm = next((mm for mm in (TEXT_MM, SMALL_TEXT_MM) if text_width(text, mm * self.ratio) < value), None)
        height = (mm or SMALL_TEXT_MM) * self.ratio
        if mm is None and shrinks:
            height = fitting_height(text, height, value)
        turn = readable(_degrees(minus(b, a)) + self.turn, self.turn)
        up = turned((0.0, 1.0), turn - self.turn)
        over = GAP_MM * self.ratio + height / 2
        text_at = plus(middle(a, b), times(up, over))
        moved = mm is None and not shrinks
        if moved:
            beyond = text_width(text, height) / 2 + 2 * GAP_MM * self.ratio
            text_at = plus(b, times(unit(minus(b, a)), beyond))
        begin = times(unit(out), min(clear * self.ratio, distance((0.0, 0.0), off)))
        return Measured(
            self.turned(start),
            self.turned(end),
            self.turned(a),
            self.turned(b),
            self.turned(plus(start, begin)),
            self.turned(plus(end, begin)),
            self.turned(text_at),
            turn,
            value,
            text,
            height,
            moved,
        )


def fitting_height(text: str, height: float, room: float) -> float:
    """Return the height of capitals, ``height`` at most, at which a text is no wider than its room."""
    wide = text_width(text, height)
    return height * min(1.0, 0.9 * room / wide) if wide > 0 else height


def _degrees(way: Vector) -> float:
    return 90.0 if abs(way[1]) > abs(way[0]) else 0.0


def _ground(view: SideView, pen: _Pen) -> Iterator[Drawn]:
    for part in view.ground:
        line = [pen.at(*place) for place in part]
        if len(line) < 2:
            continue
        under = [pen.at(*place, down=_GROUND_MM) for place in reversed(part)]
        outline = tuple(map(pen.turned, (*line, *under)))
        yield Filling(outline, "side ground", "slant", _HATCH_MM * pen.ratio, pen.turn)
        yield pen.stroke(*line, role="side ground")


def _house(view: SideView, pen: _Pen) -> Iterator[Drawn]:
    if view.house is not None:
        low, high = reach(view)
        yield pen.stroke(pen.at(view.house, low), pen.at(view.house, high), role="side outline")
        yield pen.label(pen.at(view.house, high, right=-1.0, down=2.0), "house", SMALL_TEXT_MM, anchor="end")


def _lines(view: SideView, pen: _Pen) -> Iterator[Drawn]:
    """Yield the underside of the beam and the string, each with its name."""
    if view.beam is not None:
        a, b = (pen.at(*end) for end in view.beam)
        yield pen.stroke(a, b, role="side seat")
        over = plus(b, (0.0, (max(a[1], b[1]) - b[1]) + 2.0 * pen.ratio))
        yield pen.label(over, "underside of the beam", SMALL_TEXT_MM, anchor="end")
    if view.string is not None:
        a, b = (pen.at(*end) for end in view.string)
        yield pen.stroke(a, b, role="string")
        yield pen.label(plus(b, (1.2 * pen.ratio, 0.0)), "string", SMALL_TEXT_MM)


def _pier(pier: SidePier, pen: _Pen) -> Iterator[Drawn]:
    """Yield the concrete in its hole, the column, the upper edge of its supports, and the name below."""
    if pier.ground is not None and pier.profile and pier.bottom is not None:
        top = pier.top if pier.top is not None else pier.ground
        way = [(top, pier.profile[0][1])]
        way += [(pier.ground - depth, wide) for depth, wide in pier.profile if pier.ground - depth < top]
        way.append((min(pier.bottom, way[-1][0]), way[-1][1]))
        right = [pen.at(pier.running + wide / 2, height) for height, wide in way]
        left = [pen.at(pier.running - wide / 2, height) for height, wide in way]
        yield pen.stroke(*left, *reversed(right), role="side outline", closed=True)
    if pier.foot is not None and pier.head is not None:
        sides = ((-1, pier.foot), (1, pier.foot), (1, pier.head), (-1, pier.head))
        corners = [pen.at(pier.running + side * pier.column / 2, height) for side, height in sides]
        yield pen.stroke(*corners, role="side outline", closed=True)
    if pier.support is not None:
        half = widest(pier) / 2
        ends = (pen.at(pier.running + side * half, pier.support, right=1.5 * side) for side in (-1, 1))
        yield pen.stroke(*ends, role="side outline", hidden=True)


def _names(view: SideView, pen: _Pen) -> Iterator[Drawn]:
    """Yield the names of the piers below them, all so small that they keep off each other."""
    places = sorted(pier.running for pier in view.piers)
    pitch = min((b - a for a, b in pairwise(places) if b > a), default=math.inf)
    heights = [fitting_height(pier.label, TEXT_MM * pen.ratio, pitch) for pier in view.piers]
    mm = min(heights, default=0.0) / pen.ratio
    for pier in view.piers:
        lowest = pier.bottom if pier.bottom is not None else pier.ground
        if lowest is not None:
            yield pen.label(
                pen.at(pier.running, lowest, down=1.2 + mm), pier.label, mm, anchor="middle", strong=True
            )


def _seats(view: SideView, pen: _Pen) -> Iterator[Drawn]:
    """Yield the elevation of every seat under the beam, left of its column, where piers leave room for it."""
    if view.beam is None:
        return
    before = view.start if view.house is not None else -math.inf
    for pier in view.piers:
        seat = height_on(view.beam, pier.running)
        text = elevation_text(pen.plan, seat)
        wide = text_width(text, SMALL_TEXT_MM * pen.ratio)
        edge = pier.running - pier.column / 2
        if edge - before > wide + 8.0 * pen.ratio:
            low = min(seat, height_on(view.beam, edge - wide))
            at = pen.at(edge, low, right=-1.2, down=1.2 + SMALL_TEXT_MM)
            yield pen.label(at, text, SMALL_TEXT_MM, anchor="end")
        before = pier.running + pier.column / 2


def _dimensions(view: SideView, pen: _Pen) -> Iterator[Measured]:
    """Yield the distances along the line, and at every pier its column, its hole, and the string over its top."""
    low, _ = reach(view)
    stops = sorted({0.0, *(pier.running for pier in view.piers)})
    for i, (a, b) in enumerate(pairwise(stops)):
        text = format_length(b - a, pen.plan.units, pen.plan.rounding)
        # What is too narrow at the very start is written before it, as there is room.
        before = i == 0 and text_width(text, SMALL_TEXT_MM * pen.ratio) >= b - a
        ends = (b, a) if before else (a, b)
        start, end = (pen.at(running, low) for running in ends)
        yield pen.measured(start, end, (0.0, -_CHAIN_MM), clear=_NAMES_MM, shrinks=not before)
    places = sorted(pier.running for pier in view.piers)
    pitch = min((b - a for a, b in pairwise(places)), default=view.end - view.start) / pen.ratio
    for pier in view.piers:
        half = widest(pier) / 2
        if pitch >= _NARROW_MM / 2:
            if pier.foot is not None and pier.head is not None and pier.head > pier.foot:
                foot, head = (pen.at(pier.running + pier.column / 2, h) for h in (pier.foot, pier.head))
                yield pen.measured(foot, head, (_LENGTH_MM, 0.0))
            if pier.bottom is not None and pier.ground is not None and pier.ground > pier.bottom:
                bottom, ground = (pen.at(pier.running + half, h) for h in (pier.bottom, pier.ground))
                dig = pen.measured(bottom, ground, (_DIG_MM, 0.0))
                if not dig.moved:
                    yield dig
        if pitch >= _NARROW_MM and view.string is not None and pier.top is not None:
            string = height_on(view.string, pier.running)
            if string > pier.top:
                top, above = (pen.at(pier.running - half, h) for h in (pier.top, string))
                yield pen.measured(top, above, (-_STRING_MM, 0.0))
