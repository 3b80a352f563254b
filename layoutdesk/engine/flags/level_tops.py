"""Checks of seats and pier tops against the ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, in_all, listed_finds, mm
from layoutdesk.engine.layout import Flag, PierHeight

ABOVE_SEAT: Final = Kind("ground-above-seat", "error", "levels")
IN_GROUND: Final = Kind("top-below-ground", "warning", "levels")
NOT_AS_PLANNED: Final = Kind("top-not-as-planned", "note", "levels")

BUILT_MM: Final = 12.7
"""A finished top that is off its plan by more than this, half an inch, is told. Common practice, no source."""


def check(facts: Facts) -> Iterator[Flag]:
    """Yield piers whose seat or planned top lies in the ground, and finished tops that are off their plan."""
    if facts.has_heights:
        yield from _seats(facts)
        yield from _tops(facts)
        yield from _built(facts)


def _seats(facts: Facts) -> Iterator[Flag]:
    heights = facts.heights
    over = [0.0 if h.ground is None or h.seat is None else h.ground - h.seat for h in heights]
    found = [k for k, h in enumerate(heights) if h.ground is not None and h.seat is not None and over[k] >= 0]

    def say(k: int) -> tuple[str, str]:
        h = heights[k]
        text = (
            f"At {h.label} the ground lies {mm(over[k], facts)} above the seat of the beam; check the seat of"
            f" {h.line} and the heights round {h.label}."
        )
        return f"The beam lies in the ground at {h.label}", text

    together = in_all(
        f"The beam lies in the ground at {len(found)} piers",
        "At {} the ground lies above the seat of the beam; check the seats of the beam lines, and the spots.",
    )
    yield from each(ABOVE_SEAT, found, by_pier(facts), say, together)


def _tops(facts: Facts) -> Iterator[Flag]:
    """Yield tops below the ground, unless their detail shows them so: level ones by beam line, others by pier."""
    heights, under = facts.heights, _under(facts)
    found = [k for k, deep in enumerate(under) if deep > 0]
    level: dict[str, list[int]] = {}
    alone = []
    for k in found:
        line = heights[k].line
        if heights[k].top_rule == "level" and line is not None:
            level.setdefault(line, []).append(k)
        else:
            alone.append(k)
    for line, piers in level.items():
        yield _level_tops(facts, line, piers, max(under[k] for k in piers))

    def say(k: int) -> tuple[str, str]:
        label = heights[k].label
        text = (
            f"The top of {label} is planned {mm(under[k], facts)} below the ground beside it, lower than its detail"
            " shows; soil and water will lie on it. Raise it, or take the ground away."
        )
        return f"The top of {label} lies in the ground", text

    together = in_all(
        f"{len(alone)} tops lie in the ground",
        "The tops of {} are planned below the ground beside them; raise them, or take the ground away.",
    )
    yield from each(IN_GROUND, alone, by_pier(facts), say, together)


def _built(facts: Facts) -> Iterator[Flag]:
    """Yield finished tops that were read off their plan."""
    heights = facts.heights
    off = [0.0 if h.built is None or h.top is None else h.built - h.top for h in heights]
    found = [k for k, by in enumerate(off) if abs(by) > BUILT_MM]

    def say(k: int) -> tuple[str, str]:
        label, side = heights[k].label, "above" if off[k] > 0 else "below"
        text = (
            f"The finished top of {label} was read {mm(abs(off[k]), facts)} {side} its plan; its column is cut to"
            " where it stands. Look at its anchor too."
        )
        return f"{label} was not poured as planned", text

    together = in_all(
        f"{len(found)} piers were not poured as planned",
        f"The finished tops of {{}} were read more than {mm(BUILT_MM, facts)} off their plans; their columns are"
        " cut to where they stand. Look at their anchors too.",
    )
    yield from each(NOT_AS_PLANNED, found, by_pier(facts), say, together)


def _level_tops(facts: Facts, line: str, piers: Sequence[int], deep: float) -> Flag:
    named = listed_finds(piers, by_pier(facts))
    text = (
        f"The tops of {line} are level and lie below the ground at {named}, by up to {mm(deep, facts)}; raise them"
        " by that much or more, or let each follow the ground."
    )
    return IN_GROUND.flag(f"Tops of {line} lie in the ground", text, *(facts.heights[k].id for k in piers))


def _under(facts: Facts) -> list[float]:
    """Return how far each top lies below the ground, mm; 0 where it does not, or is as low as its detail shows."""
    plan = facts.plan
    reveals = {detail.id: detail.reveal for detail in reversed(plan.details)}
    shown = plan.rounding / 2

    def one(detail: str | None, h: PierHeight) -> float:
        if h.top is None or h.ground is None:
            return 0.0
        meant = min(0.0, reveals.get(detail, 0.0)) if detail is not None else 0.0
        return h.ground - h.top if h.top - h.ground < meant - shown else 0.0

    return [one(pier.detail, h) for pier, h in zip(plan.piers, facts.heights, strict=True)]
