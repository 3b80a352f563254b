"""Which slip an error looks like: a whole foot, two digits swapped, feet taken for inches.

A slip is recognised only where it is told from chance: the measures must fix the size of the error to within a
fifth of the unit that would be misread.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.proof.entries import Misreading
from layoutdesk.errors import LengthError
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units, format_length, parse_length

DEVIATIONS: Final = 2.6
"""An error is taken for a slip that lies within this many of its standard deviations: 99 %."""
ROUGHLY: Final = 0.05
"""Mixed-up units are told from the plan alone when what is right lies this near to it, as a share of it."""
_TELLING: Final = 0.2
"""The share of a unit within which the size of an error must be known."""
_FEW: Final = 3
"""A person miscounts a unit by so many at most; beyond, swapped digits explain it better."""
_MIXED: Final[tuple[tuple[float, str], ...]] = (
    (12.0, "feet taken for inches"),
    (1 / 12, "inches taken for feet"),
    (1000 / MM_PER_FOOT, "metres taken for feet"),
    (MM_PER_FOOT / 1000, "feet taken for metres"),
    (10 / MM_PER_INCH, "centimetres taken for inches"),
    (MM_PER_INCH / 10, "inches taken for centimetres"),
    (10.0, "a decimal point in the wrong place"),
    (0.1, "a decimal point in the wrong place"),
)
"""What was written down over what is right, when two units were mixed up."""
_IMPERIAL: Final = (
    ("whole feet", MM_PER_FOOT, "a foot", "feet", 50),
    ("whole inches", MM_PER_INCH, "an inch", "inches", 11),
)
_METRIC: Final = (
    ("whole metres", 1000.0, "a metre", "metres", 20),
    ("whole decimetres", 100.0, "10 cm", "times 10 cm", 9),
)
_COUNTED: Final[dict[Units, tuple[tuple[Misreading, float, str, str, int], ...]]] = {
    "ft-in": _IMPERIAL,
    "m": _METRIC,
    "mm": _METRIC,
}
"""Per kind: the unit in mm, one of it, more of it, and how many of it make sense."""


@dataclass(frozen=True, slots=True)
class Slip:
    """What a reading should have been (mm), what kind of slip that is, the words for it, and the unit misread."""

    kind: Misreading
    right: float
    words: str
    unit: float


def slip_of(read: float, error: float, deviation: float, units: Units, step: float) -> Slip:
    """Return which slip the error of a length looks like.

    Args:
        read: what was written down, mm.
        error: by what it is too much as the other measures have it, mm.
        deviation: the standard deviation of that error, mm.
        units: the units in which it was written down.
        step: the smallest step of the tape, mm.
    """
    right, sure = read - error, DEVIATIONS * deviation
    for slip in _slips(read, error, units, step):
        if slip.right > 0 and sure <= _TELLING * slip.unit and abs(slip.right - right) <= max(sure, step / 2):
            return slip
    return Slip("other", right, "", 0.0)


def mixed_units(read: float, planned: float) -> Slip | None:
    """Return the mix-up of units that alone explains a length so far off its planned distance; None for none."""
    near = (slip for slip in _mixed(read) if abs(slip.right - planned) <= ROUGHLY * planned)
    return min(near, key=lambda slip: abs(slip.right - planned), default=None)


def _slips(read: float, error: float, units: Units, step: float) -> Iterator[Slip]:
    """Yield the slips that a reading may come from, the plainest first."""
    yield from _counted(read, error, units, few=True)
    yield from _mixed(read)
    yield from _swapped(read, units, step)
    yield from _counted(read, error, units, few=False)


def _mixed(read: float) -> Iterator[Slip]:
    for ratio, words in _MIXED:
        yield Slip("one unit for another", read / ratio, words, abs(read - read / ratio))


def _counted(read: float, error: float, units: Units, *, few: bool) -> Iterator[Slip]:
    """Yield the error as whole units of the tape, the larger unit first."""
    for kind, unit, one, many, most in _COUNTED[units]:
        count = round(error / unit)
        if 1 <= abs(count) <= (_FEW if few else most):
            words = f"{one} miscounted" if abs(count) == 1 else f"{abs(count)} {many} miscounted"
            yield Slip(kind, read - count * unit, words, unit)


def _swapped(read: float, units: Units, step: float) -> Iterator[Slip]:
    """Yield what the number would be with two neighbouring digits, as it is written, changed over.

    In feet and inches the last digit of the feet and the first of the inches are neighbours too; the fraction
    is left alone.
    """
    text = format_length(read, units, step)
    end = text.find("/")
    end = len(text) if end < 0 else text.rfind(" ", 0, end) if " " in text[:end] else 0
    places = [at for at in range(end) if text[at].isdigit()]
    for one, other in pairwise(places):
        if text[one] != text[other]:
            digits = list(text)
            digits[one], digits[other] = digits[other], digits[one]
            try:
                right = parse_length("".join(digits), units)
            except LengthError:
                continue
            shown = f"{text[one]} and {text[other]} changed over"
            yield Slip("swapped digits", right, shown, abs(read - right))
