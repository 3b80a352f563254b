"""Blocks laid under each other down the columns of a sheet, and on as many further sheets as they need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.blocks import BODY, HEADING
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.lettering import fitted, paragraph_height
from layoutdesk.sheets.marks import Mark, Paragraph, Text
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.table import Row, Table, table_marks

_HEADING: Final = 7.5
_AFTER: Final = 6.0
_LEAST_ROWS: Final = 2
"""A table is not begun at the foot of a column with fewer rows than this."""
_BETWEEN: Final = 8.0
"""Between two columns of a page, in millimetres."""


class Flow:
    """A section of the set whose blocks find their own places; lengths are millimetres of paper."""

    def __init__(self, section: str, size: Vector, *, columns: int = 1) -> None:
        self._section = section
        self._size = size
        self._columns = columns
        self._room = body(size)
        self.width = (self._room.width - _BETWEEN * (columns - 1)) / columns
        self._pages: list[list[Mark]] = [[]]
        self._column = 0
        self._y = self._room.top

    @property
    def _left(self) -> float:
        return self._room.left + self._column * (self.width + _BETWEEN)

    @property
    def free(self) -> float:
        """Return how much of the column is still free, in millimetres."""
        return self._y - self._room.bottom

    def _next_column(self) -> None:
        self._y = self._room.top
        self._column += 1
        if self._column == self._columns:
            self._column = 0
            self._pages.append([])

    def block(self, height: float, marks_in: Callable[[Box], Iterable[Mark]], *, after: float = 0.0) -> None:
        """Lay a block that stays whole: ``marks_in`` is given its place, ``height`` high and a column wide."""
        if height > self.free and self._y < self._room.top:
            self._next_column()
        self._pages[-1] += marks_in(Box(self._left, self._y - height, self._left + self.width, self._y))
        self._y -= height + after

    def keep(self, height: float) -> None:
        """Go on in the next column where this one has less than ``height`` free, and a whole one has that."""
        if self.free < height <= self._room.height and self._y < self._room.top:
            self._next_column()

    def heading(self, text: str, *, keep: float = 0.0) -> None:
        """Write a heading that has at least ``keep`` millimetres of what follows under it."""
        if _HEADING + keep > self.free:
            self._next_column()
        shown, size = fitted(text, self.width, HEADING, "bold", least=7.0)
        self._pages[-1].append(Text((self._left, self._y - 5.0), shown, size, "bold"))
        self._y -= _HEADING

    def text(self, text: str, *, size: float = BODY, after: float = 2.0) -> None:
        """Write running text; one block, however long its lines make it."""
        height = paragraph_height(text, size, self.width)
        self.block(height, lambda box: [Paragraph((box.left, box.top), box.width, text, size)], after=after)

    def gap(self, mm: float) -> None:
        """Leave some paper free."""
        self._y -= mm

    def holds(self, table: Table, rows: int, *, over: float = 0.0) -> bool:
        """Return whether a table with its heading has room in what is free, ``over`` millimetres above it."""
        return over <= self.room_over(table, rows)

    def room_over(self, table: Table, rows: int) -> float:
        """Return what a table with its heading would leave of what is free, in millimetres."""
        return self.free - _HEADING - table.height(rows)

    def table(
        self, heading: str, table: Table, rows: list[Row], *, whole: bool = True, least: int = _LEAST_ROWS
    ) -> None:
        """Lay a table; what has no room in a column goes on in the next, under its heading again.

        One that is ``whole`` goes to the next column altogether, if that holds it. None is begun with fewer rows
        than ``least``.
        """
        if whole and not self.holds(table, len(rows)) and _HEADING + table.height(len(rows)) <= self._room.height:
            self._next_column()
        while rows:
            count = table.rows_in(self.free - _HEADING)
            if count < min(least, len(rows), table.rows_in(self._room.height - _HEADING)):
                self._next_column()
                continue
            here, rows = rows[:count], rows[count:]
            self.heading(heading)
            self._pages[-1] += table_marks(table, here, self._left, self._y)
            self._y -= table.height(len(here)) + _AFTER
            heading = heading if heading.endswith("(more)") else f"{heading} (more)"

    def drafts(self, *, taped: bool = True, by: str = "taped by") -> list[Draft]:
        """Return the pages; ``by`` is what somebody did who writes on them."""
        pages = [tuple(marks) for marks in self._pages if marks]
        section, size = self._section, self._size
        names = [section] if len(pages) == 1 else [f"{section}, page {n}" for n in range(1, len(pages) + 1)]
        return [
            Draft(section, name, section, size, marks, taped=taped, by=by)
            for name, marks in zip(names, pages, strict=True)
        ]
