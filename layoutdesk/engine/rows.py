"""Rows: the points of each beam line in order along it, as columns."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from operator import attrgetter

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.once import once
from layoutdesk.engine.points import PointTable
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, dot, minus
from layoutdesk.plan.model import BeamLine, Plan

_ENDS = attrgetter("start", "end")


@dataclass(frozen=True, slots=True)
class Row:
    """One beam line: where its running dimensions begin, and the direction (1 mm long) in which they grow.

    ``attachment`` is the index of its attachment in Points, or -1.
    """

    line: BeamLine
    zero: Vector
    way: Vector
    attachment: int

    def running(self, place: Vector) -> float:
        """Return how far along the row from its zero a place lies, in mm."""
        return dot(self.way, minus(place, self.zero))

    def square_distance(self, place: Vector) -> float:
        """Return how far a place lies square from the row's line, in mm."""
        return abs(cross(self.way, minus(place, self.zero)))


@dataclass(frozen=True, slots=True)
class Stops:
    """The points of all rows, row after row and in order along each.

    ``point`` (k,) are indices into Points, ``running`` (k,) is how far along its row each lies (mm from the
    row's zero). The stops of row i are those from ``first[i]`` up to ``first[i + 1]``.
    """

    point: Indices
    running: Floats
    first: Indices

    def of(self, row: int) -> slice:
        """Return where the stops of a row are."""
        return slice(int(self.first[row]), int(self.first[row + 1]))


