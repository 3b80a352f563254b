"""Tables of a page: numbers large and flush right, blanks to write in, boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from layoutdesk.sheets.extents import OVER_CAPITALS
from layoutdesk.sheets.lettering import fitted, measure_width, paragraph_height, text_width
from layoutdesk.sheets.marks import Anchor, Line, Mark, Measure, Paragraph, Polyline, Text, Weight
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.type import CAPITAL, DESCENT, MM_PER_POINT
from layoutdesk.units import LengthParts

HEAD_SIZE: Final = 8.5
HEAD_HEIGHT: Final = 5.0
PAD: Final = 2.0
"""Free room at both sides of a cell, in millimetres."""
SIZES: Final = (16.0, 15.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_RULE: Final = 0.25
_CAPTION: Final = 7.5
_WORDS: Final = 8.5
_LEAST_WORDS: Final = 5.0
_BETWEEN: Final = 0.4
"""Between a figure and its caption, in millimetres."""
_CLEAR: Final = 1.0
"""Free room in a row above and below what stands in it, together."""
_FIGURE_HEIGHT: Final = CAPITAL + OVER_CAPITALS
_CAPTION_HEIGHT: Final = CAPITAL + OVER_CAPITALS + DESCENT
"""Shares of the size that a figure and a caption stand high."""
_LONG_NAME: Final = 26.0
"""Words wider than this do not make their column wider still, in millimetres: they shrink or go in two lines."""
_SHRINK: Final = 0.7
"""Words that would shrink more than this go in several lines."""
_TRIAL: Final = 100.0
"""The size that widths are taken at, in points: they grow with it evenly."""


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
) -> Table:
    """Return the table with the largest type at which every cell has its room.

    What is left of the room goes to the columns that grow, or else to the blanks, or else to all.

    Args:
        columns: the columns.
        rows: all rows, also those of further pages, so that every page is alike.
        room: how wide the table may be, in millimetres.
        sizes: sizes to try, in points; at the last one cells shrink by themselves.
        row_share: height of a row in millimetres for each point of the size.
    """
    least = [max(c.least, text_width(c.head, HEAD_SIZE) + 2 * PAD) for c in columns]
    wanted = [_wanted(i, column, rows) for i, column in enumerate(columns)]
    for size in sizes:
        widths = [
            max(floor, figures * size + 2 * PAD, min(words * size, _LONG_NAME) + 2 * PAD)
            for floor, (figures, words) in zip(least, wanted, strict=True)
        ]
        if sum(widths) <= room:
            break
    left = room - sum(widths)
    if left < 0:
        widths = [w * room / sum(widths) for w in widths]
    else:
        growing = [i for i, c in enumerate(columns) if c.grows]
        takers = growing or [i for i, c in enumerate(columns) if c.blank] or list(range(len(columns)))
        for i in takers:
            widths[i] += left / len(takers)
    captioned = any(isinstance(cell, Figure) and cell.caption for row in rows for cell in row)
    least_row = _stack_height(size) + _CLEAR if captioned else 0.0
    return Table(tuple(columns), tuple(widths), size, max(size * row_share, least_row))


def _wanted(index: int, column: Column, rows: Sequence[Row]) -> tuple[float, float]:
    """Return how wide the figures and the words of a column are for each point of the table's size."""
    figures: set[tuple[LengthParts, str]] = set()
    words: set[str] = set()
    for row in rows:
        cell = row[index]
        if isinstance(cell, Figure):
            figures.add((cell.parts, cell.before))
        elif isinstance(cell, str):
            words.add(cell)
    widest = max((measure_width(p, _TRIAL, column.weight, before=before) for p, before in figures), default=0.0)
    longest = max((text_width(text, _TRIAL, column.weight) for text in words), default=0.0)
    return widest * column.scale / _TRIAL, longest * column.scale / _TRIAL


