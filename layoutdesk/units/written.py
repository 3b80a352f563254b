"""Millimetres to text: rounded once, to the step of the tape, half away from zero."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from layoutdesk.units.system import MM_PER_INCH, Units

SUPERSCRIPTS: Final = "⁰¹²³⁴⁵⁶⁷⁸⁹"
SUBSCRIPTS: Final = "₀₁₂₃₄₅₆₇₈₉"
SMALL_MM: Final = 100.0
"""Amounts below this are small: plans in metres say them in millimetres."""


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


def format_small(mm: float, units: Units, step_mm: float) -> str:
    """Return a small amount as sentences write it, pretty: an expected error, a gap, a difference.

    It is in :func:`small_units`; number and unit are held together.
    """
    return format_length(mm, small_units(mm, units), step_mm, pretty=True).replace(" ", "\u00a0")


def small_units(mm: float, units: Units) -> Units:
    """Return in which units an amount is small: millimetres below 100 mm in a plan in metres, else the plan's.

    There fewer noughts are to be read.
    """
    return "mm" if units == "m" and abs(mm) < SMALL_MM else units


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
