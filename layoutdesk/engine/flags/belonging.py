"""Checks of what belongs together: piers with beam lines, lines with attachments, attachments with walls."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.flags.facts import Facts, Kind, each, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import distance, nearest_on_segment

OFF_LINE: Final = Kind("pier-off-line", "warning", "plan")
NO_PIERS: Final = Kind("line-without-piers", "note", "plan")
NO_LENGTH: Final = Kind("line-without-length", "error", "plan")
NOT_MET: Final = Kind("line-misses-attachment", "warning", "plan")
NOT_PARALLEL: Final = Kind("rows-not-parallel", "note", "plan")
OFF_WALL: Final = Kind("attachment-off-wall", "warning", "plan")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what does not lie where it belongs."""
    yield from _off_line(facts)
    yield from _lines(facts)
    yield from _not_parallel(facts)
    yield from _off_wall(facts)


def _off_line(facts: Facts) -> Iterator[Flag]:
    plan, off = facts.plan, facts.rows.off
    with np.errstate(invalid="ignore"):
        found = np.flatnonzero(np.abs(off) > plan.rounding / 2 + SAME_MM).tolist()

    def wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        pier = plan.piers[i]
        by = mm(abs(float(off[i])), facts)
        text = (
            f"Pier {pier.label} stands {by} beside beam line {pier.line}; move it onto the line or free it from it."
        )
        return f"{pier.label} is off its line", text, (pier.id, str(pier.line))

    yield from each(
        OFF_LINE, found, wording, called=lambda i: plan.piers[i].label, more="More piers off their line"
    )


def _lines(facts: Facts) -> Iterator[Flag]:
    plan, rows = facts.plan, facts.rows
    lines = plan.lines
    bare = [i for i in range(len(lines)) if not len(rows.piers(i))]
    short = [i for i, line in enumerate(lines) if distance(line.start, line.end) <= SAME_MM]
    held = np.flatnonzero(rows.attachment >= 0).tolist()
    missed = [i for i in held if _miss(facts, i) > plan.rounding / 2 + SAME_MM]

    def called(i: int) -> str:
        return lines[i].id

    def bare_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        text = f"No pier stands on beam line {lines[i].id}; put piers on it or delete it."
        return f"{lines[i].id} has no piers", text, (lines[i].id,)

    def short_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        text = f"Beam line {lines[i].id} begins and ends at the same place; move one of its ends."
        return f"{lines[i].id} has no length", text, (lines[i].id,)

    def missed_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        attachment = str(lines[i].attachment)
        by = mm(_miss(facts, i), facts)
        text = f"Beam line {lines[i].id} passes its attachment {attachment} by {by}; move one of them."
        return f"{lines[i].id} misses {attachment}", text, (lines[i].id, attachment)

    yield from each(NO_LENGTH, short, short_wording, called=called, more="More beam lines without length")
    yield from each(NOT_MET, missed, missed_wording, called=called, more="More lines that miss their attachment")
    yield from each(NO_PIERS, bare, bare_wording, called=called, more="More beam lines without piers")


def _miss(facts: Facts, index: int) -> float:
    """Return how far a beam line is from its attachment: from its nearest point, mm."""
    line = facts.plan.lines[index]
    at = facts.points.place(int(facts.rows.attachment[index]))
    return distance(at, nearest_on_segment(at, line.start, line.end))


def _not_parallel(facts: Facts) -> Iterator[Flag]:
    plan, points, rows = facts.plan, facts.points, facts.rows
    gaps = facts.gaps
    pairs = [pair for family in facts.families for pair in family.neighbours]
    found = []
    for k, (_, second) in enumerate(pairs):
        length = _length(points.xy[rows.points(second)])
        if length * math.sin(math.radians(gaps[k].skew_deg)) > plan.rounding:
            found.append(k)

    def wording(k: int) -> tuple[str, str, tuple[str, ...]]:
        gap = gaps[k]
        text = (
            f"Row {gap.second} is {mm(gap.at_start, facts)} from {gap.first} at one end and"
            f" {mm(gap.at_end, facts)} at the other ({gap.skew_deg:.2f}°); see that this is meant."
        )
        return f"{gap.first} and {gap.second} are not parallel", text, (gap.first, gap.second)

    yield from each(
        NOT_PARALLEL,
        found,
        wording,
        called=lambda k: f"{gaps[k].first} and {gaps[k].second}",
        more="More rows that are not parallel",
    )


def _length(places: Floats) -> float:
    """Return how far apart the first and the last of a row's points are."""
    return float(np.hypot(*(places[-1] - places[0]))) if len(places) else 0.0


def _off_wall(facts: Facts) -> Iterator[Flag]:
    plan = facts.plan
    walls = [straight for wall in plan.walls for straight in pairwise(wall.points)]
    if not walls:
        return
    off = [min(distance(a.at, nearest_on_segment(a.at, p, q)) for p, q in walls) for a in plan.attachments]
    found = [i for i, by in enumerate(off) if by > plan.rounding / 2 + SAME_MM]

    def wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        name = plan.attachments[i].id
        text = f"Attachment {name} is {mm(off[i], facts)} away from the nearest wall; move it onto the wall."
        return f"{name} is on no wall", text, (name,)

    yield from each(
        OFF_WALL, found, wording, called=lambda i: plan.attachments[i].id, more="More attachments on no wall"
    )
