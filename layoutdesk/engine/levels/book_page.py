"""The check at the foot of a page: backsights less foresights are what the last point lies above the first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from layoutdesk.engine.levels.book_lines import Booked, rows_by_setup
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.plan.model import Reading

SAME_MM: Final = 1e-3
"""Sums of readings that are the same are no farther apart, whatever their units."""


@dataclass(frozen=True, slots=True)
class PageCheck:
    """The sums of one run; ``odd`` are the setups whose sights were not booked as those of a run."""

    back_sum: float
    fore_sum: float
    start: float
    end: float
    odd: tuple[int, ...]

    @property
    def difference(self) -> float:
        """Return by how much the sums differ from the heights."""
        return (self.back_sum - self.fore_sum) - (self.end - self.start)

    @property
    def holds(self) -> bool:
        """Return whether the arithmetic agrees; it says nothing of how well was read."""
        return abs(self.difference) <= SAME_MM


def page_check(readings: Sequence[Reading], points: Mapping[str, BookPoint], booked: Booked) -> PageCheck | None:
    """Return the page check; None where the book is no single run of setups from one benchmark.

    All backsights count, and of the foresights those on the points that the next setup hangs on, and the last
    one: on a benchmark, where it closes, or else the last that was booked. The others are sights between.
    """
    rows = rows_by_setup(readings)
    setups = list(booked.line)
    if not setups or len(setups) < len(rows):
        return None
    turning: list[int] = []
    for before, setup in pairwise(setups):
        row = booked.known_by[readings[booked.fixed_by[setup]].point]
        if row is None or readings[row].setup != before:
            return None
        turning.append(row)
    last = _last_row(rows[setups[-1]], readings, points, booked.fixed_by[setups[-1]])
    if last is None:
        return None
    backs = [row for row in range(len(readings)) if readings[row].kind == "back"]
    fores = [row for row in (*turning, last) if readings[row].kind == "fore"]
    end = booked.of(readings[last])
    assert end is not None
    return PageCheck(
        back_sum=sum(readings[row].reading for row in backs),
        fore_sum=sum(readings[row].reading for row in fores),
        start=booked.elevation[readings[booked.fixed_by[setups[0]]].point],
        end=end,
        odd=tuple(setup for setup in setups if sum(readings[row].kind == "back" for row in rows[setup]) != 1),
    )


def _last_row(
    rows: Sequence[int], readings: Sequence[Reading], points: Mapping[str, BookPoint], fixed_by: int
) -> int | None:
    """Return the row that a run ends with: the last foresight on a benchmark, or else the last one of all."""
    fores = [row for row in rows if readings[row].kind == "fore" and row != fixed_by]
    closing = [row for row in fores if points[readings[row].point].fixed is not None]
    last = closing or fores
    return last[-1] if last else None
