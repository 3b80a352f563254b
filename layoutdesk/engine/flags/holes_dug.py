"""Checks of the holes as they were dug: those that must not be poured so, those that were, and deep ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, in_all, mm
from layoutdesk.engine.flags.level_holes import DEEPEST_MM
from layoutdesk.engine.layout import Flag

TO_MEND = Kind("hole-to-mend", "warning", "piers")
POURED = Kind("hole-poured-unmended", "error", "piers")
DEEP = Kind("dug-hole-deep", "warning", "piers")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what holes as dug must look at; nothing, and nothing worked out, while none is logged."""
    if not facts.plan.holes.log:
        return
    rows = facts.holes
    mend = [k for k, row in enumerate(rows) if row.verdict == "to mend"]
    unmended = "{} are poured though they were to be mended: ask the designer and the inspector about them."
    yield from _told(
        facts,
        TO_MEND,
        [k for k in mend if not rows[k].poured],
        "to be mended",
        "Mend holes {} before they are poured.",
    )
    yield from _told(facts, POURED, [k for k in mend if rows[k].poured], "poured unmended", f"Holes {unmended}")
    yield from _deep(facts)


def _told(facts: Facts, kind: Kind, found: Sequence[int], what: str, all_of_them: str) -> Iterator[Flag]:
    """Yield the flags of holes of which the log itself says what to do."""

    def say(k: int) -> tuple[str, str]:
        row = facts.holes[k]
        return f"The hole of {row.label} is {what}", f"{row.label}: {row.says}"

    together = in_all(f"{len(found)} holes are {what}", all_of_them)
    yield from each(kind, found, by_pier(facts), say, together)


def _deep(facts: Facts) -> Iterator[Flag]:
    depths = {k: row.depth for k, row in enumerate(facts.holes) if row.depth is not None and not row.poured}
    found = [k for k, depth in depths.items() if depth >= DEEPEST_MM - 1e-6]
    rule = (
        f"from {mm(DEEPEST_MM, facts)} on an excavation is protected before anybody enters it (29 CFR 1926.652)."
        " Cover it whenever it is left"
    )

    def say(k: int) -> tuple[str, str]:
        label = facts.holes[k].label
        text = f"The hole of {label} was dug {mm(depths[k], facts)} deep: stay out; {rule}."
        return f"The hole of {label} is deep as dug", text

    together = in_all(
        f"{len(found)} holes are deep as dug",
        f"The holes of {{}} were dug up to {mm(max(depths.values(), default=0.0), facts)} deep: stay out; {rule}.",
    )
    yield from each(DEEP, found, by_pier(facts), say, together)
