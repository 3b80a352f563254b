"""How many millimetres on the ground one unit of a drawing is: by what it writes, else by what is likely.

Standard scales are those of :mod:`layoutdesk.sheets.scales` (architects' scales: common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from layoutdesk.importers.dimensioned import (
    BARE_SIZES,
    FILE_NOISE,
    PAPER_NOISE,
    SOLID,
    Dimensioned,
    dimensions_of,
    finest_step,
    is_related,
    totals,
)
from layoutdesk.importers.likely import likely_unit, likely_width, unlikely
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
SAME_SCALE: Final = 5e-5
"""Scales that differ by less than this part are told apart by no drawing."""
SNAP_ERRORS: Final = 3.0
"""A standard scale is taken when it lies within so many standard errors."""
PLAN_SCALES: Final = (10.0, 250.0)
"""Footing plans are drawn at scales within these: common practice, no source."""
LONGEST_WRITTEN: Final = (2_000.0, 60_000.0)
"""The longest dimension of a plan lies within these, in mm."""
UNIT_NAMES: Final = {
    1.0: ("a millimetre", "millimetres"),
    10.0: ("a centimetre", "centimetres"),
    1000.0: ("a metre", "metres"),
    MM_PER_INCH: ("an inch", "inches"),
    MM_PER_FOOT: ("a foot", "feet"),
}
_SCALES: Final = (*FOOT_SCALES, *METRIC_SCALES)


def guess_scale(linework: Linework) -> ScaleGuess:
    """Return how many mm on the ground one unit of a drawing is, what speaks for it, and whether that is sure.

    Of a page it is the one scale under which most written dimensions match a drawn length. Of a DXF it is the
    unit that the file names, unless most written dimensions say otherwise; where it names none, what they say;
    where nothing is written, the unit that makes a house of its size.
    """
    dimensions = _of_the_plan(tuple(d for d in dimensions_of(linework) if d.readings and not d.why))
    if linework.kind == "pdf":
        return _of_page(linework, dimensions)
    return _of_file(linework, dimensions)


# Votes ------------------------------------------------------------------------------------------------------


def _ballots(linework: Linework, dimensions: Iterable[Dimensioned], bare_size: float, step: float) -> list[Ballot]:
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


def _vote(linework: Linework, dimensions: tuple[Dimensioned, ...], bare_size: float) -> Vote | None:
    """Return the scale that most dimensions agree with, a bare number counting ``bare_size`` mm."""
    step = finest_step(dimensions, bare_size, 1.0)
    strict = elect(_ballots(linework, dimensions, bare_size, step))
    if strict is not None and strict.agree >= MOST_OF_THEM * len(dimensions):
        return _snapped(strict, _ballots(linework, dimensions, bare_size, step))
    loose = elect(_ballots(linework, dimensions, bare_size, 0.0))  # numbers rounded to whole inches, and so on
    if loose is not None and (strict is None or loose.agree > 1.2 * strict.agree):
        return _snapped(loose, _ballots(linework, dimensions, bare_size, 0.0))
    return strict and _snapped(strict, _ballots(linework, dimensions, bare_size, step))


def _is_standard(scale: float) -> bool:
    return abs(_standard(scale) - scale) <= SAME_SCALE * scale


def _standard(scale: float) -> float:
    """Return the standard scale, unit, or unit at a standard scale that is nearest."""
    ratios = (1.0, *(s.ratio for s in _SCALES))
    return min((unit * ratio for unit in UNIT_NAMES for ratio in ratios), key=lambda s: abs(s - scale))


def _snapped(vote: Vote, ballots: list[Ballot]) -> Vote:
    """Return the vote moved to a standard scale or unit that is as good."""
    near = _standard(vote.scale)
    off = abs(near - vote.scale)
    if off <= max(SNAP_ERRORS * vote.error, SAME_SCALE * vote.scale) and agreeing(ballots, near) >= vote.agree:
        return replace(vote, scale=near)
    return vote


def _is_sure(vote: Vote, written: int) -> bool:
    return not _doubt(vote, written)


def _doubt(vote: Vote, written: int) -> str:
    """Return why a scale that dimensions say is not sure, as a sentence; empty when it is."""
    if vote.agree < ENOUGH:
        return " That is too few to be sure."
    if vote.agree < ENOUGH_ODD and not _is_standard(vote.scale):
        return " That is too few to be sure of an odd scale."
    if vote.agree < MOST_OF_THEM * written:
        return " That is not most of them."
    if 2 * vote.rival > vote.agree:
        return f" Another scale agrees with {vote.rival}."
    return ""


def _count(agree: int, written: int) -> str:
    return f"{agree} of {written} written dimension{'s' if written != 1 else ''} agree{'s' if agree == 1 else ''}"


def _guess(scale: float, why: str, agree: int, written: int, *, sure: bool) -> ScaleGuess:
    return ScaleGuess(scale=scale, why=why, agree=agree, written=written, sure=sure)


# Pages ------------------------------------------------------------------------------------------------------


def _of_page(linework: Linework, dimensions: tuple[Dimensioned, ...]) -> ScaleGuess:
    if not dimensions:
        return ScaleGuess(
            scale=likely_page_scale(linework),
            why="No written dimension that can be read stands on a line: give two points and their distance.",
            sure=False,
        )
    votes = [
        (size, vote)
        for size in (BARE_SIZES if any(d.bare for d in dimensions) else BARE_SIZES[:1])
        if (vote := _vote(linework, dimensions, size)) is not None
    ]
    longest = max(option.drawn.measured for d in dimensions for option in d.options[:1])
    votes.sort(key=lambda v: (-v[1].agree, not _fits_a_house(v[1].scale * longest), _name_order(v[1].scale)))
    size, vote = votes[0]
    equals = [v for _, v in votes[1:] if v.agree == vote.agree]
    also = [v for v in equals if _as_likely(v.scale, vote.scale, longest)]
    written = _written(dimensions, vote, size)
    why = f"{_count(vote.agree, written)} with {_scale_name(vote.scale)}."
    doubt = _doubt(vote, written)
    if not doubt and also:
        doubt = f" Their numbers carry no unit: {_scale_name(also[0].scale)} would do as well."
    if not doubt and any(d.bare for d in dimensions) and size != 1.0:
        why += f" Numbers without unit are {UNIT_NAMES[size][1]}."
    return _guess(vote.scale, why + doubt, vote.agree, written, sure=not doubt)


def _written(dimensions: tuple[Dimensioned, ...], vote: Vote, size: float) -> int:
    """Return how many dimensions there are, without loose numbers that stand by no line of about their length."""
    related = sum(is_related(d, vote.scale, size) for d in dimensions)
    return max(related, vote.agree, min(len(dimensions), round(len(dimensions) / 2)))


def _of_the_plan(dimensions: tuple[Dimensioned, ...]) -> tuple[Dimensioned, ...]:
    """Return those that surely are dimensions, if enough are; of a drawing that has dimensions as such, all."""
    solid = tuple(d for d in dimensions if d.options[0].sure >= SOLID)
    return solid if len(solid) >= ENOUGH else dimensions


def likely_page_scale(linework: Linework) -> float:
    """Return the standard scale at which a page would show a house of common size."""
    width = likely_width(linework)
    if not width:
        return 50.0
    return min((s.ratio for s in _SCALES), key=lambda s: (not 5_000 <= s * width <= 25_000, abs(s - 50)))


def _fits_a_house(longest: float) -> bool:
    return LONGEST_WRITTEN[0] <= longest <= LONGEST_WRITTEN[1]


def _name_order(scale: float) -> int:
    """Return how unlikely a scale is for a plan: 0 a standard one of plans, 1 an odd one, 2 and 3 no plan's."""
    return (0 if PLAN_SCALES[0] <= scale <= PLAN_SCALES[1] else 2) + (not _is_standard(scale))


