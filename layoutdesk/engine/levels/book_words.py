"""What is said of a level book, in one sentence each with its numbers in the plan's units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layoutdesk.engine.levels.book_loops import Closing
from layoutdesk.engine.levels.book_page import SAME_MM, PageCheck
from layoutdesk.engine.levels.book_points import BookPoint
from layoutdesk.engine.levels.book_slips import Suspect
from layoutdesk.engine.reasons import listed, shown_reading, shown_small
from layoutdesk.plan.model import Plan, Reading
from layoutdesk.units import MM_PER_FOOT, format_small


def setups_named(setups: Sequence[int]) -> str:
    """Return setups as a sentence names them: ``setup 1``, ``setups 1 to 4``, ``setups 1, 3 and 2``."""
    if len(setups) == 1:
        return f"setup {setups[0]}"
    if len(setups) > 2 and list(setups) == list(range(setups[0], setups[0] + len(setups))):
        return f"setups {setups[0]} to {setups[-1]}"
    return f"setups {listed([str(setup) for setup in setups])}"


def loop_sentence(closing: Closing, allowable: float, points: Mapping[str, BookPoint], plan: Plan) -> str:
    """Return the verdict on a loop or a run."""
    off, closes = closing.misclosure, abs(closing.misclosure) <= allowable
    by, most = _told_apart(abs(off), allowable, plan)
    way = setups_named(closing.setups)
    start, end = points[closing.start].label, points[closing.end].label
    verdict = (
        f"{most} are allowed"
        if closes
        else f"only {most} are allowed: level it again{_whole(off, allowable, plan)}"
    )
    high = f"{by} too {'high' if off > 0 else 'low'}" if abs(off) > SAME_MM else "exactly"
    if closing.start != closing.end:
        if closes:
            return f"From {start} over {way} the book comes out at {end} {high}; {verdict}."
        return (
            f"{start} and {end} disagree: from {start} over {way} the book comes out at {end} {high}, and"
            f" only {most} are allowed; level between them again, and look up both heights."
        )
    if closing.points > 1:
        return (
            f"{closing.points} points are read from {_both(closing.setups)}, and {end} differs most, by {by};"
            f" {verdict}."
        )
    if points[closing.end].fixed is None and len(closing.setups) == 2:
        return f"{end} is read from {_both(closing.setups)}, and differs by {by}; {verdict}."
    come = "comes" if len(closing.setups) == 1 else "come"
    return f"{way[0].upper()}{way[1:]} {come} back to {end} {high}; {verdict}."


def _told_apart(off: float, allowable: float, plan: Plan) -> tuple[str, str]:
    """Return both lengths in words, as finely as tells them apart when one is more than the other."""
    for finer in (1, 2, 4, 8):
        step = plan.rounding / finer
        by, most = format_small(off, plan.units, step), format_small(allowable, plan.units, step)
        if by != most or off <= allowable:
            break
    return by, most


def _whole(off: float, allowable: float, plan: Plan) -> str:
    """Return that a way is off by about a whole foot, or metre, as when the rod is misread by one."""
    for size, name in (
        ((MM_PER_FOOT, "foot"),) if plan.units == "ft-in" else ((1000.0, "metre"), (100.0, "decimetre"))
    ):
        if abs(abs(off) - size) <= min(allowable, size / 10):
            return f", and look for a reading that is off by one {name}"
    return ""


def _both(setups: Sequence[int]) -> str:
    """Return setups that see the same points, as a sentence names them."""
    return f"both setups {setups[0]} and {setups[1]}" if len(setups) == 2 else setups_named(setups)


def loose_sentence(setup: int, names: Sequence[str], *, benchmarks: bool) -> str:
    """Return that a setup hangs on nothing, and what to do."""
    if not benchmarks:
        return f"Setup {setup} has no height: there is no benchmark in this plan; enter one that it reads."
    one = len(names) == 1
    return (
        f"Setup {setup} connects to nothing: {listed(list(names))} {'is' if one else 'are'} no benchmark, and read"
        " from no setup that has a height; read a benchmark from it, or a point that is known."
    )


def no_back_sentence(setup: int, taken: str | None) -> str:
    """Return that a setup has no back reading, and what its line was taken from instead."""
    if taken is None:
        return f"Setup {setup} has no back reading: book the one on a known point as back."
    return f"Setup {setup} has no back reading; its level line is taken from the fore reading on {taken}."


def twice_sentence(label: str, first: Reading, again: Reading, plan: Plan) -> str:
    """Return that a point was read twice from a setup, with another reading."""
    one, two = shown_reading(first.reading, plan), shown_reading(again.reading, plan)
    by = shown_small(abs(first.reading - again.reading), plan)
    return f"{label} is read twice from setup {first.setup}, {one} and {two}, {by} apart; read it once more."


def slip_sentence(suspect: Suspect, points: Mapping[str, BookPoint], plan: Plan) -> str:
    """Return what a reading probably was, and how it came about."""
    reading = plan.levels.readings[suspect.row]
    typed, likely = shown_reading(reading.reading, plan), shown_reading(suspect.likely, plan)
    return (
        f"{points[reading.point].label} reads {typed} from setup {reading.setup}: probably {likely},"
        f" {suspect.slip.says}; {suspect.why}."
    )


def page_sentence(check: PageCheck, plan: Plan) -> str:
    """Return that the page check does not hold, and which setup is booked oddly."""
    sums = shown_reading(check.back_sum - check.fore_sum, plan)
    rise = shown_reading(check.end - check.start, plan)
    why = f"; {setups_named(check.odd)} must have one back reading" if check.odd else ""
    return (
        f"The page check does not hold: back readings less fore ones are {sums}, last less first elevation"
        f" is {rise}{why}."
    )


def typed_sentence(label: str, typed: float, read: float, plan: Plan) -> str:
    """Return that a spot has two heights, and which of them counts."""
    one, two = shown_reading(typed, plan), shown_reading(read, plan)
    return (
        f"{label} is typed as {one} and read as {two}; the reading counts, so take the typed height away or read it"
        " once more."
    )


def two_heights_sentence(first: BookPoint, second: BookPoint, plan: Plan) -> str:
    """Return that two benchmarks at one place have different heights."""
    assert first.fixed is not None
    assert second.fixed is not None
    one, two = shown_reading(first.fixed, plan), shown_reading(second.fixed, plan)
    return f"{first.label} and {second.label} are at one place, but are given as {one} and {two}; take one away."
