"""Cells of tables that hold one length or one elevation; what is not known is a dash in every table."""

from __future__ import annotations

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