def _as_likely(scale: float, chosen: float, longest: float) -> bool:
    return _fits_a_house(scale * longest) >= _fits_a_house(chosen * longest) and _name_order(scale) <= _name_order(
        chosen
    )


def _scale_name(ratio: float) -> str:
    """Return a scale as a drawing names it, an odd one by its ratio."""
    for scale in _SCALES:
        if abs(scale.ratio - ratio) <= SAME_SCALE * ratio:
            return scale.name if scale.name.startswith("1:") else f"{scale.name} (1:{ratio:.0f})"
    return f"1:{ratio:.5g}, no standard scale: the page may have been enlarged or reduced"


# Files ------------------------------------------------------------------------------------------------------


def _of_file(linework: Linework, dimensions: tuple[Dimensioned, ...]) -> ScaleGuess:
    carrying = tuple(d for d in dimensions if not d.bare)
    bare = tuple(d for d in dimensions if d.bare)
    unit = linework.unit
    vote = _vote(linework, carrying, 1.0) if carrying else None
    if vote is not None and (_is_sure(vote, len(carrying)) or unit is None or _agrees(vote, unit)):
        return _by_written(linework, vote, len(carrying), len(bare))
    if unit is None:
        return _unit_unknown(linework, bare)
    if vote is not None and vote.agree:
        at_unit = agreeing(_ballots(linework, carrying, 1.0, finest_step(carrying, 1.0, unit)), unit)
        return _guess(
            unit,
            f"The file says {_unit_name(unit)}, and {_count(at_unit, len(carrying))}; "
            f"with {vote.scale:.6g} mm to one drawing unit {vote.agree} would.",
            at_unit,
            len(carrying),
            sure=at_unit >= ENOUGH and at_unit >= MOST_OF_THEM * len(carrying),
        )
    return _bare_against_unit(linework, bare, unit)


