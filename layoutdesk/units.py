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

Ratio = tuple[int, int]
"""An exact number as whole numbers over and under a bar; not reduced, which makes it several times faster than
Fraction."""

_INCH: Final[Ratio] = (127, 5)
_FOOT: Final[Ratio] = (1524, 5)
_METRIC: Final[dict[str, Ratio]] = {"m": (1000, 1), "cm": (10, 1), "mm": (1, 1)}
_BARE: Final[dict[str, Ratio]] = {"ft-in": _FOOT, "m": _METRIC["m"], "mm": _METRIC["mm"]}
_EXAMPLE = {"ft-in": "12' 6 3/8\"", "m": "3.81", "mm": "3810"}

_NUMBER = r"(?:\d{1,9}(?:\.\d{0,20})?|\.\d{1,20})"
_FEET = r"(?:'|(?:ft|feet|foot)(?![a-z]))"
_INCH_MARK = r"(?:\"|(?:in|inch|inches)(?![a-z]))"
_FRACTION = r"\d{1,4}\s*/\s*\d{1,4}"
_INCHES = rf"(?:(?P<inch>{_NUMBER})(?:\s+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))"
_METRIC_TERM = re.compile(rf"(?P<n>{_NUMBER})\s*(?P<unit>mm|cm|m)", re.IGNORECASE)
_FOOT_TERM = re.compile(
    rf"(?P<foot>{_NUMBER})\s*{_FEET}(?:\s*-?\s*{_INCHES}\s*{_INCH_MARK}?)?",
    re.IGNORECASE,
)
_DASH_TERM = re.compile(rf"(?P<foot>\d{{1,9}})\s*-\s*{_INCHES}\s*(?P<mark>{_INCH_MARK})?", re.IGNORECASE)
_INCH_TERM = re.compile(rf"{_INCHES}\s*{_INCH_MARK}", re.IGNORECASE)
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
        raise LengthError(text, "is too long for a length", _EXAMPLE[units])
    clean = text if text.isascii() else _in_plain_signs(text)
    clean = clean.replace("''", '"').strip()
    negative = clean.startswith("-")
    clean = clean.removeprefix("-").strip()
    if not clean:
        raise LengthError(text, "is no length" if text.strip() else "is empty", _EXAMPLE[units])
    if "," in clean:
        raise LengthError(text, "has a comma, which could be a decimal point or a separator", _EXAMPLE[units])
    total: Ratio = (0, 1)
    for term in clean.split("+"):
        total = _sum(total, _term(term.strip(), text, units))
    if total[0] > LIMIT_MM * total[1]:
        raise LengthError(text, "is longer than 10 km", _EXAMPLE[units])
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
    raise LengthError(text, "is no length that can be read in one way", _EXAMPLE[units])


def _feet(m: re.Match[str], text: str, units: Units) -> Ratio:
    """Return a matched term of feet, with or without inches, in millimetres."""
    inches = _inches(m, text, units)
    if inches[0] and "." in m["foot"]:
        raise LengthError(text, "has decimal feet and inches too", _EXAMPLE[units])
    if inches[0] >= 12 * inches[1]:
        raise LengthError(text, "has 12 inches or more after the feet", _EXAMPLE[units])
    return _sum(_times(_number(m["foot"]), _FOOT), _times(inches, _INCH))


