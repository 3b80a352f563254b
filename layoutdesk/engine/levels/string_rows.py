"""Which strings a job hangs: one over every beam line with piers, and one across every row of piers of several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal

from layoutdesk.engine.families import Family
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, minus, times
from layoutdesk.plan.model import Plan

IN_ROW_MM: Final = 1.0
"""Piers of neighbouring lines that are no farther out of line than this share one string across."""


@dataclass(frozen=True, slots=True)
class StringRow:
    """What one string hangs over.

    ``piers`` are indices of piers in order along it, ``running`` how far along each lies from ``zero``; ``line`` is
    the index of the beam line, -1 for a row across.
    """

    id: str
    label: str
    over: Literal["beam line", "row across"]
    zero: Vector
    way: Vector
    piers: tuple[int, ...]
    running: tuple[float, ...]
    line: int


def string_rows(plan: Plan, rows: RowTable, families: Sequence[Family]) -> Iterator[StringRow]:
    """Yield the beam lines in plan order, then the rows across from family to family."""
    for index, line in enumerate(plan.lines):
        piers = tuple(rows.piers(index).tolist())
        if piers and index not in rows.aimless:
            row = rows.row(index)
            running = tuple(row.running(plan.piers[k].at) for k in piers)
            yield StringRow(line.id, line.id, "beam line", row.zero, row.way, piers, running, index)
    for family in families:
        yield from _across(plan, rows, family)


def _across(plan: Plan, rows: RowTable, family: Family) -> Iterator[StringRow]:
    """Yield the rows across one family: piers of two or more of its lines that stand square beside each other."""
    order = {index: place for place, index in enumerate(family.rows)}
    found = [
        (dot(family.way, plan.piers[k].at), order[index], k)
        for index in family.rows
        for k in rows.piers(index).tolist()
    ]
    found.sort()
    group = 0
    numbered = []
    for n, (along, place, k) in enumerate(found):
        if n and along - found[n - 1][0] > IN_ROW_MM:
            group += 1
        numbered.append((group, place, k))
    for _, members in groupby(sorted(numbered), key=lambda entry: entry[0]):
        piers = tuple(k for _, _, k in members)
        places = [plan.piers[k].at for k in piers]
        if len({plan.piers[k].line for k in piers}) < 2 or distance(places[0], places[-1]) <= SAME_MM:
            continue
        span = minus(places[-1], places[0])
        way = times(span, 1 / distance(places[0], places[-1]))
        first = plan.piers[piers[0]]
        label = f"across {first.label}–{plan.piers[piers[-1]].label}"
        running = tuple(dot(way, minus(at, places[0])) for at in places)
        yield StringRow(f"{first.id} across", label, "row across", first.at, way, piers, running, -1)
