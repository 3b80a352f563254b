"""The text of a dimension, as people draw it, to a length: counts, overall lengths, marks and words around it.

The length itself is read by :func:`layoutdesk.units.parse_length`; what is done here is to find it in the text.
How dimensions are written on building drawings is common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final, Literal

from layoutdesk.errors import LengthError
from layoutdesk.importers.lettered import Found, find_length, in_plain_signs
from layoutdesk.units import Units

MOST_LETTERS: Final = 80
LONGEST_IN_THOUSANDS: Final = 60_000.0
"""In millimetres: ``3.500`` is three and a half metres, but ``250.000`` is no side of a porch."""
_COUNT: Final = re.compile(
    r"^\(?\s*(?P<count>\d{1,4})\s*\)?\s*(?P<how>@|X(?![A-Z])|×"
    r"|(?:EQ(?:UAL|UALLY)?\.?\s*)?(?:SP(?:A|ACES?|ACINGS?|CS)?|BAYS?|DIV(?:ISIONS)?)\.?(?![A-Z])\s*(?:@|AT)?"
    r"|EQ(?:UAL)?\.?(?![A-Z])\s*@?)\s*"
)
_COUNT_IN_BRACKETS: Final = re.compile(r"^\(\s*(?P<count>\d{1,4})\s*\)\s*(?=[\d.RØ])")
_PLACES: Final = re.compile(r"\(?\s*\d{1,4}\s*(?:PLACES|PLCS?|PL)\.?\s*\)?")
_DIAMETER: Final = re.compile(r"[Ø⌀∅Φ]|(?<![A-Z])DIA(?:M|METER)?\.?(?![A-Z])")
_RADIUS: Final = re.compile(
    r"(?<![A-Z])R(?:AD(?:IUS)?)?\.?\s*=?\s*(?=[\d.])|(?<=[\d\"'M])\s*R(?:AD(?:IUS)?)?\.?(?![A-Z.])"
)
_ABOUT: Final = re.compile(r"±|\+\s*/\s*-|[~≈]|(?<![A-Z])(?:APPROX(?:IMATELY)?|ABOUT|ABT)\.?(?![A-Z])")
_BOUND: Final = re.compile(r"[≥≤]|(?<![A-Z])(?:MIN(?:IMUM)?|MAX(?:IMUM)?)\.?(?![A-Z])")
_EQUAL: Final = re.compile(r"^EQ(?:UAL)?\.?$")
_WORD: Final = re.compile(r"[^\s()\[\],;:]+")

USUAL_WORDS: Final = frozenset(
    {"TYP", "TYPICAL", "OC", "CC", "C/C", "CTR", "CTRS", "CENTER", "CENTERS", "CENTRES", "ON", "TO", "CL", "CLR"}
    | {"CLEAR", "VIF", "UNO", "UON", "NTS", "REF", "NOM", "NOMINAL", "EQ", "EQUAL", "HOLD", "VERIFY", "FIELD", "IN"}
    | {"SIM", "OA", "O/A", "OVERALL", "EXIST", "EXISTING", "E", "N", "NEW", "FV", "SPACES", "SPA", "SP", "BAYS"}
    | {"F/F", "FACE", "OF", "THK", "THICK", "LONG", "WIDE", "DEEP", "HIGH"}
)
"""Words that stand in dimensions, without their points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenText:
    """What the text of a dimension says.

    ``value`` is the length in millimetres, or the number alone where ``bare`` says that neither the text nor the
    reader knows its unit (then ``overall`` and ``step`` are such numbers too). It is None when only equal spaces
    are counted. ``count`` is how often it repeats, ``overall`` what is written after ``=``, and ``step`` is to what
    it is written: half of it is how far the number may be off. ``within`` is a tolerance written behind it,
    ``about`` that it is only about so long, ``bound`` that it is the least or the most. ``repeats`` is True when
    the count belongs to spaces side by side (``4 @``), not to pieces (``(2)``). ``usual`` says that the ``words``
    around it are such as stand in dimensions.
    """

    text: str
    value: float | None
    bare: bool = False
    feet: bool = False
    step: float = 0.0
    count: int = 1
    repeats: bool = False
    overall: float | None = None
    within: float = 0.0
    about: bool = False
    bound: Literal["", "least", "most"] = ""
    mark: Literal["", "diameter", "radius"] = ""
    words: tuple[str, ...] = ()
    usual: bool = True

    @property
    def total(self) -> float | None:
        """Return the length that all of it takes: the overall one, or the value as often as it repeats."""
        if self.overall is not None or self.value is None:
            return self.overall
        return self.value * self.count if self.repeats else self.value


