"""Lengths inside a text: where they stand, what they say, and to which step they are written."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from layoutdesk.errors import LengthError
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, SUPERSCRIPTS, Units, parse_length

_DECIMAL = r"(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})"
_FRACTION = r"\d{1,4}\s*/\s*\d{1,3}"
_FOOT_MARK = r"(?:'(?!')|(?:FT|FEET|FOOT)\b\.?)"
_INCH_MARK = r"(?:\"|''|(?:INCHES|INCH|IN)\b\.?)"
_INCHES = rf"(?:{_DECIMAL}(?:\s*-\s*|\s+){_FRACTION}|{_FRACTION}|{_DECIMAL})"
_GROUPED = (
    r"(?:\d{1,3}(?:(?P<part>[ ,.])\d{3})(?:(?P=part)\d{3})*(?:[.,]\d{1,9})?(?!\d)"
    r"|\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9})"
)
_LENGTH: Final = re.compile(
    rf"(?<![A-Z0-9#/.,'\"])(?<![A-Z]-)-?\s*(?:"
    rf"(?P<feet>(?:\d{{1,3}}(?:,\d{{3}})+|{_DECIMAL})\s*{_FOOT_MARK}"
    rf"(?:\s*-?\s*{_INCHES}\s*{_INCH_MARK}|\s*-\s*{_INCHES}|\s*{_DECIMAL}\s+{_FRACTION}|\s*{_FRACTION}|\s+\d{{1,2}}(?![\d.,]))?)"
    rf"|(?P<dash>\d{{1,4}}\s*-\s*{_INCHES}\s*{_INCH_MARK}?)"
    rf"|(?P<inches>{_INCHES}\s*{_INCH_MARK})"
    rf"|(?P<metric>(?P<number>{_GROUPED})\s*(?P<unit>MM|CM|M)(?![A-Z0-9²]))"
    rf"|(?P<fraction>(?:\d{{1,9}}\s+)?{_FRACTION})"
    rf"|(?P<bare>{_GROUPED.replace('part', 'gap')})"
    r")(?![A-Z0-9/#°%])"
)
_GROWN: Final = re.compile(r"(?P<before>^|[^\d])(?P<digits>\d{2,4})\s*/\s*(?P<under>2|4|8|16|32|64)(?!\d)")
_DASH_BEFORE_FRACTION: Final = re.compile(r"(?<=\d)\s*-\s*(?=\d+\s*/)")
_METRIC: Final = {"MM": 1.0, "CM": 10.0, "M": 1000.0}
_BARE_MM: Final[dict[Units, float]] = {"mm": 1.0, "m": 1000.0, "ft-in": MM_PER_FOOT}
_THOUSANDS: Final = re.compile(r"(?!0)\d{1,3}(?:[ ,.]\d{3})+")

_SIGNS: Final = str.maketrans(
    {
        "′": "'",
        "’": "'",
        "‘": "'",
        "´": "'",
        "`": "'",
        "”": '"',
        "“": '"',
        "−": "-",
        "–": "-",
        "—": "-",
        "‑": "-",
        "⁄": "/",
    }
)
_CODES: Final = (
    (re.compile(r"%%[cC]"), "Ø"), (re.compile(r"%%[pP]"), "±"), (re.compile(r"%%[dD]"), "°"),
    (re.compile(r"%%[uUoO]"), ""), (re.compile(r"\\S(\d+)[/#^](\d+);"), r" \1/\2"), (re.compile(r"\\[PX~]"), " "),
    (re.compile(r"\\[ACHQTWFfp][^;\\]{0,40};"), ""), (re.compile(r"\\[LlOoKk]"), ""), (re.compile(r"[{}]"), ""),
)  # fmt: skip
_BEFORE_SMALL: Final = re.compile(rf"(?<=\d)(?=[¼-¾⅐-⅞])|(?<=\d)(?=[{SUPERSCRIPTS}]+[⁄/])")


def in_plain_signs(text: str) -> str:
    """Return a text with true primes, small fractions, long dashes and what remains of codes made plain."""
    for pattern, plain in _CODES if "\\" in text or "%%" in text or "{" in text else ():
        text = pattern.sub(plain, text)
    if text.isascii():
        return " ".join(text.split())
    text = unicodedata.normalize("NFKC", _BEFORE_SMALL.sub(" ", text.replace("´´", '"')))
    return " ".join(text.translate(_SIGNS).split()).replace("Φ", "Ø").replace("φ", "Ø")


@dataclass(frozen=True, slots=True)
class Value:
    """A length and to which step it is written: in mm, or both as bare numbers."""

    value: float
    step: float
    bare: bool = False
    feet: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """A length where it stands in a text."""

    start: int
    end: int
    match: re.Match[str]

    def values(self, units: Units | None) -> tuple[Value, ...]:
        """Return each way to read it, the more usual one first; ``units`` is what a bare number means.

        Raises:
            LengthError: when it can be read in no way.
        """
        m = self.match
        text = m[0].strip()
        if m["feet"] or m["inches"] or m["dash"]:
            if m["dash"] and _has_two_meanings(text, units):
                raise LengthError(text, "may be feet and inches, or two numbers", "8' 2\"")
            return tuple(_feet_and_inches(t) for t in _parted(text))
        if m["metric"]:
            size = _METRIC[m["unit"]]
            numbers = _numbers(m["number"], whole_first=size < 1000)
            return tuple(
                _metric(n, m["unit"], negative=text.startswith("-"))
                for n in (numbers[:1] if size == 1000 else numbers)
            )
        if m["fraction"]:
            return _bare_fraction(text, units)
        return _bare(text, units)


def find_length(text: str, start: int) -> Found | None:
    """Return the first length of a text (in plain signs and capitals) at or behind a place, None without any."""
    m = _LENGTH.search(text, start)
    return None if m is None else Found(m.start(), m.end(), m)


def _has_two_meanings(text: str, units: Units | None) -> bool:
    """Return whether numbers parted by a dash are not surely feet and inches (or inches and their fraction)."""
    if re.fullmatch(r"-?\s*\d+\s*-\s*\d+\s*/\s*\d+", text):
        return True
    return units != "ft-in" and '"' not in text and "/" not in text


def _parted(text: str) -> list[str]:
    """Return the text with a fraction that has grown together with its number parted from it, in each way.

    ``8'-21/2"`` can only be 2 1/2 inches; ``8'-11/16"`` may be 11/16 or 1 1/16. Of a fraction that stands alone
    and is one, nothing is parted.
    """
    m = _GROWN.search(text)
    if m is None:
        return [text]
    digits, under = m["digits"], int(m["under"])
    ways = [text] if int(digits) < under else []
    if not ways or m["before"] in {"-", "'"}:
        for at in range(1, len(digits)):
            whole, over = digits[:at], digits[at:]
            if over[0] != "0" and int(over) < under and int(over) % 2 and (int(whole) < 12 or "'" not in text):
                ways.append(f"{text[: m.start('digits')]}{whole} {over}/{under}{text[m.end() :]}")
    return ways or [text]


def _feet_and_inches(text: str) -> Value:
    plain = _DASH_BEFORE_FRACTION.sub(" ", text)
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", plain)
    plain = re.sub(r"\b(FT|IN|FEET|FOOT|INCH|INCHES)\.", r"\1", plain)
    return Value(parse_length(plain, "ft-in"), _step_of_inches(plain), feet=True)


def _step_of_inches(text: str) -> float:
    """Return to which step feet and inches are written, in millimetres."""
    if m := re.search(r"/\s*(\d+)", text):
        return MM_PER_INCH / max(1, int(m[1]))
    feet, mark, inches = re.sub(r"FT|FEET|FOOT", "'", text.replace("''", '"')).partition("'")
    last = re.search(r"\d*\.?(\d*)\D*$", inches if re.search(r"\d", inches) else feet)
    decimals = len(last[1]) if last is not None and "." in last[0] else 0
    only_feet = mark and not re.search(r"\d", inches)
    return (MM_PER_FOOT if only_feet else MM_PER_INCH) / 10.0**decimals


def _numbers(text: str, *, whole_first: bool) -> list[str]:
    """Return each plain number that digits with points, commas or gaps may mean."""
    if not _THOUSANDS.fullmatch(text):
        head, part, tail = text.rpartition(".") if text.rfind(".") > text.rfind(",") else text.rpartition(",")
        return [re.sub(r"[ ,.]", "", head) + (part and ".") + tail]
    whole = re.sub(r"[ ,.]", "", text)
    marks = re.findall(r"[ ,.]", text)
    if len(marks) > 1 or marks == [" "]:
        return [whole]
    decimal = text.replace(",", ".")
    return [whole, decimal] if whole_first else [decimal, whole]


def _metric(number: str, unit: str, *, negative: bool) -> Value:
    decimals = len(number.partition(".")[2])
    value = parse_length(f"{number} {unit.lower()}", "mm")
    return Value(-value if negative else value, _METRIC[unit] / 10**decimals)


def _bare(text: str, units: Units | None) -> tuple[Value, ...]:
    """Return the readings of a number without unit."""
    negative = text.startswith("-")
    numbers = _numbers(text.lstrip("- "), whole_first=units != "m")
    if units in {"m", "ft-in"}:
        numbers = numbers[:1]  # of three decimals in metres, and of thousands of feet, there is one reading
    sign = -1 if negative else 1
    if units is None:
        return tuple(Value(sign * float(n), 10.0 ** -len(n.partition(".")[2]), bare=True) for n in numbers)
    return tuple(
        Value(
            sign * parse_length(n, units),
            _BARE_MM[units] / 10 ** len(n.partition(".")[2]),
            feet=units == "ft-in",
        )
        for n in numbers
    )


def _bare_fraction(text: str, units: Units | None) -> tuple[Value, ...]:
    """Return the readings of a number with a fraction and without unit: inches where feet and inches are typed."""
    ways = _parted(text)
    inches = tuple(_feet_and_inches(f'{way}"') for way in ways)
    if units is not None:
        return inches
    return tuple(Value(_number(way), v.step / MM_PER_INCH, bare=True) for way, v in zip(ways, inches, strict=True))


def _number(text: str) -> float:
    """Return a whole number and a fraction as one number."""
    parts: list[str]
    parts = re.findall(r"\d+\s*/\s*\d+|\d+", text)
    total: Fraction = sum((Fraction(part.replace(" ", "")) for part in parts), Fraction())
    return total.numerator / total.denominator
