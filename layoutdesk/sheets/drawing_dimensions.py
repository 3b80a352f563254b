"""Where dimension lines and their texts stand on a plan drawing at its scale.

The Layout says what is dimensioned, on which side and in which order; here the lines are only moved apart
until they can be read on paper, and each text is put where no other one stands.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
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


def text_ring(m: Measured, room: float = 0.0) -> tuple[Vector, ...]:
    """Return the corners of the text of a dimension, with room round it, in plan millimetres."""
    x, y = text_width(m.text, m.height) / 2 + room, m.height / 2 + room
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
    """Dimensions whose lines lie on one straight line: its normal, how far along it, and what it spans.

    ``levels`` says by how many lines of text each text is raised; ``above`` and ``below`` how far the texts reach
    from the line along its normal and against it.
    """

    normal: Vector
    shift: float
    place: float
    low: float
    high: float
    members: list[int]
    levels: tuple[int, ...] = ()
    above: float = 0.0
    below: float = 0.0


@dataclass(frozen=True, slots=True)
class _Written:
    """How the text of a dimension is written: its direction, where along it its middle lies, half its room."""

    text: str
    turn: float
    middle: float
    half: float
    narrow: bool


def placed_dimensions(
    dimensions: Sequence[Dimension],
    *,
    ratio: float,
    page_turn: float,
    units: Units,
    rounding: float,
    text_mm: float = TEXT_MM,
) -> tuple[Measured, ...]:
    """Return the dimensions with their lines and texts placed for a scale, in the order given.

    Args:
        dimensions: what is dimensioned; one between two equal places is left out.
        ratio: millimetres of ground to one of paper.
        page_turn: the direction in the plan that lies to the right on the page, in degrees.
        units: the plan's units.
        rounding: the smallest step that is shown, in millimetres.
        text_mm: height of a capital on paper.
    """
    kept = [d for d in dimensions if distance(d.start, d.end) > _SAME_LINE_MM]
    ways = [unit(minus(d.end, d.start)) for d in kept]
    height = text_mm * ratio
    texts = [
        _as_written(d, way, format_length(d.value, units, rounding), page_turn, height)
        for d, way in zip(kept, ways, strict=True)
    ]
    done: dict[int, Measured] = {}
    for chains in _by_side(kept, ways):
        for chain in chains:
            _set_levels(chain, texts, height, ratio)
        _move_apart(chains, ratio)
        for chain in chains:
            for i, level in zip(chain.members, chain.levels, strict=True):
                done[i] = _measured(kept[i], texts[i], chain, level, height=height, ratio=ratio)
    return tuple(done[i] for i in range(len(kept)))


def _as_written(d: Dimension, way: Vector, text: str, page_turn: float, height: float) -> _Written:
    """Return how the text of a dimension is written, over the middle of what it measures."""
    turn = readable(math.degrees(math.atan2(way[1], way[0])), page_turn)
    room = text_width(text, height) + height / 2
    along = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    return _Written(text, turn, dot(middle(d.start, d.end), along), room / 2, room > distance(d.start, d.end))


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


def _set_levels(chain: _Chain, texts: Sequence[_Written], height: float, ratio: float) -> None:
    """Set by how many lines each text of a chain is raised, so that none stands on another.

    What is too narrow for its text has it on the side away from what is measured first, because extension lines
    come from the other.
    """
    outward = 1 if dot(_up(texts[chain.members[0]].turn), chain.normal) > 0 else -1
    taken: dict[int, list[tuple[float, float]]] = defaultdict(list)
    levels = dict.fromkeys(chain.members, 0)
    for i in sorted(chain.members, key=lambda k: (texts[k].narrow, texts[k].middle)):
        at, half = texts[i].middle, texts[i].half
        tries = [outward * n for n in (1, 2, -1, -2)] if texts[i].narrow else [outward * n for n in (0, 1, 2)]
        free = (n for n in tries if all(abs(at - p) >= half + h for p, h in taken[n]))
        levels[i] = next(free, tries[-1])
        taken[levels[i]].append((at, half))
    chain.levels = tuple(levels.values())
    offsets = [outward * _raised(n, height, ratio) for n in {0, *chain.levels}]
    chain.above = max(offsets) + height / 2
    chain.below = height / 2 - min(offsets)


def _raised(level: int, height: float, ratio: float) -> float:
    """Return how far the middle of a text stands over its line; under it where the level is below nought.

    Under its line a text hangs clear of the line's ticks.
    """
    over = GAP_MM * ratio + height / 2
    return over + 1.5 * height * level if level >= 0 else 1.5 * height * (level + 1) - over - GAP_MM * ratio


def _move_apart(chains: list[_Chain], ratio: float) -> None:
    """Move chains outwards until each is clear of what it measures and of the chains before it."""
    for chain in chains:
        chain.place += max(0.0, max(LEAST_SHIFT_MM * ratio, chain.below) - chain.shift)
    room = max(chain.above for chain in chains) + max(chain.below for chain in chains) + PITCH_MM * ratio
    done: list[_Chain] = []
    places: list[float] = []
    for chain in sorted(chains, key=lambda c: (c.place, c.low)):
        for other in done[bisect_left(places, chain.place - room) :]:
            apart = max(PITCH_MM * ratio, other.above + max(0.0, chain.below) + GAP_MM * ratio)
            beside = chain.low < other.high - _SAME_LINE_MM and other.low < chain.high - _SAME_LINE_MM
            if beside and chain.place < other.place + apart:
                chain.place = other.place + apart
        at = bisect_left(places, chain.place)
        places.insert(at, chain.place)
        done.insert(at, chain)


def _measured(
    d: Dimension, written: _Written, chain: _Chain, level: int, *, height: float, ratio: float
) -> Measured:
    """Return one dimension with its line where the chain lies, and its text at its level."""
    by = times(chain.normal, chain.place - dot(d.start, chain.normal))
    line_start, line_end = plus(d.start, by), plus(d.end, by)
    raised = times(_up(written.turn), _raised(level, height, ratio))
    return Measured(
        start=d.start,
        end=d.end,
        line_start=line_start,
        line_end=line_end,
        from_start=d.start,
        from_end=d.end,
        text_at=plus(middle(line_start, line_end), raised),
        turn=written.turn,
        value=d.value,
        text=written.text,
        height=height,
        moved=level != 0,
    )


def _up(turn: float) -> Vector:
    """Return the direction from the foot to the head of text that is turned so far."""
    return (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
