"""Numbers in the cells of a table of points, read exactly and rounded once to the nearest float."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from layoutdesk.errors import LengthError
from layoutdesk.units import parse_length

Comma = Literal["decimal", "thousands"]

_PLAIN: Final = re.compile(r"[+-]?(?:\d{1,30}(?:\.\d{0,30})?|\.\d{1,30})(?:[eE][+-]?\d{1,3})?")
_STATIONS: Final = re.compile(r"(?P<sign>-?)(?P<whole>\d{1,5})\+(?P<rest>\d{2,3})(?P<part>\.\d{0,20})?")
_MARKED: Final = re.compile(r"['\"′″’”/½¼¾⅛⅜⅝⅞⁄]|[a-z]|\d\s*-\s*\d", re.IGNORECASE)
_NAMES_UNIT: Final = re.compile(r"['\"′″’”½¼¾⅛⅜⅝⅞⁄]|[a-z]|\d\s*/\s*\d", re.IGNORECASE)
_LONGEST: Final = 100
_FARTHEST: Final = 1e12
"""No number of a site is larger, in any unit."""


@dataclass(frozen=True, slots=True)
class Cells:
    """How the numbers of one table are written: what a comma means in them."""

    comma: Comma

    def length(self, cell: str, unit: Fraction, *, station: bool = False) -> float | None:
        """Return the length in a cell in millimetres, None when it is none.

        Args:
            cell: a number in the column's unit, or a length that carries its own.
            unit: the millimetres of one unit of the column.
            station: whether ``12+25.5`` is so many hundreds (or, with three digits, thousands) and the rest.
        """
        text = self._clean(cell)
        if _PLAIN.fullmatch(text):
            return _times(text, unit)
        if station and (said := _STATIONS.fullmatch(text)):
            size = int(said["whole"]) * 10 ** len(said["rest"]) + Fraction(said["rest"] + (said["part"] or "."))
            return float((-size if said["sign"] else size) * unit)
        if not text or len(text) > _LONGEST or not _MARKED.search(text):
            return None
        try:
            return parse_length(text, "ft-in")
        except LengthError:
            return None

    def _clean(self, cell: str) -> str:
        text = cell.replace("\u00a0", " ").replace("\u202f", " ").strip().replace("−", "-")
        if "," in text:
            if self.comma == "decimal" and "." in text and text.rindex(",") > text.rindex("."):
                text = text.replace(".", "")
            text = text.replace(",", "." if self.comma == "decimal" else "")
        if " " in text and re.fullmatch(r"[+-]?\d{1,3}(?: \d{3})+(?:\.\d*)?", text):
            text = text.replace(" ", "")
        return text


def comma_of(cells: Iterable[str], delimiter: str) -> Comma:
    """Return what a comma means in the numbers of a table.

    One before exactly three digits may part thousands; a semicolon between cells says that it does not.
    """
    with_comma = [cell for cell in cells if "," in cell]
    if delimiter == ";" and not any("." in cell.partition(",")[2] for cell in with_comma):
        return "decimal"
    if any(re.search(r",\d{3},", cell) or "." in cell.rpartition(",")[2] for cell in with_comma):
        return "thousands"
    if any(re.search(r",(?!\d{3}(?!\d))|(?:^|\D)0,", cell) for cell in with_comma):
        return "decimal"
    return "thousands"


def readable(cell: str) -> bool:
    """Return whether a cell looks like a length at all."""
    return any(Cells(comma).length(cell, Fraction(1)) is not None for comma in ("decimal", "thousands"))


def names_its_unit(cell: str) -> bool:
    """Return whether a length carries its own unit, as ``12' 4 1/2"`` and ``3.81 m`` do."""
    return not is_bare(cell) and bool(_NAMES_UNIT.search(cell))


def is_bare(cell: str) -> bool:
    """Return whether a cell is a number without a unit."""
    return bool(_PLAIN.fullmatch(cell.replace(",", ".").replace("−", "-")))


def _times(text: str, unit: Fraction) -> float | None:
    rough = float(text)
    if not math.isfinite(rough) or abs(rough) > _FARTHEST:
        return None
    if unit == 1:
        return rough + 0.0
    return float(Fraction(text) * unit)
