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
        """Return what the way may be off, given what one of a single setup may be.

        Of n points the one that differs most is by chance farther off: more or less by √(1 + ln n).
        """
        return misclosure * math.sqrt(len(self.setups) * (1 + math.log(self.points)))


def told_together(ways: Sequence[Closing], points: Mapping[str, BookPoint]) -> tuple[Closing, ...]:
    """Return the closed ways, of those between the same setups only the point that differs most."""
    kept: dict[object, Closing] = {}
    for way in ways:
        tied = way.start != way.end or points[way.end].fixed is not None
        key = (tuple(sorted(way.setups)), (way.start, way.end) if tied else None)
        before = kept.get(key, way)
        worse = way if abs(way.misclosure) > abs(before.misclosure) else before
        kept[key] = replace(worse, points=before.points + 1 if key in kept and not tied else 1)
    return tuple(kept.values())


def closed_ways(readings: Sequence[Reading], points: Mapping[str, BookPoint], booked: Booked) -> Iterator[Closing]:
    """Yield every closed way of the book, one for each reading that the carried heights did not need.

    A point read again from one setup is a way of its own only where it was booked as backsight and as foresight, as
    the shot that closes.
    """
    used = {row for row in (*booked.fixed_by.values(), *booked.known_by.values()) if row is not None}
    climb = _Climb(readings, booked)
    for row, reading in enumerate(readings):
        there = booked.of(reading)
        if row in used or there is None:
            continue
        up, down = climb.both(reading.setup, reading.point)
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
    """Return whether a point that a setup read several times was booked as both kinds of sight."""
    here = readings[row]
    return any(r.setup == here.setup and r.point == here.point and r.kind != here.kind for r in readings)


class _Climb:
    """The way from each setup to the benchmark that its line hangs on."""

    def __init__(self, readings: Sequence[Reading], booked: Booked) -> None:
        self._readings, self._booked = readings, booked
        self._depth: dict[int, int] = {}
        for setup in booked.line:  # in the order in which they were fixed
            above = self._above(setup)
            self._depth[setup] = 0 if above is None else self._depth[above] + 1

    def _point(self, setup: int) -> str:
        return self._readings[self._booked.fixed_by[setup]].point

    def _giver(self, point: str) -> int | None:
        row = self._booked.known_by[point]
        return None if row is None else self._readings[row].setup

    def _above(self, setup: int) -> int | None:
        return self._giver(self._point(setup))

    def both(self, setup: int, point: str) -> tuple[list[tuple[int, str]], list[tuple[int, str]]]:
        """Return the setups that a line hangs on, and those that the height of a point hangs on.

        Each comes with the point that gave it its height. Both go up to the first setup that they share, which
        ends them, or else to their benchmarks.
        """
        up: list[tuple[int, str]] = []
        down: list[tuple[int, str]] = []
        a: int | None = setup
        b = self._giver(point)
        while a != b:
            if b is None or (a is not None and self._depth[a] >= self._depth[b]):
                assert a is not None
                up.append((a, self._point(a)))
                a = self._above(a)
            else:
                down.append((b, self._point(b)))
                b = self._above(b)
        if a is not None:
            up.append((a, self._point(a)))
            down.append((a, self._point(a)))
        return up, down


def _way(
    point: str,
    up: Sequence[tuple[int, str]],
    down: Sequence[tuple[int, str]],
    points: Mapping[str, BookPoint],
) -> tuple[tuple[int, ...], str, str]:
    """Return the setups of a closed way, its start and its end.

    Args:
        point: the one that was read again.
        up: the setups from the one that read it, each with the point that gave it its height.
        down: the setups that its height hangs on; both as far as what they share, or to benchmarks.
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
