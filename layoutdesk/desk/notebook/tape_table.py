"""The table of tapes: what was read is typed in its place, and Enter goes to the next row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.table import Column
from layoutdesk.desk.notebook.tape_rows import TapeRow, exact, first_end, measure_words, off, other_end, shown
from layoutdesk.desk.notebook.typed_table import Cell, TypedColumn, TypedTable

TAPED: Final = 3
"""The column that is typed in."""
MOST_WHOLE: Final = 400
"""Up to so many rows lie on the page one below the other, and only the page scrolls."""
MOST_SHOWN: Final = 16
"""Of more rows the table shows so many, and scrolls by itself."""
_ROOM_FOR_SIGN: Final = "\u2003\u2002"
"""Two wide blanks: there the triangle stands."""
Take = Callable[[TapeRow, str], str]
"""Takes what was typed into a row; returns the sentence of what went wrong, or nothing."""


class TapeTable(TypedTable):
    """The table; picking a row picks both points of its tape."""

    def __init__(self, dress: Dress, take: Take, *, say: Callable[[str], None]) -> None:
        super().__init__("Tapes: typed as they were read", dress, self._write, say=say, most_rows=MOST_SHOWN)
        self._take = take
        self.shown_rows: tuple[TapeRow, ...] = ()
        self.labels: Mapping[str, str] = {}
        self.first_typed = TAPED

    def rows_shown(self, count: int) -> int:
        """Return for how many rows the table is high enough: all of them, unless there are very many."""
        return max(1, count) if count <= MOST_WHOLE else MOST_SHOWN

    def called(self, point_id: str) -> str:
        """Return what a point is called."""
        return self.labels.get(point_id, point_id)

    @property
    def picked_rows(self) -> tuple[TapeRow, ...]:
        """Return the rows that are picked, from the top."""
        return tuple(self._row(key) for key in self.picked_keys)

    def show_tapes(self, rows: Sequence[TapeRow], labels: Mapping[str, str], text: LengthText) -> None:
        """Show rows; what is being typed stays."""
        self.shown_rows, self.labels = tuple(rows), labels
        at = self.shown_rows
        self.waiting = frozenset(r.key for r in at if r.tape is None)
        self.signed = frozenset(r.key for r in at if r.suspect)

        def tip(r: int) -> str:
            return measure_words(at[r], self.called)

        def start(r: int) -> str:
            return first_end(at[r], self.called) + (_ROOM_FOR_SIGN if at[r].suspect else "")

        self.show_rows(
            [r.key for r in at],
            (
                Column("from", start, bold=True, tip=tip),
                Column("to", lambda r: other_end(at[r], self.called), bold=True, tip=tip),
                Column("planned", lambda r: shown(at[r].planned, at[r], text), right=True, tone="soft"),
                TypedColumn(
                    "taped",
                    lambda r: "" if (tape := at[r].tape) is None else shown(tape.distance, at[r], text),
                    right=True,
                    bold=True,
                    exact=lambda r: exact(at[r], text),
                ),
                Column("off", lambda r: off(at[r], text), right=True, tone="soft"),
            ),
        )

    def box_name(self, cell: Cell) -> str:
        """Return what the box of a row is called, for those who hear it."""
        row = self._row(cell[0])
        return f"Taped {self.called(row.start)} to {self.called(row.end)}"

    def type_row(self, key: str | None) -> None:
        """Open the box of a row by its key."""
        self.type_into(None if key is None else (key, TAPED))

    def _row(self, key: str) -> TapeRow:
        row = self.rows.row_of(key)
        assert row is not None
        return self.shown_rows[row]

    def _write(self, cell: Cell, typed: str) -> str:
        return self._take(self._row(cell[0]), typed)
