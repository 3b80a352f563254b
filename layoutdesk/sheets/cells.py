"""Cells of tables that hold a length, an elevation or names; what is not known is a dash in every table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.plan.model import Plan
from layoutdesk.sheets.numbers import parts, plus_before
from layoutdesk.sheets.table import Cell, Figure

UNKNOWN: Final = "–"


def length_cell(plan: Plan, mm: float | None, *, caption: str = "") -> Cell:
    """Return a length in a cell, with its caption."""
    return UNKNOWN if mm is None else Figure(parts(plan, mm), caption)


def elevation_cell(plan: Plan, mm: float | None) -> Cell:
    """Return an elevation in a cell, with its sign."""
    return UNKNOWN if mm is None else Figure(parts(plan, mm), before=plus_before(plan, mm))


def name_cells(names: Sequence[str], most: int) -> list[str]:
    """Return names in as many cells as they need, none of which has more than ``most`` letters but of one name."""
    cells: list[str] = []
    for name in names:
        if cells and len(cells[-1]) + len(name) + 2 <= most:
            cells[-1] = f"{cells[-1]}, {name}"
        else:
            if cells:
                cells[-1] += ","
            cells.append(name)
    return cells