@dataclass(frozen=True, slots=True)
class Unread:
    """Why a text was not read, as the rest of a sentence that begins with the text."""

    why: str


def read_written(text: str, units: Units | None) -> WrittenText | None:
    """Return what the text of a dimension says, None when it cannot be read in exactly one way.

    Args:
        text: as it is seen on the drawing.
        units: what a bare number means; None when that is not known: it then stays a bare number.
    """
    found = read_or_why(text, units)
    return None if isinstance(found, Unread) else found


def read_or_why(text: str, units: Units | None) -> WrittenText | Unread:
    """Return what the text of a dimension says, or why it cannot be read; as :func:`read_written`."""
    found = readings(text, units)
    if isinstance(found, Unread):
        return found
    if len(found) == 1:
        return found[0]
    first = found[0]
    if units == "mm" and not first.feet and (first.total or 0) <= LONGEST_IN_THOUSANDS:
        return first  # nobody writes a thousandth of a millimetre on a building
    said = " or ".join(f"{r.total:g}" for r in found)
    return Unread(f"can be read in {len(found)} ways ({said}{'' if found[0].bare else ' mm'})")


def readings(text: str, units: Units | None) -> tuple[WrittenText, ...] | Unread:
    """Return every way in which the text of a dimension can be read, the more usual one first, or why in none.

    There are two where a point or comma before three digits may part thousands or decimals, and where a
    fraction has grown together with the number before it.
    """
    if len(text) > MOST_LETTERS:
        return Unread("is longer than a dimension")
    rest = in_plain_signs(text).upper().strip()
    if rest.startswith("(") and rest.endswith(")") and rest.count("(") == 1:
        rest = rest[1:-1].strip()  # a dimension for reference
    left, equals, right = rest.partition("=")
    if left.strip(" .") in {"R", "RAD", "DIA", "Ø"}:
        left, equals, right = f"{left} {right}", "", ""  # "R = 6""
    if "=" in right:
        return Unread("has more than one =")
    start = WrittenText(text=text, value=None)
    try:
        found = _left_side(left.strip(), start, units)
        if equals:
            found = _with_overall(found, right.strip(), units)
    except LengthError as error:
        return Unread(str(error).split("”", 1)[-1].split(";", 1)[0].strip() or "is no length")
    except _CannotReadError as error:
        return Unread(str(error))
    return found


class _CannotReadError(Exception):
    """Carries the reason to where it is turned into :class:`Unread`."""


def _left_side(rest: str, said: WrittenText, units: Units | None) -> tuple[WrittenText, ...]:
    """Return the readings of what stands before ``=``."""
    rest = _PLACES.sub(" ", rest)
    if m := _COUNT.match(rest):
        rest = rest[m.end() :]
        if not int(m["count"]):
            raise _CannotReadError("repeats a length 0 times")
        said = replace(
            said,
            count=int(m["count"]),
            repeats=True,
            words=tuple(_WORD.findall(m["how"])) if m["how"][0] in "ES" else (),
        )
    elif m := _COUNT_IN_BRACKETS.match(rest):
        rest = rest[m.end() :]
        said = replace(said, count=max(1, int(m["count"])))
    rest, said = _marks(rest, said)
    lengths, rest = _lengths(rest)
    if not lengths:
        if said.repeats or _EQUAL.match(rest.strip()):
            return (_with_words(said, rest),)
        raise _CannotReadError("holds no length")
    if len(lengths) == 2 and said.about:
        within = lengths[1].values(units)[0]
        said = replace(said, about=False, within=within.value)
        lengths = lengths[:1]
    if len(lengths) == 2:
        lengths = _one_of_two(lengths, units)
    if len(lengths) > 2:
        raise _CannotReadError(f"holds {len(lengths)} lengths")
    if said.repeats and _may_be_a_size(said, lengths[0], units):
        raise _CannotReadError("may be a size as well as a count and a length")
    said = _with_words(said, rest)
    return tuple(
        replace(said, value=v.value, bare=v.bare, feet=v.feet, step=v.step) for v in lengths[0].values(units)
    )


