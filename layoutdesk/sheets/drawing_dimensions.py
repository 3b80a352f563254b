"""Where dimension lines and their texts stand on a plan drawing at its scale.

The Layout says what is dimensioned, on which side and in which order; here the lines are only moved apart
until they can be read on paper, and each text is put where no other one stands.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from layoutdesk.engine.layout import Dimension
from layoutdesk.geometry.vector import Vector, distance, dot, left, middle, minus, plus, times, turned, unit
from layoutdesk.sheets.drawing_marks import GAP_MM, TEXT_MM, Measured
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT, width
from layoutdesk.units import Units, format_length

LEAST_SHIFT_MM: Final = 8.0
"""Nearest that a dimension line comes to what it measures, on paper."""
PITCH_MM: Final = 7.5
"""From one dimension line to the next, on paper."""

_WIDER: Final = 1.08
"""Room for the typeface that the receiver has instead of ours."""
_SAME_LINE_MM: Final = 0.5
_SAME_WAY: Final = 1e-5


def text_width(text: str, height: float) -> float:
    """Return how wide a line of text is, in the unit of ``height``, the height of its capitals."""
    return width(text, 1.0 / MM_PER_POINT) / CAPITAL * height * _WIDER


def text_ring(m: Measured, ratio: float, room: float = 0.0) -> tuple[Vector, ...]:
    """Return the corners of the text of a dimension, with room round it."""
    x = text_width(m.text, TEXT_MM * ratio) / 2 + room
    y = TEXT_MM * ratio / 2 + room
    corners = ((-x, -y), (x, -y), (x, y), (-x, y))
    return tuple(plus(m.text_at, turned(corner, m.turn)) for corner in corners)


def readable(degrees: float, page_turn: float) -> float:
    """Return a direction of text that reads from the bottom or the right of the page.

    Args:
        degrees: the direction of the line that is written along.
        page_turn: the direction that lies to the right on the page.
    """
    on_page = (degrees - page_turn + 180.0) % 360.0 - 180.0
    if on_page <= -90.0 + 1e-6:
        on_page += 180.0
    elif on_page > 90.0 + 1e-6:
        on_page -= 180.0
    return on_page + page_turn


@dataclass(slots=True)
class _Chain:
    """Dimensions whose lines lie on one straight line: its normal, how far along it, and what it spans."""

    normal: Vector
    shift: float
    place: float
    low: float
    high: float
    members: list[int]


def placed_dimensions(
    dimensions: Sequence[Dimension], *, ratio: float, page_turn: float, units: Units, rounding: float
) -> tuple[Measured, ...]:
    """Return the dimensions with their lines and texts placed for a scale, in the order given.

    Args:
        dimensions: what is dimensioned; one between two equal places is left out.
        ratio: millimetres of ground to one of paper.
        page_turn: the direction in the plan that lies to the right on the page, in degrees.
        units: the plan's units.
        rounding: the smallest step that is shown, in millimetres.
    """
    kept = [d for d in dimensions if distance(d.start, d.end) > _SAME_LINE_MM]
    ways = [unit(minus(d.end, d.start)) for d in kept]
    done: list[Measured | None] = [None] * len(kept)
    for chains in _by_side(kept, ways):
        _move_apart(chains, ratio)
        for chain in chains:
            line = [
                _measured(kept[i], ways[i], chain, ratio=ratio, page_turn=page_turn, text=text)
                for i in chain.members
                for text in (format_length(kept[i].value, units, rounding),)
            ]
            for i, m in zip(chain.members, _texts_apart(line, chain.normal, ratio), strict=True):
                done[i] = m
    return tuple(m for m in done if m is not None)


def _normal(d: Dimension, way: Vector) -> Vector:
    """Return the direction from what is measured to its dimension line."""
    return left(way) if d.shift >= 0 else times(left(way), -1.0)


def _by_side(kept: Sequence[Dimension], ways: Sequence[Vector]) -> Iterable[list[_Chain]]:
    """Yield, for each direction in which lines are shifted, its chains from the nearest one outwards."""
    groups: dict[tuple[int, int], list[tuple[float, int]]] = defaultdict(list)
    normals: dict[tuple[int, int], Vector] = {}
    for i, (d, way) in enumerate(zip(kept, ways, strict=True)):
        n = _normal(d, way)
        key = (round(n[0] / _SAME_WAY), round(n[1] / _SAME_WAY))
        # Directions a hair apart may round to neighbouring keys.
        key = next((k for k in _near(key) if k in groups), key)
        normals.setdefault(key, n)
        groups[key].append((dot(d.start, normals[key]) + abs(d.shift), i))
    for key, entries in groups.items():
        normal = normals[key]
        along = left(normal)
        chains: list[_Chain] = []
        for place, i in sorted(entries):
            a, b = sorted((dot(kept[i].start, along), dot(kept[i].end, along)))
            if chains and place - chains[-1].place <= _SAME_LINE_MM:
                chain = chains[-1]
                chain.low, chain.high = min(chain.low, a), max(chain.high, b)
                chain.shift = min(chain.shift, abs(kept[i].shift))
                chain.members.append(i)
            else:
                chains.append(_Chain(normal, abs(kept[i].shift), place, a, b, [i]))
        yield chains


def _near(key: tuple[int, int]) -> Iterable[tuple[int, int]]:
    """Yield a key and its eight neighbours."""
    yield key
    for dx in (-1, 0, 1):
        for dy in (-1, 0, 1):
            yield key[0] + dx, key[1] + dy


def _move_apart(chains: list[_Chain], ratio: float) -> None:
    """Move chains outwards until each is clear of what it measures and of the chains before it."""
    pitch = PITCH_MM * ratio
    done: list[_Chain] = []
    places: list[float] = []
    for chain in sorted(chains, key=lambda c: (c.place + max(0.0, LEAST_SHIFT_MM * ratio - c.shift), c.low)):
        chain.place += max(0.0, LEAST_SHIFT_MM * ratio - chain.shift)
        for other in done[bisect_left(places, chain.place - pitch) :]:
            beside = chain.low < other.high - _SAME_LINE_MM and other.low < chain.high - _SAME_LINE_MM
            if beside and chain.place < other.place + pitch:
                chain.place = other.place + pitch
        at = bisect_left(places, chain.place)
        places.insert(at, chain.place)
        done.insert(at, chain)


def _measured(d: Dimension, way: Vector, chain: _Chain, *, ratio: float, page_turn: float, text: str) -> Measured:
    """Return one dimension with its line where the chain lies, and its text over the middle of it."""
    by = times(chain.normal, chain.place - dot(d.start, chain.normal))
    line_start, line_end = plus(d.start, by), plus(d.end, by)
    turn = readable(math.degrees(math.atan2(way[1], way[0])), page_turn)
    raised = times(_up(turn), (GAP_MM + TEXT_MM / 2) * ratio)
    return Measured(
        start=d.start,
        end=d.end,
        line_start=line_start,
        line_end=line_end,
        from_start=d.start,
        from_end=d.end,
        text_at=plus(middle(line_start, line_end), raised),
        turn=turn,
        value=d.value,
        text=text,
    )


def _up(turn: float) -> Vector:
    """Return the direction from the foot to the head of text that is turned so far."""
    return (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))


def _texts_apart(line: list[Measured], normal: Vector, ratio: float) -> list[Measured]:
    """Return the dimensions of one chain with no text on another: what is too narrow for its text is raised.

    Raised text goes to the side away from what is measured first, because extension lines come from the other.
    """
    outward = 1 if dot(_up(line[0].turn), normal) > 0 else -1
    taken: dict[int, list[tuple[float, float]]] = defaultdict(list)
    room = TEXT_MM * ratio / 2
    spans = []
    for m in line:
        along = (math.cos(math.radians(m.turn)), math.sin(math.radians(m.turn)))
        half = (text_width(m.text, TEXT_MM * ratio) + room) / 2
        fits = 2 * half <= distance(m.line_start, m.line_end)
        spans.append((not fits, dot(m.text_at, along), half))
    done = list(line)
    for i in sorted(range(len(line)), key=lambda k: spans[k][:2]):
        narrow, place, half = spans[i]
        levels = (outward, -outward, 2 * outward, -2 * outward) if narrow else (0, *(outward * n for n in (1, 2)))
        level = next((n for n in levels if all(abs(place - p) >= half + h for p, h in taken[n])), levels[-1])
        taken[level].append((place, half))
        if level:
            # Under its line a text hangs as far from it as it stands above, and clear of the line's ticks.
            lines = level * 1.5 * TEXT_MM if level > 0 else level * 1.5 * TEXT_MM - 2 * GAP_MM
            moved = plus(line[i].text_at, times(_up(line[i].turn), lines * ratio))
            done[i] = replace(line[i], text_at=moved, moved=True)
    return done
