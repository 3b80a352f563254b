"""Checks of the heights, topic by topic."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from layoutdesk.engine.flags import level_book, level_columns, level_ground, level_holes, level_strings, level_tops
from layoutdesk.engine.flags.facts import Facts
from layoutdesk.engine.layout import Flag


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with the heights; nothing while the plan says nothing of any."""
    if not facts.has_heights:
        return
    checks = (
        level_book.check,
        level_ground.check,
        level_tops.check,
        level_holes.check,
        level_strings.check,
        level_columns.check,
    )
    yield from chain.from_iterable(check(facts) for check in checks)
