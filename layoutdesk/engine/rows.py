"""Rows: the points of each beam line in order along it, and which rows lie side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import repeat
from operator import attrgetter
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, dot, left, minus, times, unit
from layoutdesk.plan.model import BeamLine, Plan

PARALLEL_DEG: Final = 15.0
"""Beam lines whose directions differ by no more than this run side by side."""

_COMMON_SHARE: Final = 0.2
"""Two rows are neighbours when at least this share of the shorter one lies beside the other."""
_SAME_LINE_MM: Final = 10.0
"""Rows nearer to each other than this lie on one line, not side by side."""
_LOOK_AHEAD: Final = 64
"""A row's neighbour is looked for among this many rows beyond it."""


@dataclass(frozen=True, slots=True)
class Row:
    """Where the running dimensions of one beam line begin, and the direction (1 mm long) in which they grow.

    ``attachment`` is the index of its attachment in Points, or -1.
    """

    line: BeamLine
    zero: Vector
    way: Vector
    attachment: int


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Two neighbouring rows, by index of their beam lines; ``first`` comes first across."""

    first: int
    second: int


@dataclass(frozen=True, slots=True)
class Family:
    """Beam lines that run side by side: their indices in order across, and the direction they share."""

    way: Vector
    rows: tuple[int, ...]
    neighbours: tuple[SideBySide, ...]


class RowTable:
    """The rows of a plan, one for each beam line and in the same order."""

    def __init__(self, plan: Plan, points: PointTable) -> None:
        self._plan = plan
        self._points = points

    @cached_property
    def line_of_pier(self) -> Indices:
        """The index of each pier's beam line, (piers,); -1 for a pier on none."""
        index = {line.id: i for i, line in reversed(list(enumerate(self._plan.lines)))}
        names = map(attrgetter("line"), self._plan.piers)
        return np.fromiter(map(index.get, names, repeat(-1)), np.intp, len(self._plan.piers))

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Where each row begins and which way it runs."""
        return tuple(self._row(i, line) for i, line in enumerate(self._plan.lines))

    def _row(self, index: int, line: BeamLine) -> Row:
        attachment = self._points.find(line.attachment)
        if attachment >= 0 and self._points.kinds[attachment] != "attachment":
            attachment = -1
        zero = line.start if attachment < 0 else self._points.place(attachment)
        if distance(line.start, line.end) > SAME_MM:
            way = unit(minus(line.end, line.start))
            if attachment >= 0 and distance(zero, line.end) < distance(zero, line.start):
                way = times(way, -1)
        else:
            way = self._way_of_piers(index, zero)
        return Row(line, zero, way, attachment)

    def _way_of_piers(self, index: int, zero: Vector) -> Vector:
        """Return the direction from zero to the farthest pier of a beam line that has no length itself."""
        piers = np.flatnonzero(self.line_of_pier == index)
        places = [self._plan.piers[i].at for i in piers.tolist()]
        farthest = max(places, key=lambda p: distance(zero, p), default=zero)
        return unit(minus(farthest, zero)) if distance(zero, farthest) > SAME_MM else (1.0, 0.0)

    @cached_property
    def running(self) -> Floats:
        """How far along its row each pier lies, (piers,) in mm from the row's zero; NaN for a pier on no line."""
        return self._along_and_off[0]

    @cached_property
    def off(self) -> Floats:
        """How far each pier lies square off its beam line, (piers,) in mm, positive left of start to end."""
        return self._along_and_off[1]

    @cached_property
    def _along_and_off(self) -> tuple[Floats, Floats]:
        piers = self._points.xy[self._points.first_pier :]
        frames = np.full((len(self.rows) + 1, 6), np.nan)
        for i, row in enumerate(self.rows):
            turn = left(row.way)
            if dot(row.way, minus(row.line.end, row.line.start)) < 0:
                turn = times(turn, -1)
            frames[i] = (*row.zero, *row.way, *turn)
        of_pier = frames[self.line_of_pier]
        from_zero = piers - of_pier[:, 0:2]
        running = np.einsum("ij,ij->i", from_zero, of_pier[:, 2:4])
        starts = np.array([row.line.start for row in self.rows] + [(np.nan, np.nan)])
        off = np.einsum("ij,ij->i", piers - starts[self.line_of_pier], of_pier[:, 4:6])
        return running, off

    @cached_property
    def _order(self) -> tuple[Indices, Indices]:
        """The piers sorted by row and along it, and where each row begins in that order."""
        order = np.lexsort((self.running, self.line_of_pier))
        counts = np.bincount(self.line_of_pier + 1, minlength=len(self.rows) + 1)
        return order, np.cumsum(counts)

    def piers(self, index: int) -> Indices:
        """Return the piers of a row as indices of piers, in order along it."""
        order, ends = self._order
        return order[ends[index] : ends[index + 1]]

    def points(self, index: int, way: Vector | None = None) -> Indices:
        """Return the attachment (if any) and the piers of a row as indices into Points.

        Args:
            index: of the beam line.
            way: the direction in which they are ordered; the row's own when left out.
        """
        row = self.rows[index]
        found = self.piers(index) + self._points.first_pier
        if row.attachment >= 0:
            found = np.concatenate(([row.attachment], found))
        return found[::-1] if way is not None and dot(way, row.way) < 0 else found

    @cached_property
    def families(self) -> tuple[Family, ...]:
        """Beam lines grouped by direction, in the order of the plan's first line of each group."""
        groups: list[tuple[Vector, list[int]]] = []
        limit = math.cos(math.radians(PARALLEL_DEG))
        for i, row in enumerate(self.rows):
            for way, members in groups:
                if abs(dot(way, row.way)) >= limit - 1e-12:
                    members.append(i)
                    break
            else:
                groups.append((row.way, [i]))
        return tuple(self._family(way, members) for way, members in groups)

    def _family(self, way: Vector, members: list[int]) -> Family:
        across = left(way)
        spans = {i: self._span(i, way) for i in members}
        middles = {i: dot(across, _middle(self.rows[i].line)) for i in members}
        sign = 1 if middles[members[-1]] >= middles[members[0]] else -1
        ordered = sorted(members, key=lambda i: sign * middles[i])
        pairs = tuple(_neighbours(ordered, spans, middles))
        return Family(way, tuple(ordered), pairs)

    def _span(self, index: int, way: Vector) -> tuple[float, float]:
        """Return where a row begins and ends along ``way``: its points, or its line when it has fewer than two."""
        line = self.rows[index].line
        ends = self.points(index, way)[[0, -1]] if len(self.points(index)) >= 2 else None
        if ends is None:
            a, b = dot(line.start, way), dot(line.end, way)
        else:
            a, b = (dot(self._points.place(i), way) for i in ends.tolist())
        return (min(a, b), max(a, b))


def _middle(line: BeamLine) -> Vector:
    return ((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2)


def _neighbours(
    ordered: list[int], spans: dict[int, tuple[float, float]], middles: dict[int, float]
) -> Iterator[SideBySide]:
    """Yield the rows that have no other row between them over a good part of their common length."""
    for k, i in enumerate(ordered):
        bare = [spans[i]]
        for j in ordered[k + 1 : k + 1 + _LOOK_AHEAD]:
            if abs(middles[j] - middles[i]) < _SAME_LINE_MM:
                continue
            low, high = spans[j]
            common = sum(max(0.0, min(b, high) - max(a, low)) for a, b in bare)
            shorter = min(high - low, spans[i][1] - spans[i][0])
            if common > SAME_MM and common >= _COMMON_SHARE * shorter:
                yield SideBySide(i, j)
            bare = [(x, y) for a, b in bare for x, y in ((a, min(b, low)), (max(a, high), b)) if y - x > SAME_MM]
            if not bare:
                break


def square_distance(row: Row, place: Vector) -> float:
    """Return how far a place lies square from a row's line, in mm."""
    return abs(cross(row.way, minus(place, row.zero)))
