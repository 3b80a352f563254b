"""Checks of the level book: ways that do not close, readings that are likely wrong, setups that hang on nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, each
from layoutdesk.engine.layout import Flag

OPEN: Final = Kind("levels-do-not-close", "warning", "levels")
DISAGREE: Final = Kind("benchmarks-disagree", "warning", "levels")
READING: Final = Kind("reading-doubtful", "warning", "levels")
BOOK: Final = Kind("level-book-doubtful", "warning", "levels")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what the level book finds; nothing where nothing was booked."""
    book = facts.level_book
    if book is None:
        return
    told = set[str]()
    known = {piece.id for piece in facts.plan.pieces()}
    for loop in book.loops:
        if not loop.closes:
            told.add(loop.says)
            about = [name for name in dict.fromkeys((loop.start, loop.end)) if name in known]
            if loop.start != loop.end:
                yield DISAGREE.flag("Two benchmarks disagree", loop.says, *about)
            else:
                yield OPEN.flag("The levels do not close", loop.says, *about)
    rows = [row for row in book.rows if row.trouble is not None]
    told.update(row.trouble for row in rows if row.trouble is not None)

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        name = rows[k].point
        return rows[k].label, (name,) if name in known else ()

    yield from each(
        READING,
        range(len(rows)),
        who,
        lambda k: (f"The reading at {rows[k].label} is doubtful", rows[k].trouble or ""),
        lambda names: (
            f"{len(rows)} readings are doubtful",
            f"The readings at {names} are doubtful; the first: {rows[0].trouble}",
        ),
    )
    others = [text for text in book.troubles if text not in told]
    yield from each(
        BOOK,
        range(len(others)),
        lambda _: ("", ()),
        lambda k: ("The level book does not hang together", others[k]),
        lambda _: (
            "The level book does not hang together",
            f"{len(others)} things are wrong in the level book; the first: {others[0]}",
        ),
    )
