"""Checks of what belongs together: piers with beam lines, lines with attachments, attachments with walls."""

from __future__ import annotations

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

    def who(i: int) -> tuple[str, tuple[str, ...]]:
        return plan.piers[i].label, (plan.piers[i].id, str(plan.piers[i].line))

    def say(i: int) -> tuple[str, str]:
        pier, by = plan.piers[i], mm(abs(float(off[i])), facts)
        text = (
            f"Pier {pier.label} stands {by} beside beam line {pier.line}; move it onto the line or free it from it."
        )
        return f"{pier.label} is off its line", text

    def together(names: str) -> tuple[str, str]:
        most = mm(float(np.abs(off[found]).max()), facts)
        text = f"Piers {names} stand up to {most} beside their beam lines; move them onto the lines or free them."
        return f"{len(found)} piers are off their lines", text

    yield from each(OFF_LINE, found, who, say, together)


def _lines(facts: Facts) -> Iterator[Flag]:
    plan, rows = facts.plan, facts.rows
    lines = plan.lines
    bare = [i for i in range(len(lines)) if not len(rows.piers(i))]
    short = [i for i, line in enumerate(lines) if distance(line.start, line.end) <= SAME_MM]
    held = np.flatnonzero(rows.attachment >= 0).tolist()
    missed = [i for i in held if _miss(facts, i) > plan.rounding / 2 + SAME_MM]

    def line(i: int) -> tuple[str, tuple[str, ...]]:
        return lines[i].id, (lines[i].id,)

    def with_attachment(i: int) -> tuple[str, tuple[str, ...]]:
        return lines[i].id, (lines[i].id, str(lines[i].attachment))

    def say_bare(i: int) -> tuple[str, str]:
        text = f"No pier stands on beam line {lines[i].id}; put piers on it or delete it."
        return f"{lines[i].id} has no piers", text

    def say_short(i: int) -> tuple[str, str]:
        text = f"Beam line {lines[i].id} begins and ends at the same place; move one of its ends."
        return f"{lines[i].id} has no length", text

    def say_missed(i: int) -> tuple[str, str]:
        attachment, by = lines[i].attachment, mm(_miss(facts, i), facts)
        text = f"Beam line {lines[i].id} passes its attachment {attachment} by {by}; move one of them."
        return f"{lines[i].id} misses {attachment}", text

    def all_bare(names: str) -> tuple[str, str]:
        text = f"No pier stands on beam lines {names}; put piers on them or delete them."
        return f"{len(bare)} beam lines have no piers", text

    def all_short(names: str) -> tuple[str, str]:
        text = f"Beam lines {names} begin and end at the same place; move one end of each."
        return f"{len(short)} beam lines have no length", text

    def all_missed(names: str) -> tuple[str, str]:
        most = mm(max(_miss(facts, i) for i in missed), facts)
        text = f"Beam lines {names} pass their attachments by up to {most}; move one or the other."
        return f"{len(missed)} beam lines miss their attachments", text

    yield from each(NO_LENGTH, short, line, say_short, all_short)
    yield from each(NOT_MET, missed, with_attachment, say_missed, all_missed)
    yield from each(NO_PIERS, bare, line, say_bare, all_bare)


def _miss(facts: Facts, index: int) -> float:
    """Return how far a beam line is from its attachment: from its nearest point, mm."""
    line = facts.plan.lines[index]
    at = facts.points.place(int(facts.rows.attachment[index]))
    return distance(at, nearest_on_segment(at, line.start, line.end))


def _not_parallel(facts: Facts) -> Iterator[Flag]:
    gaps = facts.gaps
    found = [k for k, gap in enumerate(gaps) if abs(gap.at_start - gap.at_end) > facts.plan.rounding + SAME_MM]

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        return f"{gaps[k].first} with {gaps[k].second}", (gaps[k].first, gaps[k].second)

    def say(k: int) -> tuple[str, str]:
        gap = gaps[k]
        text = (
            f"Row {gap.second} is {mm(gap.at_start, facts)} from {gap.first} at one end and"
            f" {mm(gap.at_end, facts)} at the other ({gap.skew_deg:.2f}°); see that this is meant."
        )
        return f"{gap.first} and {gap.second} are not parallel", text

    def together(names: str) -> tuple[str, str]:
        text = f"The rows {names} are not parallel; see that this is meant."
        return f"{len(found)} pairs of rows are not parallel", text

    yield from each(NOT_PARALLEL, found, who, say, together)


def _off_wall(facts: Facts) -> Iterator[Flag]:
    plan = facts.plan
    if not plan.walls or not plan.attachments:
        return
    places = np.array([attachment.at for attachment in plan.attachments])
    off = np.full(len(places), np.inf)
    for wall in plan.walls:
        for a, b in pairwise(wall.points):
            np.minimum(off, _from_straight(places, np.array(a), np.array(b)), out=off)
    found = np.flatnonzero(off > plan.rounding / 2 + SAME_MM).tolist()

    def who(i: int) -> tuple[str, tuple[str, ...]]:
        return plan.attachments[i].id, (plan.attachments[i].id,)

    def say(i: int) -> tuple[str, str]:
        name = plan.attachments[i].id
        text = f"Attachment {name} is {mm(float(off[i]), facts)} away from the nearest wall; move it onto the wall."
        return f"{name} is on no wall", text

    def together(names: str) -> tuple[str, str]:
        most = mm(float(off.max()), facts)
        text = f"Attachments {names} are up to {most} away from the nearest wall; move them onto it."
        return f"{len(found)} attachments are on no wall", text

    yield from each(OFF_WALL, found, who, say, together)


def _from_straight(places: Floats, a: Floats, b: Floats) -> Floats:
    """Return how far places (n, 2) are from a straight between a and b, (n,) in mm."""
    way = b - a
    share = np.clip((places - a) @ way / max(float(way @ way), SAME_MM**2), 0.0, 1.0)
    beside: Floats = np.hypot(*(places - a - share[:, None] * way).T)
    return beside
