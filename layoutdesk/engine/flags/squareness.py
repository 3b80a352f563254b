"""Checks of the bays: named ones that are none, and diagonals that cannot be taped."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.engine.flags.facts import Facts, Kind, Who, each
from layoutdesk.engine.layout import Flag

UNKNOWN_CORNER: Final = Kind("bay-corner-unknown", "error", "stakes")
NO_BAY: Final = Kind("bay-proves-nothing", "error", "stakes")
DIAGONAL_BLOCKED: Final = Kind("diagonal-blocked", "note", "stakes")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield named bays whose diagonals prove nothing, and bays one of whose diagonals is blocked."""
    points, bays = facts.points, facts.bays
    for bay in facts.plan.bays:
        missing = [corner for corner in bay.corners if points.find(corner) < 0]
        if missing:
            text = f"Bay {bay.id} names {missing[0]}, which is no point of this plan; choose its corners again."
            yield UNKNOWN_CORNER.flag(f"Bay {bay.id} has an unknown corner", text, bay.id)
    named = [i for i in range(len(bays)) if bays.source(i) == "named"] if facts.plan.bays else []
    idle = [i for i in named if math.isinf(bays[i].per_difference)]

    def say(i: int) -> tuple[str, str]:
        bay = bays[i]
        text = (
            f"The diagonals of bay {bay.id} ({', '.join(bay.labels)}) do not show whether it is square:"
            " its corners coincide or lie in one line; choose four corners that go round it."
        )
        return f"Bay {bay.id} proves nothing", text

    def together(names: str) -> tuple[str, str]:
        text = f"The corners of the bays {names} coincide or lie in one line; choose corners that go round them."
        return f"{len(idle)} bays prove nothing", text

    yield from each(NO_BAY, idle, _by_bay(facts), say, together)
    yield from _blocked(facts)


def _by_bay(facts: Facts) -> Who:
    """Return what gives the label of a bay, and its id with its corners."""
    points, bays = facts.points, facts.bays

    def who(i: int) -> tuple[str, tuple[str, ...]]:
        around = bays.corner_index[i].tolist()
        label = " ".join(points.labels[k] for k in around)
        return label, (bays.id(i), *(points.ids[k] for k in around))

    return who


def _blocked(facts: Facts) -> Iterator[Flag]:
    bays = facts.bays
    blocked = bays.barred
    found = np.flatnonzero((blocked >= 0).any(axis=1)).tolist()

    def say(i: int) -> tuple[str, str]:
        bay = bays[i]
        which = [k for k in (0, 1) if blocked[i, k] >= 0]
        ways = " and ".join(f"{bay.labels[k]} to {bay.labels[k + 2]}" for k in which)
        by = facts.obstacles.label(int(blocked[i, which[0]]))
        name = " ".join(bay.labels)
        text = (
            f"In bay {name} the diagonal {ways} is barred by {by}; check this bay by its sides and its neighbours."
        )
        return f"A diagonal of {name} is barred", text

    def together(names: str) -> tuple[str, str]:
        by = " and ".join(facts.obstacles.labels[k] for k in np.unique(blocked[blocked >= 0])[:3].tolist())
        text = f"Diagonals of {names} are barred by {by}; check these bays by their sides and their neighbours."
        return f"{len(found)} bays have a barred diagonal", text

    yield from each(DIAGONAL_BLOCKED, found, _by_bay(facts), say, together)
