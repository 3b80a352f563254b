"""Readings that put the ground far off the ground round it, as a slip of units does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.book_lines import Booked
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.engine.levels.book_slips import Suspect, slip_that_mends, slips_of
from layoutdesk.plan.model import Reading
from layoutdesk.units import Units

LEAST_POINTS: Final = 5
CORNERS: Final = 12
"""Slopes are tried through any three of so many points that one setup saw."""
MOST_JUDGES: Final = 500
"""By no more points than twice this it is judged which slope most ground has."""
UNEVEN_MM: Final = 50.0
"""No yard is taken to be evener than this (common practice, no source)."""
FAR: Final = 3.0
"""Ground is odd that is so many times as far off as a yard is uneven."""
FLAT: Final = 0.01
"""Three points show a slope when their triangle is at least about this share of the square of the longest side."""
NARROW_MM: Final = 500.0
"""Ground that spans less shows no slope."""
OF_ITS_OWN: Final = 3
"""A setup that saw so many points shows by itself how high its ground lies."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """Ground that was read: its rows, places (n, 2), elevations (n,), and the group of setups of each (n,)."""

    rows: Sequence[int]
    xy: Floats
    z: Floats
    group: Indices
    setups: Sequence[int]


def by_ground(
    readings: Sequence[Reading], points: Mapping[str, BookPoint], booked: Booked, units: Units
) -> Iterator[Suspect]:
    """Yield the readings whose ground lies far off most ground, and fits it in another unit.

    The slope is that at which half of all ground lies least far off what its own setup saw (the least median of
    squares), so that a few slips do not draw it to themselves. Where the ground of a setup lies higher or lower
    than that of the setup that it hangs on, its backsight is blamed, or the foresight before it. Where each
    setup saw its ground in one line only, nothing tells a slope from such a step, and all is one ground.
    """
    seen = _seen(readings, points, booked)
    if seen is None:
        return
    off = _off_slope(seen)
    if off is None:
        seen = replace(seen, group=np.zeros_like(seen.group), setups=seen.setups[:1])
        off = _off_slope(seen)
    if off is None:
        return
    heights = np.array([float(np.median(off[seen.group == g])) for g in range(len(seen.setups))])
    within = off - heights[seen.group]
    near = max(UNEVEN_MM, 3 * float(np.median(np.abs(within))))
    for g, setup in enumerate(seen.setups):
        before = _hangs_on(setup, seen.setups, readings, booked)
        jump = 0.0 if before is None else float(heights[g] - heights[before])
        if abs(jump) > FAR * near and (suspect := _sight_of(setup, jump, readings, booked, near=near, units=units)):
            yield suspect
    for row, by in zip(seen.rows, within.tolist(), strict=True):
        slip = slip_that_mends(readings[row], by, near, units, sign=-1) if abs(by) > FAR * near else None
        if slip is not None:
            yield Suspect(row, readings[row].reading * slip.factor, slip, "the ground round it says so")


def _seen(readings: Sequence[Reading], points: Mapping[str, BookPoint], booked: Booked) -> _Seen | None:
    """Return the ground that was read, each setup with what hangs on it and saw too little by itself."""
    rows: list[int] = []
    places = []
    counts: dict[int, int] = {}
    for row, reading in enumerate(readings):
        point = points[reading.point]
        if point.role == "ground" and point.at is not None and reading.setup in booked.line:
            rows.append(row)
            places.append(point.at)
            counts[reading.setup] = counts.get(reading.setup, 0) + 1
    if len(rows) < LEAST_POINTS:
        return None
    own = [setup for setup in booked.line if counts.get(setup, 0) >= OF_ITS_OWN] or [next(iter(booked.line))]
    number = {setup: g for g, setup in enumerate(own)}
    group = {setup: number.get(setup, _hangs_on(setup, own, readings, booked) or 0) for setup in booked.line}
    z = [booked.line[readings[row].setup] - readings[row].reading for row in rows]
    return _Seen(
        rows,
        np.array(places, dtype=np.float64),
        np.array(z, dtype=np.float64),
        np.array([group[readings[row].setup] for row in rows], dtype=np.intp),
        own,
    )


def _hangs_on(setup: int, own: Sequence[int], readings: Sequence[Reading], booked: Booked) -> int | None:
    """Return the number of the first of some setups that a setup's line hangs on; that of a benchmark is 0."""
    at = setup
    while (row := booked.known_by[readings[booked.fixed_by[at]].point]) is not None:
        at = readings[row].setup
        if at in own:
            return own.index(at)
    return 0 if own[0] != setup else None


def _sight_of(
    setup: int, jump: float, readings: Sequence[Reading], booked: Booked, *, near: float, units: Units
) -> Suspect | None:
    """Return the sight that hangs a setup too high by so much, when another unit mends it: the more usual slip."""
    fixed = booked.fixed_by[setup]
    why = f"the ground that setup {setup} saw says so"
    found = []
    for row, sign in ((fixed, 1), (booked.known_by[readings[fixed].point], -1)):
        if row is not None and (slip := slip_that_mends(readings[row], jump, near, units, sign=sign)):
            found.append(Suspect(row, readings[row].reading * slip.factor, slip, why))
    usual = slips_of(units)
    return min(found, key=lambda suspect: usual.index(suspect.slip), default=None)


def _off_slope(seen: _Seen) -> Floats | None:
    """Return how far ground lies above a plane of the slope that most of it has; None where it lies in one line."""
    count = len(seen.rows)
    xy = seen.xy - seen.xy.mean(axis=0)
    triples = np.concatenate([_corners(np.flatnonzero(seen.group == g)) for g in range(len(seen.setups))])
    triples = triples[:: 1 + len(triples) // MOST_JUDGES]
    (ax, ay), (bx, by) = (xy[triples[:, k]].T - xy[triples[:, 0]].T for k in (1, 2))
    up_a, up_b = (seen.z[triples[:, k]] - seen.z[triples[:, 0]] for k in (1, 2))
    spans = ax * by - ay * bx
    wide = np.abs(spans) > FLAT * max(float(np.ptp(xy, axis=0).max()), NARROW_MM) ** 2
    if not wide.any():
        return None
    slopes = np.column_stack([up_a * by - up_b * ay, up_b * ax - up_a * bx])[wide] / spans[wide, None]
    some = np.arange(0, count, 1 + count // MOST_JUDGES)
    off = seen.z[some] - slopes @ xy[some].T
    for g in range(len(seen.setups)):
        mine = seen.group[some] == g
        if mine.any():
            off[:, mine] -= np.median(off[:, mine], axis=1, keepdims=True)
    best = slopes[np.median(np.abs(off), axis=1).argmin()]
    away: Floats = seen.z - xy @ best
    return away


def _corners(members: Indices) -> Indices:
    """Return triples of some points, evenly picked, (n, 3)."""
    few = (
        members[np.linspace(0, len(members) - 1, min(len(members), CORNERS)).astype(np.intp)]
        if len(members)
        else members
    )
    triples = list(combinations(range(len(few)), 3))
    return few[np.array(triples, dtype=np.intp).reshape(-1, 3)]
