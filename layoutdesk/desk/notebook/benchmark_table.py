"""Benchmarks and spots as small tables that are typed into."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.height_words import exact_height, height, read_height
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column
from layoutdesk.desk.notebook.typed_table import Cell, TypedColumn, TypedTable
from layoutdesk.errors import EditError, LayoutdeskError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import GroundSpot

_NEW: Final = " new"
NAME, HEIGHT = 0, 1


class BenchmarkTable(TypedTable):
    """The benchmarks; the last row waits for another one, which begins at zero."""

    def __init__(self, document: Document, dress: Dress, *, say: Callable[[str], None]) -> None:
        super().__init__("Benchmarks", dress, self._write, say=say, most_rows=6)
        self._document = document
        self.waiting = frozenset({_NEW})
        self.hints = {NAME: "type its name"}
        self.strike = self._strike
        self.after = self._after

    def show_benchmarks(self, plan: Plan, text: LengthText) -> None:
        """Show the benchmarks of a plan."""
        marks = plan.levels.benchmarks
        self.show_rows(
            [*(m.id for m in marks), _NEW],
            (
                TypedColumn(
                    "benchmark",
                    lambda r: marks[r].id if r < len(marks) else "",
                    bold=True,
                    exact=lambda r: marks[r].id if r < len(marks) else "",
                ),
                TypedColumn(
                    "its height",
                    lambda r: height(marks[r].elevation, text) if r < len(marks) else "",
                    right=True,
                    exact=lambda r: text.exact(marks[r].elevation) if r < len(marks) else None,
                ),
            ),
        )

    def _write(self, cell: Cell, typed: str) -> str:
        text = LengthText.of(self._document.plan)
        try:
            if cell[0] == _NEW:
                name = " ".join(typed.split())
                if name:
                    self._document.apply(f"Benchmark {name}", lambda p: edits.set_benchmark(p, name, elevation=0.0))
                return ""
            if cell[1] == NAME:
                self._document.apply(f"Rename {cell[0]}", lambda p: edits.rename(p, cell[0], typed.strip()))
                return ""
            value = read_height(typed, text)
            if value is None:
                raise EditError("A benchmark has a height; type 0 for the one that all is read from")
            self._document.apply(f"Height of {cell[0]}", lambda p: edits.set_benchmark(p, cell[0], elevation=value))
        except LayoutdeskError as error:
            return str(error)
        return ""

    def _after(self, cell: Cell, step: int, taken: bool) -> Cell | None:  # noqa: FBT001 - the table's own order
        """Return the height of a benchmark that was named beside others: only the first is zero by itself."""
        marks = self._document.plan.levels.benchmarks
        if cell == (_NEW, NAME) and step >= 0 and taken and len(marks) > 1:
            return marks[-1].id, HEIGHT
        return None

    def _strike(self, keys: Sequence[str]) -> None:
        for key in keys:
            if key != _NEW:
                self._document.apply(f"Take out {key}", lambda p, k=key: edits.remove_benchmark(p, k))  # type: ignore[misc]


class SpotTable(TypedTable):
    """The spots: their heights, read or typed, and how far each lies off the fitted plane."""

    def __init__(self, document: Document, dress: Dress, *, say: Callable[[str], None]) -> None:
        super().__init__("Spots", dress, self._write, say=say, most_rows=12)
        self._document = document
        self._read: frozenset[str] = frozenset()
        self.first_typed = HEIGHT
        self.strike = self._strike

    def show_spots(
        self, plan: Plan, known: Mapping[str, GroundSpot], read: frozenset[str], text: LengthText
    ) -> None:
        """Show the spots of a plan; ``known`` are those with a height, ``read`` those that stand in the book."""
        spots, self._read = plan.spots, read
        self.waiting = frozenset(s.id for s in spots if s.id not in known)

        def at(r: int) -> float | None:
            spot = known.get(spots[r].id)
            return spot.elevation if spot is not None else spots[r].elevation

        def off(r: int) -> str:
            spot = known.get(spots[r].id)
            if spot is None or math.isnan(spot.off):
                return ""
            amount = text.small(abs(spot.off))
            return amount if amount == text.small(0.0) else f"{'−' if spot.off < 0 else '+'}{amount}"

        self.show_rows(
            [s.id for s in spots],
            (
                Column("spot", lambda r: spots[r].id, bold=True),
                TypedColumn(
                    "height",
                    lambda r: "" if at(r) is None else height(at(r), text),
                    right=True,
                    bold=True,
                    exact=lambda r: exact_height(spots[r].elevation, text),
                ),
                Column("off the plane", off, right=True, tone="soft"),
                Column("is", lambda r: _how(spots[r].id, known, read), tone="soft"),
            ),
        )

    def _write(self, cell: Cell, typed: str) -> str:
        name = cell[0]
        if name in self._read:
            return f"{name} is read in the level book: change its reading there, or strike it out"
        try:
            value = read_height(typed, LengthText.of(self._document.plan))
            self._document.apply(f"Height of {name}", lambda p: edits.set_spot(p, name, value))
        except LayoutdeskError as error:
            return str(error)
        return ""

    def _strike(self, keys: Sequence[str]) -> None:
        if keys:
            name = keys[0] if len(keys) == 1 else f"{len(keys)} spots"
            self._document.apply(f"Delete {name}", lambda p: edits.delete(p, keys))


def _how(name: str, known: Mapping[str, GroundSpot], read: frozenset[str]) -> str:
    if name not in known:
        return "to be read"
    return "read" if name in read else "typed"
