"""A level book from pasted text: as a field book, a table or a hand writes it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.errors import EditError, LengthError
from layoutdesk.plan.edits.levels import sound_reading
from layoutdesk.plan.edits.levels_names import BookedNames
from layoutdesk.plan.edits.pasted import MOST_ROWS, cells_of, columns_of, length_in, rows_of, split_of
from layoutdesk.plan.model import Plan, Reading, ReadingKind

_HEADERS: Final[Mapping[str, str]] = {
    "setup": "setup",
    "stand": "setup",
    "instrument": "setup",
    "point": "point",
    "pt": "point",
    "station": "point",
    "sta": "point",
    "mark": "point",
    "back": "back",
    "backsight": "back",
    "bs": "back",
    "b.s.": "back",
    "+": "back",
    "between": "between",
    "intermediate": "between",
    "intermediate sight": "between",
    "ifs": "between",
    "is": "between",
    "i.s.": "between",
    "fore": "fore",
    "foresight": "fore",
    "fs": "fore",
    "f.s.": "fore",
    "-": "fore",
    "−": "fore",
    "kind": "kind",
    "sight": "kind",
    "reading": "reading",
    "rod": "reading",
}
"""What a column may be called, and what it holds; other columns, such as heights and remarks, are passed over."""
_KINDS: Final[Mapping[str, ReadingKind]] = {
    "back": "back",
    "backsight": "back",
    "bs": "back",
    "+": "back",
    "fore": "fore",
    "foresight": "fore",
    "fs": "fore",
    "-": "fore",
    "between": "fore",
    "intermediate": "fore",
    "ifs": "fore",
    "is": "fore",
}
_WITH_SETUP: Final = ("setup", "point", "back", "fore")
_PLAIN: Final = ("point", "back", "fore")
_BETWEEN: Final = ("point", "back", "between", "fore")
"""What the columns are where no header says it: by their number, and whether the first ones are whole numbers."""

_WHOLE: Final = re.compile(r"\d{1,7}")
_SIGHTS: Final[tuple[tuple[str, ReadingKind], ...]] = (("between", "fore"), ("fore", "fore"), ("back", "back"))
"""The columns of sights: in one row the foresight belongs to the setup before, and is taken down first."""
_EMPTY: Final = ("", "-", "–", "—")


@dataclass(frozen=True, slots=True)
class ReadingsRead:
    """The readings that could be read, in the order of their rows, and a sentence for every row that could not."""

    readings: tuple[Reading, ...]
    trouble: tuple[str, ...]


def readings_from_text(text: str, plan: Plan) -> ReadingsRead:
    """Read a level book from text: rows of point, backsight, foresight, or of setup, point, backsight, foresight.

    A header row may name the columns: setup, point, back (BS, +), between (IS, IFS), fore (FS, -), or kind and
    reading; columns of heights and remarks are passed over. Without setups a row with a foresight and a
    backsight, or a backsight after a foresight, begins the next one. Rows parted by blanks stand under the words
    of a header, or are ``B1 back 4.52`` or ``1 B1 back 4.52``. Points are called by their ids, by the marks of
    piers, or are turning points. Lengths without a unit are in the unit that the header writes behind the column's
    name, or else in the plan's units. Rows that cannot be read are passed over, with a sentence each.
    """
    lines = rows_of(text)
    if len(lines) > MOST_ROWS:
        return ReadingsRead((), (f"there are {len(lines)} rows; paste at most {MOST_ROWS} at a time",))
    split = split_of([line for _, line in lines])
    rows = [(number, cells_of(line, split) if split else line.split()) for number, line in lines]
    header = _header(rows[0][1]) if rows else None
    if header is None:
        book = _Book(plan, _plain_columns([cells for _, cells in rows]) if split else (), {})
    else:
        book = _Book(plan, *header)
        rows = rows[1:]
        if not split:
            rows = [(number, _under(lines[0][1], line)) for number, line in lines[1:]]
    for number, cells in rows:
        book.take(number, cells)
    return ReadingsRead(tuple(book.readings), tuple(book.trouble))


def _header(cells: Sequence[str]) -> tuple[Sequence[str], dict[str, str]] | None:
    """Return what every column holds and the units that they name, or None when the row is no header."""
    columns, units = columns_of(cells, _HEADERS)
    if "setup" not in columns and columns.count("point") == 2:
        columns[columns.index("point")] = "setup"  # a station of the instrument, and the point that it sees
    there = set(columns)
    return (columns, units) if "point" in there and there & {"back", "fore", "reading"} else None


def _plain_columns(rows: Sequence[Sequence[str]]) -> Sequence[str]:
    """Return what the columns of a table without a header hold."""
    first = [cells[0] for cells in rows]
    if first and max(map(len, rows)) >= 3 and all(_WHOLE.fullmatch(cell) for cell in first):
        if any(len(cells) > 2 and cells[2].casefold() in _KINDS for cells in rows):
            return ("setup", "point", "kind", "reading")
        return _WITH_SETUP
    if any(len(cells) > 1 and cells[1].casefold() in _KINDS and cells[1] not in _EMPTY for cells in rows):
        return ("point", "kind", "reading")
    return _BETWEEN if rows and max(map(len, rows)) >= 4 else _PLAIN


class _Book:
    """Readings as they are taken down, row by row."""

    def __init__(self, plan: Plan, columns: Sequence[str], units: Mapping[str, str]) -> None:
        self._plan = plan
        self._columns = columns
        self._units = units
        self._names = BookedNames(plan)
        self._setup = max((r.setup for r in plan.levels.readings), default=0) + 1
        self._gone_on = False
        self.readings: list[Reading] = []
        self.trouble: list[str] = []

    def take(self, number: int, cells: Sequence[str]) -> None:
        """Take a row down, or say what is wrong with it."""
        try:
            self.readings += list(self._sights(cells))
        except (EditError, LengthError) as problem:
            self.trouble.append(f"row {number}: {problem}")

    def _sights(self, cells: Sequence[str]) -> Iterator[Reading]:
        """Yield the readings of one row."""
        entry = dict(zip(self._columns, cells, strict=False)) if self._columns else _by_blanks(cells)
        point = entry.get("point", "")
        if not point:
            raise EditError("the point is missing")
        given = [(sight, text) for sight, text in _given(entry) if text not in _EMPTY]
        if not given:
            raise EditError("the reading is missing")
        said = entry.get("setup", "")
        if "setup" in entry and not _WHOLE.fullmatch(said):
            raise EditError(f"the setup “{said[:20]}” is no whole number")
        if said and len(given) > 1:
            raise EditError("it has two sights; where setups are numbered each takes a row of its own")
        # Numbers are read before the setup goes on, so that a row that cannot be read leaves no gap.
        sights = [
            (kind, length_in(text, self._units.get(field), self._plan.units)) for (field, kind), text in given
        ]
        for kind, reading in sights:
            yield sound_reading(
                Reading(setup=int(said) if said else self._next(kind), point=point, kind=kind, reading=reading),
                self._names,
            )

    def _next(self, kind: ReadingKind) -> int:
        """Return the setup of a sight: a backsight after a foresight begins another."""
        if kind == "back" and self._gone_on:
            self._setup += 1
        self._gone_on = kind == "fore"
        return self._setup


def _given(entry: Mapping[str, str]) -> Iterator[tuple[tuple[str, ReadingKind], str]]:
    """Yield the column, the kind and the text of every sight of a row."""
    if "reading" in entry:
        kind = _KINDS.get(entry.get("kind", "").casefold())
        if kind is None:
            raise EditError(f"the kind of sight “{entry.get('kind', '')[:20]}” is neither back nor fore")
        yield ("reading", kind), entry["reading"]
    for sight in _SIGHTS:
        if sight[0] in entry:
            yield sight, entry[sight[0]]


def _under(header: str, line: str) -> list[str]:
    """Return the cells of a row that is parted by blanks, each under the word of the header above it."""
    heads = list(re.finditer(r"\S+", header))
    words = list(re.finditer(r"\S+", line))
    if len(words) == len(heads):
        return line.split()
    cells = [""] * len(heads)
    for word in words:
        middle = (word.start() + word.end()) / 2
        n = min(range(len(heads)), key=lambda n: abs(middle - (heads[n].start() + heads[n].end()) / 2))
        cells[n] = f"{cells[n]} {word[0]}".strip()
    return cells


def _by_blanks(words: Sequence[str]) -> dict[str, str]:
    """Return the entry of a row that is parted by blanks: a point, the kind of sight, and the reading."""
    at = next((n for n, word in enumerate(words) if n and word.casefold() in _KINDS), None)
    if at is None:
        raise EditError("it says neither back nor fore; write for example B1 back 4.52")
    before = list(words[:at])
    entry = {"kind": words[at], "reading": " ".join(words[at + 1 :])}
    if len(before) > 1 and _WHOLE.fullmatch(before[0]):
        entry["setup"] = before.pop(0)
    return {**entry, "point": " ".join(before)}
