"""Which slip an error looks like: a whole foot, a tape begun at its 1 in mark, digits changed over, and so on.

Every slip that a reading may come from is weighed: how common it is, times how well it explains the error, against
an error of any other origin. What is by far the likeliest is named; what comes within odds of twenty to one of it
is named after it, for the numbers cannot tell the two apart. How common slips are is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from layoutdesk.engine.proof.entries import Misreading
from layoutdesk.engine.proof.slips import Slip, slips
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units, format_length

DEVIATIONS: Final = 2.6
"""An error is taken for a slip that lies within this many of its standard deviations: 99 %."""
ROUGHLY: Final = 0.05
"""Mixed-up units are told from the plan alone when what is right lies this near to it, as a share of it."""
_TELLING: Final = 0.35
"""The share of a unit within which the size of an error must be known."""
SURE: Final = 3.0
"""A slip is named when it is so much likelier than an error of any other origin: three to one."""
_APART: Final = 20.0
"""Slips can be told apart at odds of twenty to one."""
_MOST_NAMED: Final = 3
_OTHER: Final = ((0.10, 100.0), (0.05, 1e3), (0.01, 1e6))
"""How common errors of other origin are, and up to what size either way, mm: a snagged tape, a wrong mark.

Nothing but a slip of units makes an error beyond the last size.
"""
_MIXED: Final[tuple[tuple[float, str], ...]] = (
    (12.0, "feet taken for inches"),
    (1 / 12, "inches taken for feet"),
    (1000 / MM_PER_FOOT, "metres taken for feet"),
    (MM_PER_FOOT / 1000, "feet taken for metres"),
    (10 / MM_PER_INCH, "centimetres taken for inches"),
    (MM_PER_INCH / 10, "inches taken for centimetres"),
    (1000.0, "metres taken for millimetres"),
    (1 / 1000, "millimetres taken for metres"),
    (100.0, "metres taken for centimetres"),
    (10.0, "a decimal point in the wrong place"),
    (0.1, "a decimal point in the wrong place"),
)
"""What was written down over what is right, when two units were mixed up."""
_MIXED_COMMON: Final = 0.02


def causes_of(
    read: float, error: float, deviation: float, units: Units, step: float, *, ends: Iterable[Slip] = ()
) -> tuple[Slip, ...]:
    """Return the slips that explain the error of a length, the likeliest first; none where none does.

    Args:
        read: what was written down, mm.
        error: by what it is too much as the other measures have it, mm.
        deviation: the standard deviation of that error, mm.
        units: the units in which it was written down.
        step: the smallest step of the tape, mm.
        ends: the other points at which the tape may have ended, ``miss`` said for each.
    """
    sure = max(DEVIATIONS * deviation, step / 2)
    wide = math.hypot(max(deviation, 1e-3), step / math.sqrt(12))
    right = read - error
    weighed: list[tuple[float, Slip]] = []
    seen: set[tuple[Misreading, int]] = set()
    numbers = (*slips(read, error, units, step), *mixed(read))
    for slip in (*(replace(one, miss=one.right - right) for one in numbers), *ends):
        same = slip.kind, round(slip.right / step)
        if slip.right <= 0 or abs(slip.miss) > sure or same in seen:
            continue
        if slip.unit and DEVIATIONS * deviation > _TELLING * slip.unit:
            continue
        seen.add(same)
        weighed.append((slip.common * math.exp(-((slip.miss / wide) ** 2) / 2), slip))
    if not weighed:
        return ()
    other = (
        sum(common / (2 * size) for common, size in _OTHER if abs(error) <= size) * wide * math.sqrt(2 * math.pi)
    )
    odds = sum(weight for weight, _ in weighed) / other if other > 0 else math.inf
    if odds < SURE:
        return ()
    weighed.sort(key=lambda one: -one[0])
    best = weighed[0][0]
    near = [replace(slip, odds=odds) for weight, slip in weighed if weight * _APART >= best]
    return tuple(near[:_MOST_NAMED])


def slip_of(
    read: float, error: float, deviation: float, units: Units, step: float, *, ends: Iterable[Slip] = ()
) -> Slip:
    """Return the likeliest slip with the words for all that explain the error; see :func:`causes_of`."""
    found = causes_of(read, error, deviation, units, step, ends=ends)
    if not found:
        return Slip("other", read - error, "", 0.0)
    first, *others = found
    words = first.words
    for slip in others:
        known = first.kind != "wrong end" and abs(slip.right - first.right) <= step / 2
        if known or slip.kind == "wrong end":
            words += f", or {slip.words}"
        else:
            shown = format_length(slip.right, units, step, pretty=True).replace(" ", "\u00a0")
            words += f", or {shown}, {slip.words}"
    return replace(first, words=words, also=tuple(slip.kind for slip in others))


def mixed_units(read: float, planned: float) -> Slip | None:
    """Return the mix-up of units that alone explains a length so far off its planned distance; None for none."""
    near = (slip for slip in mixed(read) if abs(slip.right - planned) <= ROUGHLY * planned)
    return min(near, key=lambda slip: abs(slip.right - planned), default=None)


def mixed(read: float) -> Iterator[Slip]:
    """Yield what a length would be if its unit or its decimal point were another."""
    for ratio, words in _MIXED:
        yield Slip("one unit for another", read / ratio, words, 0.0, common=_MIXED_COMMON)
