"""Loops of setups, and runs from one benchmark to another: what they are off, and what they may be.

What a loop may be off grows with the root of its length, because the errors of its parts are as often
up as down. Published forms speak of kilometres: 12 mm √K for third-order levelling of the former federal geodetic
control committee (from memory), K the length of the loop in km. A job on one lot counts setups instead:
``HeightSettings.misclosure`` √n for n setups (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from layoutdesk.engine.levels.book_lines import Booked
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.plan.model import Reading


@dataclass(frozen=True, slots=True)
class Closing:
    """One closed way through the book.

    ``row`` is the reading that closes it. ``setups`` are in the order of the way from ``start`` to ``end``; both
    are the same point for a loop. ``misclosure`` is the elevation that the way brings to its end, less the one that
    the end has. ``sights`` are the readings that it goes by, each with its sign in the misclosure. ``points``
    counts the points of which this one differs most, between the same setups.
    """

    row: int
    setups: tuple[int, ...]
    start: str
    end: str
    misclosure: float
    sights: Mapping[int, int]
    points: int = 1

    def allowable(self, misclosure: float) -> float:
        """Return what the way may be off, given what one of a single setup may be."""
        return misclosure * math.sqrt(len(self.setups))


def told_together(ways: Sequence[Closing], points: Mapping[str, BookPoint]) -> tuple[Closing, ...]:
    """Return the closed ways, of those between the same setups only the point that differs most."""
    kept: dict[object, Closing] = {}
    for way in ways:
        tied = way.start != way.end or points[way.end].fixed is not None
        key = (tuple(sorted(way.setups)), (way.start, way.end) if tied else None)
        before = kept.get(key, way)
        worse = way if abs(way.misclosure) > abs(before.misclosure) else before
        kept[key] = replace(worse, points=before.points + 1 if key in kept else 1)
    return tuple(kept.values())


def closed_ways(readings: Sequence[Reading], points: Mapping[str, BookPoint], booked: Booked) -> Iterator[Closing]:
    """Yield every closed way of the book, one for each reading that the carried heights did not need.

    A point read again from one setup is a way of its own only where it was booked as backsight and as foresight, as
    the shot that closes.
    """
    used = {row for row in (*booked.fixed_by.values(), *booked.known_by.values()) if row is not None}
    for row, reading in enumerate(readings):
        there = booked.of(reading)
        if row in used or there is None:
            continue
        up = list(_to_benchmark(reading.setup, readings, booked))
        down = list(_from_benchmark(reading.point, readings, booked))
        setups, start, end = _way(reading.point, up, down, points)
        if len(setups) == 1 and start == end and not _closing_shot(row, readings):
            continue
        off = there - booked.elevation[reading.point]
        yield Closing(row, setups, start, end, off, _sights(row, reading.point, up, down, booked))


def _sights(
    row: int, point: str, up: Sequence[tuple[int, str]], down: Sequence[tuple[int, str]], booked: Booked
) -> dict[int, int]:
    """Return the readings of a closed way with their signs; what lies on both sides of it cancels out."""
    sums = {row: -1}
    for sign, chain, begin in ((1, up, None), (-1, down, point)):
        last: str | None = begin
        for setup, name in chain:
            if last is not None and (known := booked.known_by[last]) is not None:
                sums[known] = sums.get(known, 0) - sign
            fixed = booked.fixed_by[setup]
            sums[fixed] = sums.get(fixed, 0) + sign
            last = name
    return {sight: sign for sight, sign in sums.items() if sign}


def _closing_shot(row: int, readings: Sequence[Reading]) -> bool:
    """Return whether a point read again from one setup was booked as another kind of sight before."""
    last = readings[row]
    return any(r.setup == last.setup and r.point == last.point and r.kind != last.kind for r in readings[:row])


def _to_benchmark(setup: int, readings: Sequence[Reading], booked: Booked) -> Iterator[tuple[int, str]]:
    """Yield the setups that a level line hangs on, each with the point that gave it its height."""
    at: int | None = setup
    while at is not None:
        point = readings[booked.fixed_by[at]].point
        yield at, point
        row = booked.known_by[point]
        at = None if row is None else readings[row].setup


def _from_benchmark(point: str, readings: Sequence[Reading], booked: Booked) -> Iterator[tuple[int, str]]:
    """Yield the setups that the height of a point hangs on, as :func:`_to_benchmark` does."""
    row = booked.known_by[point]
    if row is not None:
        yield from _to_benchmark(readings[row].setup, readings, booked)


def _way(
    point: str,
    up: Sequence[tuple[int, str]],
    down: Sequence[tuple[int, str]],
    points: Mapping[str, BookPoint],
) -> tuple[tuple[int, ...], str, str]:
    """Return the setups of a closed way, its start and its end.

    Args:
        point: the one that was read again.
        up: the setups from the one that read it to a benchmark.
        down: the setups that its height hangs on, to a benchmark.
        points: tells which of them are benchmarks.
    """
    cut_up, cut_down, through_setup = len(up), len(down), False
    places = {setup: n for n, (setup, _) in enumerate(down)}
    # Where a setup is met again its line is shared; the setup itself then belongs to the way.
    for n, (setup, _) in enumerate(up):
        if setup in places:
            cut_up, cut_down, through_setup = n, places[setup], True
            break
    heights = {name: n + 1 for n, (_, name) in enumerate(down)} | {point: 0}
    # Where a point is met again, before any shared setup, the way turns there.
    for n, (_, name) in enumerate(up[:cut_up]):
        if heights.get(name, cut_down + 1) <= cut_down:
            cut_up, cut_down, through_setup = n + 1, heights[name], False
            break
    going = [setup for setup, _ in up[:cut_up]][::-1]
    coming = [setup for setup, _ in down[:cut_down]]
    if through_setup:
        turn = up[cut_up][0]
        return (*coming, turn, *going), point, point
    first = up[cut_up - 1][1]
    last = down[cut_down - 1][1] if cut_down else point
    if points[first].fixed is not None and points[last].fixed is not None:
        return (*going, *coming), first, last
    return (*coming, *going), point, point