def _by_written(linework: Linework, vote: Vote, written: int, bare: int = 0) -> ScaleGuess:
    unit, doubt = linework.unit, _doubt(vote, written)
    more = f" {bare} more carry no unit and were not asked." if bare else ""
    count = _count(vote.agree, written)
    if unit is not None and _agrees(vote, unit):
        why = f"The file says {_unit_name(unit)}, and {count}."
        few = "" if vote.agree >= MOST_OF_THEM * written else " That is not most of them."
        return _guess(unit, why + few + more, vote.agree, written, sure=not few)
    means = _meaning(vote.scale, unit)
    why = f"{count} that {means}."
    if unit is not None:
        why = f"{count} that {means}, though the file says {_unit_name(unit)}."
    return _guess(vote.scale, why + doubt + more, vote.agree, written, sure=not doubt)


def _agrees(vote: Vote, unit: float) -> bool:
    return abs(vote.scale - unit) <= max(SAME_SCALE * unit, SNAP_ERRORS * vote.error)


def _meaning(scale: float, unit: float | None) -> str:
    """Return in words what one drawing unit is."""
    for size, (_, many) in UNIT_NAMES.items():
        if abs(scale - size) <= SAME_SCALE * size:
            return f"it is drawn in {many}"
    for size in (unit, MM_PER_INCH, 1.0) if unit is not None else (MM_PER_INCH, 1.0):
        for standard in _SCALES:
            if abs(scale - size * standard.ratio) <= SAME_SCALE * scale:
                return f"it is drawn in {_unit_name(size)} at {standard.name}"
    return f"one drawing unit is {scale:.6g} mm"


def _unit_name(unit: float) -> str:
    return next((many for size, (_, many) in UNIT_NAMES.items() if abs(size - unit) <= 1e-9 * size), f"{unit:g} mm")


def _bare_against_unit(linework: Linework, bare: tuple[Dimensioned, ...], unit: float) -> ScaleGuess:
    """Return the scale of a file that names its unit and whose numbers carry none, or that writes nothing."""
    trouble = unlikely(linework, unit)
    for size in (unit, *BARE_SIZES):
        vote = _vote(linework, bare, size) if bare else None
        if vote is None or not _is_sure(vote, len(bare)):
            continue
        if _agrees(vote, unit):
            if trouble:
                break
            return _by_written(linework, vote, len(bare))
        if size == unit and _drawn_at_a_scale(linework, vote.scale, unit):
            return _by_written(linework, vote, len(bare))
    why = f"The file says {_unit_name(unit)}" + (
        f", but {trouble}." if trouble else "; no written dimension checks it."
    )
    if bare and bare[0].loose:
        bare = ()  # numbers beside lines, and no dimensions
    if bare and not trouble:
        why = f"The file says {_unit_name(unit)}; its written dimensions carry no unit and do not agree with it."
    return _guess(unit, why, 0, len(bare), sure=not trouble and not bare)


def _drawn_at_a_scale(linework: Linework, scale: float, unit: float) -> bool:
    """Return whether lines are at a standard scale, and their numbers not simply in another unit than they."""
    standard = any(abs(scale / unit - s.ratio) <= SAME_SCALE * s.ratio for s in _SCALES)
    other = any(abs(unit * unit / scale - s) <= SAME_SCALE * s for s in BARE_SIZES)
    return standard and not other and not unlikely(linework, scale)


def _unit_unknown(linework: Linework, bare: tuple[Dimensioned, ...]) -> ScaleGuess:
    """Return a likely unit for a file that neither names one nor writes one."""
    unit, because = likely_unit(linework)
    why = f"The file does not say its unit and no written dimension does; {because}."
    agree = 0
    if bare and (vote := _vote(linework, bare, 1.0)) is not None and _is_sure(vote, len(bare)):
        agree = vote.agree
    return _guess(unit, why, agree, len(bare), sure=False)
