"""What the columns of a table of points mean: by their headings, or by what stands in them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, Literal

from layoutdesk.importers.points_cells import readable
from layoutdesk.importers.points_text import Row

Meaning = Literal["id", "mark", "x", "y", "station", "offset", "kind", "size", "height"]

UNITS: Final = {
    **dict.fromkeys(("mm", "millimetre", "millimeter", "millimetres", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimeter", "centimetres", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), Fraction(1000)),
    **dict.fromkeys(("in", "inch", "inches", '"', "″", "''"), Fraction(127, 5)),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′", "ift", "international feet"), Fraction(1524, 5)),
    **dict.fromkeys(("usft", "us ft", "ftus", "us survey feet", "survey feet"), Fraction(1_200_000, 3937)),
}
"""Millimetres of the units that a heading may name; the survey foot is 1200/3937 m by its definition of 1893."""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split(" "))


_NAMES: Final[dict[Meaning, frozenset[str]]] = {
    "id": _words(
        "id ident point points pt pts pnt ptid ptno pointid pointno pointnumber pointnr "
        "pointname name no nr nos num number # label key pier piers pierid pierno piername "
        "pierpoint footing footingno stake stakeno post postno column columnno punkt "
        "punktnr nummer"
    ),
    "mark": frozenset({"mark", "marks", "tag", "piermark", "marking"}),
    "x": _words("x xcoord xcoordinate xcoordinates coordx posx east easting eastings e ost rechtswert"),
    "y": _words("y ycoord ycoordinate ycoordinates coordy posy north northing northings n nord hochwert"),
    "station": _words("station stations sta stn chainage along"),
    "offset": _words("offset offsets off offs os away"),
    "kind": _words(
        "kind type description desc descr code what feature pointtype pointcode remark remarks note notes"
    ),
    "size": _words("diameter dia diam size ø d"),
    "height": _words("z h elev elevation height level zcoord zcoordinate rl ground gl groundlevel"),
}
_UNIT_WORD: Final = "|".join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))
_HEADING: Final = re.compile(
    rf"(?P<name>.+?)\s*(?:[\[(]\s*(?P<a>{_UNIT_WORD})\s*[\])]|[_/,]\s*(?P<b>{_UNIT_WORD})|\s+(?:in\s+)?(?P<c>{_UNIT_WORD}))"
    r"[.:]?\s*",
    re.IGNORECASE | re.DOTALL,
)
_UNIT_NOTE: Final = re.compile(
    rf"\bunits?\s*(?:[:=]|are|is|in)?\s*[\[(]?({_UNIT_WORD})(?![a-z])|\b(?:all\s+)?(?:in|lengths\s+in)\s+({_UNIT_WORD})(?![a-z])",
    re.IGNORECASE,
)
_HEADING_ROWS: Final = 40
"""So many rows with titles, names and dates may stand above the headings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Which column means what, and the millimetres of one unit where its heading says so.

    ``headings`` is False when there were none and the meaning was guessed; ``above`` is how many rows stand above
    the first point.
    """

    of: dict[Meaning, int]
    units: dict[Meaning, Fraction] = field(default_factory=dict)
    above: int = 0
    headings: bool = True
    names: tuple[str, ...] = ()

    @property
    def places(self) -> tuple[Meaning, Meaning]:
        """Return which two columns say where a point lies."""
        return ("x", "y") if "x" in self.of and "y" in self.of else ("station", "offset")


def columns_of(rows: Sequence[Row]) -> Columns | None:
    """Return what the columns mean, or None when no two of them can say where a point lies."""
    for at, (_, cells) in enumerate(rows[:_HEADING_ROWS]):
        found = _by_headings(cells)
        if found is None:
            continue
        of, units = found
        above = at + 1
        if at + 1 < len(rows) and (said := _unit_row(rows[at + 1][1], of)):
            units, above = {**said, **units}, at + 2
        return Columns(of=of, units=units, above=above, names=tuple(cells))
    return _by_contents(rows)


def unit_said(texts: Sequence[str]) -> Fraction | None:
    """Return the unit that a remark or a title names, as ``units: mm``."""
    for text in texts:
        if said := _UNIT_NOTE.search(text):
            return UNITS[(said[1] or said[2]).lower()]
    return None


def _heading(cell: str) -> tuple[str, Fraction | None]:
    """Return the bare name of a heading, and its unit."""
    unit = None
    text = " ".join(cell.split())
    if said := _HEADING.fullmatch(text):
        text, unit = said["name"], UNITS[(said["a"] or said["b"] or said["c"]).lower()]
    return re.sub(r"[^\w#]|_", "", text.lower()), unit


def _by_headings(cells: Sequence[str]) -> tuple[dict[Meaning, int], dict[Meaning, Fraction]] | None:
    of: dict[Meaning, int] = {}
    units: dict[Meaning, Fraction] = {}
    headings = [_heading(cell) for cell in cells]
    for at, (name, unit) in enumerate(headings):
        meaning = next((m for m, names in _NAMES.items() if name in names), None)
        if meaning is not None and meaning not in of:
            of[meaning] = at
            if unit is not None:
                units[meaning] = unit
    names = [name for name, _ in headings]
    if "x" not in of and "n" in names and "y" in of:
        of["id"] = of.pop("y")  # no east: the n is a number, as in n; station; offset
    if "x" in of and "y" in of and "offset" not in of and "station" in of:
        of.setdefault("id", of.pop("station"))  # where an instrument stood: a name
    complete = ("x" in of and "y" in of) or ("station" in of and "offset" in of)
    return (of, units) if complete else None


def _unit_row(cells: Sequence[str], of: dict[Meaning, int]) -> dict[Meaning, Fraction]:
    """Return the units that a row under the headings names; none when it is no such row."""
    said: dict[Meaning, Fraction] = {}
    for meaning, at in of.items():
        cell = cells[at].strip(" []().").lower() if at < len(cells) else ""
        if cell in UNITS:
            said[meaning] = UNITS[cell]
        elif meaning in {"x", "y", "station", "offset"}:
            return {}
    return said


def _by_contents(rows: Sequence[Row]) -> Columns | None:
    """Return the meaning of columns without headings: a name, then x, then y; a text after them is the kind."""
    sample = [cells for _, cells in rows[:500]]
    wide = max((len(cells) for cells in sample), default=0)
    share = [
        sum(at < len(cells) and readable(cells[at]) for cells in sample) / len(sample)
        for at in range(min(wide, 50))
    ]
    numeric = [at for at, part in enumerate(share) if part >= 0.6]
    if len(numeric) < 2:
        return None
    names = [cells[0] if cells else "" for cells in sample]
    first_is_text = numeric[0] > 0
    counts = not first_is_text and len(numeric) > 2 and all(re.fullmatch(r"\d{1,6}", n) for n in names if n)
    if counts and len(set(names)) == len(names):
        numeric = numeric[1:]
        first_is_text = True
    of: dict[Meaning, int] = {"x": numeric[0], "y": numeric[1]}
    if first_is_text:
        of["id"] = 0
    text = next((at for at in range(numeric[1] + 1, len(share)) if at not in numeric), None)
    if text is not None:
        of["kind"] = text
    return Columns(of=of, headings=False)
