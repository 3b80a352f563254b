"""Checks of details apart from their steel: a base above the frost, and what is cast in and reaches too deep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, each, in_all, mm
from layoutdesk.engine.flags.level_holes import ABOVE_FROST as HOLE_ABOVE_FROST
from layoutdesk.engine.flags.steel import piers_by_detail
from layoutdesk.engine.layout import Flag
from layoutdesk.plan.model import Detail

ABOVE_FROST: Final = Kind(HOLE_ABOVE_FROST.code, "warning", "piers")
"""Here it is the detail that is too short, whatever the ground."""
BEYOND: Final = Kind("cast-in-too-deep", "error", "piers")
_NOISE: Final = 1e-6


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with details that have piers and a profile."""
    piers = piers_by_detail(facts)
    used = [detail for detail in facts.plan.details if detail.id in piers and detail.profile]
    yield from _frost(facts, used, piers)
    yield from _beyond(facts, used, piers)


def _frost(facts: Facts, details: Sequence[Detail], piers: dict[str, tuple[str, ...]]) -> Iterator[Flag]:
    """Yield the details that end above the frost, while no heights are known; with heights, their check says it."""
    frost = facts.plan.levels.settings.frost
    if frost is None or facts.has_heights:
        return
    depths = [detail.profile[-1][0] for detail in details]
    limit = mm(frost, facts)
    rule = "Footings reach below it (IRC R403.1.4.1; local code decides): make the profile deeper."

    def say(k: int) -> tuple[str, str]:
        name, depth = details[k].id, depths[k]
        text = (
            f"Detail {name} goes {mm(depth, facts)} deep and the ground freezes to {limit}: its base is"
            f" {mm(frost - depth, facts)} above the frost; hole and concrete are reckoned down to there. {rule}"
        )
        return f"Detail {name} ends above the frost", text

    found = [k for k, depth in enumerate(depths) if depth < frost - _NOISE]
    together = in_all(
        f"{len(found)} details end above the frost",
        f"Details {{}} are less deep than the ground freezes, {limit}; their holes and concrete are reckoned"
        f" down to there. {rule}",
    )
    yield from each(ABOVE_FROST, found, lambda k: (details[k].id, piers[details[k].id]), say, together)


def _beyond(facts: Facts, details: Sequence[Detail], piers: dict[str, tuple[str, ...]]) -> Iterator[Flag]:
    """Yield what is cast in and stands in the earth below the pier."""
    high = [max(0.0, detail.profile[-1][0] + detail.reveal) for detail in details]
    foot = [0.0 if detail.cast_in is None else detail.cast_in.foot for detail in details]
    mend = "Shorten it, or make the pier deeper."

    def say(k: int) -> tuple[str, str]:
        detail = details[k]
        assert detail.cast_in is not None
        what = "post" if detail.cast_in.kind == "post" else "column base"
        text = (
            f"Detail {detail.id}: its {what} reaches {mm(foot[k], facts)} down and the pier is only"
            f" {mm(high[k], facts)} high: {mm(foot[k] - high[k], facts)} of it stands in the earth. {mend}"
        )
        return f"The {what} of {detail.id} reaches below its pier", text

    found = [k for k in range(len(details)) if details[k].cast_in is not None and foot[k] > high[k] + _NOISE]
    together = in_all(
        f"What is cast in reaches below the piers of {len(found)} details",
        f"What is cast into the piers of details {{}} reaches below them. {mend}",
    )
    yield from each(BEYOND, found, lambda k: (details[k].id, piers[details[k].id]), say, together)
