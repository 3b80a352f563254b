"""Equal spacings: where the next pier of a row, or the next row, would stand as the ones before it do."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, dot, left, minus, plus, times, unit
from layoutdesk.gestures.guides import SPACED, Guide
from layoutdesk.plan.model import BeamLine, Plan

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_MOST = 60


def spacings_on_line(plan: Plan, line_id: str, moving: frozenset[str]) -> Iterator[Guide]:
    """Yield the places on a beam line that repeat the spacing of its outermost piers, or halve one.

    Each is given as a short guide across the line; a pier alone repeats its distance from the attachment.
    """
    line = next((one for one in plan.lines if one.id == line_id), None)
    if line is None or distance(line.start, line.end) <= SAME_MM:
        return
    way = unit(minus(line.end, line.start))
    stops = _stops(plan, line, way, moving)
    if not 2 <= len(stops) <= _MOST:
        return
    (first, a), (second, b) = stops[0], stops[1]
    (before, y), (last, z) = stops[-2], stops[-1]
    ahead = [(last + (last - before), f"same spacing as {y} to {z}")]
    if a != line.attachment:
        ahead.append((first - (second - first), f"same spacing as {a} to {b}"))
    ahead += [((p + q) / 2, f"halfway from {m} to {n}") for (p, m), (q, n) in pairwise(stops)]
    for run, words in ahead:
        yield Guide(plus(line.start, times(way, run)), left(way), words, SPACED, (line_id,))


def _stops(plan: Plan, line: BeamLine, way: Vector, moving: frozenset[str]) -> list[tuple[float, str]]:
    """Return the stops along a line, rising: attachment or start first, then the piers that stand still."""
    runs = [
        (dot(minus(p.at, line.start), way), p.label) for p in plan.piers if p.line == line.id and p.id not in moving
    ]
    if line.attachment is not None:
        at = next((a.at for a in plan.attachments if a.id == line.attachment), line.start)
        runs.append((dot(minus(at, line.start), way), line.attachment))
    return sorted(runs)


def spacings_ahead(steps: NDArray[np.float64], here: float, reach: float) -> Iterator[tuple[float, str]]:
    """Yield the values near ``here`` that continue, or halve, the spacing of the two nearest steps on a side.

    Args:
        steps: the different stations (or offsets) that points have, rising, in mm.
        here: the station (or offset) of the pointer.
        reach: how near a value must be.
    """
    k = int(steps.searchsorted(here))
    found: list[tuple[float, str]] = []
    if k >= 2:
        found.append((2 * float(steps[k - 1]) - float(steps[k - 2]), "same spacing as the two before"))
    if k + 1 < len(steps):
        found.append((2 * float(steps[k]) - float(steps[k + 1]), "same spacing as the two beyond"))
    if 0 < k < len(steps):
        found.append(((float(steps[k - 1]) + float(steps[k])) / 2, "halfway between its neighbours"))
    yield from ((value, words) for value, words in found if abs(value - here) <= reach)