def _inches(m: re.Match[str], text: str, units: Units) -> Ratio:
    """Return the inches of a matched term: whole or decimal, with or without a fraction."""
    inches = _number(m["inch"]) if m["inch"] else (0, 1)
    if part := m["part"] or m["only"]:
        over, under = (int(n) for n in part.split("/"))
        if over >= under:
            raise LengthError(
                text, f"has the fraction {over}/{under}, which is no part of an inch", _EXAMPLE[units]
            )
        if inches[1] > 1:
            raise LengthError(text, "has a decimal and a fraction", _EXAMPLE[units])
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
        raise LengthError(text, "has a comma that could be a decimal point", "2.4; 3.1")
    lengths: list[float] = []
    for piece in re.split(r"[;,]", text):
        if not piece.strip():
            continue
        m = re.fullmatch(r"\s*(\d{1,5})\s*(?:@|x|×)\s*(.+)", piece)
        count, body = (int(m[1]), m[2]) if m else (1, piece)
        if not count:
            raise LengthError(text, "repeats a length 0 times", "3 @ 8' 2\"")
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

    A quotient within a billionth of a half (or within the float's own grain, for long lengths) counts as that
    half: 1/32 in held as float millimetres is a hair off its true value, and still rounds up on a tape of
    sixteenths.
    """
    steps = abs(value) / step
    return int(math.copysign(math.floor(steps + max(0.5 + 1e-9, 0.5 + 1e-15 * steps)), value))


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
    step = Fraction(step_mm).limit_denominator(10_000_000)
    if units == "m":
        step /= 1000
    count = round_half_away(mm, step_mm)
    value = abs(count) * step
    return LengthParts(count < 0, f"{float(value):.{_decimals(step)}f}", 0, 1, f" {units}")


def _decimals(step: Fraction) -> int:
    """Return how many decimals show every multiple of ``step``, 7 where none do."""
    return next((d for d in range(11) if (step * 10**d).denominator == 1), 7)


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

    Feet and inches are used when the value is a whole number of 1/64 in, metres when nine decimals tell it all;
    otherwise millimetres with all their digits, down to 20 decimals.

    Raises:
        ValueError: when ``mm`` is not finite.
    """
    mm += 0.0  # which makes a negative zero a plain one
    if units == "ft-in":
        text = format_length(mm, units, MM_PER_INCH / 64)
        if _reads_as(text, mm):
            return text
    elif units == "m":
        text = f"{mm / 1000:.9f}".rstrip("0").rstrip(".") + " m"
        if _reads_as(text, mm):
            return text
    if not math.isfinite(mm):
        raise ValueError(f"cannot write the length {mm}")
    text = repr(float(mm)).removesuffix(".0")
    if "e" in text:
        text = f"{mm:.20f}".rstrip("0").rstrip(".")
    return f"{text} mm"


def _reads_as(text: str, mm: float) -> bool:
    """Return whether a text that carries its units is read as exactly ``mm``."""
    try:
        return parse_length(text, "mm") == mm
    except LengthError:  # farther than 10 km: such lengths can be shown, and not typed
        return False


def default_step(units: Units) -> float:
    """Return the step of the tape that usually goes with ``units``, in millimetres: 1/16 in or 1 mm."""
    return MM_PER_INCH / 16 if units == "ft-in" else 1.0


_CUBIC_FOOT = float(Fraction(3048, 10_000) ** 3)
_VOLUMES: Final[dict[Units, tuple[str, float, int]]] = {
    "ft-in": ("cu ft", _CUBIC_FOOT, 2),
    "m": ("m³", 1.0, 3),
    "mm": ("m³", 1.0, 3),
}
_SMALL_VOLUMES: Final[dict[Units, tuple[str, float, int]]] = {
    "ft-in": _VOLUMES["ft-in"],
    "m": ("l", 0.001, 1),
    "mm": ("l", 0.001, 1),
}


def format_volume(m3: float, units: Units, *, small: bool = False) -> str:
    """Return a volume in cubic feet or cubic metres; ``small`` gives litres to metric users, as for one bag."""
    name, size, decimals = (_SMALL_VOLUMES if small else _VOLUMES)[units]
    return f"{m3 / size:.{decimals}f} {name}"


def parse_volume(text: str, units: Units) -> float:
    """Return in m³ what one bag makes, from a number of cubic feet or of litres, with or without its unit.

    Raises:
        LengthError: when it is no such number, or not more than nothing.
    """
    name, size, _ = _SMALL_VOLUMES[units]
    m = re.fullmatch(
        rf"(?P<n>{_NUMBER})\s*(?:(?P<feet>cu\s*ft|ft3|ft³)|(?P<litres>l|litres?|liters?))?",
        text.strip(),
        re.IGNORECASE,
    )
    value = float(m["n"]) if m else 0.0
    if not m or not 0 < value <= 1000:
        raise LengthError(text, f"is no volume in {name}", "0.6" if units == "ft-in" else "12")
    if m["feet"] or m["litres"]:
        size = _CUBIC_FOOT if m["feet"] else 0.001
    return value * size


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
