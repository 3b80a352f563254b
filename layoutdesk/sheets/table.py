"""Tables of a page: numbers large and flush right, blanks to write in, boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from layoutdesk.sheets.lettering import fitted, measure_width, paragraph_height, text_width
from layoutdesk.sheets.marks import Anchor, Line, Mark, Measure, Paragraph, Polyline, Text, Weight
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT
from layoutdesk.units import LengthParts

HEAD_SIZE: Final = 8.5
HEAD_HEIGHT: Final = 5.0
PAD: Final = 2.0
"""Free room at both sides of a cell, in millimetres."""
SIZES: Final = (16.0, 15.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_RULE: Final = 0.25
_CAPTION: Final = 7.5
_WORDS: Final = 8.5
_LOWERED: Final = 1.3
"""How much lower the numbers of a row stand when one of them has a caption, in millimetres."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, on which side its cells are flush, and how wide it is at least (mm).

    A ``blank`` column is an empty framed field to write in. A column that ``grows`` takes the room that is left
    over. ``scale`` makes a column's type smaller than the table's.
    """

    head: str
    align: Anchor = "end"
    least: float = 0.0
    weight: Weight = "bold"
    blank: bool = False
    grows: bool = False
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A length in a cell; ``caption`` stands small above it, ``before`` in front of it."""

    parts: LengthParts
    caption: str = ""
    before: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """A sentence instead of the numbers of ``columns`` cells, the first of which it stands in."""

    text: str
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Tick:
    """A box to tick."""


Cell: TypeAlias = str | Figure | Words | Tick | None
Row: TypeAlias = Sequence[Cell]


@dataclass(frozen=True, slots=True)
class Table:
    """A table that was given its widths and its size of type; all lengths in millimetres of paper."""

    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    size: float
    row_height: float

    @property
    def width(self) -> float:
        """Return how wide it is."""
        return sum(self.widths)

    def rows_in(self, height: float) -> int:
        """Return how many rows fit in a height, below the heading."""
        return max(0, int((height - HEAD_HEIGHT) / self.row_height + 1e-9))

    def height(self, rows: int) -> float:
        """Return how high it is with so many rows."""
        return HEAD_HEIGHT + rows * self.row_height


def fit_table(
    columns: Sequence[Column],
    rows: Sequence[Row],
    room: float,
    *,
    sizes: Sequence[float] = SIZES,
    row_share: float = 0.72,
    fill: bool = True,
) -> Table:
    """Return the table with the largest type at which every cell has its room.

    Args:
        columns: the columns.
        rows: all rows, also those of further pages, so that every page is alike.
        room: how wide the table may be, in millimetres.
        sizes: sizes to try, in points; at the last one cells shrink by themselves.
        row_share: height of a row in millimetres for each point of the size.
        fill: whether columns that grow, or else blanks, or else all, take up what is left of the room.
    """
    for size in sizes:
        widths = [_natural(i, column, rows, size) for i, column in enumerate(columns)]
        if sum(widths) <= room:
            break
    left = room - sum(widths)
    if left < 0:
        widths = [w * room / sum(widths) for w in widths]
    elif fill:
        growing = [i for i, c in enumerate(columns) if c.grows]
        takers = growing or [i for i, c in enumerate(columns) if c.blank] or list(range(len(columns)))
        for i in takers:
            widths[i] += left / len(takers)
    return Table(tuple(columns), tuple(widths), size, size * row_share)


def _natural(index: int, column: Column, rows: Sequence[Row], size: float) -> float:
    """Return how wide a column wants to be."""
    wide = max(column.least, text_width(column.head, HEAD_SIZE) + 2 * PAD)
    for row in rows:
        match row[index]:
            case Figure(parts=parts, before=before):
                wide = max(wide, measure_width(parts, size * column.scale, column.weight, before=before) + 2 * PAD)
            case str(text):
                wide = max(wide, min(text_width(text, size * column.scale, column.weight), 40.0) + 2 * PAD)
            case _:
                pass
    return wide


