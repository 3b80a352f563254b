"""The scale of a page: the one under which most written dimensions match a drawn length."""

from __future__ import annotations

from typing import Final

from layoutdesk.importers.dimensioned import BARE_SIZES, Dimensioned, is_related
from layoutdesk.importers.likely import likely_width
from layoutdesk.importers.linework import Linework
from layoutdesk.importers.proposal import ScaleGuess
from layoutdesk.importers.scale_votes import (
    SCALES,
    UNIT_NAMES,
    counted,
    doubt_of,
    guessed,
    is_standard,
    scale_name,
    vote_of,
)
from layoutdesk.importers.voting import Vote

PLAN_SCALES: Final = (10.0, 250.0)
"""Footing plans are drawn at scales within these: common practice, no source."""
LONGEST_WRITTEN: Final = (2_000.0, 60_000.0)
"""The longest dimension of a plan lies within these, in mm."""

AS_MANY: Final = 0.8
"""Units of bare numbers with which nearly as many agree are told apart by what is likely, for steps differ."""


def of_page(linework: Linework, dimensions: tuple[Dimensioned, ...]) -> ScaleGuess:
    """Return the scale of a page, with how many of its dimensions agree, and a likely one where none is written."""
    if not dimensions:
        why = "no written dimension that can be read stands on a line: give two points and their distance"
        return guessed(likely_page_scale(linework), why, 0, 0, sure=False)
    votes = [
        (size, vote)
        for size in (BARE_SIZES if any(d.bare for d in dimensions) else BARE_SIZES[:1])
        if (vote := vote_of(linework, dimensions, size)) is not None
    ]
    longest = max(option.drawn.measured for d in dimensions for option in d.options[:1])
    most = max(vote.agree for _, vote in votes)
    equals = [(size, vote) for size, vote in votes if vote.agree >= AS_MANY * most]
    size, vote = min(equals, key=lambda v: (not _fits_a_house(v[1].scale * longest), _name_order(v[1].scale)))
    also = [v for _, v in equals if v is not vote and _as_likely(v.scale, vote.scale, longest)]
    written = _written(dimensions, vote, size)
    why = f"{counted(vote.agree, written)} with {scale_name(vote.scale)}."
    doubt = doubt_of(vote, written, page=True)
    if not doubt and also:
        doubt = f" Their numbers carry no unit: {scale_name(also[0].scale)} would do as well."
    if not doubt and any(d.bare for d in dimensions) and size != 1.0:
        why += f" Numbers without unit are {UNIT_NAMES[size]}."
    return guessed(vote.scale, why + doubt, vote.agree, written, sure=not doubt)


def _written(dimensions: tuple[Dimensioned, ...], vote: Vote, size: float) -> int:
    """Return how many dimensions there are, without loose numbers that stand by no line of about their length."""
    related = sum(is_related(d, vote.scale, size) for d in dimensions)
    return max(related, vote.agree, min(len(dimensions), round(len(dimensions) / 2)))


def likely_page_scale(linework: Linework) -> float:
    """Return the standard scale at which a page would show a house of common size."""
    width = likely_width(linework)
    if not width:
        return 50.0
    return min((s.ratio for s in SCALES), key=lambda s: (not 5_000 <= s * width <= 25_000, abs(s - 50)))


def _fits_a_house(longest: float) -> bool:
    return LONGEST_WRITTEN[0] <= longest <= LONGEST_WRITTEN[1]


def _name_order(scale: float) -> int:
    """Return how unlikely a scale is for a plan: 0 a standard one of plans, 1 an odd one, 2 and 3 no plan's."""
    return (0 if PLAN_SCALES[0] <= scale <= PLAN_SCALES[1] else 2) + (not is_standard(scale, page=True))


def _as_likely(scale: float, chosen: float, longest: float) -> bool:
    fits = _fits_a_house(scale * longest) >= _fits_a_house(chosen * longest)
    return fits and _name_order(scale) <= _name_order(chosen)
