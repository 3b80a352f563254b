"""A table of points, from a file or from the clipboard of a spreadsheet, as a proposal."""

from __future__ import annotations

import re
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from layoutdesk.errors import FileError
from layoutdesk.geometry.frame import Frame
from layoutdesk.geometry.vector import Vector, plus
from layoutdesk.importers.linework import Passed, Progress
from layoutdesk.importers.points_cells import Cells, comma_of, is_bare, names_its_unit
from layoutdesk.importers.points_columns import UNITS, Columns, Meaning, columns_of, unit_said
from layoutdesk.importers.points_kinds import kind_of, letters_of
from layoutdesk.importers.points_text import (
    MOST_BYTES,
    MOST_ROWS,
    Row,
    comments_of,
    decoded,
    delimiter_of,
    lines_of,
    rows_of,
)
from layoutdesk.importers.proposal import Candidate, Group, Proposal, ScaleGuess
from layoutdesk.plan.model import Baseline
from layoutdesk.plan.rules import MOST_NAME
from layoutdesk.plan.whole import shown
from layoutdesk.units import LIMIT_MM, Units

LAYER: Final = "points"
OWN_HEADINGS: Final = ("id", "x", "y", "station", "offset", "mark")
OWN_HEIGHTS: Final = ("ground", "top", "bottom", "cut_length")
"""Those of the table that this program writes, in millimetres, with or without heights; it names no unit."""

_FAR_MM: Final = 0.5 * LIMIT_MM
_REACH_MM: Final = 0.95 * LIMIT_MM
_TELL_EVERY: Final = 1000
_ROWS_SAID: Final = 5
_NOUGHT: Final = re.compile(r"[-+−]?0*[.,]?0*")
_SITE_MM: Final = (1500.0, 120_000.0)
"""How long the longer side of all points together plausibly is."""


def read_points_file(
    path: Path, *, unit: float | None = None, baseline: Baseline | None = None, tell: Progress | None = None
) -> Proposal:
    """Return what :func:`read_points` makes of a file.

    Raises:
        FileError: when it cannot be read, or holds no points.
    """
    name = shown(path)
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        trouble = getattr(error, "strerror", None) or "its name is not possible"
        raise FileError(
            f"{name}: it cannot be read ({trouble}); check the name and whether you may read it"
        ) from None
    return read_points(decoded(data, name), name, unit=unit, baseline=baseline, tell=tell)


def read_points(
    text: str,
    name: str,
    *,
    unit: float | None = None,
    baseline: Baseline | None = None,
    tell: Progress | None = None,
) -> Proposal:
    """Return the points of a table: one a row, cells parted by commas, semicolons, tabs, bars or blanks.

    Headings say what the columns are, and their unit; without headings they are a name, x and y. Rows with station
    and offset are laid from the baseline, or along x with offsets downward when there is none.

    Args:
        text: the table.
        name: what messages call it.
        unit: millimetres of one unit, for a table that does not say; the scale is not sure when nobody says.
        baseline: what stations and offsets are from.
        tell: is told how much is done, from 0 to 1; what it raises ends the work.

    Raises:
        FileError: when no points are in it, or more than a plan can hold.
    """
    lines = lines_of(text, name)
    delimiter = delimiter_of(lines)
    rows = list(rows_of(lines, delimiter))
    if not rows:
        raise FileError(
            f"{name}: it is empty; a table of points has a heading such as id, x, y and one point a row"
        )
    columns = columns_of(rows)
    if columns is None:
        raise FileError(
            f"{name}: no two of its columns say where points lie; head them x and y, or station and offset"
        )
    if len(rows) - columns.above > MOST_ROWS:
        raise FileError(f"{name}: it has more than {MOST_ROWS:,} rows; keep the rows of the points of this plan")
    table = _Table(rows, columns, delimiter)
    scale, units = table.scale(unit, [*comments_of(lines), *_above(rows, columns)])
    table.read(scale, baseline, tell)
    if not table.points:
        why = f" ({table.passed()[0].why})" if table.wrong else ""
        raise FileError(f"{name}: it holds no point that can be read{why}; give every row an x and a y as numbers")
    return table.proposal(name, scale, units)


def _above(rows: Sequence[Row], columns: Columns) -> Iterator[str]:
    """Yield the texts above the headings."""
    for _, cells in rows[: max(0, columns.above - 1)]:
        yield " ".join(cells)


@dataclass(frozen=True, slots=True)
class _Point:
    at: Vector
    name: str
    mark: str
    kind: str
    size: float
    height: float | None = None


