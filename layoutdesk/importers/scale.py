"""How many millimetres on the ground one unit of a drawing is: by what it writes, else by what is likely.

Standard scales are those of :mod:`layoutdesk.sheets.scales` (architects' scales: common practice, no source).
"""

from __future__ import annotations

from layoutdesk.importers.dimensioned import BARE_SIZES, SOLID, Dimensioned, dimensions_of, finest_step
from layoutdesk.importers.likely import likeliness, likely_unit, unlikely
from layoutdesk.importers.linework import Linework
from layoutdesk.importers.page_scale import of_page
from layoutdesk.importers.proposal import ScaleGuess
from layoutdesk.importers.scale_votes import (
    ENOUGH,
    MOST_OF_THEM,
    SAME_SCALE,
    SCALES,
    SNAP_ERRORS,
    ballots_of,
    counted,
    doubt_of,
    guessed,
    is_sure,
    meaning_of,
    unit_name,
    vote_of,
)
from layoutdesk.importers.voting import Vote, agreeing


def guess_scale(linework: Linework) -> ScaleGuess:
    """Return how many mm on the ground one unit of a drawing is, what speaks for it, and whether that is sure.

    Of a page it is the one scale under which most written dimensions match a drawn length. Of a DXF it is the
    unit that the file names, unless most written dimensions say otherwise; where it names none, what they say;
    where nothing is written, the unit that makes a house of its size.
    """
    dimensions = _of_the_plan(tuple(d for d in dimensions_of(linework) if d.readings and not d.why))
    if linework.kind == "pdf":
        return of_page(linework, dimensions)
    return _of_file(linework, dimensions)


def _of_the_plan(dimensions: tuple[Dimensioned, ...]) -> tuple[Dimensioned, ...]:
    """Return those that surely are dimensions, if enough are; of a drawing that has dimensions as such, all."""
    solid = tuple(d for d in dimensions if d.options[0].sure >= SOLID)
    return solid if len(solid) >= ENOUGH else dimensions


def _of_file(linework: Linework, dimensions: tuple[Dimensioned, ...]) -> ScaleGuess:
    carrying = tuple(d for d in dimensions if not d.bare)
    bare = tuple(d for d in dimensions if d.bare)
    unit = linework.unit
    vote = vote_of(linework, carrying, 1.0) if carrying else None
    if vote is not None and (is_sure(vote, len(carrying)) or unit is None or _agrees(vote, unit)):
        return _by_written(linework, vote, len(carrying), len(bare))
    if unit is None:
        return _unit_unknown(linework, bare)
    if vote is not None and vote.agree:
        at_unit = agreeing(ballots_of(linework, carrying, 1.0, finest_step(carrying, 1.0, unit)), unit)
        return guessed(
            unit,
            f"The file says {unit_name(unit)}, and {counted(at_unit, len(carrying))}; "
            f"with {vote.scale:.6g} mm to one drawing unit {vote.agree} would.",
            at_unit,
            len(carrying),
            sure=at_unit >= ENOUGH and at_unit >= MOST_OF_THEM * len(carrying),
        )
    return _bare_against_unit(linework, bare, unit)


def _by_written(linework: Linework, vote: Vote, written: int, bare: int = 0) -> ScaleGuess:
    unit, doubt = linework.unit, doubt_of(vote, written)
    more = f" {bare} more carry no unit and were not asked." if bare else ""
    count = counted(vote.agree, written)
    if unit is not None and _agrees(vote, unit):
        why = f"The file says {unit_name(unit)}, and {count}."
        few = "" if vote.agree >= MOST_OF_THEM * written else " That is not most of them."
        return guessed(unit, why + few + more, vote.agree, written, sure=not few)
    means = meaning_of(vote.scale, unit)
    why = f"{count} that {means}."
    if unit is not None:
        why = f"{count} that {means}, though the file says {unit_name(unit)}."
    return guessed(vote.scale, why + doubt + more, vote.agree, written, sure=not doubt)


def _agrees(vote: Vote, unit: float) -> bool:
    return abs(vote.scale - unit) <= max(SAME_SCALE * unit, SNAP_ERRORS * vote.error)


def _bare_against_unit(linework: Linework, bare: tuple[Dimensioned, ...], unit: float) -> ScaleGuess:
    """Return the scale of a file that names its unit and whose numbers carry none, or that writes nothing."""
    trouble = unlikely(linework, unit)
    for size in (unit, *BARE_SIZES):
        vote = vote_of(linework, bare, size) if bare else None
        if vote is None or not is_sure(vote, len(bare)):
            continue
        if _agrees(vote, unit):
            if trouble:
                break
            return _by_written(linework, vote, len(bare))
        if size == unit and _drawn_at_a_scale(linework, vote.scale, unit):
            return _by_written(linework, vote, len(bare))
    why = f"The file says {unit_name(unit)}" + (
        f", but {trouble}." if trouble else "; no written dimension checks it."
    )
    if bare and bare[0].loose:
        bare = ()  # numbers beside lines, and no dimensions
    if bare and not trouble:
        why = f"The file says {unit_name(unit)}; its written dimensions carry no unit and do not agree with it."
    return guessed(unit, why, 0, len(bare), sure=not trouble and not bare)


def _drawn_at_a_scale(linework: Linework, scale: float, unit: float) -> bool:
    """Return whether lines are at a standard scale, and their numbers not simply in another unit than they."""
    standard = any(abs(scale / unit - s.ratio) <= SAME_SCALE * s.ratio for s in SCALES)
    other = any(abs(unit * unit / scale - s) <= SAME_SCALE * s for s in BARE_SIZES)
    return standard and not other and not unlikely(linework, scale)


def _unit_unknown(linework: Linework, bare: tuple[Dimensioned, ...]) -> ScaleGuess:
    """Return a likely unit for a file that neither names one nor writes one."""
    votes = [(size, vote) for size in BARE_SIZES if bare and (vote := vote_of(linework, bare, size)) is not None]
    sure = [(size, vote) for size, vote in votes if is_sure(vote, len(bare))]
    full_size = [vote for size, vote in sure if abs(vote.scale - size) <= SAME_SCALE * size]
    if sure and not full_size:
        return _bare_at_a_scale(linework, sure, len(bare))
    unit, because = likely_unit(linework)
    why = f"The file does not say its unit and no written dimension does; {because}."
    return guessed(unit, why, max((v.agree for v in full_size), default=0), len(bare), sure=False)


def _bare_at_a_scale(linework: Linework, votes: list[tuple[float, Vote]], written: int) -> ScaleGuess:
    """Return the scale of a file whose numbers, of no unit, are all the same times as large as what is drawn.

    The numbers are in the unit that makes a house of the drawing; how large it is must be asked all the same.
    """
    size, vote = max(votes, key=lambda v: likeliness(linework, v[1].scale))
    trouble = unlikely(linework, vote.scale)
    judged = f"would be likely, but {trouble}" if trouble else "make the size of a house"
    why = (
        f"Its numbers carry no unit. As {unit_name(size)} they {judged}; "
        f"{counted(vote.agree, written)} that {meaning_of(vote.scale, None)}."
    )
    return guessed(vote.scale, why, vote.agree, written, sure=False)
