"""Typed text to millimetres, exactly: by arithmetic on whole numbers, rounded once to the nearest float."""

from __future__ import annotations

import math
import re
from typing import Final

from layoutdesk.errors import LengthError
from layoutdesk.units.system import LIMIT_MM, Units
from layoutdesk.units.written import SUBSCRIPTS, SUPERSCRIPTS

Ratio = tuple[int, int]
"""An exact number as whole numbers over and under a bar; not reduced, which makes it several times faster than
Fraction."""

_INCH: Final[Ratio] = (127, 5)
_FOOT: Final[Ratio] = (1524, 5)
_METRIC: Final[dict[str, Ratio]] = {"m": (1000, 1), "cm": (10, 1), "mm": (1, 1)}
_BARE: Final[dict[str, Ratio]] = {"ft-in": _FOOT, "m": _METRIC["m"], "mm": _METRIC["mm"]}
EXAMPLE = {"ft-in": "12' 6 3/8\"", "m": "3.81", "mm": "3810"}
LIST_EXAMPLE: Final[dict[Units, str]] = {"ft-in": "3 @ 8' 2\", 6'", "m": "3 @ 2.5; 1.8", "mm": "3 @ 2500; 1800"}
"""A list of lengths as it is typed in each units; semicolons where a comma could be a decimal one."""
CHAIN_EXAMPLE: Final[dict[Units, str]] = {
    "ft-in": "6'-0\", 8'-2\", 8'-2\" = 22'-4\"",
    "m": "1.8; 2.5; 2.5 = 6.8",
    "mm": "1800; 2500; 2500 = 6800",
}
"""A chain of dimensions as it is typed in each units."""

NUMBER = r"(?:\d{1,9}(?:\.\d{0,20})?|\.\d{1,20})"
_FEET = r"(?:'|(?:ft|feet|foot)(?![a-z]))"
_INCH_MARK = r"(?:\"|(?:in|inch|inches)(?![a-z]))"
_FRACTION = r"\d{1,4}\s*/\s*\d{1,4}"
_INCHES = rf"(?:(?P<inch>{NUMBER})(?:\s+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))"
_METRIC_TERM = re.compile(rf"(?P<n>{NUMBER})\s*(?P<unit>mm|cm|m)", re.IGNORECASE)
_FOOT_TERM = re.compile(
    rf"(?P<foot>{NUMBER})\s*{_FEET}(?:\s*-?\s*{_INCHES}\s*{_INCH_MARK}?)?",
    re.IGNORECASE,
)
_DASH_TERM = re.compile(rf"(?P<foot>\d{{1,9}})\s*-\s*{_INCHES}\s*(?P<mark>{_INCH_MARK})?", re.IGNORECASE)
_INCH_TERM = re.compile(rf"{_INCHES}\s*{_INCH_MARK}", re.IGNORECASE)
_BARE_TERM = re.compile(rf"(?P<n>{NUMBER})")
_BARE_INCH_TERM = re.compile(rf"(?:(?P<inch>\d{{1,9}})\s+(?P<part>{_FRACTION})|(?P<only>{_FRACTION}))")

