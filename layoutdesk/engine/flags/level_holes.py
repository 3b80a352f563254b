"""Checks of how deep the holes are: frost, too little and too much.

Footings reach at least 12 in below undisturbed ground and below the frost (International Residential Code,
R403.1.4 and R403.1.4.1; its table leaves the frost depth to be filled in where one builds); excavations that
people enter are protected from 5 ft on (29 CFR 1926.652(a)(1)). Local code decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, in_all, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.piers import sizes_by_detail
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH

NO_FROST: Final = Kind("frost-not-given", "note", "levels")
ABOVE_FROST: Final = Kind("base-above-frost", "warning", "levels")
SHALLOW: Final = Kind("hole-shallow", "warning", "levels")
DEEP: Final = Kind("hole-deep", "warning", "levels")

SHALLOWEST_MM: Final = 12 * MM_PER_INCH
DEEPEST_MM: Final = 5 * MM_PER_FOOT
_NOISE: Final = 1e-6


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what the depth of the holes must look at; nothing while the plan says nothing of heights."""
    if facts.has_heights and facts.plan.piers:
        yield from _frost(facts)
        yield from _shallow(facts)
        yield from _deep(facts)


def _frost(facts: Facts) -> Iterator[Flag]:
    """Yield that nobody asked for the frost depth, or the details whose base would freeze."""
    frost = facts.plan.levels.settings.frost
    if frost is None:
        text = (
            "Nothing says how deep the ground freezes here, so the holes go only as deep as their details. Ask the"
            " local building department: footings reach below that depth (IRC R403.1.4.1). Type it, or 0 for none."
        )
        yield NO_FROST.flag("The frost depth is not given", text)
        return
    limit = mm(frost, facts)
    depth = {detail: size.depth for detail, size in sizes_by_detail(facts.plan).items()}
    piers: dict[str, list[str]] = {}
    for pier, h in zip(facts.plan.piers, facts.heights, strict=True):
        if h.frost_governs and pier.detail is not None:
            piers.setdefault(pier.detail, []).append(pier.id)
    names = list(piers)

    def say(k: int) -> tuple[str, str]:
        text = (
            f"Detail {names[k]} goes {mm(depth[names[k]], facts)} deep and the ground freezes to {limit}; its"
            " holes, concrete and bars are reckoned down to there. Make its profile deeper."
        )
        return f"Detail {names[k]} ends above the frost", text

    together = in_all(
        f"{len(names)} details end above the frost",
        f"Details {{}} are less deep than the ground freezes, {limit}; their holes, concrete"
        " and bars are reckoned down to there. Make their profiles deeper.",
    )
    yield from each(ABOVE_FROST, range(len(names)), lambda k: (names[k], tuple(piers[names[k]])), say, together)


def _shallow(facts: Facts) -> Iterator[Flag]:
    heights, least = facts.heights, mm(SHALLOWEST_MM, facts)
    below = {k: h.lowest - h.bottom for k, h in enumerate(heights) if h.lowest is not None and h.bottom is not None}
    rule = f"A footing reaches at least {least} below undisturbed ground (IRC R403.1.4; local code decides)"

    def say(k: int) -> tuple[str, str]:
        label = heights[k].label
        text = (
            f"The hole of {label} ends {mm(below[k], facts)} below the lowest ground beside it. {rule}: dig deeper."
        )
        return f"The hole of {label} is shallow", text

    found = [k for k, deep in below.items() if deep < SHALLOWEST_MM - _NOISE]
    together = in_all(
        f"{len(found)} holes are shallow",
        f"The holes of {{}} end less than {least} below the lowest ground beside them. {rule}: dig deeper.",
    )
    yield from each(SHALLOW, found, by_pier(facts), say, together)


def _deep(facts: Facts) -> Iterator[Flag]:
    heights = facts.heights
    dig = {k: h.dig for k, h in enumerate(heights) if h.dig is not None and h.dig >= DEEPEST_MM - _NOISE}
    rule = (
        f"from {mm(DEEPEST_MM, facts)} on an excavation is protected before anybody enters it (29 CFR 1926.652)."
        " Cover it whenever it is left"
    )

    def say(k: int) -> tuple[str, str]:
        label = heights[k].label
        return f"The hole of {label} is deep", f"The hole of {label} is {mm(dig[k], facts)} deep: stay out; {rule}."

    together = in_all(
        f"{len(dig)} holes are deep",
        f"The holes of {{}} are up to {mm(max(dig.values(), default=0.0), facts)} deep: stay out; {rule}.",
    )
    yield from each(DEEP, list(dig), by_pier(facts), say, together)