class _Table:
    """The rows of one table while its points are read."""

    def __init__(self, rows: Sequence[Row], columns: Columns, delimiter: str) -> None:
        self.rows = rows[columns.above :]
        self.columns = columns
        self.points: list[_Point] = []
        self.wrong: dict[str, list[int]] = {}
        self.notes: list[str] = []
        self.shift: Vector = (0.0, 0.0)
        self.odd_heights = 0
        read = [*columns.places, *(("size",) if "size" in columns.of else ())]
        sample = [self._cell(cells, meaning) for _, cells in self.rows for meaning in read]
        self.cells = Cells(comma_of(sample, delimiter))
        # Nought is nought in every unit.
        some = [cell for cell in sample if cell and not _NOUGHT.fullmatch(cell)]
        bare = any(is_bare(cell) for cell in some)
        self.marked = not bare and any(map(names_its_unit, some))
        """Whether the lengths carry their own units, each of them."""
        self._own_units = "ft-in" if any(c in cell for cell in some for c in "'\"′″/") else "m"

    def _cell(self, cells: Sequence[str], meaning: Meaning) -> str:
        at = self.columns.of.get(meaning, -1)
        return cells[at] if 0 <= at < len(cells) else ""

    def scale(self, asked: float | None, texts: Sequence[str]) -> tuple[ScaleGuess, Units]:
        """Return the millimetres of a bare number, and how lengths are then shown."""
        first = self.columns.units.get(self.columns.places[0]) or self.columns.units.get(self.columns.places[1])
        if first is not None:
            return ScaleGuess(scale=float(first), why="its headings say so"), _shown_in(float(first))
        headings = tuple(name.lower() for name in self.columns.names)
        if headings in {OWN_HEADINGS, (*OWN_HEADINGS, *OWN_HEIGHTS)}:
            return ScaleGuess(scale=1.0, why="its headings are those of a table that this program writes"), "mm"
        if self.marked:
            own: Units = "ft-in" if self._own_units == "ft-in" else "m"
            return ScaleGuess(scale=304.8 if own == "ft-in" else 1.0, why="its lengths carry their unit"), own
        if (said := unit_said(texts)) is not None:
            return ScaleGuess(scale=float(said), why="a remark in it says so"), _shown_in(float(said))
        if asked is not None:
            return ScaleGuess(scale=asked, why="as it was asked for"), _shown_in(asked)
        guess = self._plausible()
        return ScaleGuess(
            scale=guess, why="by the size of a building site; nothing in it says", sure=False
        ), _shown_in(guess)

    def _plausible(self) -> float:
        """Return the unit under which the points spread as far as those of a building site."""
        one, other = self.columns.places
        spans = []
        for meaning in (one, other):
            read = [self.cells.length(self._cell(cells, meaning), Fraction(1)) for _, cells in self.rows[:5000]]
            numbers = [n for n in read if n is not None]
            spans.append(max(numbers) - min(numbers) if numbers else 0.0)
        for unit in (1.0, 1000.0, 304.8, 25.4, 10.0):
            if _SITE_MM[0] <= max(spans) * unit <= _SITE_MM[1]:
                return unit
        return 1.0

    def read(self, scale: ScaleGuess, baseline: Baseline | None, tell: Progress | None) -> None:
        """Read every row: into a point, or among those that are passed over."""
        one, other = self.columns.places
        bare = _exact(scale.scale)
        units = [self.columns.units.get(m, bare) for m in (one, other, "size")]
        of_heights = self.columns.units.get("height", units[0])
        by_station = one == "station"
        for done, (number, cells) in enumerate(self.rows):
            if tell is not None and done % _TELL_EVERY == 0:
                tell(done / len(self.rows))
            texts = self._cell(cells, one), self._cell(cells, other)
            a = self.cells.length(texts[0], units[0], station=by_station)
            b = self.cells.length(texts[1], units[1])
            if a is None or b is None:
                meaning, cell = (one, texts[0]) if a is None else (other, texts[1])
                self._pass(
                    number, f"{meaning} is empty" if not cell else f"{meaning} is no length, as “{_short(cell)}”"
                )
                continue
            name = _clean(self._cell(cells, "id"))
            kind = _clean(self._cell(cells, "kind"))
            size = self.cells.length(self._cell(cells, "size"), units[2]) or 0.0
            mark = _clean(self._cell(cells, "mark")) or name
            height = self._height(self._cell(cells, "height"), of_heights)
            self.points.append(_Point((a, b), name, mark, kind, size if 0 < size <= LIMIT_MM else 0.0, height))
        if by_station:
            self._lay(baseline)
        if not self.columns.headings:
            self.notes.append("It has no headings, so its columns were taken as a name, x and y.")
        if any(p.height is not None for p in self.points):
            self.notes.append(
                "Heights in it are taken as elevations above the zero of the job: check the benchmark."
            )
        if self.odd_heights:
            are = "height is no length" if self.odd_heights == 1 else "heights are no lengths"
            self.notes.append(f"{self.odd_heights:,} {are}, and left out.")
        self._bring_near()
        if tell is not None:
            tell(1.0)

    def _height(self, cell: str, unit: Fraction) -> float | None:
        """Return the height that a row says, None for none; one that cannot be is counted."""
        if not cell:
            return None
        height = self.cells.length(cell, unit)
        if height is None or abs(height) > LIMIT_MM:
            self.odd_heights += 1
            return None
        return height

    def _lay(self, baseline: Baseline | None) -> None:
        if baseline is None:
            self.points = [replace(p, at=(p.at[0], -p.at[1])) for p in self.points]
            self.notes.append("There is no baseline yet, so stations were laid along x and offsets downward.")
            return
        frame = Frame.through(baseline.origin, baseline.toward, yard_on_right=baseline.yard_side == "right")
        self.points = [replace(p, at=frame.point(*p.at)) for p in self.points]
        self.notes.append("Stations and offsets were laid from the baseline of this plan.")

    def _bring_near(self) -> None:
        """Shift points that lie too far from zero by whole metres; pass over those that lie too far from them."""
        if not self.points:
            return
        typical = [statistics.median(p.at[axis] for p in self.points) for axis in (0, 1)]
        if max(map(abs, typical)) > _FAR_MM:
            self.shift = (-1000.0 * round(typical[0] / 1000), -1000.0 * round(typical[1] / 1000))
            x, y = (f"{v / 1000:,.0f} m" for v in self.shift)
            self.notes.append(
                f"The points lie more than 5 km from zero, so {x} was added to every x and {y} to every y."
            )
        near = []
        for p in self.points:
            at = plus(p.at, self.shift) if self.shift != (0.0, 0.0) else p.at
            if max(abs(at[0]), abs(at[1])) > _REACH_MM:
                self.wrong.setdefault("they lie too far from all else", []).append(0)
            else:
                near.append(replace(p, at=at))
        self.points = near

    def _pass(self, number: int, why: str) -> None:
        self.wrong.setdefault(why, []).append(number)

    def passed(self) -> tuple[Passed, ...]:
        """Return the rows that were passed over, those with one reason together and with their numbers."""
        merged: dict[str, list[int]] = {}
        for why, numbers in self.wrong.items():
            # Each wrong cell by its own words would be as long as the table.
            merged.setdefault(why if len(self.wrong) <= 10 else why.partition(",")[0], []).extend(numbers)
        return tuple(
            Passed("row" if len(numbers) == 1 else "rows", len(numbers), f"{why}{_numbers(numbers)}")
            for why, numbers in merged.items()
        )

    def proposal(self, name: str, scale: ScaleGuess, units: Units) -> Proposal:
        """Return the points as candidates, those of a kind together."""
        groups: dict[str, Group] = {}
        candidates = []
        for p in self.points:
            what = f"“{p.kind}”" if p.kind else f"points {letters_of(p.name)}…"
            what = "points without a name" if not p.kind and not letters_of(p.name) else what
            group = groups.setdefault(what.lower(), Group(key=what.lower(), what=what, layer=LAYER))
            becomes = kind_of(p.kind, p.name, height=p.height is not None)
            candidates.append(
                Candidate(
                    becomes=becomes,
                    group=group.key,
                    layer=LAYER,
                    centre=p.at,
                    size=p.size,
                    height=p.height,
                    mark=p.mark,
                    why="by its kind" if p.kind else "by its name",
                    sure=0.9 if p.kind or letters_of(p.name) else 0.6,
                )
            )
        return Proposal(
            name=name,
            scale=scale,
            candidates=tuple(candidates),
            groups=tuple(groups.values()),
            shift=self.shift,
            passed=self.passed(),
            notes=tuple(self.notes),
            units=units,
        )


