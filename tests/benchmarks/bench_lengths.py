"""Parse and format of feet, inches and fractions, against the shortest exact parser that could be written."""

from __future__ import annotations

import re
from fractions import Fraction

from layoutdesk.units import MM_PER_INCH, format_length, parse_length
from tests.benchmarks.ratio import Row, race

TYPED = [
    f"{feet}' {inches} {over}/{under}\""
    for feet in (0, 3, 12, 48)
    for inches in (0, 6, 11)
    for over, under in ((3, 8), (1, 2), (15, 16), (5, 64))
]
FINEST = MM_PER_INCH / 64
_SHAPE = re.compile(r"(-)?(?:(\d+)')? *-? *(?:(\d+(?:\.\d+)?)(?![\d/.]))? *(?:(\d+)/(\d+))?\"?")


def bare_parse(text: str) -> Fraction:
    """Return exact inches; sign, feet, inches and fraction may each be left out."""
    m = _SHAPE.fullmatch(text)
    if m is None or not any(m.groups()[1:]):
        raise ValueError(text)
    sign, feet, inches, over, under = m.groups()
    total = Fraction(int(over), int(under)) if over else Fraction(0)
    if inches:
        total += Fraction(inches)
    if feet:
        total += 12 * int(feet)
    return -total if sign else total


def bare_format(inches: Fraction) -> str:
    """Return exact inches to the sixty-fourth, in the way of writing of the sample."""
    sign = "-" if inches < 0 else ""
    whole, over = divmod(round(abs(inches) * 64), 64)
    feet, inch = divmod(whole, 12)
    part = Fraction(over, 64)
    return f"{sign}{feet}' {inch} {part.numerator}/{part.denominator}\"" if over else f"{sign}{feet}' {inch}\""


def rows() -> list[Row]:
    """Return the row of lengths: time for one value, there and back."""
    assert [bare_format(bare_parse(text)) for text in TYPED] == TYPED

    def bare() -> None:
        for text in TYPED:
            bare_format(bare_parse(text))

    def ours() -> None:
        for text in TYPED:
            format_length(parse_length(text, "ft-in"), "ft-in", FINEST)

    least, taken = race(bare, ours, rounds=15)
    count = len(TYPED)
    return [Row("parse + format a length", "1", "exact fractions by hand", least / count, taken / count, 1.3)]
