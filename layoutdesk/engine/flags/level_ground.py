"""Checks of the ground: spots that do not agree, that lie in one line, or do not reach round the piers.

Footings on ground steeper than 1 in 3 are a matter of their own (International Residential Code, R403.1.7).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, in_all, listed_finds, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.levels.ground_outliers import outliers
from layoutdesk.engine.levels.ground_words import slope_in_words
from layoutdesk.engine.reasons import listed, shown_within

NOT_KNOWN: Final = Kind("ground-not-known", "note", "levels")
BEYOND: Final = Kind("pier-beyond-spots", "warning", "levels")
IN_LINE: Final = Kind("spots-in-one-line", "note", "levels")
CLASH: Final = Kind("spots-disagree", "warning", "levels")
OFF: Final = Kind("spot-off-the-ground", "warning", "levels")
STEEP: Final = Kind("ground-steep", "warning", "levels")

STEEPEST: Final = 1 / 3


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with what is known of the ground; nothing while the plan says nothing of heights."""
    if not facts.has_heights:
        return
    yield from _clashes(facts)
    odd = tuple(_outliers(facts))
    yield from odd
    yield from _plane(facts, sure=not odd and not _slips(facts))
    yield from _not_known(facts)
    yield from _beyond(facts)


def _clashes(facts: Facts) -> Iterator[Flag]:
    """Yield points at one place with different heights."""
    clashes = facts.ground.clashes

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        names = clashes[k].labels
        return listed(names), clashes[k].ids

    def say(k: int) -> tuple[str, str]:
        names = who(k)[0]
        text = (
            f"{names} lie at one place, and their ground differs by {mm(clashes[k].apart, facts)} where readings"
            f" explain {mm(clashes[k].allowed, facts)}; the mean is taken. Take the height there again."
        )
        return f"{names} do not agree", text

    together = in_all(
        f"Spots do not agree at {len(clashes)} places",
        "{} lie at the same places with different heights; the means are taken. Take the heights there again.",
    )
    yield from each(CLASH, range(len(clashes)), who, say, together)


def _slips(facts: Facts) -> frozenset[str]:
    """Return the points whose readings the book doubts."""
    book = facts.level_book
    return frozenset(row.point for row in book.rows if row.trouble) if book is not None else frozenset()


def _outliers(facts: Facts) -> Iterator[Flag]:
    """Yield spots that lie far off all others, but for those whose reading is told of in the book."""
    slips = _slips(facts)
    found = [odd for odd in outliers(facts.ground.points, facts.plan.units) if odd.point.id not in slips]

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        return found[k].point.label, (found[k].point.id,)

    def say(k: int) -> tuple[str, str]:
        label, off = found[k].point.label, found[k].off
        side = "above" if off > 0 else "below"
        text = f"{label} lies {mm(abs(off), facts)} {side} the plane of all other spots; {found[k].mend}."
        return f"{label} lies far off the ground round it", text

    together = in_all(
        f"{len(found)} spots lie far off the ground",
        "{} lie far off the plane of the other spots; take their heights again.",
    )
    yield from each(OFF, range(len(found)), who, say, together)


def _plane(facts: Facts, *, sure: bool) -> Iterator[Flag]:
    """Yield what the fitted plane does not know, and that it is steep if it is sure of its spots."""
    ground = facts.ground
    if ground.fit is None or ground.plane is None:
        return
    if ground.fit.line is not None:
        yield IN_LINE.flag("All spots lie in one line", ground.plane.says, *(p.id for p in ground.points))
    if sure and ground.plane.slope > STEEPEST:
        text = (
            f"The ground falls {slope_in_words(ground.plane.slope, facts.plan)}, steeper than 1 in 3; there the"
            " designer and the building department say where a footing may stand (IRC R403.1.7)."
        )
        yield STEEP.flag("The ground is steep", text)


def _not_known(facts: Facts) -> Iterator[Flag]:
    """Yield piers whose ground nothing tells."""
    heights = facts.heights
    unknown = [k for k, h in enumerate(heights) if h.ground is None]
    if unknown:
        text = (
            f"Nothing tells how high the ground is at {listed_finds(unknown, by_pier(facts))}, so holes and tops"
            " there have no heights; take the height of spots round them."
        )
        yield NOT_KNOWN.flag("The ground is not known", text, *(heights[k].id for k in unknown))


def _beyond(facts: Facts) -> Iterator[Flag]:
    """Yield piers whose ground only the plane tells."""
    heights = facts.heights
    beyond = [k for k, h in enumerate(heights) if h.ground_from == "beyond the spots"]

    def say(k: int) -> tuple[str, str]:
        label, within = heights[k].label, shown_within(heights[k].within, facts.plan)
        text = (
            f"{label} stands beyond the spots, so its ground is only what their plane gives there, {within} at"
            " best; take the height at its stake."
        )
        return f"{label} stands beyond the spots", text

    together = in_all(
        f"{len(beyond)} piers stand beyond the spots",
        "{} stand beyond the spots, so their ground is only what the plane of the spots gives there; take it at"
        " their stakes.",
    )
    yield from each(BEYOND, beyond, by_pier(facts), say, together)