def table_marks(table: Table, rows: Sequence[Row], left: float, top: float) -> list[Mark]:
    """Return a table's marks: its headings, then the rows, with ``top`` the upper edge of the headings."""
    edges = [left]
    for wide in table.widths:
        edges.append(edges[-1] + wide)
    marks: list[Mark] = []
    for column, x1, x2 in zip(table.columns, edges, edges[1:], strict=False):
        text, size = fitted(column.head, x2 - x1 - 1.0, HEAD_SIZE)
        align: Anchor = "middle" if column.blank else column.align
        marks.append(Text((_stand(align, x1, x2), top - HEAD_HEIGHT + 1.6), text, size, anchor=align))
    first = top - HEAD_HEIGHT
    last = first - len(rows) * table.row_height
    marks += [
        Line((left, y), (edges[-1], y), _RULE) for y in (first - n * table.row_height for n in range(len(rows) + 1))
    ]
    blank_edges = sorted(
        {x for column, *xs in zip(table.columns, edges, edges[1:], strict=False) if column.blank for x in xs}
    )
    marks += [Line((x, first), (x, last), _RULE) for x in blank_edges]
    y = first
    for row in rows:
        lowered = any(isinstance(cell, Figure) and cell.caption for cell in row)
        base = y - table.row_height / 2 - CAPITAL * table.size * MM_PER_POINT / 2 - (_LOWERED if lowered else 0.0)
        for i, (cell, column) in enumerate(zip(row, table.columns, strict=True)):
            if cell is not None:
                span = cell.columns if isinstance(cell, Words) else 1
                place = _Place(Box(edges[i], y - table.row_height, edges[i + span], y), base, column, table.size)
                marks += _cell(cell, place)
        y -= table.row_height
    return marks


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a cell lies, what its numbers stand on, its column, and the size of the table's type."""

    box: Box
    base: float
    column: Column
    table_size: float

    @property
    def size(self) -> float:
        return self.table_size * self.column.scale

    @property
    def x(self) -> float:
        return _stand(self.column.align, self.box.left, self.box.right)


def _stand(align: Anchor, x1: float, x2: float) -> float:
    if align == "middle":
        return (x1 + x2) / 2
    return x1 + PAD if align == "start" else x2 - PAD


def _cell(cell: Cell, place: _Place) -> list[Mark]:
    box, column = place.box, place.column
    match cell:
        case Figure():
            return _figure(cell, place)
        case str(text):
            shown, size = fitted(text, box.width - 1.5 * PAD, place.size, column.weight, least=5.0)
            return [Text((place.x, place.base), shown, size, column.weight, anchor=column.align)]
        case Words(text=text):
            return [_words(text, Box(box.left + PAD, box.bottom, box.right - 1.0, box.top))]
        case Tick():
            return [tick_box(*box.centre, min(6.0, box.height * 0.55))]
    return []


def _figure(cell: Figure, place: _Place) -> list[Mark]:
    box, column = place.box, place.column
    wide = measure_width(cell.parts, place.size, column.weight, before=cell.before)
    size = place.size * min(1.0, (box.width - 1.0) / wide)
    marks: list[Mark] = [
        Measure((place.x, place.base), cell.parts, size, column.weight, "ink", column.align, 0.0, cell.before)
    ]
    if cell.caption:
        shown, small = fitted(cell.caption, box.width - PAD - 0.8, _CAPTION, "semibold", least=5.0)
        top = box.top - 1.0 - small * CAPITAL * MM_PER_POINT
        marks.append(Text((place.x, top), shown, small, "semibold", anchor=column.align))
    return marks


def _words(text: str, box: Box) -> Paragraph:
    """Return a sentence in the middle of the height of a box, as small as it must be."""
    size = _WORDS
    while size > 4.0 and paragraph_height(text, size, box.width, 1.15) > box.height - 0.6:
        size -= 0.5
    high = paragraph_height(text, size, box.width, 1.15)
    return Paragraph((box.left, (box.top + box.bottom + high) / 2), box.width, text, size, "ink", 1.15)


def tick_box(x: float, y: float, side: float) -> Polyline:
    """Return a square to tick, around a place."""
    half = side / 2
    return Polyline(
        ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)),
        width=0.4,
        closed=True,
    )