_SIGNS = str.maketrans({"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "⁄": "/"})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SMALL_DIGITS = {
    **{ord(c): str(i) for i, c in enumerate(SUPERSCRIPTS)},
    **{ord(c): str(i) for i, c in enumerate(SUBSCRIPTS)},
}
_SMALL_FRACTION = re.compile(rf"([{SUPERSCRIPTS}]+)\s*[⁄/]\s*([{SUBSCRIPTS}]+)")


def parse_length(text: str, units: Units) -> float:
    """Return the length in millimetres that ``text`` says, correctly rounded.

    Reads ``12' 6 3/8"``, ``12-6 3/8``, ``12.5'``, ``150 3/8"``, ``3.81 m``, ``381 cm``, ``3810 mm`` and sums
    of them with ``+``. A bare number is in the unit that the plan shows (feet where that is feet and inches); a
    fraction without a mark is inches, with the whole number before it. A leading minus turns the whole sum
    round. A dash between feet and inches only parts them, as is the custom of the trade; in a metric plan it
    needs the inch mark or a fraction.

    Args:
        text: what was typed.
        units: what a bare number means.

    Raises:
        LengthError: when the text cannot be read in exactly one way.
    """
    if len(text) > 80:
        raise LengthError(text, "is too long for a length", EXAMPLE[units])
    clean = text if text.isascii() else _in_plain_signs(text)
    clean = clean.replace("''", '"').strip()
    negative = clean.startswith("-")
    clean = clean.removeprefix("-").strip()
    if not clean:
        raise LengthError(text, "is no length" if text.strip() else "is empty", EXAMPLE[units])
    if "," in clean:
        raise LengthError(text, "has a comma, which could be a decimal point or a separator", EXAMPLE[units])
    total: Ratio = (0, 1)
    for term in clean.split("+"):
        total = _sum(total, _term(term.strip(), text, units))
    if total[0] > LIMIT_MM * total[1]:
        raise LengthError(text, "is longer than 10 km (6 miles)", EXAMPLE[units])
    mm = total[0] / total[1]  # of whole numbers Python gives the nearest float
    return -mm if negative and mm else mm


def _in_plain_signs(text: str) -> str:
    """Return text with true primes, small fractions and long dashes turned into plain ones."""
    clean = _SMALL_FRACTION.sub(lambda m: " " + m.group(0).translate(_SMALL_DIGITS), text)
    for glyph, plain in _VULGAR.items():
        clean = clean.replace(glyph, " " + plain)
    return clean.translate(_SIGNS)


def _term(term: str, text: str, units: Units) -> Ratio:
    """Return one term of a sum in exact millimetres."""
    if m := _METRIC_TERM.fullmatch(term):
        return _times(_number(m["n"]), _METRIC[m["unit"].lower()])
    if m := _FOOT_TERM.fullmatch(term):
        return _feet(m, text, units)
    if m := _INCH_TERM.fullmatch(term):
        return _times(_inches(m, text, units), _INCH)
    if m := _BARE_TERM.fullmatch(term):
        return _times(_number(m["n"]), _BARE[units])
    if (m := _DASH_TERM.fullmatch(term)) and (units == "ft-in" or m["mark"] or m["part"] or m["only"]):
        return _feet(m, text, units)
    if units == "ft-in" and (m := _BARE_INCH_TERM.fullmatch(term)):
        return _times(_inches(m, text, units), _INCH)
    raise LengthError(text, "is no length that can be read in one way", EXAMPLE[units])


def _feet(m: re.Match[str], text: str, units: Units) -> Ratio:
    """Return a matched term of feet, with or without inches, in millimetres."""
    inches = _inches(m, text, units)
    if inches[0] and "." in m["foot"]:
        raise LengthError(text, "has decimal feet and inches too", EXAMPLE[units])
    if inches[0] >= 12 * inches[1]:
        raise LengthError(text, "has 12 inches or more after the feet", EXAMPLE[units])
    return _sum(_times(_number(m["foot"]), _FOOT), _times(inches, _INCH))


def _inches(m: re.Match[str], text: str, units: Units) -> Ratio:
    """Return the inches of a matched term: whole or decimal, with or without a fraction."""
    inches = _number(m["inch"]) if m["inch"] else (0, 1)
    if part := m["part"] or m["only"]:
        over, under = (int(n) for n in part.split("/"))
        if over >= under:
            raise LengthError(text, f"has the fraction {over}/{under}, which is no part of an inch", EXAMPLE[units])
        if inches[1] > 1:
            raise LengthError(text, "has a decimal and a fraction", EXAMPLE[units])
        inches = _sum(inches, (over, under))
    return inches


def _number(text: str) -> Ratio:
    """Return a number as it was written."""
    whole, _, part = text.partition(".")
    return int(whole + part), 10 ** len(part)


def _sum(a: Ratio, b: Ratio) -> Ratio:
    return a[0] * b[1] + b[0] * a[1], a[1] * b[1]


def _times(a: Ratio, b: Ratio) -> Ratio:
    return a[0] * b[0], a[1] * b[1]


def parse_lengths(text: str, units: Units) -> tuple[float, ...]:
    """Return a list of lengths in millimetres, as typed for the spacings of a row.

    Lengths are parted by commas or semicolons; ``3 @ 8' 2"`` (or ``3 x``) repeats one. In a metric plan a
    comma between digits could be a decimal comma, so there it is refused.

    Raises:
        LengthError: when one of them cannot be read, or when there are more than 10 000.
    """
    if units != "ft-in" and re.search(r"\d,\d", text):
        raise LengthError(text, "has a comma that could be a decimal point", LIST_EXAMPLE[units])
    lengths: list[float] = []
    for piece in re.split(r"[;,]", text):
        if not piece.strip():
            continue
        m = re.fullmatch(r"\s*(\d{1,5})\s*(?:@|x|×)\s*(.+)", piece)
        count, body = (int(m[1]), m[2]) if m else (1, piece)
        if not count:
            raise LengthError(text, "repeats a length 0 times", LIST_EXAMPLE[units])
        if len(lengths) + count > 10_000:
            raise LengthError(text, "asks for more than 10 000 lengths", LIST_EXAMPLE[units])
        lengths += [parse_length(body, units)] * count
    if not lengths:
        raise LengthError(text, "is empty", LIST_EXAMPLE[units])
    return tuple(lengths)


def parse_chain(text: str, units: Units) -> tuple[tuple[float, ...], float | None]:
    """Return the parts of a chain of dimensions and the overall one written after ``=``, None without; mm.

    Reads ``6'-0", 8'-2", 8'-2" = 22'-4"``. Whether they add up is not asked here.

    Raises:
        LengthError: when a part or the overall dimension cannot be read or is not more than nothing.
    """
    left, equals, right = text.partition("=")
    example = CHAIN_EXAMPLE[units]
    if "=" in right:
        raise LengthError(text, "has more than one =", example)
    parts = parse_lengths(left, units)
    overall = parse_length(right, units) if equals else None
    if min(parts) <= 0 or (overall is not None and overall <= 0):
        raise LengthError(text, "has a length that is not more than 0", example)
    return parts, overall


def parse_angle(text: str) -> float:
    """Return an angle in degrees from text such as ``30``, ``30.5°`` or ``-12``.

    Raises:
        LengthError: when it is no number of degrees between -360 and 360.
    """
    m = re.fullmatch(rf"([-−]?)\s*({NUMBER})\s*(?:°|deg)?", text.strip())
    degrees = float(m[2]) * (-1 if m[1] else 1) if m else math.inf
    if abs(degrees) > 360:
        raise LengthError(text, "is no angle", "30°")
    return degrees