def _marks(rest: str, said: WrittenText) -> tuple[str, WrittenText]:
    """Take diameter, radius, about, least and most out of the text."""
    for pattern, change in (
        (_DIAMETER, {"mark": "diameter"}),
        (_RADIUS, {"mark": "radius"}),
        (_ABOUT, {"about": True}),
    ):
        rest, times = pattern.subn(" | " if pattern is _ABOUT else " ", rest)
        if times:
            said = replace(said, **change)
    if m := _BOUND.search(rest):
        said = replace(said, bound="least" if m[0][:3] in {"MIN", "≥"} else "most")
        rest = _BOUND.sub(" ", rest)
    return rest, said


def _lengths(rest: str) -> tuple[list[Found], str]:
    """Return all lengths of a text, and the text without them."""
    found: list[Found] = []
    at = 0
    left = ""
    while (length := find_length(rest, at)) is not None:
        left += rest[at : length.start] + " "
        found.append(length)
        at = length.end
    left += rest[at:]
    if re.search(r"\d", left):
        raise _CannotReadError("has a number that is no length")
    return found, left


def _one_of_two(lengths: list[Found], units: Units | None) -> list[Found]:
    """Return the first of two lengths that say the same in other units, as in ``8'-2" [2489]``."""
    first, second = (found.values(units)[0] for found in lengths)
    if second.bare and first.feet:
        second = lengths[1].values("mm")[0]
    if first.bare and second.feet:
        lengths, first = [lengths[1], lengths[0]], lengths[0].values("mm")[0]
    if first.bare or second.bare or first.feet == second.feet:
        raise _CannotReadError("holds 2 lengths")
    if abs(first.value - second.value) > max(first.step, second.step):
        raise _CannotReadError("holds 2 lengths that differ")
    return lengths[:1]


def _may_be_a_size(said: WrittenText, length: Found, units: Units | None) -> bool:
    """Return whether ``4 x 6`` may be the size of a post."""
    value = length.values(units)[0]
    return value.bare and value.value < 100 and "@" not in said.text and "=" not in said.text


def _with_words(said: WrittenText, rest: str) -> WrittenText:
    words = (*said.words, *(w for w in _WORD.findall(rest.replace("|", " ")) if w not in {"-", "@", ".", "&"}))
    usual = all(w.replace(".", "") in USUAL_WORDS for w in words)
    return replace(said, words=words, usual=usual)


def _with_overall(found: tuple[WrittenText, ...], right: str, units: Units | None) -> tuple[WrittenText, ...]:
    """Return the readings with what stands after ``=``."""
    lengths, rest = _lengths(right)
    if len(lengths) != 1:
        raise _CannotReadError("has no length after =" if not lengths else "has two lengths after =")
    if not all(said.repeats or said.count > 1 for said in found):
        raise _CannotReadError("sets two lengths equal")
    paired: list[WrittenText] = []
    for said in found:
        for v in lengths[0].values(units):
            if said.value is not None and v.bare != said.bare:
                continue
            step = min(v.step, said.step) if said.step else v.step
            more = replace(said, overall=v.value, bare=v.bare, feet=v.feet or said.feet, step=step)
            paired.append(_with_words(more, rest))
    if not paired:
        raise _CannotReadError("has a unit on one side of = only")
    if len(paired) > 2:  # of two numbers with a point each, both are meant in the same way
        paired = [paired[0], paired[-1]]
    return tuple(paired)
