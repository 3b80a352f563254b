"""The misclosures spread over the readings: one network of level lines and points, by least squares.

Every reading r of a setup with the level line H at a point of the elevation e says H - e = r. Benchmarks
are held; a reading counts by the square of its deviation. A book that closes exactly stays as it was booked, and
along a single loop each setup takes the same share of what it is off, when all its readings are as exact.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.sparse import csr_array, diags_array

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.levels.book_lines import Booked
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.plan.model import HeightSettings, Plan, Reading, SetupMethod

WATER_MM: Final = 2.0
"""One standard deviation of a water level, read at the bow of the water (common practice, no source)."""
STRING_MM: Final = 3.0
"""One standard deviation of a tape let down from a level string (common practice, no source)."""
_OF_METHOD: Final[Mapping[SetupMethod, float]] = {"water level": WATER_MM, "string": STRING_MM}


@dataclass(frozen=True, slots=True)
class Spread:
    """Elevations after spreading: of points and of level lines, and one standard deviation of each point, mm."""

    elevation: dict[str, float]
    deviation: dict[str, float]
    line: dict[int, float]


def usual_deviation(method: SetupMethod, settings: HeightSettings) -> float:
    """Return one standard deviation of a reading by a method, where its setup says nothing of it; mm."""
    return _OF_METHOD.get(method, settings.deviation)


def deviations(plan: Plan) -> dict[int, float]:
    """Return one standard deviation of a reading from every setup that was booked; mm."""
    levels = plan.levels
    said = {setup.setup: setup for setup in levels.setups}
    usual = usual_deviation("level", levels.settings)
    found: dict[int, float] = {}
    for reading in levels.readings:
        setup = said.get(reading.setup)
        if setup is None:
            found[reading.setup] = usual
        else:
            found[reading.setup] = setup.deviation or usual_deviation(setup.method, levels.settings)
    return found


def spread(
    readings: Sequence[Reading],
    points: Mapping[str, BookPoint],
    booked: Booked,
    deviation: Mapping[int, float],
) -> Spread:
    """Return the heights that fit all readings best.

    Args:
        readings: the book, of which the setups that hang on nothing are left out.
        points: tells which are benchmarks; those are held.
        booked: the heights carried forward: what is sought are small changes of them.
        deviation: one standard deviation of a reading from each setup, mm.
    """
    rows = [reading for reading in readings if reading.setup in booked.line]
    setups = {setup: n for n, setup in enumerate(booked.line)}
    free = {name: n for n, name in enumerate(p for p in booked.elevation if points[p].fixed is None)}
    held = {name: height for name, height in booked.elevation.items() if name not in free}
    if not rows:
        return Spread(held, dict.fromkeys(held, 0.0), {})
    line: Indices = np.array([setups[r.setup] for r in rows], dtype=np.intp)
    point: Indices = np.array([free.get(r.point, -1) for r in rows], dtype=np.intp)
    weight: Floats = np.array([deviation[r.setup] ** -2 for r in rows])
    off: Floats = np.array([r.reading - (booked.line[r.setup] - booked.elevation[r.point]) for r in rows])
    change, fall, variance = _solved(line, point, weight, off, (len(setups), len(free)))
    return Spread(
        held | {name: booked.elevation[name] + float(fall[n]) for name, n in free.items()},
        dict.fromkeys(held, 0.0) | {name: float(np.sqrt(variance[n])) for name, n in free.items()},
        {setup: booked.line[setup] + float(change[n]) for setup, n in setups.items()},
    )


def _solved(
    line: Indices, point: Indices, weight: Floats, off: Floats, size: tuple[int, int]
) -> tuple[Floats, Floats, Floats]:
    """Return changes of the lines and of the points, and the variances of the points.

    Points are eliminated first: each touches a few lines only, which leaves a small matrix of the lines. A point
    that was read once says nothing of them, and follows its line.
    """
    lines, points = size
    often = np.bincount(point[point >= 0], minlength=points) > 1
    counts = point < 0
    counts[~counts] = often[point[~counts]]
    shared = counts & (point >= 0)
    number = np.cumsum(often) - 1
    place = number[point[shared]]
    several = int(often.sum())
    seen = csr_array((weight[shared], (place, line[shared])), shape=(several, lines))
    total = np.bincount(place, weight[shared], several)
    pull = np.bincount(place, weight[shared] * off[shared], several)
    shares = diags_array(1 / total) @ seen if several else seen
    normal = np.diag(np.bincount(line[counts], weight[counts], lines)) - (seen.T @ shares).toarray()
    right = np.bincount(line[counts], weight[counts] * off[counts], lines) - shares.T @ pull
    factor = cho_factor(normal, lower=True)
    change: Floats = cho_solve(factor, right)
    covariance: Floats = cho_solve(factor, np.eye(lines))
    fall, variance = np.zeros(points), np.zeros(points)
    fall[often] = shares @ change - pull / total
    variance[often] = 1 / total + (shares @ covariance * shares.toarray()).sum(axis=1)
    once = ~counts
    fall[point[once]] = change[line[once]] - off[once]
    variance[point[once]] = 1 / weight[once] + covariance[line[once], line[once]]
    return change, fall, variance