class RowTable:
    """The rows of a plan, one for each beam line and in the same order: its attachment, if any, and its piers.

    A row's running dimensions begin at its attachment, or else at its line's start, and grow toward the end
    of the line that is farther from there.
    """

    def __init__(self, plan: Plan, points: PointTable) -> None:
        self._plan = plan
        self._points = points

    def __len__(self) -> int:
        return len(self._plan.lines)

    @once
    def line_of_pier(self) -> Indices:
        """The index of each pier's beam line, (piers,); -1 for a pier on none."""
        index: dict[str | None, int] = {line.id: i for i, line in reversed(list(enumerate(self._plan.lines)))}
        return np.array([index.get(pier.line, -1) for pier in self._plan.piers], dtype=np.intp)

    @once
    def ends(self) -> Floats:
        """Start and end of every beam line, (rows, 2, 2) in mm."""
        flat = chain.from_iterable(chain.from_iterable(map(_ENDS, self._plan.lines)))
        return np.fromiter(flat, np.float64, 4 * len(self)).reshape(-1, 2, 2)

    @once
    def attachment(self) -> Indices:
        """The index in Points of every row's attachment, (rows,); -1 for none."""
        find, low = self._points.find, len(self._plan.controls)
        found = [find(line.attachment) if line.attachment else -1 for line in self._plan.lines]
        return np.array([i if low <= i < self._points.first_pier else -1 for i in found], dtype=np.intp)

    @once
    def _held(self) -> Indices:
        """The rows that have an attachment."""
        return np.flatnonzero(self.attachment >= 0)

    @once
    def zero(self) -> Floats:
        """Where the running dimensions of every row begin, (rows, 2) in mm."""
        if not len(self._held):
            return self.ends[:, 0]
        zero = self.ends[:, 0].copy()
        zero[self._held] = self._points.xy[self.attachment[self._held]]
        return zero

    @property
    def drawn_way(self) -> Floats:
        """The direction of every beam line from start to end, (rows, 2), 1 mm long.

        A line without length points from its start to the farthest of its piers, or else along x.
        """
        return self._ways[0]

    @property
    def aimless(self) -> tuple[int, ...]:
        """The rows that have no direction: their line has no length, nor do its piers lie apart."""
        return self._ways[1]

    @once
    def _ways(self) -> tuple[Floats, tuple[int, ...]]:
        way = self.ends[:, 1] - self.ends[:, 0]
        size = np.hypot(way[:, 0], way[:, 1])
        aimless = []
        for i in np.flatnonzero(size <= SAME_MM).tolist():
            spread = self._piers[self.line_of_pier == i] - self.ends[i, 0]
            far = np.hypot(spread[:, 0], spread[:, 1])
            known = bool(len(far)) and float(far.max()) > SAME_MM
            way[i] = spread[far.argmax()] if known else (1.0, 0.0)
            size[i] = far.max() if known else 1.0
            if not known:
                aimless.append(i)
        return way / size[:, None], tuple(aimless)

    @once
    def way(self) -> Floats:
        """The direction in which every row's running dimensions grow, (rows, 2), 1 mm long."""
        if not len(self._held):
            return self.drawn_way
        from_zero = self.ends - self.zero[:, None]
        far = np.hypot(from_zero[..., 0], from_zero[..., 1])
        back = (self.attachment >= 0) & (far[:, 1] < far[:, 0])
        return np.where(back[:, None], -self.drawn_way, self.drawn_way)

    @once
    def off(self) -> Floats:
        """How far each pier lies square off its beam line, (piers,) in mm, left of start to end positive."""
        line = self.line_of_pier
        off = np.full(len(line), np.nan)
        on = line >= 0
        turn, away = self.drawn_way[line[on]], self._piers[on] - self.ends[line[on], 0]
        off[on] = turn[:, 0] * away[:, 1] - turn[:, 1] * away[:, 0]
        return off

    @property
    def _piers(self) -> Floats:
        return self._points.xy[self._points.first_pier :]

    @once
    def stops(self) -> Stops:
        """The points of all rows in order."""
        line, first_pier = self.line_of_pier, self._points.first_pier
        point = np.arange(first_pier, first_pier + len(line))
        x, y = self._points.x[first_pier:], self._points.y[first_pier:]
        if len(line) and line.min() < 0:
            on = line >= 0
            point, line, x, y = point[on], line[on], x[on], y[on]
        (u, v), zero = self.way.T, (self.way * self.zero).sum(axis=1)
        running = x * u[line] + y * v[line] - zero[line]
        step = line[1:] - line[:-1]
        if (step < 0).any() or ((step == 0) & (running[1:] < running[:-1])).any():
            order = np.lexsort((running, line))
            point, running = point[order], running[order]
        first = np.zeros(len(self) + 1, dtype=np.intp)
        np.cumsum(np.bincount(line, minlength=len(self)), out=first[1:])
        return self._with_attachments(Stops(point, running, first))

    def _with_attachments(self, piers: Stops) -> Stops:
        """Return the stops with every row's attachment put in where it belongs."""
        rows = self._held
        if not len(rows):
            return piers
        where = [int(piers.first[i] + np.searchsorted(piers.running[piers.of(i)], 0.0)) for i in rows.tolist()]
        added = np.zeros(len(self) + 1, dtype=np.intp)
        added[rows + 1] = 1
        return Stops(
            point=np.insert(piers.point, where, self.attachment[rows]),
            running=np.insert(piers.running, where, 0.0),
            first=piers.first + np.cumsum(added),
        )

    @once
    def counts(self) -> list[int]:
        """How many points each row has."""
        first = self.stops.first
        counts: list[int] = (first[1:] - first[:-1]).tolist()
        return counts

    def row(self, index: int) -> Row:
        """Return where a row begins and which way it runs."""
        x, y = self.zero[index].tolist()
        u, v = self.way[index].tolist()
        return Row(self._plan.lines[index], (x, y), (u, v), int(self.attachment[index]))

    def points(self, index: int, way: Vector | None = None) -> Indices:
        """Return the points of a row in order, as indices into Points.

        Args:
            index: of the beam line.
            way: the direction in which they are ordered; the row's own when left out.
        """
        found = self.stops.point[self.stops.of(index)]
        u, v = self.way[index].tolist()
        return found[::-1] if way is not None and dot(way, (u, v)) < 0 else found

    def piers(self, index: int) -> Indices:
        """Return the piers of a row in order, as indices of piers."""
        found = self.points(index) - self._points.first_pier
        return found[found >= 0]
