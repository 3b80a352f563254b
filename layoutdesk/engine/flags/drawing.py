"""Checks of the drawing against itself: numbers that differ from what is drawn, chains that do not close."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, mm
from layoutdesk.engine.layout import ChainCheck, Flag, WrittenCheck
from layoutdesk.geometry.vector import Vector
from layoutdesk.units import format_length

DISAGREES: Final = Kind("dimension-disagrees", "warning", "plan")
NOT_CLOSED: Final = Kind("chain-does-not-close", "warning", "plan")
ROUNDED: Final = Kind("chain-rounded", "note", "plan")

_WORDS: Final = {"distance": "distance", "ordinate": "ordinate", "diameter": "diameter", "radius": "radius"}


def check(facts: Facts) -> Iterator[Flag]:
    """Yield each written dimension that is not what is drawn, and each chain that does not add up."""
    for written in facts.written:
        if not written.agrees:
            yield _disagrees(facts, written)
    for chain in facts.chains:
        if not chain.closes:
            yield _not_closed(facts, chain)


def _disagrees(facts: Facts, found: WrittenCheck) -> Flag:
    value, drawn = _full(found.value, facts), _full(found.drawn, facts)
    more = "more" if found.difference > 0 else "less"
    where = _between(facts, found)
    text = (
        f"The drawing writes {value} {where} and draws {drawn}: {mm(abs(found.difference), facts)} {more}. "
        "Ask the designer which holds, then retype the distance or take the written number out."
    )
    said = found.text.strip() or value
    return DISAGREES.flag(f"{said} is drawn as {drawn}", text, *found.on, found.id)


def _between(facts: Facts, found: WrittenCheck) -> str:
    """Return where a dimension lies, in words."""
    if found.kind in {"diameter", "radius"}:
        return f"as a {_WORDS[found.kind]} {_at(facts, found.start if found.kind == 'radius' else _middle(found))}"
    first, second = (name or _at(facts, at) for name, at in zip(found.ends, (found.start, found.end), strict=True))
    return f"from {first} to {second}"


def _middle(found: WrittenCheck) -> Vector:
    return (found.start[0] + found.end[0]) / 2, (found.start[1] + found.end[1]) / 2


def _at(facts: Facts, at: Vector) -> str:
    """Return a bare place in words: by station and offset when there is a baseline."""
    if facts.frame is None:
        return f"x {_full(at[0], facts)}, y {_full(at[1], facts)}"
    station, offset = facts.frame.station_offset(at)
    return f"station {_full(station, facts)}, offset {_full(offset, facts)}"


def _not_closed(facts: Facts, chain: ChainCheck) -> Flag:
    assert chain.gap is not None
    assert chain.overall is not None
    total, overall, gap = _full(chain.total, facts), _full(chain.overall, facts), mm(abs(chain.gap), facts)
    more = "more" if chain.gap > 0 else "less"
    parts = len(chain.parts)
    text = f"The {parts} parts of the chain add up to {total}, {gap} {more} than its overall dimension {overall}"
    if chain.rounding_only:
        text += "; the rounding of its numbers explains that. Lay out from one end and check the overall."
        return ROUNDED.flag(f"Chain {chain.id} is {gap} {more} by rounding", text, *chain.about, chain.id)
    text += "; one of them is wrong. Ask the designer before anything is staked by it."
    return NOT_CLOSED.flag(f"Chain {chain.id} does not close by {gap}", text, *chain.about, chain.id)


def _full(value: float, facts: Facts) -> str:
    """Return a length as flags write it, in the plan's units."""
    plan = facts.plan
    return format_length(value, plan.units, plan.rounding, pretty=True).replace(" ", "\u00a0")
