"""Measures from pasted text: one a row, with or without a header, as a sheet, a table or a hand writes them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from layoutdesk.errors import EditError, LengthError
from layoutdesk.plan.edits.pasted import (
    MOST_ROWS,
    PointNames,
    cells_of,
    columns_of,
    length_in,
    rows_of,
    split_of,
)
from layoutdesk.plan.edits.tapes import point_ids, sound_tape
from layoutdesk.plan.model import TAKEN_CLASSES, Plan, TakenClass, Tape, TapeKind
from layoutdesk.units import parse_angle, parse_length

_HEADERS: Final[Mapping[str, str]] = {
    "from": "start",
    "start": "start",
    "to": "end",
    "end": "end",
    "distance": "distance",
    "taped": "distance",
    "measured": "distance",
    "length": "distance",
    "class": "tape_class",
    "tape class": "tape_class",
    "kind": "kind",
    "third": "third",
    "line to": "third",
    "rise": "rise",
    "slope": "slope",
    "legs": "legs",
}
"""What a column may be called, and the field that it holds; other columns are passed over."""
_PLAIN_COLUMNS: Final = ("start", "end", "distance", "tape_class")
"""What the columns are where no header says it."""


@dataclass(frozen=True, slots=True)
class TapesRead:
    """The measures that could be read, in the order of their rows, and a sentence for every row that could not."""

    tapes: tuple[Tape, ...]
    trouble: tuple[str, ...]


def tapes_from_text(text: str, plan: Plan) -> TapesRead:
    """Read measures from text: ``C1 P1 12' 4 3/8"``, or a table whose cells are parted by tab, semicolon or comma.

    A header row may name the columns: from, to, distance, class, kind, third, rise, slope, legs (``6' x 8'``);
    without one they are from, to, distance, class. A right angle has its degrees as distance. Points are called by
    their ids or marks. Lengths without a unit are in the unit that the header writes behind the column's name,
    or else in the plan's units; measures without a class have that of the tape at hand. Rows that cannot be read
    are passed over, with a sentence each.
    """
    lines = rows_of(text)
    if len(lines) > MOST_ROWS:
        return TapesRead((), (f"there are {len(lines)} rows; paste at most {MOST_ROWS} at a time",))
    ids = point_ids(plan)
    names = PointNames(ids, plan.piers, "control point, attachment or pier")
    split = split_of([line for _, line in lines])
    columns: Sequence[str] = _PLAIN_COLUMNS
    units: Mapping[str, str] = {}
    tapes: list[Tape] = []
    trouble: list[str] = []
    for count, (number, line) in enumerate(lines):
        cells = cells_of(line, split) if split else _words(line, names)
        if count == 0 and (header := _header(cells if split else line.split())):
            columns, units = (header[0] if split else columns), header[1]
            continue
        try:
            entry = dict(zip(columns, cells, strict=False))
            tapes.append(sound_tape(_tape(entry, units, plan, names), ids))
        except (EditError, LengthError) as problem:
            trouble.append(f"row {number}: {problem}")
    return TapesRead(tuple(tapes), tuple(trouble))


def _words(line: str, names: PointNames) -> list[str]:
    """Return start, end, distance and, if it is there, the class of a row that is parted by blanks only."""
    start, rest = names.split_off(line.strip())
    end, rest = names.split_off(rest)
    distance, _, last = rest.rpartition(" ")
    if distance and last in TAKEN_CLASSES:
        return [start, end, distance.strip(), last]
    return [start, end, rest]


def _header(cells: Sequence[str]) -> tuple[list[str], dict[str, str]] | None:
    """Return the field of every column and the units that it names, or None when the row is no header."""
    columns, units = columns_of(cells, _HEADERS)
    return (columns, units) if {"start", "end", "distance"} <= set(columns) else None


def _tape(entry: Mapping[str, str], units: Mapping[str, str], plan: Plan, names: PointNames) -> Tape:
    """Return the measure of one row.

    Raises:
        EditError: when a cell is missing, or says what cannot be.
        LengthError: when a length cannot be read.
    """
    for field, what in (("start", "first point"), ("end", "second point"), ("distance", "distance")):
        if not entry.get(field):
            raise EditError(f"the {what} is missing")
    kind = (entry.get("kind") or "distance").casefold()
    angle = kind == "right angle"
    tape = Tape(
        start=names.id_of(entry["start"]),
        end=names.id_of(entry["end"]),
        distance=parse_angle(entry["distance"]) if angle else _length(entry, "distance", units, plan),
        tape_class=cast("TakenClass", entry.get("tape_class") or plan.tape_at_hand.tape_class),
        kind=cast("TapeKind", kind),
    )
    more: dict[str, Any] = {}
    if third := entry.get("third"):
        more["third"] = names.id_of(third)
    if entry.get("rise"):
        more["rise"] = _length(entry, "rise", units, plan)
    if slope := entry.get("slope"):
        more["slope"] = parse_angle(slope)
    if entry.get("legs"):
        legs = [parse_length(leg, plan.units) for leg in entry["legs"].split(" x ")]
        if len(legs) != 2:
            raise EditError("the legs of the triangle are two lengths with an x between, as 6' x 8'")
        more["legs"] = (legs[0], legs[1])
    return replace(tape, **more)


def _length(entry: Mapping[str, str], field: str, units: Mapping[str, str], plan: Plan) -> float:
    return length_in(entry[field], units.get(field), plan.units)
