"""Votes on a scale by the dimensions of a drawing: who takes part, when they are enough, and how that is said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from layoutdesk.importers.dimensioned import FILE_NOISE, PAPER_NOISE, Dimensioned, finest_step, totals
from layoutdesk.importers.linework import Linework
from layoutdesk.importers.proposal import ScaleGuess
from layoutdesk.importers.voting import Ballot, Vote, agreeing, elect
from layoutdesk.sheets.scales import FOOT_SCALES, METRIC_SCALES
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH

ENOUGH_ODD: Final = 5
ENOUGH: Final = 3
"""So many dimensions must agree before a scale is sure; before one is that is no standard scale, ENOUGH_ODD."""
MOST_OF_THEM: Final = 0.6
"""And this part of all that are written."""
NEARLY_ALL: Final = 0.9
"""When fewer agree to the finest step that is written, each is asked to its own step."""
SAME_SCALE: Final = 5e-5
"""Scales that differ by less than this part are told apart by no drawing."""
SNAP_ERRORS: Final = 3.0
"""A standard scale is taken when it lies within so many standard errors."""
UNIT_NAMES: Final = {
    1.0: "millimetres",
    10.0: "centimetres",
    1000.0: "metres",
    MM_PER_INCH: "inches",
    MM_PER_FOOT: "feet",
}
SCALES: Final = (*FOOT_SCALES, *METRIC_SCALES)
_OF_PAGES: Final = tuple(s.ratio for s in SCALES)
_OF_FILES: Final = tuple(unit * ratio for unit in UNIT_NAMES for ratio in (1.0, *_OF_PAGES))
"""In a file the unit counts too: inches at 1:48."""


def ballots_of(
    linework: Linework, dimensions: Iterable[Dimensioned], bare_size: float, step: float
) -> list[Ballot]:
    """Return what each text says about the scale; ``step`` 0: each is written to its own step."""
    found: list[Ballot] = []
    for text, d in enumerate(dimensions):
        for order, option in enumerate(d.options):
            drawn = option.drawn.measured
            noise = PAPER_NOISE if linework.kind == "pdf" else drawn * 5 * FILE_NOISE
            for reading in d.readings:
                size = bare_size if reading.bare else 1.0
                own = reading.step * size
                found += [
                    Ballot(text, total * size, drawn, min(own, step) if step else own, noise, first=not order)
                    for total in totals(reading)
                ]
    return found


def vote_of(linework: Linework, dimensions: tuple[Dimensioned, ...], bare_size: float) -> Vote | None:
    """Return the scale that most dimensions agree with, a bare number counting ``bare_size`` mm."""
    ballots = ballots_of(linework, dimensions, bare_size, finest_step(dimensions, bare_size, 1.0))
    vote = elect(ballots)
    if vote is None or vote.agree < NEARLY_ALL * len(dimensions):
        loose = ballots_of(linework, dimensions, bare_size, 0.0)  # numbers rounded to whole inches, and so on
        other = elect(loose)
        if other is not None and (vote is None or other.agree > 1.2 * vote.agree):
            return _snapped(linework, other, loose)
    return vote and _snapped(linework, vote, ballots)


def is_standard(scale: float, *, page: bool) -> bool:
    """Return whether a page is at a standard scale, or a file in a unit or in a unit at a standard scale."""
    return abs(_standard(scale, page=page) - scale) <= SAME_SCALE * scale


def _standard(scale: float, *, page: bool) -> float:
    """Return the standard scale that is nearest."""
    return min(_OF_PAGES if page else _OF_FILES, key=lambda s: abs(s - scale))


def _snapped(linework: Linework, vote: Vote, ballots: list[Ballot]) -> Vote:
    """Return the vote moved to a standard scale that lies within its error and is as good."""
    near = _standard(vote.scale, page=linework.kind == "pdf")
    off = abs(near - vote.scale)
    if off <= max(SNAP_ERRORS * vote.error, SAME_SCALE * vote.scale) and agreeing(ballots, near) >= vote.agree:
        return replace(vote, scale=near)
    return vote


def is_sure(vote: Vote, written: int, *, page: bool = False) -> bool:
    """Return whether so many of the written dimensions agree with a scale that nobody need be asked."""
    return not doubt_of(vote, written, page=page)


def doubt_of(vote: Vote, written: int, *, page: bool = False) -> str:
    """Return why a scale that dimensions say is not sure, as a sentence; empty when it is."""
    if vote.agree < ENOUGH:
        return " That is too few to be sure."
    if vote.agree < ENOUGH_ODD and not is_standard(vote.scale, page=page):
        return " That is too few to be sure of an odd scale."
    if vote.agree < MOST_OF_THEM * written:
        return " That is not most of them."
    if 2 * vote.rival > vote.agree:
        return f" Another scale agrees with {vote.rival}."
    return ""


def counted(agree: int, written: int) -> str:
    """Return how many of how many dimensions agree, to begin a sentence with."""
    return f"{agree} of {written} written dimension{'s' if written != 1 else ''} agree{'s' if agree == 1 else ''}"


def guessed(scale: float, why: str, agree: int, written: int, *, sure: bool) -> ScaleGuess:
    """Return a scale with what speaks for it; sentences are parted by a full stop, and the last has none."""
    return ScaleGuess(scale=scale, why=why.rstrip("."), agree=agree, written=written, sure=sure)


def scale_name(ratio: float) -> str:
    """Return a scale as a drawing names it, an odd one by its ratio."""
    for scale in SCALES:
        if abs(scale.ratio - ratio) <= SAME_SCALE * ratio:
            return scale.name if scale.name.startswith("1:") else f"{scale.name} (1:{ratio:.0f})"
    return f"1:{ratio:.5g}, no standard scale: the page may have been enlarged or reduced"


def meaning_of(scale: float, unit: float | None) -> str:
    """Return in words what one drawing unit is."""
    for size, many in UNIT_NAMES.items():
        if abs(scale - size) <= SAME_SCALE * size:
            return f"it is drawn in {many}"
    for size in (unit, MM_PER_INCH, 1.0) if unit is not None else (MM_PER_INCH, 1.0):
        for standard in SCALES:
            if abs(scale - size * standard.ratio) <= SAME_SCALE * scale:
                return f"it is drawn in {unit_name(size)} at {standard.name}"
    return f"one drawing unit is {scale:.6g} mm"


def unit_name(unit: float) -> str:
    """Return a unit by its name, several of it; one without a name in mm."""
    return next((many for size, many in UNIT_NAMES.items() if abs(size - unit) <= 1e-9 * size), f"{unit:g} mm")
