"""Readings that put the ground far off the ground round it, as a slip of units does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.book_lines import Booked, rows_by_setup
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.engine.levels.book_slips import Suspect, off_by
from layoutdesk.plan.model import Plan

LEAST_POINTS: Final = 5
CORNERS: Final = 14
"""Planes are tried through any three of so many points."""
MOST_JUDGES: Final = 500
"""By no more points than twice this it is judged which plane most ground lies on."""
UNEVEN_MM: Final = 25.0
"""No yard is taken to be evener than this (common practice, no source)."""
FAR: Final = 6.0
"""Ground so many times as far off the plane as half of all ground is odd."""


def by_ground(
    plan: Plan, points: Mapping[str, BookPoint], booked: Booked, skip: Mapping[int, Suspect]
) -> Iterator[Suspect]:
    """Yield the readings whose ground lies far off the plane of most ground, and fits it in another unit.

    Where all the ground that a setup saw is off by the same, its backsight is blamed, or the foresight
    that it hangs on. The plane is that of which half of all ground lies least far off (the least median of
    squares), so that a few slips do not draw it to themselves.
    """
    readings = plan.levels.readings
    rows = [
        row
        for row, reading in enumerate(readings)
        if points[reading.point].role == "ground"
        and points[reading.point].at is not None
        and reading.setup in booked.line
    ]
    places = np.array([points[readings[row].point].at for row in rows], dtype=np.float64).reshape(-1, 2)
    heights = np.array([booked.of(readings[row]) for row in rows], dtype=np.float64)
    off = _off_plane(places, heights)
    if off is None:
        return
    near = max(UNEVEN_MM, 3 * float(np.median(np.abs(off))))
    odd = {row: float(by) for row, by in zip(rows, off, strict=True) if abs(by) > FAR / 3 * near}
    blamed = dict(skip)
    for suspect in _whole_setups(plan, rows, odd, booked, near):
        if suspect.row not in blamed:
            blamed[suspect.row] = suspect
            yield suspect
    wrong_setups = {readings[row].setup for row in blamed if row in booked.fixed_by.values()}
    for row, by in odd.items():
        if row in blamed or readings[row].setup in wrong_setups:
            continue
        slip = off_by(readings[row], by, near, plan.units, sign=-1)
        if slip is not None:
            yield Suspect(row, readings[row].reading * slip.factor, slip, "the ground round it says so")


def _whole_setups(
    plan: Plan, rows: Sequence[int], odd: Mapping[int, float], booked: Booked, near: float
) -> Iterator[Suspect]:
    """Yield the sights that hang whole setups too high or too low."""
    readings, of_ground = plan.levels.readings, set(rows)
    for setup, of_setup in rows_by_setup(readings).items():
        ground = [row for row in of_setup if row in of_ground]
        if len(ground) < 2 or not all(row in odd for row in ground):
            continue
        by = float(np.median([odd[row] for row in ground]))
        if any(abs(odd[row] - by) > near for row in ground):
            continue
        fixed = booked.fixed_by[setup]
        known = booked.known_by[readings[fixed].point]
        for row, sign in ((fixed, 1), (known, -1)):
            slip = None if row is None else off_by(readings[row], by, near, plan.units, sign=sign)
            if row is not None and slip is not None:
                why = f"the ground that setup {setup} saw says so"
                yield Suspect(row, readings[row].reading * slip.factor, slip, why)
                break


def _off_plane(places: Floats, heights: Floats) -> Floats | None:
    """Return how far ground lies above the plane of most of it; None where there is too little to tell."""
    count = len(places)
    if count < LEAST_POINTS:
        return None
    xy1 = np.column_stack([places - places.mean(axis=0), np.ones(count)])
    few = np.linspace(0, count - 1, min(count, CORNERS)).astype(np.intp)
    triples = few[np.array(list(combinations(range(len(few)), 3)))]
    corners = xy1[triples]
    spans = np.abs(np.linalg.det(corners))
    wide = spans > 1e-6 * spans.max(initial=0.0)
    if not wide.any():
        return None
    planes = np.linalg.solve(corners[wide], heights[triples[wide]][..., None])[..., 0]
    some = slice(None, None, 1 + count // MOST_JUDGES)
    off = np.abs(heights[some] - planes @ xy1[some].T)
    best = planes[np.median(off, axis=1).argmin()]
    away: Floats = heights - xy1 @ best
    return away