def _stack_height(size: float) -> float:
    """Return how high a figure with its caption above it stands, in millimetres."""
    return (size * _FIGURE_HEIGHT + _CAPTION * _CAPTION_HEIGHT) * MM_PER_POINT + _BETWEEN


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
    slots = [_slot(table, edges[i:], column) for i, column in enumerate(table.columns)]
    y = first
    for row in rows:
        captioned = any(isinstance(cell, Figure) and cell.caption for cell in row)
        high = _stack_height(table.size) if captioned else CAPITAL * table.size * MM_PER_POINT
        base = y - table.row_height / 2 - high / 2
        for cell, slot in zip(row, slots, strict=True):
            if cell is not None:
                marks += _cell(cell, slot, base, y)
        y -= table.row_height
    return marks


@dataclass(frozen=True, slots=True)
class _Slot:
    """Where the cells of one column lie: its edges and those to its right, where its cells stand, and its type."""

    edges: list[float]
    x: float
    column: Column
    size: float
    table_size: float
    row_height: float

    @property
    def width(self) -> float:
        return self.edges[1] - self.edges[0]


def _slot(table: Table, edges: list[float], column: Column) -> _Slot:
    x = _stand(column.align, edges[0], edges[1])
    return _Slot(edges, x, column, table.size * column.scale, table.size, table.row_height)


def _stand(align: Anchor, x1: float, x2: float) -> float:
    if align == "middle":
        return (x1 + x2) / 2
    return x1 + PAD if align == "start" else x2 - PAD


def _cell(cell: Cell, slot: _Slot, base: float, top: float) -> list[Mark]:
    """Return the marks of one cell; ``base`` is what figures stand on, ``top`` the upper edge of the row."""
    column = slot.column
    match cell:
        case Figure():
            return _figure(cell, slot, base)
        case str(text):
            shown, size = fitted(text, slot.width - 1.5 * PAD, slot.size, column.weight, least=_SHRINK * slot.size)
            if shown != text:
                room = Box(slot.edges[0] + PAD, top - slot.row_height, slot.edges[1] - PAD / 2, top)
                return [_words(text if column.weight == "regular" else f"**{text}**", room)]
            return [Text((slot.x, base), shown, size, column.weight, anchor=column.align)]
        case Words(text=text, columns=columns):
            return [_words(text, Box(slot.edges[0] + PAD, top - slot.row_height, slot.edges[columns] - 1.0, top))]
        case Tick():
            middle = (slot.edges[0] + slot.edges[1]) / 2
            return [tick_box(middle, top - slot.row_height / 2, min(6.0, slot.row_height * 0.55))]
    return []


def _figure(cell: Figure, slot: _Slot, base: float) -> list[Mark]:
    column = slot.column
    wide = measure_width(cell.parts, slot.size, column.weight, before=cell.before)
    size = slot.size * min(1.0, (slot.width - 1.0) / wide)
    marks: list[Mark] = [
        Measure((slot.x, base), cell.parts, size, column.weight, "ink", column.align, 0.0, cell.before)
    ]
    if cell.caption:
        shown, small = fitted(cell.caption, slot.width - PAD - 0.8, _CAPTION, "semibold", least=5.0)
        above = (slot.table_size * _FIGURE_HEIGHT + _CAPTION * DESCENT) * MM_PER_POINT + _BETWEEN
        marks.append(Text((slot.x, base + above), shown, small, "semibold", anchor=column.align))
    return marks


def _words(text: str, box: Box) -> Text | Paragraph:
    """Return words in the middle of the height of a box, as small as they must be; what has no room is cut off."""
    size = _WORDS
    while size > _LEAST_WORDS and paragraph_height(text, size, box.width, 1.15) > box.height - 0.6:
        size -= 0.5
    high = paragraph_height(text, size, box.width, 1.15)
    if high > box.height - 0.6:
        shown, size = fitted(text.replace("**", ""), box.width, _LEAST_WORDS, least=_LEAST_WORDS)
        return Text((box.left, box.centre[1] - CAPITAL * size * MM_PER_POINT / 2), shown, size)
    return Paragraph((box.left, (box.top + box.bottom + high) / 2), box.width, text, size, "ink", 1.15)


def tick_box(x: float, y: float, side: float) -> Polyline:
    """Return a square to tick, around a place."""
    half = side / 2
    return Polyline(
        ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)),
        width=0.4,
        closed=True,
    )
