"""The level lines as they are booked: each setup takes its height from a point that is known, and hands it on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.plan.model import Reading


@dataclass(frozen=True, slots=True)
class Booked:
    """The book carried forward, without any spreading.

    ``line`` is the elevation of the level line of every setup that hangs on a benchmark, ``fixed_by`` the
    row that gave it. ``elevation`` is what every point is carried forward with, ``known_by`` the row that gave
    it, None for a benchmark. Rows are places in the list of readings.
    """

    line: dict[int, float] = field(default_factory=dict)
    fixed_by: dict[int, int] = field(default_factory=dict)
    elevation: dict[str, float] = field(default_factory=dict)
    known_by: dict[str, int | None] = field(default_factory=dict)

    def of(self, reading: Reading) -> float | None:
        """Return the elevation that a reading gives its point, None where its setup hangs on nothing."""
        line = self.line.get(reading.setup)
        return None if line is None else line - reading.reading


def rows_by_setup(readings: Sequence[Reading]) -> dict[int, list[int]]:
    """Return the rows of every setup, both in booked order."""
    rows: dict[int, list[int]] = {}
    for row, reading in enumerate(readings):
        rows.setdefault(reading.setup, []).append(row)
    return rows


def carried_forward(readings: Sequence[Reading], points: Mapping[str, BookPoint]) -> Booked:
    """Return the book worked out from its benchmarks, setup by setup.

    A setup takes its line from its first backsight on a known point, wherever in the book the point becomes known;
    of several setups that could go on, the one that was booked first does. A setup whose known points
    are all foresights takes its line from the first of those, when no other way is left.
    """
    rows = rows_by_setup(readings)
    rank = {setup: n for n, setup in enumerate(rows)}
    order = list(rows)
    readers: dict[str, list[int]] = {}
    for reading in readings:
        readers.setdefault(reading.point, []).append(reading.setup)
    booked = Booked()
    backs: list[int] = []
    fores: list[int] = []

    def now_known(point: str, elevation: float, row: int | None) -> None:
        booked.elevation[point], booked.known_by[point] = elevation, row
        for setup in readers.get(point, ()):
            if setup not in booked.line:
                heappush(fores, rank[setup])
                if any(readings[r].kind == "back" and readings[r].point == point for r in rows[setup]):
                    heappush(backs, rank[setup])

    for point in points.values():
        if point.fixed is not None:
            now_known(point.id, point.fixed, None)
    while backs or fores:
        setup = order[heappop(backs or fores)]
        if setup in booked.line:
            continue
        row = next(_rows_to_known(rows[setup], readings, booked))
        reading = readings[row]
        booked.line[setup] = booked.elevation[reading.point] + reading.reading
        booked.fixed_by[setup] = row
        for other in rows[setup]:
            if (point_id := readings[other].point) not in booked.elevation:
                now_known(point_id, booked.line[setup] - readings[other].reading, other)
    return booked


def _rows_to_known(rows: Sequence[int], readings: Sequence[Reading], booked: Booked) -> Iterator[int]:
    """Yield the rows of a setup that go to known points, backsights first."""
    for kind in ("back", "fore"):
        yield from (r for r in rows if readings[r].kind == kind and readings[r].point in booked.elevation)
