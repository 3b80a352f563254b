"""Where strings cross: which of them lies on top, and by how much."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from layoutdesk.engine.levels.entries import StringCrossing, StringRun
from layoutdesk.engine.reasons import shown_small
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, crossing, distance
from layoutdesk.plan.model import Plan


def string_crossings(plan: Plan, runs: Sequence[StringRun]) -> tuple[StringCrossing, ...]:
    """Return every place where two strings cross between their boards, in the order of the strings."""
    return tuple(_crossing(plan, runs[i], runs[j], at) for i, j, at in _pairs(runs))


def _pairs(runs: Sequence[StringRun]) -> Iterator[tuple[int, int, Vector]]:
    if len(runs) < 2:
        return
    import shapely

    lines = shapely.linestrings(np.array([[run.boards[0].at, run.boards[1].at] for run in runs]))
    first, second = shapely.STRtree(lines).query(lines, predicate="intersects")
    for i, j in sorted((i, j) for i, j in zip(first.tolist(), second.tolist(), strict=True) if i < j):
        at = crossing(runs[i].boards[0].at, runs[i].boards[1].at, runs[j].boards[0].at, runs[j].boards[1].at)
        if at is not None:
            yield i, j, at


def _crossing(plan: Plan, one: StringRun, other: StringRun, at: Vector) -> StringCrossing:
    one_height, other_height = _height(one, at), _height(other, at)
    if one_height is None or other_height is None:
        says = f"Lay {string_name(other)} over {string_name(one)}."
        return StringCrossing(other.id, one.id, at, math.nan, says)
    upper, lower = (one, other) if one_height > other_height else (other, one)
    over, under = string_name(upper), string_name(lower)
    gap = abs(one_height - other_height)
    least = plan.levels.settings.line_gap
    if gap < least - SAME_MM:
        higher = shown_small(least - gap, plan)
        says = f"{over[0].upper()}{over[1:]} would touch {under} where they cross: hang it {higher} higher."
    else:
        says = f"{over[0].upper()}{over[1:]} lies {shown_small(gap, plan)} over {under}."
    return StringCrossing(upper.id, lower.id, at, gap, says)


def string_name(run: StringRun) -> str:
    """Return what a sentence calls a string: ``the string of L1``, ``the string across P1–P4``."""
    return f"the string of {run.label}" if run.over == "beam line" else f"the string {run.label}"


def _height(run: StringRun, at: Vector) -> float | None:
    near = run.boards[0]
    return None if near.string is None else near.string + run.rise * distance(near.at, at)
