"""Text that was pasted as a table: its rows, and the cells of each."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

MOST_ROWS: Final = 10_000
"""More rows than this are nothing that was booked on one site."""
_SPLITS: Final = ("\t", ";", ",")


def rows_of(text: str) -> list[tuple[int, str]]:
    """Return the rows that hold something, with their numbers from 1 on."""
    return [(n, line) for n, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1) if line.strip()]


def split_of(lines: Sequence[str]) -> str:
    """Return what parts the cells, nothing where it is blanks: a comma may also stand in a number."""
    for sign in _SPLITS:
        least = 2 if sign == "," else 1
        if lines and sum(line.count(sign) >= least for line in lines) * 2 > len(lines):
            return sign
    return ""


def cells_of(line: str, split: str) -> list[str]:
    """Return the cells of a row; one between quotation marks may hold the sign that parts them."""
    cells: list[str] = []
    rest = line
    while True:
        quoted = re.match(rf'\s*"((?:[^"]|"")*)"\s*(?={re.escape(split)}|$)', rest)
        if quoted:
            cells.append(quoted[1].replace('""', '"').strip())
            rest = rest[quoted.end() :]
            found, rest = rest[:1], rest[1:]
        else:
            cell, found, rest = rest.partition(split)
            cells.append(cell.strip())
        if not found:
            return cells
