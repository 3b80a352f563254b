"""A beam line from its side, drawn: ground, string, holes, piers, columns and beam.

Lengths and heights are to scale; heights may be drawn taller by a factor, which the sheet says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from layoutdesk.engine.layout import SideView, StringRun
from layoutdesk.engine.levels.entries import SidePier
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.extents import mark_boxes
from layoutdesk.sheets.marks import Hatch, Line, Mark, Measure, Polyline, Text
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.side_eye import ABOVE, NAMES, UNDER_GROUND, Eye, reach, widest
from layoutdesk.sheets.side_figures import chain, figures, names, string_name

_CHAIN: Final = 11.0
"""Room below the picture for the distances along it, in millimetres."""
_BOARD: Final = 4.0
_WALL: Final = 4.0
_AIR: Final = 3.0
_BEAM_WORDS: Final = "underside of the beam"


def picture_height(view: SideView, width: float, *, times: float = 1.0) -> float:
    """Return how high a side view is when it is drawn over the whole of a width, in millimetres."""
    low, high = reach(view)
    along = (width - _WALL - 2.0) / (view.end - view.start)
    return (high - low) * along * times + UNDER_GROUND + NAMES + ABOVE + _CHAIN


def side_marks(view: SideView, run: StringRun, plan: Plan, box: Box, *, times: float = 1.0) -> list[Mark]:
    """Return a side view drawn in a box, as large as it has room.

    Args:
        view: what is seen.
        run: its string.
        plan: the plan.
        box: where on the page.
        times: how much taller than wide the heights are drawn.
    """
    eye = Eye.fitted(view, Box(box.left + _WALL, box.bottom + _CHAIN, box.right, box.top), times)
    marks: list[Mark] = [*_house(view, eye), *_ground(view, eye)]
    for pier in view.piers:
        marks += _pier(pier, eye)
    named = list(names(view, eye))
    marks += named
    marks += _beam(view, eye)
    marks += _string(view, run, eye)
    marks += _clear_of(named, figures(view, run, plan, eye))
    marks += chain(view, plan, eye, box.bottom + _CHAIN - 7.0)
    return _words_last(marks, box)


def _clear_of(named: Sequence[Mark], marks: Iterable[Mark]) -> list[Mark]:
    """Return marks without those that would lie on the names of piers; tables below have their figures too."""
    taken = [box for mark in named for box in mark_boxes(mark)]
    return [mark for mark in marks if not any(box.meets(other) for box in mark_boxes(mark) for other in taken)]


def _words_last(marks: list[Mark], room: Box) -> list[Mark]:
    """Return the marks without the words at string and beam that have no room, or would lie on another text."""
    kept = [mark for mark in marks if isinstance(mark, Text | Measure) and not _gives_way(mark)]
    taken = [box for mark in kept for box in mark_boxes(mark)]
    shown: list[Mark] = []
    for mark in marks:
        if _gives_way(mark):
            boxes = list(mark_boxes(mark))
            if not all(room.holds(box) and not any(box.meets(other) for other in taken) for box in boxes):
                continue
            taken += boxes
        shown.append(mark)
    return shown


def _gives_way(mark: Mark) -> bool:
    return isinstance(mark, Text) and (mark.text == _BEAM_WORDS or (mark.text, mark.ink) == ("string", "check"))


def _house(view: SideView, eye: Eye) -> Iterator[Mark]:
    if view.house is None:
        return
    x, _ = eye.at(view.house, 0.0)
    wall = Box(x - _WALL, eye.room.bottom, x, eye.room.top)
    yield Hatch(wall.corners, gap=1.6, ink="soft", width=0.13)
    yield Line((x, wall.bottom), (x, wall.top), 0.7)


def _ground(view: SideView, eye: Eye) -> Iterator[Mark]:
    for part in view.ground:
        line = tuple(eye.at(running, height) for running, height in part)
        under = tuple((x, y - UNDER_GROUND) for x, y in reversed(line))
        yield Hatch((*line, *under), gap=1.4, ink="faint", width=0.15)
        yield Polyline(line, width=0.5)


def _pier(pier: SidePier, eye: Eye) -> Iterator[Mark]:
    """Yield the concrete in its hole, the column, and the upper edge of its supports."""
    if pier.ground is not None and pier.profile and pier.bottom is not None:
        yield Polyline(_outline(pier, eye, pier.ground, pier.bottom), width=0.4, closed=True, fill="shade")
    if pier.foot is not None and pier.head is not None:
        half = pier.column / 2
        corners = [
            eye.at(pier.running + side * half, height)
            for side, height in ((-1, pier.foot), (1, pier.foot), (1, pier.head), (-1, pier.head))
        ]
        yield Polyline(tuple(corners), width=0.35, closed=True, fill="paper")
    if pier.support is not None:
        half = widest(pier) / 2
        (x, y), (x2, _) = eye.at(pier.running - half, pier.support), eye.at(pier.running + half, pier.support)
        left, right = max(x - 1.5, eye.room.left), min(x2 + 1.5, eye.room.right)
        yield Line((left, y), (right, y), 0.5, "work", (1.4, 0.8))


def _outline(pier: SidePier, eye: Eye, ground: float, bottom: float) -> tuple[Vector, ...]:
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


def _beam(view: SideView, eye: Eye) -> Iterator[Mark]:
    if view.beam is None:
        return
    (start, low), (end, high) = view.beam
    a, b = eye.at(start, low), eye.at(end, high)
    yield Polyline(
        (a, b, (b[0], b[1] + _AIR), (a[0], a[1] + _AIR)), width=0.25, ink="soft", closed=True, fill="wash"
    )
    yield Line(a, b, 0.8, "work")
    top = max(a[1], b[1]) + _AIR + 1.2
    yield Text((b[0], top), _BEAM_WORDS, 8.0, ink="work", anchor="end")


def _string(view: SideView, run: StringRun, eye: Eye) -> Iterator[Mark]:
    """Yield the string, the boards that hold it, and its name."""
    if view.string is None:
        return
    a, b = (eye.at(*end) for end in view.string)
    yield Line(a, b, 0.35, "check")
    for board, (x, y) in zip(run.boards, (a, b), strict=True):
        if board.held_by == "board":
            foot = y if board.ground is None else min(y, eye.at(board.running, board.ground)[1])
            yield Line((x, foot - _BOARD), (x, y + 0.8), 0.9)
    yield from string_name(view, eye)
