"""Checks of the strings: boards without a place, strings that touch, lie too low, or hang through."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.levels.crossings import string_name
from layoutdesk.engine.levels.entries import StringRun
from layoutdesk.geometry.tolerance import SAME_MM

NO_BOARD: Final = Kind("string-not-free", "warning", "levels")
TOUCHES: Final = Kind("strings-touch", "warning", "levels")
TOO_LOW: Final = Kind("string-too-low", "warning", "levels")
SAGS: Final = Kind("string-sags", "note", "levels")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with the strings."""
    names = {run.id: string_name(run) for run in facts.strings}
    for run in facts.strings:
        about = tuple(stop.pier for stop in run.stops)
        name = names[run.id]
        for trouble in run.troubles:
            text = f"{trouble[0].upper()}{trouble[1:]}; shift a board, or turn the string another way."
            yield NO_BOARD.flag(f"{_sentence(name)} is not free", text, *about)
        yield from _too_low(facts, run, name)
    yield from _sagging(facts)
    least = facts.plan.levels.settings.line_gap
    for crossing in facts.crossings:
        if crossing.gap < least - SAME_MM:
            title = f"{_sentence(names[crossing.upper])} touches another"
            yield TOUCHES.flag(title, crossing.says, crossing.upper, crossing.lower)


def _sagging(facts: Facts) -> Iterator[Flag]:
    """Yield one note for all strings that hang through by more than the tape's step."""
    found = [run for run in facts.strings if run.sag_says is not None]
    about = tuple(dict.fromkeys(stop.pier for run in found for stop in run.stops))
    if len(found) == 1:
        yield SAGS.flag(f"{_sentence(string_name(found[0]))} sags", str(found[0].sag_says), *about)
    elif found:
        worst = max(found, key=lambda run: run.sag)
        names = ", ".join(run.label for run in found[:_NAMED])
        more = f" and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
        low = f"as much as {mm(worst.sag, facts)}" if math.isfinite(worst.sag) else "far too"
        text = (
            f"The strings {names}{more} hang {low} low in the middle ({worst.label} most): pull them harder, or"
            " hold them up half way with a stake."
        )
        yield SAGS.flag(f"{len(found)} strings sag", text, *about)


_NAMED: Final = 6


def _too_low(facts: Facts, run: StringRun, name: str) -> Iterator[Flag]:
    """Yield a flag for a string that lies on the ground or on a pier top, naming the place where it is worst."""
    depths = [
        (above, what, stop)
        for stop in run.stops
        for above, what in ((stop.above_ground, "the ground"), (stop.above_top, "the pier top"))
        if above is not None and above < 0
    ]
    if depths:
        above, what, stop = min(depths, key=lambda entry: entry[0])
        text = (
            f"{_sentence(name)} runs {mm(-above, facts)} below {what} at {stop.label}; hang it at least that much"
            " higher."
        )
        yield TOO_LOW.flag(f"{_sentence(name)} lies too low", text, stop.pier)


def _sentence(name: str) -> str:
    return f"{name[0].upper()}{name[1:]}"
