"""From the bytes of a table of points to its rows of cells, whatever program wrote it."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.errors import FileError

MOST_ROWS: Final = 100_000
"""A longer table is a survey of a landscape, and no footing plan."""
MOST_BYTES: Final = 64_000_000
DELIMITERS: Final = ("\t", ";", "|", ",")
"""What parts cells, the rarer one first: commas stand in numbers and texts too."""
BLANKS: Final = " "
"""Stands for cells that are parted by blanks only."""

_SAMPLE: Final = 200
_QUOTED: Final = re.compile(r'"(?:[^"]|"")*"')
_COMMENT: Final = re.compile(r"\s*(?:#(?!\s*[;,|\t])|//)")
_QUOTE_LINES: Final = 5
"""A quoted cell may go on over so many lines; one that does not end by then has a stray mark."""

Row = tuple[int, list[str]]
"""The number of the line that it begins on, and its cells."""


def decoded(data: bytes, name: str) -> str:
    """Return the text of a file: in UTF-8 or UTF-16, with or without their mark, or else in Latin-1.

    Raises:
        FileError: when it is too large.
    """
    if len(data) > MOST_BYTES:
        raise FileError(f"{name}: it is too large for a table of points; save only the points of the plan")
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        text = data.decode("utf-16", "replace")
    elif wide := _wide(data):
        text = data.decode(wide, "replace")
    else:
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = data.decode("cp1252", "replace")
    return text


def _wide(data: bytes) -> str:
    """Return the name of UTF-16 when it has no mark: every other byte of plain text is 0 then."""
    head = data[: min(len(data), 400) & ~1]
    if len(head) < 8:
        return ""
    even, odd = head[::2].count(0), head[1::2].count(0)
    if odd * 5 > len(head) * 2 and not even:
        return "utf-16-le"
    return "utf-16-be" if even * 5 > len(head) * 2 and not odd else ""


def lines_of(text: str, name: str) -> list[str]:
    """Return the lines of a table.

    Raises:
        FileError: when it is no text, or has more than :data:`MOST_ROWS` rows that are not empty.
    """
    head = text[:4000]
    odd = sum(not (c.isprintable() or c.isspace() or c == "\ufeff") or c == "\ufffd" for c in head)
    if odd * 50 > len(head) or "\0" in head:
        raise FileError(f"{name}: it is no text; save the points as CSV, one point a row")
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MOST_ROWS and sum(1 for line in lines if line.strip()) > MOST_ROWS + 100:
        raise FileError(f"{name}: it has more than {MOST_ROWS:,} rows; keep the rows of the points of this plan")
    return lines


def comments_of(lines: Sequence[str]) -> Iterator[str]:
    """Yield the comments among the first lines."""
    yield from (line for line in lines[:_SAMPLE] if _COMMENT.match(line))


def delimiter_of(lines: Sequence[str]) -> str:
    """Return what parts the cells: the sign that most of the lines hold equally often."""
    sample = [_QUOTED.sub("", line) for line in lines if line.strip() and not _COMMENT.match(line)][:_SAMPLE]
    best, most = "", 0.0
    for sign in DELIMITERS:
        counts = Counter(n for line in sample if (n := line.count(sign)))
        if not counts:
            continue
        # A text at the end of a row may hold the sign again, and a title none at all.
        share = counts.most_common(1)[0][1] / len(sample)
        held = counts.total() / len(sample)
        score = share + held
        if score > most + 1e-9 and (not best or held > 0.6):
            best, most = sign, score
    return best or BLANKS


def rows_of(lines: Sequence[str], delimiter: str) -> Iterator[Row]:
    """Yield the rows that hold anything, without comments; quoted cells may hold the delimiter and line breaks."""
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        at += 1
        if not line.strip() or _COMMENT.match(line):
            continue
        if delimiter == BLANKS:
            cells = re.split(r"\s{2,}" if re.search(r"\S\s{2,}\S", line) else r"\s+", line.strip())
        elif '"' not in line:
            cells = line.split(delimiter)
        else:
            cells, more = _quoted(lines, at - 1, delimiter)
            at += more
        cells = [cell.strip() for cell in cells]
        if any(cells):
            yield number, cells


def _quoted(lines: Sequence[str], first: int, delimiter: str) -> tuple[list[str], int]:
    """Return the cells of a row with marks in it, and how many more lines it takes."""
    reader = csv.reader(
        (f"{line}\n" for line in lines[first : first + _QUOTE_LINES]), delimiter=delimiter, strict=True
    )
    try:
        row = next(reader)
    except csv.Error:
        # A lone inch mark, mostly: every cell as it stands.
        return lines[first].split(delimiter), 0
    return [cell.removesuffix("\n") for cell in row], reader.line_num - 1
