"""The section of a pier as a small drawing: ground, reveal, and how wide the hole is at which depth."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.sheets.lettering import fitted
from layoutdesk.sheets.marks import Hatch, Line, Mark, Polyline, Text
from layoutdesk.sheets.numbers import said
from layoutdesk.sheets.paper import Box

HEIGHT: Final = 58.0
WIDTH: Final = 60.0
_TITLE: Final = 6.5
_LINE: Final = 4.6
_SHARE: Final = 0.45
"""How much of its width the drawing takes; the rest is for its numbers."""
_MOST_LINES: Final = 9


def common_ratio(details: Iterable[Detail]) -> float:
    """Return the scale, ground over paper, at which the sections of all details can be compared."""
    high, wide = HEIGHT - _TITLE - 5.0, WIDTH * _SHARE - 5.0
    return max(
        (
            max(max(d for _, d in detail.profile) / wide, _whole_height(detail) / high)
            for detail in details
            if detail.profile
        ),
        default=1.0,
    )


def _whole_height(detail: Detail) -> float:
    return detail.profile[-1][0] + max(detail.reveal, 0.0)


def detail_marks(detail: Detail, plan: Plan, box: Box, ratio: float) -> list[Mark]:
    """Return a detail drawn in a box: its name, its section, and its numbers beside it."""
    title, size = fitted(f"Detail {detail.id}", box.width, 11.0, "bold")
    marks: list[Mark] = [Text((box.left, box.top - 4.0), title, size, "bold")]
    room = Box(box.left, box.bottom, box.right - 3.0, box.top - _TITLE)
    if not detail.profile:
        marks.append(Text((room.left, room.top - 4.0), "no profile yet", 9.0))
        return marks
    drawing = room.between(room.left, room.left + (WIDTH - 3.0) * _SHARE)
    marks += _section(detail, drawing, ratio)
    x = drawing.right + 3.0
    y = room.top - 4.0
    lines = _numbers(detail, plan)
    line_size = min(fitted(line, room.right - x, 9.0, least=5.0)[1] for line in lines)
    for line in lines:
        marks.append(Text((x, y), fitted(line, room.right - x, line_size, least=5.0)[0], line_size))
        y -= _LINE
    return marks


def _section(detail: Detail, box: Box, ratio: float) -> list[Mark]:
    """Return the section to scale: concrete shaded, the ground hatched; a top below ground in words only."""
    room = Box(box.left + 0.5, box.bottom + 3.0, box.right - 0.5, box.top - 2.0)
    middle = (room.left + room.right) / 2
    ground = room.top - max(detail.reveal, 0.0) / ratio

    def side(sign: int) -> list[Vector]:
        top = detail.profile[0][1]
        way = [(-max(detail.reveal, 0.0), top), (0.0, top), *detail.profile]
        return [(middle + sign * d / 2 / ratio, ground - depth / ratio) for depth, d in way]

    left, right = side(-1), side(1)
    low = ground - detail.profile[-1][0] / ratio
    marks: list[Mark] = [
        Hatch(Box(room.left, low - 1.5, room.right, ground).corners, gap=1.4, ink="faint", width=0.15),
        Polyline((*left, *reversed(right)), width=0.4, closed=True, fill="paper"),
        Line((room.left, ground), (room.right, ground), 0.5),
        Polyline((*left, *reversed(right)), width=0.4, closed=True, fill="shade"),
    ]
    return marks


def _numbers(detail: Detail, plan: Plan) -> list[str]:
    """Return the profile in words, from the top down; a long one ends with how many entries are left out."""
    side = "above" if detail.reveal > 0 else "below"
    lines = [f"top {said(plan, abs(detail.reveal))} {side} ground"] if detail.reveal else []
    profile = detail.profile
    straight = len({d for _, d in profile}) == 1
    if straight:
        lines.append(f"Ø {said(plan, profile[0][1])}")
        lines.append(f"{said(plan, profile[-1][0])} deep")
        return lines
    lines += [
        f"Ø {said(plan, d)} {f'at {said(plan, depth)}' if depth else 'at the ground'}" for depth, d in profile
    ]
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"and {len(lines) - _MOST_LINES + 1} more"]
    return lines
