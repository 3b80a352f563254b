"""Holes as dug from pasted text: one a row, with or without a header, as a sheet, a table or a hand writes them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.errors import EditError, LengthError
from layoutdesk.plan.edits.holes import refuse_hole
from layoutdesk.plan.edits.pasted import (
    MOST_ROWS,
    PointNames,
    cells_of,
    columns_of,
    length_in,
    rows_of,
    split_of,
)
from layoutdesk.plan.model import HoleLog, Plan

_HEADERS: Final[Mapping[str, str]] = {
    "pier": "pier",
    "hole": "pier",
    "mark": "pier",
    "depth": "depth",
    "top": "top",
    "top width": "top",
    "width": "top",
    "bottom": "bottom",
    "bottom width": "bottom",
    "along": "along",
    "off along": "along",
    "away": "away",
    "off away": "away",
    "water": "water",
    "date": "date",
    "by": "by",
    "who": "by",
    "poured": "poured",
}
"""What a column may be called, and the field that it holds; other columns are passed over."""
_PLAIN_COLUMNS: Final = ("pier", "depth", "top", "bottom", "along", "away", "water", "date", "by", "poured")
"""What the columns are where no header says it."""
_POURED: Final = {"yes": True, "y": True, "x": True, "true": True, "1": True, "poured": True, "✓": True} | {
    "no": False,
    "n": False,
    "": False,
    "-": False,
    "–": False,
    "false": False,
    "0": False,
}


@dataclass(frozen=True, slots=True)
class HolesRead:
    """The holes that could be read, the last row of a pier counting, and a sentence for every other row."""

    log: tuple[HoleLog, ...]
    trouble: tuple[str, ...]


def holes_from_text(plan: Plan, text: str) -> HolesRead:
    """Read holes from text: a table whose cells are parted by tab, semicolon or comma, or else by blanks.

    A header row may name the columns: pier, depth, top, bottom, along, away, water, date, by, poured; without one
    they stand in this order. Without a bottom width the hole is as wide as at the top. Piers are called by their
    ids or marks. Lengths without a unit are in the unit that the header writes behind the column's name, or else in
    the plan's units. Where blanks part the cells, two of them part lengths that hold one, as ``2' 8"``. Rows that
    cannot be read are passed over with a sentence each; piers with nothing behind them, as a sheet prints its
    blanks, without one.
    """
    lines = rows_of(text)
    if len(lines) > MOST_ROWS:
        return HolesRead((), (f"there are {len(lines)} rows; paste at most {MOST_ROWS} at a time",))
    names = PointNames((pier.id for pier in plan.piers), plan.piers, "pier")
    labels = {pier.id: pier.label for pier in plan.piers}
    split = split_of([line for _, line in lines])
    columns: Sequence[str] = _PLAIN_COLUMNS
    units: Mapping[str, str] = {}
    log: dict[str, HoleLog] = {}
    trouble: list[str] = []
    for count, (number, line) in enumerate(lines):
        if count == 0:
            header = columns_of(cells_of(line, split) if split else _words(line), _HEADERS)
            if {"pier", "depth"} <= set(header[0]):
                columns, units = header
                continue
        entry = dict(zip(columns, cells_of(line, split) if split else _cells(line, names), strict=False))
        if not any(cell for field, cell in entry.items() if field not in {"pier", ""}):
            continue
        try:
            hole = _hole(entry, units, plan, names)
            refuse_hole(hole, labels[hole.pier])
        except (EditError, LengthError) as problem:
            trouble.append(f"row {number}: {problem}")
            continue
        log[hole.pier] = hole
    return HolesRead(tuple(log.values()), tuple(trouble))


def _words(line: str) -> list[str]:
    """Return the cells that blanks part: two blanks or more where there are such, or else every one."""
    clean = line.strip()
    return re.split(r"\s{2,}", clean) if re.search(r"\s{2,}", clean) else clean.split()


def _cells(line: str, names: PointNames) -> list[str]:
    """Return pier and what was measured of a row that is parted by blanks only; a mark may hold one."""
    pier, rest = names.split_off(line.strip())
    return [pier, *_words(rest)] if rest else [pier]


def _hole(entry: Mapping[str, str], units: Mapping[str, str], plan: Plan, names: PointNames) -> HoleLog:
    """Return the hole of one row.

    Raises:
        EditError: when a cell is missing, or says what cannot be.
        LengthError: when a length cannot be read.
    """
    for field, what in (("pier", "pier"), ("depth", "depth"), ("top", "width at the top")):
        if not entry.get(field):
            raise EditError(f"the {what} is missing")

    def length(field: str) -> float:
        return length_in(entry[field], units.get(field), plan.units)

    poured = _POURED.get(entry.get("poured", "").casefold())
    if poured is None:
        raise EditError(f"whether it is poured is said by yes or no, not by “{entry['poured'][:40]}”")
    top = length("top")
    along, away, water = (length(field) if entry.get(field) else 0.0 for field in ("along", "away", "water"))
    return HoleLog(
        pier=names.id_of(entry["pier"]),
        depth=length("depth"),
        top=top,
        bottom=length("bottom") if entry.get("bottom") else top,
        along=along,
        away=away,
        water=water,
        date=entry.get("date", ""),
        by=entry.get("by", ""),
        poured=poured,
    )
