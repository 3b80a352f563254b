"""What a number may have been before it was misread: counted, begun late, changed over, upside down, in tenths.

``common`` of a slip is the share of all misreadings that it makes up, divided among the ways in which it can
happen to one number; common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.proof.entries import Misreading
from layoutdesk.errors import LengthError
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units, format_length, parse_length


@dataclass(frozen=True, slots=True)
class Slip:
    """One way in which a number may have come to be wrong.

    Args:
        kind: what kind of slip it is.
        right: what the reading should have been, mm.
        words: what sentences say of it.
        unit: the unit that was miscounted, mm; 0 where none was.
        common: how common the slip is, as a share of all.
        miss: by how much it misses what the other measures say, mm.
        odds: by how much it, or one like it, is likelier than an error of any other origin.
        also: the kinds of the slips that explain the error nearly as well.
    """

    kind: Misreading
    right: float
    words: str
    unit: float
    common: float = 0.0
    miss: float = 0.0
    odds: float = 0.0
    also: tuple[Misreading, ...] = ()


@dataclass(frozen=True, slots=True)
class _Counted:
    """A unit of the tape: what one of it is called, what follows the number of more of it, and how many make sense.

    ``common`` is how often one of it is miscounted either way, two or three of it, and any more of it.
    """

    kind: Misreading
    size: float
    one: str
    more: str
    most: int
    common: tuple[float, float, float]


_IMPERIAL: Final = (
    _Counted("whole feet", MM_PER_FOOT, "a foot", " feet", 50, (0.12, 0.01, 0.0003)),
    _Counted("whole inches", MM_PER_INCH, "an inch", " inches", 11, (0.03, 0.006, 0.001)),
)
_METRIC: Final = (
    _Counted("whole metres", 1000.0, "a metre", " metres", 20, (0.12, 0.01, 0.0006)),
    _Counted("whole decimetres", 100.0, "10\u00a0cm", "0\u00a0cm", 9, (0.05, 0.006, 0.001)),
    _Counted("whole centimetres", 10.0, "a centimetre", " centimetres", 9, (0.03, 0.006, 0.001)),
)
_COUNTED: Final[dict[Units, tuple[_Counted, ...]]] = {"ft-in": _IMPERIAL, "m": _METRIC, "mm": _METRIC}
_LATE: Final[dict[Units, tuple[tuple[float, str, float], ...]]] = {
    "ft-in": ((MM_PER_INCH, "1″", 0.08), (MM_PER_FOOT, "1′", 0.03)),
    "m": ((100.0, "10\u00a0cm", 0.08), (1000.0, "1\u00a0m", 0.03)),
    "mm": ((100.0, "10\u00a0cm", 0.08), (1000.0, "1\u00a0m", 0.03)),
}
"""Where a tape is begun whose end is worn or has a hook: the mark must be taken off the reading afterwards."""
_SWAPPED, _TURNED, _TENTHS = 0.10, 0.04, 0.04
_ABOUT: Final = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}
"""Digits as they read upside down."""
_WHOLE_FEET: Final = re.compile(r"(\d+)' (\d+)(?: (\d+/\d+))?\"")
_EXACT: Final = 1e-3
"""A number of tenths is one that was typed so: to a thousandth of a foot."""


def slips(read: float, error: float, units: Units, step: float) -> Iterator[Slip]:
    """Yield the slips of counting, beginning and reading that a length may come from; not mixed-up units."""
    yield from _late(read, units)
    yield from _counted(read, error, units)
    text = format_length(read, units, step)
    yield from _shared(_swapped(text), read, units, text, _SWAPPED)
    yield from _shared(_upside_down(text), read, units, text, _TURNED)
    if units == "ft-in":
        yield from _tenths(read)


def _late(read: float, units: Units) -> Iterator[Slip]:
    """Yield what is left of a reading when the mark at which the tape was begun is taken off."""
    for mark, name, common in _LATE[units]:
        words = f"the tape begun at its {name} mark and that not taken off"
        yield Slip("begun at a mark", read - mark, words, mark, common=common)


def _counted(read: float, error: float, units: Units) -> Iterator[Slip]:
    """Yield the error as whole units of the tape."""
    for unit in _COUNTED[units]:
        count = round(error / unit.size)
        if 1 <= abs(count) <= unit.most:
            one, few, many = unit.common
            common = one if abs(count) == 1 else few if abs(count) <= 3 else many
            words = f"{unit.one} miscounted" if abs(count) == 1 else f"{abs(count)}{unit.more} miscounted"
            yield Slip(unit.kind, read - count * unit.size, words, unit.size, common=common)


_Changed = tuple[Misreading, str, str]
"""What kind of slip, the number as it should have been read, and the words."""


def _shared(found: Iterator[_Changed], read: float, units: Units, text: str, common: float) -> Iterator[Slip]:
    """Yield numbers that were read wrong as slips, each as common as its share of all of them.

    What the rounded text leaves out is kept.
    """
    rest = read - parse_length(text, units)
    rights: dict[float, tuple[Misreading, str]] = {}
    for kind, other, words in found:
        try:
            right = parse_length(other, units) + rest
        except LengthError:
            continue
        if abs(right - read) > abs(rest) + 1e-6:
            rights.setdefault(round(right, 6), (kind, words))
    for right, (kind, words) in rights.items():
        yield Slip(kind, right, words, 0.0, common=common / len(rights))


def _digits(text: str) -> list[int]:
    """Return the places of the digits of a length as it is written, without those of a fraction."""
    end = text.find("/")
    end = len(text) if end < 0 else text.rfind(" ", 0, end) if " " in text[:end] else 0
    return [at for at in range(end) if text[at].isdigit()]


def _swapped(text: str) -> Iterator[_Changed]:
    """Yield what the number would be with two neighbouring digits, or its feet and inches, changed over.

    In feet and inches the last digit of the feet and the first of the inches are neighbours too.
    """
    for one, other in pairwise(_digits(text)):
        if text[one] != text[other]:
            digits = list(text)
            digits[one], digits[other] = digits[other], digits[one]
            yield "swapped digits", "".join(digits), f"{text[one]} and {text[other]} changed over"
    whole = _WHOLE_FEET.fullmatch(text)
    if whole and int(whole[1]) <= 11:
        fraction = f" {whole[3]}" if whole[3] else ""
        yield "swapped digits", f"{whole[2]}' {whole[1]}{fraction}\"", "feet and inches changed over"


def _upside_down(text: str) -> Iterator[_Changed]:
    """Yield what the number would be with a 6 for a 9, or with two digits that were read upside down."""
    places = _digits(text)
    for at in places:
        if text[at] in "69":
            turned = _ABOUT[text[at]]
            yield "upside down", f"{text[:at]}{turned}{text[at + 1 :]}", f"{turned} read upside down as {text[at]}"
    for one, other in pairwise(places):
        two = text[one : other + 1]
        if other == one + 1 and set(two) <= set(_ABOUT):
            turned = _ABOUT[two[1]] + _ABOUT[two[0]]
            yield "upside down", f"{text[:one]}{turned}{text[other + 1 :]}", f"{turned} read upside down as {two}"


def _tenths(read: float) -> Iterator[Slip]:
    """Yield inches that were written as tenths of a foot, and tenths of a foot that were written as inches."""
    feet = int(read / MM_PER_FOOT)
    past = read / MM_PER_FOOT - feet
    for inches, share in [(n, n / 10) for n in range(1, 10)] + [(10, 0.1), (11, 0.11)]:
        if abs(past - share) <= _EXACT:
            words = f"{inches} inches written as decimals of a foot" if inches > 1 else "an inch written as a tenth"
            right = feet * MM_PER_FOOT + inches * MM_PER_INCH
            yield Slip("tenths for inches", right, words, 0.0, common=_TENTHS)
        if inches < 10 and abs(past * 12 - inches) <= _EXACT * 12:
            words = "tenths of a foot written as inches"
            yield Slip("tenths for inches", (feet + share) * MM_PER_FOOT, words, 0.0, common=_TENTHS / 4)
