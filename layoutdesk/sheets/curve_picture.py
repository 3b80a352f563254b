"""The chance of running short for every count of bags, as a picture: how much one bag more or less changes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Anchor, Circle, Line, Mark, Polyline, Text
from layoutdesk.sheets.paper import Box

if TYPE_CHECKING:  # scipy loads late
    from layoutdesk.engine.concrete.shortage import CountChance

_LEFT: Final = 16.0
_BELOW: Final = 10.0
_ABOVE: Final = 6.0
_SIZE: Final = 8.5
_WORDS: Final = 9.0
_TICKS: Final = 8
_HALF_OF_100: Final = 0.005
_FEW: Final = 40
"""So many counts have a dot each."""
_MOST: Final = 400
"""The curve is drawn through no more places than this."""


def curve_marks(curve: Sequence[CountChance], *, chosen: int, chance: float, what: str, box: Box) -> list[Mark]:
    """Return the curve in a box.

    Args:
        curve: the chances, rising counts; two at least.
        chosen: the count that is ordered.
        chance: of running short that is borne, in shares of one.
        what: is counted, such as ``80 lb bag``.
        box: where it is drawn.
    """
    room = Box(box.left + _LEFT, box.bottom + _BELOW, box.right - 9.0, box.top - _ABOVE)
    low, high = curve[0].count, curve[-1].count
    wide = max(1, high - low)

    def x(count: float) -> float:
        return room.left + (count - low) / wide * room.width

    def y(share: float) -> float:
        return room.bottom + min(max(share, 0.0), 1.0) * room.height

    marks: list[Mark] = []
    for percent in (0, 25, 50, 75, 100):
        at = y(percent / 100)
        marks.append(Line((room.left, at), (room.right, at), 0.13, "faint"))
        marks.append(Text((room.left - 1.5, at - 1.0), f"{percent} %", _SIZE, ink="soft", anchor="end"))
    marks.append(Text((box.left, box.top - 3.2), "chance of running short", _WORDS, "semibold"))
    marks.append(Line((room.left, room.bottom), (room.right, room.bottom), 0.4))
    marks += _counts(low, high, x, room)
    marks.append(Text((room.right, box.bottom + 0.8), what, _SIZE, "semibold", anchor="end"))
    every = max(1, len(curve) // _MOST)
    shown = [*curve[:-1:every], curve[-1]]
    marks.append(Polyline(tuple((x(c.count), y(c.chance)) for c in shown), width=0.5))
    if len(curve) <= _FEW:
        marks += [Circle((x(c.count), y(c.chance)), 0.7, ink=None, fill="ink") for c in curve]
    return [*marks, *_chosen(curve, chosen, chance, room, (x, y))]


def _chosen(
    curve: Sequence[CountChance],
    chosen: int,
    chance: float,
    room: Box,
    on: tuple[Callable[[float], float], Callable[[float], float]],
) -> list[Mark]:
    """Return the chance that is borne as a line, and what is ordered as a ring on the curve."""
    x, y = on
    marks: list[Mark] = [Line((room.left, y(chance)), (room.right, y(chance)), 0.35, "look", (2.0, 1.2))]
    found = next((c for c in curve if c.count == chosen), None)
    if found is None:
        return marks
    at = (x(chosen), y(found.chance))
    marks += [
        Line((at[0], room.bottom), (at[0], room.top), 0.35, "work", (2.0, 1.2)),
        Circle(at, 1.5, width=0.6, ink="work", fill="paper"),
    ]
    said = f"{chosen:,}: {chance_words(found.chance)}"
    left = at[0] + 2.0 + text_width(said, 11.0, "bold") > room.right
    anchor: Anchor = "end" if left else "start"
    marks.append(Text((at[0] - 2.0 if left else at[0] + 2.0, room.top + 1.5), said, 11.0, "bold", "work", anchor))
    return marks


def chance_words(chance: float) -> str:
    """Return a chance of running short in words, in hundredths, as the sentences of the order say it."""
    if chance < _HALF_OF_100:
        return "short in under 1 of 100"
    return f"short in {min(99, round(100 * chance))} of 100"


def _counts(low: int, high: int, x: Callable[[float], float], room: Box) -> list[Mark]:
    """Return the counts under the curve, at round steps."""
    step = _step((high - low) / _TICKS)
    marks: list[Mark] = []
    for count in range(math.ceil(low / step) * step, high + 1, step):
        marks.append(Line((x(count), room.bottom), (x(count), room.bottom - 1.2), 0.25))
        marks.append(Text((x(count), room.bottom - 4.6), f"{count:,}", _SIZE, anchor="middle"))
    return marks


def _step(least: float) -> int:
    """Return the first of 1, 2, 5, 10, 20 ... that is not less."""
    power = 1
    while power * 10 < least:
        power *= 10
    return next(n * power for n in (1, 2, 5, 10) if n * power >= least)
