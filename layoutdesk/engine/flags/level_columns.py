"""Checks of the columns: room for them, stock for them, how they hang, and wood near concrete and ground.

The clearances are those that the International Residential Code, R317.1.4 (editions to 2018), sets for posts of
wood that is neither naturally durable nor treated: 1 in above concrete, 6 in above exposed earth. Local code
decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.levels.columns import stock_lengths
from layoutdesk.units import MM_PER_INCH

NO_ROOM: Final = Kind("column-has-no-length", "error", "levels")
NO_STOCK: Final = Kind("column-too-long", "warning", "levels")
NOT_HUNG: Final = Kind("column-cannot-hang", "warning", "levels")
NO_SEAT: Final = Kind("seat-not-given", "note", "levels")
NEAR_CONCRETE: Final = Kind("wood-near-concrete", "warning", "levels")
NEAR_GROUND: Final = Kind("wood-near-ground", "warning", "levels")
CAST_IN: Final = Kind("wood-in-concrete", "note", "levels")

ABOVE_CONCRETE_MM: Final = 1 * MM_PER_INCH
ABOVE_GROUND_MM: Final = 6 * MM_PER_INCH
_DECIDES: Final = "local code decides"


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with the columns."""
    yield from _seats(facts)
    yield from _room(facts)
    yield from _stock(facts)
    yield from _hanging(facts)
    yield from _wood(facts)


def _seats(facts: Facts) -> Iterator[Flag]:
    """Yield a note for beam lines without a seat where others have one."""
    given = {entry.line for entry in facts.plan.levels.lines if entry.seat is not None}
    bare = [
        line.id
        for line in facts.plan.lines
        if line.id not in given and any(pier.line == line.id for pier in facts.plan.piers)
    ]
    if given and bare:
        text = (
            f"Nothing says how high the beam of {', '.join(bare)} lies, so its columns are not cut; type its seat."
        )
        yield NO_SEAT.flag(f"{'The beam has' if len(bare) == 1 else 'Beams have'} no seat", text, *bare)


def _room(facts: Facts) -> Iterator[Flag]:
    """Yield an error for piers whose column would have no length."""
    cut = {column.pier for column in facts.columns}
    found = [
        i
        for i, height in enumerate(facts.heights)
        if height.line is not None
        and height.seat is not None
        and height.top is not None
        and height.id not in cut
        and not (height.ground is not None and height.ground >= height.seat)
    ]

    def say(i: int) -> tuple[str, str]:
        height = facts.heights[i]
        assert height.seat is not None
        assert height.top is not None
        text = (
            f"At {height.label} the pier's top lies {mm(height.seat - height.top, facts)} below the seat of the"
            " beam, which leaves no length for a column; look at the seat, the fall and the top."
        )
        return f"{height.label} has no room for a column", text

    def together(names: str) -> tuple[str, str]:
        text = f"At {names} the tops lie so close to the seat that no column is left; look at seat, fall and tops."
        return f"{len(found)} piers have no room for a column", text

    yield from each(NO_ROOM, found, by_pier(facts), say, together)


def _stock(facts: Facts) -> Iterator[Flag]:
    """Yield a warning for columns that no stock length is long enough for."""
    long = [column for column in facts.columns if column.stock is None]
    if long:
        most = max(long, key=lambda column: column.rough)
        names = ", ".join(column.label for column in long[:6]) + (
            f" and {len(long) - 6} more" if len(long) > 6 else ""
        )
        text = (
            f"The longest stock is {mm(stock_lengths(facts.plan)[-1], facts)}, and the column of {most.label} takes"
            f" {mm(most.rough, facts)}; ask for longer posts, or look at the seat (too long: {names})."
        )
        yield NO_STOCK.flag("No stock is long enough", text, *(column.pier for column in long))


def _hanging(facts: Facts) -> Iterator[Flag]:
    """Yield a warning for columns that their supports cannot hold, where they are to be hung."""
    index = {pier.id: i for i, pier in enumerate(facts.plan.piers)}
    built = {height.id for height in facts.heights if height.built is not None}
    columns = {
        index[column.pier]: column
        for column in facts.columns
        if column.jig is None and column.support is not None and column.pier not in built
    }

    def say(i: int) -> tuple[str, str]:
        return f"The column of {columns[i].label} cannot be hung", columns[i].says

    def together(names: str) -> tuple[str, str]:
        text = (
            f"The side supports of {names} do not lie between the foot and the head of their columns; set them"
            " higher above the ground, or type how high they lie."
        )
        return f"{len(columns)} columns cannot be hung on their supports", text

    yield from each(NOT_HUNG, list(columns), by_pier(facts), say, together)


def _wood(facts: Facts) -> Iterator[Flag]:
    """Yield what is said of wood near concrete and ground."""
    if not facts.columns:
        return
    rule = facts.plan.levels.columns
    piers = tuple(column.pier for column in facts.columns)
    if rule.foot < 0:
        text = (
            f"The columns stand {mm(-rule.foot, facts)} deep in the concrete: wood cast in or near the ground must"
            f" be of a durable kind or treated for it (IRC R317.1.4, editions to 2018); {_DECIDES}."
        )
        yield CAST_IN.flag("Columns are cast in", text, *piers)
        return
    if rule.foot < ABOVE_CONCRETE_MM - _LESS_MM:
        text = (
            f"The feet of the columns stand {mm(rule.foot, facts)} above the concrete; wood that is neither durable"
            f" nor treated needs {mm(ABOVE_CONCRETE_MM, facts)} (IRC R317.1.4, editions to 2018); {_DECIDES}."
        )
        yield NEAR_CONCRETE.flag("Wood is near the concrete", text, *piers)
    ground = {height.id: height.ground for height in facts.heights}
    index = {pier.id: i for i, pier in enumerate(facts.plan.piers)}
    gaps = {
        index[column.pier]: column.foot - here
        for column in facts.columns
        if (here := ground.get(column.pier)) is not None and column.foot - here < ABOVE_GROUND_MM - _LESS_MM
    }

    def say(i: int) -> tuple[str, str]:
        label = facts.plan.piers[i].label
        text = (
            f"The foot of the column of {label} stands {mm(gaps[i], facts)} above the ground; wood that is neither"
            f" durable nor treated needs {mm(ABOVE_GROUND_MM, facts)} above bare earth (IRC R317.1.4, editions to"
            f" 2018); {_DECIDES}."
        )
        return f"Wood is near the ground at {label}", text

    def together(names: str) -> tuple[str, str]:
        least = min(gaps.values())
        text = (
            f"The feet of the columns of {names} stand as little as {mm(least, facts)} above the ground; wood that"
            f" is neither durable nor treated needs {mm(ABOVE_GROUND_MM, facts)} above bare earth (IRC R317.1.4,"
            f" editions to 2018); {_DECIDES}."
        )
        return f"Wood is near the ground at {len(gaps)} piers", text

    yield from each(NEAR_GROUND, list(gaps), by_pier(facts), say, together)


_LESS_MM: Final = 0.01
