"""Lengths: typed text to millimetres and back, exactly; other quantities through pint, which lives here only.

Inside the program a length is a float of millimetres. Text becomes such a float once, when it is typed or
read, by exact rational arithmetic; a float becomes text once, when it is shown. 1 in = 25.4 mm exactly (the
international inch of 1959), 1 ft = 12 in.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final, Literal

from layoutdesk.errors import LengthError

if TYPE_CHECKING:
    from pint import UnitRegistry

Units = Literal["ft-in", "m", "mm"]
UNITS: Final[tuple[Units, ...]] = ("ft-in", "m", "mm")

MM_PER_INCH: Final = 25.4
MM_PER_FOOT: Final = 304.8
LIMIT_MM: Final = 1e7
"""The longest length that is read: 10 km. More is a slip of the keyboard, not a porch."""

_INCH = Fraction(127, 5)
_FOOT = 12 * _INCH
_METRIC = {"m": Fraction(1000), "cm": Fraction(10), "mm": Fraction(1)}
_BARE = {"ft-in": _FOOT, "m": _METRIC["m"], "mm": _METRIC["mm"]}
_EXAMPLE = {"ft-in": "12' 6 3/8\"", "m": "3.81", "mm": "3810"}

_NUMBER = r"(?:\d{1,9}(?:\.\d{0,9})?|\.\d{1,9})"
_FRACTION = r"\d{1,4}\s*/\s*\d{1,4}"
_INCHES = rf"(?:(?P<inch>{_NUMBER})(?:\s+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))"
_METRIC_TERM = re.compile(rf"(?P<n>{_NUMBER})\s*(?P<unit>mm|cm|m)", re.IGNORECASE)
_FOOT_TERM = re.compile(
    rf"(?P<foot>{_NUMBER})\s*(?:'|ft\b|feet\b|foot\b)(?:\s*-?\s*{_INCHES}\s*(?P<mark>\"|in\b|inch\b|inches\b)?)?",
    re.IGNORECASE,
)
_DASH_TERM = re.compile(rf"(?P<foot>\d{{1,9}})\s*-\s*{_INCHES}\s*(?P<mark>\"|in\b)?", re.IGNORECASE)
_INCH_TERM = re.compile(rf"{_INCHES}\s*(?P<mark>\"|in\b|inch\b|inches\b)", re.IGNORECASE)
_BARE_TERM = re.compile(rf"(?P<n>{_NUMBER})")
_BARE_INCH_TERM = re.compile(rf"(?:(?P<inch>\d{{1,9}})\s+(?P<part>{_FRACTION})|(?P<only>{_FRACTION}))")

_SIGNS = str.maketrans({"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "⁄": "/"})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
SUPERSCRIPTS: Final = "⁰¹²³⁴⁵⁶⁷⁸⁹"
SUBSCRIPTS: Final = "₀₁₂₃₄₅₆₇₈₉"
_SMALL_DIGITS = {
    **{ord(c): str(i) for i, c in enumerate(SUPERSCRIPTS)},
    **{ord(c): str(i) for i, c in enumerate(SUBSCRIPTS)},
}
_SMALL_FRACTION = re.compile(rf"([{SUPERSCRIPTS}]+)\s*[⁄/]\s*([{SUBSCRIPTS}]+)")


def parse_length(text: str, units: Units) -> float:
    """Return the length in millimetres that ``text`` says, correctly rounded.

    Reads ``12' 6 3/8"``, ``12-6 3/8``, ``12.5'``, ``150 3/8"``, ``3.81 m``, ``381 cm``, ``3810 mm`` and sums
    of them with ``+``. A bare number is in the unit that the plan shows (feet where that is feet and inches);
    a bare fraction is inches. A leading minus turns the whole sum round. A dash between feet and inches only
    parts them, as is the custom of the trade.

    Args:
        text: what was typed.
        units: what a bare number means.

    Raises:
        LengthError: when the text cannot be read in exactly one way.
    """
    if len(text) > 80:
        raise LengthError(text, "is too long for a length", _EXAMPLE[units])
    clean = _SMALL_FRACTION.sub(lambda m: " " + m.group(0).translate(_SMALL_DIGITS), text)
    for glyph, plain in _VULGAR.items():
        clean = clean.replace(glyph, " " + plain)
    clean = clean.translate(_SIGNS).replace("''", '"').strip()
    negative = clean.startswith("-")
    clean = clean.removeprefix("-").strip()
    if not clean:
        raise LengthError(text, "is no length" if text.strip() else "is empty", _EXAMPLE[units])
    if "," in clean:
        raise LengthError(text, "has a comma, which could be a decimal point or a separator", _EXAMPLE[units])
    total = sum((_term(term.strip(), text, units) for term in clean.split("+")), Fraction(0))
    if abs(total) > LIMIT_MM:
        raise LengthError(text, "is longer than 10 km", _EXAMPLE[units])
    return float(-total if negative else total)


def _term(term: str, text: str, units: Units) -> Fraction:
    """Return one term of a sum in exact millimetres."""
    if m := _METRIC_TERM.fullmatch(term):
        return Fraction(m["n"]) * _METRIC[m["unit"].lower()]
    if m := _FOOT_TERM.fullmatch(term):
        inches = _inches(m, text, units)
        if inches and "." in m["foot"]:
            raise LengthError(text, "has decimal feet and inches too", _EXAMPLE[units])
        return Fraction(m["foot"]) * _FOOT + _under_a_foot(inches, text, units) * _INCH
    if m := _INCH_TERM.fullmatch(term):
        return _inches(m, text, units) * _INCH
    if m := _BARE_TERM.fullmatch(term):
        return Fraction(m["n"]) * _BARE[units]
    if units == "ft-in":
        if m := _DASH_TERM.fullmatch(term):
            inches = _inches(m, text, units)
            return Fraction(m["foot"]) * _FOOT + _under_a_foot(inches, text, units) * _INCH
        if m := _BARE_INCH_TERM.fullmatch(term):
            return _inches(m, text, units) * _INCH
    raise LengthError(text, "is no length that can be read in one way", _EXAMPLE[units])


def _inches(m: re.Match[str], text: str, units: Units) -> Fraction:
    """Return the inches of a matched term: whole or decimal, with or without a fraction."""
    inches = Fraction(m["inch"]) if m["inch"] else Fraction(0)
    if part := m["part"] or m["only"]:
        over, under = (int(n) for n in part.split("/"))
        if under == 0 or over >= under:
            raise LengthError(
                text, f"has the fraction {over}/{under}, which is no part of an inch", _EXAMPLE[units]
            )
        if m["inch"] and "." in m["inch"]:
            raise LengthError(text, "has a decimal and a fraction", _EXAMPLE[units])
        inches += Fraction(over, under)
    return inches


def _under_a_foot(inches: Fraction, text: str, units: Units) -> Fraction:
    """Return ``inches`` when they are fewer than twelve: after feet, more is a slip worth asking about."""
    if inches >= 12:
        raise LengthError(text, "has 12 inches or more after the feet", _EXAMPLE[units])
    return inches


def parse_lengths(text: str, units: Units) -> tuple[float, ...]:
    """Return a list of lengths in millimetres, as typed for the spacings of a row.

    Lengths are parted by commas or semicolons; ``3 @ 8' 2"`` (or ``3 x``) repeats one.

    Raises:
        LengthError: when one of them cannot be read, or when there are more than 10 000.
    """
    lengths: list[float] = []
    for piece in re.split(r"[;,]", text):
        if not piece.strip():
            continue
        m = re.fullmatch(r"\s*(\d{1,5})\s*(?:@|x|×)\s*(.+)", piece)
        count, body = (int(m[1]), m[2]) if m else (1, piece)
        if len(lengths) + count > 10_000:
            raise LengthError(text, "asks for more than 10 000 lengths", "3 @ 8' 2\"")
        lengths += [parse_length(body, units)] * count
    if not lengths:
        raise LengthError(text, "is empty", _EXAMPLE[units] + ", " + _EXAMPLE[units])
    return tuple(lengths)


def parse_angle(text: str) -> float:
    """Return an angle in degrees from text such as ``30``, ``30.5°`` or ``-12``.

    Raises:
        LengthError: when it is no number of degrees between -360 and 360.
    """
    m = re.fullmatch(rf"([-−]?)\s*({_NUMBER})\s*(?:°|deg)?", text.strip())
    degrees = float(m[2]) * (-1 if m[1] else 1) if m else math.inf
    if abs(degrees) > 360:
        raise LengthError(text, "is no angle", "30°")
    return degrees


def round_half_away(value: float, step: float) -> int:
    """Return ``value / step`` as the nearest whole number, halves away from zero.

    A quotient within a billionth of a half counts as that half: 1/32 in held as float millimetres is a hair
    off its true value, and still rounds up on a tape of sixteenths.
    """
    return int(math.copysign(math.floor(abs(value) / step + 0.5 + 1e-9), value))


def round_to_step(value: float, step: float) -> float:
    """Return ``value`` moved to the nearest multiple of ``step``, halves away from zero; both in millimetres."""
    return round_half_away(value, step) * step


def round_up_to_step(value: float, step: float) -> float:
    """Return the smallest multiple of ``step`` that is not under ``value``: for what must not be belittled."""
    return math.ceil(value / step - 1e-9) * step


@dataclass(frozen=True, slots=True)
class LengthParts:
    """A length as it is written, in pieces, so that a page can draw its fraction large.

    ``whole`` is all that stands before the fraction (``11' 0``), ``over``/``under`` the fraction or 0/1,
    ``mark`` what stands after it (the inch mark, or a unit with its space).
    """

    negative: bool
    whole: str
    over: int
    under: int
    mark: str


def length_parts(mm: float, units: Units, step_mm: float) -> LengthParts:
    """Return ``mm`` rounded to the tape's step, in the pieces that it is written with.

    Feet and inches round to the power-of-two fraction of an inch nearest to ``step_mm`` (at finest 1/64), and
    carry: never 12 inches after feet. Metres and millimetres round to ``step_mm`` itself.

    Raises:
        ValueError: when ``mm`` is not finite or ``step_mm`` is not positive.
    """
    if not math.isfinite(mm) or not step_mm > 0:
        raise ValueError(f"cannot write the length {mm} in steps of {step_mm}")
    if units == "ft-in":
        return _feet_and_inches(mm, step_mm)
    if units == "mm":
        step, unit = Fraction(step_mm).limit_denominator(10_000), "mm"
    else:
        step, unit = Fraction(step_mm).limit_denominator(10_000) / 1000, "m"
    count = round_half_away(mm, step_mm)
    decimals = _decimals(step)
    value = abs(count) * step
    return LengthParts(count < 0, f"{float(value):.{decimals}f}", 0, 1, f" {unit}")


def _decimals(step: Fraction) -> int:
    """Return how many decimals show every multiple of ``step``, at most 7."""
    return next((d for d in range(7) if (step * 10**d).denominator == 1), 7)


def _feet_and_inches(mm: float, step_mm: float) -> LengthParts:
    under = 2 ** max(0, min(6, round(math.log2(MM_PER_INCH / step_mm))))
    count = round_half_away(mm, MM_PER_INCH / under)
    whole, over = divmod(abs(count), under)
    feet, inches = divmod(whole, 12)
    shared = math.gcd(over, under)
    text = f"{feet}' {inches}" if feet else (str(inches) if inches or not over else "")
    return LengthParts(count < 0, text, over // shared, under // shared, '"')


def format_length(mm: float, units: Units, step_mm: float, *, unit: bool = True, pretty: bool = False) -> str:
    """Return a length as text, rounded to the tape's step, half away from zero.

    Args:
        mm: the length in millimetres.
        units: ``ft-in``, ``m`` or ``mm``.
        step_mm: the smallest step that is shown, in millimetres.
        unit: whether a metric length names its unit; feet and inches always carry their marks.
        pretty: true primes and small fraction digits (for the screen) instead of plain ASCII.
    """
    p = length_parts(mm, units, step_mm)
    return write_parts(p if unit or units == "ft-in" else replace(p, mark=""), pretty=pretty)


def write_parts(p: LengthParts, *, pretty: bool = False) -> str:
    """Return the pieces of a length as one text; ``pretty`` as in :func:`format_length`."""
    if not pretty:
        fraction = f"{p.over}/{p.under}" if p.over else ""
        gap = " " if p.whole and fraction else ""
        return f"{'-' if p.negative else ''}{p.whole}{gap}{fraction}{p.mark}"
    fraction = small_fraction(p.over, p.under) if p.over else ""
    gap = "\u2009" if p.whole and fraction else ""
    sign = "−" if p.negative else ""
    return sign + p.whole.replace("'", "′") + gap + fraction + p.mark.replace('"', "″")


def small_fraction(over: int, under: int) -> str:
    """Return a fraction in small raised and lowered digits, as ``³⁄₁₆``."""
    raised = "".join(SUPERSCRIPTS[int(d)] for d in str(over))
    lowered = "".join(SUBSCRIPTS[int(d)] for d in str(under))
    return f"{raised}⁄{lowered}"


def format_exact(mm: float, units: Units) -> str:
    """Return a length as text that parses back to the very same float: for entry fields.

    Feet and inches are used when the value is a whole number of 1/64 in; otherwise millimetres with all their
    digits.
    """
    if units == "ft-in":
        text = format_length(mm, units, MM_PER_INCH / 64)
        if parse_length(text, units) == mm:
            return text
    elif units == "m":
        text = f"{mm / 1000:.9f}".rstrip("0").rstrip(".") + " m"
        if parse_length(text, units) == mm:
            return text
    for decimals in range(10):
        text = f"{mm:.{decimals}f} mm"
        if parse_length(text, units) == mm:
            return text
    return text


def default_step(units: Units) -> float:
    """Return the step of the tape that usually goes with ``units``, in millimetres: 1/16 in or 1 mm."""
    return MM_PER_INCH / 16 if units == "ft-in" else 1.0


@cache
def registry() -> UnitRegistry[float]:
    """Return pint's registry, made when it is first needed: importing it takes half a second."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


def to_unit(value: float, unit: str, target: str) -> float:
    """Return ``value`` of ``unit`` in ``target``, as in ``to_unit(0.6, "ft**3", "m**3")``.

    Serves volumes, masses, loads and prices per unit; lengths go through :func:`parse_length`.

    Raises:
        LengthError: when a unit is unknown or the two do not measure the same thing.
    """
    import pint

    try:
        return float(registry().Quantity(value, unit).to(target).magnitude)
    except (pint.errors.PintError, AssertionError, TypeError, ValueError) as error:
        raise LengthError(f"{value} {unit}", f"cannot be given in {target}", f"1 {target}") from error
