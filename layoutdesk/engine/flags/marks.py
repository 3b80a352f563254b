"""Checks of what the piers are called and made of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each
from layoutdesk.engine.layout import Flag

DUPLICATE: Final = Kind("duplicate-mark", "error", "plan")
NO_DETAIL: Final = Kind("pier-without-detail", "warning", "piers")
NO_DEPTH: Final = Kind("detail-without-depth", "error", "piers")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield marks that are there twice, piers without a detail, and details without depth."""
    yield from _duplicates(facts)
    plan = facts.plan
    known = {detail.id for detail in plan.details}
    bare = [i for i, pier in enumerate(plan.piers) if pier.detail not in known]

    def say(i: int) -> tuple[str, str]:
        label = plan.piers[i].label
        text = f"Pier {label} has no detail, so its hole and its concrete are not known; give it one."
        return f"{label} has no detail", text

    def together(names: str) -> tuple[str, str]:
        text = f"Piers {names} have no detail, so their holes and their concrete are not known; give them one."
        return f"{len(bare)} piers have no detail", text

    yield from each(NO_DETAIL, bare, by_pier(facts), say, together)
    for detail in plan.details:
        if not detail.profile or detail.profile[-1][0] <= 0:
            text = f"The profile of detail {detail.id} has no depth; give it at least one depth below the ground."
            yield NO_DEPTH.flag(f"Detail {detail.id} has no depth", text, detail.id)


def _duplicates(facts: Facts) -> Iterator[Flag]:
    points = facts.points
    of_label: defaultdict[str, list[int]] = defaultdict(list)
    for i, label in enumerate(points.labels):
        of_label[label].append(i)
    twice = [group for group in of_label.values() if len(group) > 1]

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        return points.labels[twice[k][0]], tuple(dict.fromkeys(points.ids[i] for i in twice[k]))

    def say(k: int) -> tuple[str, str]:
        label, count = points.labels[twice[k][0]], len(twice[k])
        text = f"{count} points are called {label}, so its stake could be any of them; rename all but one."
        return f"{label} is there {count} times", text

    def together(names: str) -> tuple[str, str]:
        text = f"More than one point is called each of {names}, so stakes could be mixed up; rename all but one."
        return f"{len(twice)} marks are there more than once", text

    yield from each(DUPLICATE, range(len(twice)), who, say, together)
