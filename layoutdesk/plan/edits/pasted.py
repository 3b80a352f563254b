"""Text that was pasted as a table: its rows, the cells of each, what its columns are, and the lengths in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.plan.model import Pier
from layoutdesk.units import Units, parse_length

MOST_ROWS: Final = 10_000
"""More rows than this are nothing that was booked on one site."""
_SPLITS: Final = ("\t", ";", ",")
_COMMA: Final = re.compile(r"(\d),(\d{1,2}|\d{4,})(?!\d)")
_UNIT: Final = re.compile(r"[(\[,/]?\s*\b(mm|cm|m|ft|in)\b\s*[)\]]?$")
_PLAIN_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")


def rows_of(text: str) -> list[tuple[int, str]]:
    """Return the rows that hold something, with their numbers from 1 on."""
    return [(n, line) for n, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1) if line.strip()]


def split_of(lines: Sequence[str]) -> str:
    """Return what parts the cells, nothing where it is blanks: a comma may also stand in a number."""
    for sign in _SPLITS:
        least = 2 if sign == "," else 1
        if lines and sum(line.count(sign) >= least for line in lines) * 2 > len(lines):
            return sign
    return ""


def cells_of(line: str, split: str) -> list[str]:
    """Return the cells of a row; one between quotation marks may hold the sign that parts them."""
    cells: list[str] = []
    rest = line
    while True:
        quoted = re.match(rf'\s*"((?:[^"]|"")*)"\s*(?={re.escape(split)}|$)', rest)
        if quoted:
            cells.append(quoted[1].replace('""', '"').strip())
            rest = rest[quoted.end() :]
            found, rest = rest[:1], rest[1:]
        else:
            cell, found, rest = rest.partition(split)
            cells.append(cell.strip())
        if not found:
            return cells


def columns_of(cells: Sequence[str], headers: Mapping[str, str]) -> tuple[list[str], dict[str, str]]:
    """Return the field of every column of a header row, empty for one passed over, and the units it names."""
    columns: list[str] = []
    units: dict[str, str] = {}
    for cell in cells:
        name = cell.strip().casefold()
        unit = _UNIT.search(name)
        if unit and name[: unit.start()].strip() in headers:
            name = name[: unit.start()].strip()
            units[headers[name]] = unit[1]
        columns.append(headers.get(name, ""))
    return columns, units


def length_in(text: str, unit: str | None, units: Units) -> float:
    """Return a length of a table in mm: a bare number is in the unit of its column, or else in that of the plan.

    Raises:
        LengthError: when it cannot be read.
    """
    plain = _COMMA.sub(r"\1.\2", text.removeprefix("+").strip())
    if unit and _PLAIN_NUMBER.fullmatch(plain):
        plain = f"{plain} {unit}"
    return parse_length(plain, units)


class PointNames:
    """What points of a plan are called: by their ids and, where that is one point only, by the marks of piers."""

    def __init__(self, ids: Iterable[str], piers: Iterable[Pier], what: str) -> None:
        self._what = what
        self._by_name: dict[str, set[str]] = {}
        for pier in piers:
            if pier.mark:
                self._by_name.setdefault(pier.mark, set()).add(pier.id)
        for name in ids:
            self._by_name[name] = {name}  # an id counts for more than the mark of another
        self._small: dict[str, set[str]] = {}
        for name, found in self._by_name.items():
            self._small.setdefault(name.casefold(), set()).update(found)
        self._longest_first = sorted(self._by_name, key=len, reverse=True)

    def id_of(self, name: str) -> str:
        """Return the id of the point that is called so, in small letters or large.

        Raises:
            EditError: when none is called so, or several are.
        """
        found = self._by_name.get(name) or self._small.get(name.casefold())
        if not found:
            raise EditError(f"there is no {self._what} “{name[:40]}” in this plan")
        if len(found) > 1:
            raise EditError(f"{' and '.join(sorted(found))} are both called “{name[:40]}”; write the id")
        return next(iter(found))

    def split_off(self, text: str) -> tuple[str, str]:
        """Return the name that a text begins with, which may hold blanks, and what follows it."""
        for name in self._longest_first:
            if text.startswith(name) and text[len(name) : len(name) + 1].isspace():
                return name, text[len(name) :].strip()
        name, _, rest = text.partition(" ")
        return name, rest.strip()
