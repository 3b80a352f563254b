"""The rows of the level book as they stand on paper, and what typing into them means."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from layoutdesk.plan.heights import Reading, ReadingKind
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import BookRow, LevelBook, LevelLoop

RowKind = Literal["reading", "draft", "sums", "loop"]
DRAFT: Final = "draft"
SUMS: Final = "sums"


@dataclass(frozen=True, slots=True)
class BookLine:
    """One row as it is shown: a reading, the row that waits to be typed in, the sums, or what a loop is off.

    ``index`` is the place of the reading in the plan; ``row`` what the book makes of it.
    """

    key: str
    kind: RowKind
    index: int | None = None
    reading: Reading | None = None
    row: BookRow | None = None
    loop: LevelLoop | None = None


@dataclass(frozen=True, slots=True)
class Draft:
    """What was typed so far of a reading that is not whole yet; ``before`` is where it goes, None for the end."""

    setup: int
    point: str = ""
    before: int | None = None


def book_lines(plan: Plan, book: LevelBook | None, of: Plan, draft: Draft) -> tuple[BookLine, ...]:
    """Return the rows: readings in the order they were booked, the draft among them, sums and loops last.

    ``of`` is the plan that the book was worked out from; readings that both plans have keep their heights.
    """
    there = of.levels.readings
    worked = {id(there[row.index]): row for row in book.rows} if book else {}
    lines = [
        BookLine(f"r{k}", "reading", k, reading, worked.get(id(reading)))
        for k, reading in enumerate(plan.levels.readings)
    ]
    place = len(lines) if draft.before is None else min(draft.before, len(lines))
    lines.insert(place, BookLine(DRAFT, "draft"))
    if book is not None and book.back_sum is not None:
        lines.append(BookLine(SUMS, "sums"))
    loops = book.loops if book is not None else ()
    lines += [BookLine(f"loop{k}", "loop", loop=loop) for k, loop in enumerate(loops)]
    return tuple(lines)


def next_setup(plan: Plan) -> int:
    """Return the setup that the next reading is taken from: that of the last one."""
    return plan.levels.readings[-1].setup if plan.levels.readings else 1


def setup_of(plan: Plan, draft: Draft, kind: ReadingKind) -> int:
    """Return the setup that a typed reading is taken from.

    A point that was read fore is not read back from the same setup: the instrument was carried on, and the back
    reading begins the next setup, as it does when it is typed in the row of the fore one.
    """
    readings = plan.levels.readings
    there = any((r.setup, r.point, r.kind) == (draft.setup, draft.point, "fore") for r in readings)
    if kind == "fore" or draft.before is not None or not there:
        return draft.setup
    return max(r.setup for r in readings) + 1


def row_above(lines: Sequence[BookLine]) -> str | None:
    """Return the key of the reading right above the draft, or None."""
    place = next((k for k, line in enumerate(lines) if line.key == DRAFT), 0)
    return lines[place - 1].key if place else None


def other_reading(plan: Plan, index: int, kind: ReadingKind, value: float) -> tuple[int, Reading] | str:
    """Return the second reading of a point that stands in one row on paper, and where it goes.

    On paper a turning point has one row: the fore reading from the setup before, the back reading from the setup
    after. Typing a back reading beside a fore one begins the next setup; typing a fore reading beside a back one
    closes the setup before. A sentence when there is none before.
    """
    here = plan.levels.readings[index]
    if kind == "back":
        following = max(r.setup for r in plan.levels.readings[: index + 1]) + 1
        taken = {r.setup for r in plan.levels.readings if r.kind == "back"}
        setup = following if following not in taken else max(r.setup for r in plan.levels.readings) + 1
        return index + 1, replace(here, setup=setup, kind="back", reading=value)
    before = [r.setup for r in plan.levels.readings if r.setup < here.setup]
    if not before:
        return (
            f"{here.point} is read back from setup {here.setup}, and no setup comes before it; book a fore "
            "reading in a row of its own"
        )
    return index, replace(here, setup=max(before), kind="fore", reading=value)


def readings_of(lines: Sequence[BookLine], keys: Sequence[str]) -> tuple[int, ...]:
    """Return the places in the plan of the rows with these keys, the draft and the sums left out."""
    wanted = set(keys)
    return tuple(line.index for line in lines if line.key in wanted and line.index is not None)