def _exact(scale: float) -> Fraction:
    """Return the millimetres of a unit as the exact number that they are meant to be."""
    return next((unit for unit in UNITS.values() if float(unit) == scale), Fraction(scale))


def _shown_in(unit: float) -> Units:
    """Return how lengths are shown that came in a unit."""
    if unit in {1.0, 10.0}:
        return "mm"
    return "m" if unit == 1000.0 else "ft-in"


def _clean(text: str) -> str:
    """Return a name as a plan may hold it; an apostrophe before a sign is how spreadsheets keep it text."""
    text = text[1:] if len(text) > 1 and text[0] == "'" and text[1] in "=+-@" else text
    return "".join(c if c.isprintable() else " " for c in text).strip(' "')[:MOST_NAME].strip()


def _short(cell: str) -> str:
    text = "".join(c if c.isprintable() else "\ufffd" for c in cell)
    return text if len(text) <= 24 else f"{text[:23]}…"


def _numbers(numbers: Sequence[int]) -> str:
    """Return the numbers of rows in words, none when they are not known."""
    some = [str(n) for n in numbers if n][:_ROWS_SAID]
    if not some:
        return ""
    more = len(numbers) - len(some)
    rest = f" and {more:,} more" if more else ""
    return f" (row{'s' if len(numbers) > 1 else ''} {', '.join(some)}{rest})"
