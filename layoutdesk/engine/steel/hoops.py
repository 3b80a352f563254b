"""Hoops and ties around the bars of a pier: what is cut for one, how many there are, and laps.

A round hoop is closed by an overlap with a hook at each end (ACI 318-19, 25.7.2.4: at least 6 in, hooks that hold a
bar that runs with the pier). A square tie is closed at one corner, where both ends turn in with hooks of 135°.
"""

from __future__ import annotations

import math
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.steel.bends import Turn, bend_diameter, hook
from layoutdesk.engine.steel.sizes import Bar
from layoutdesk.units import MM_PER_INCH

Splice: TypeAlias = Literal["compression", "tension, grade 40", "tension, grade 60"]

LEAST_OVERLAP: Final = 6 * MM_PER_INCH
"""Of a round hoop, in mm: ACI 318-19, 25.7.2.4."""
_LAP_DIAMETERS: Final[dict[Splice, float]] = {
    "compression": 30.0,  # ACI 318-19, 25.5.5.1, grade 60
    "tension, grade 40": 40.0,  # International Residential Code, table R608.5.4(1)
    "tension, grade 60": 60.0,
}
_LEAST_LAP: Final = 12 * MM_PER_INCH
_NO_10: Final = 1.27 * MM_PER_INCH
_EN_TIE: Final = 6.0
_EN_SPACING: Final = 400.0
"""In mm, as 20 diameters of the bars: EN 1992-1-1:2004, 9.5.3(3), recommended values, from memory."""
_HAIR: Final = 1e-6
_MOST: Final = 100_000


def round_hoop(outside: float, tie: Bar, *, overlap: float = LEAST_OVERLAP, turn: Turn | None = 135) -> float:
    """Return the length in mm to cut for a round hoop.

    Args:
        outside: its diameter out to out: that of the pier less its cover on both sides.
        tie: the bar that it is bent from.
        overlap: how far its ends pass one another, measured along the hoop.
        turn: of the hook at each end; None for a hoop without hooks.

    Raises:
        ReckoningError: when the hoop is tighter than the bar may be bent, or its overlap longer than the hoop.
    """
    not_negative("The overlap of a hoop", overlap)
    inside = outside - 2 * tie.diameter
    if inside < bend_diameter(tie, use="tie") - _HAIR:
        raise ReckoningError(f"The hoop is tighter than {tie.name} may be bent.")
    around = math.pi * (outside - tie.diameter)
    if overlap >= around:
        raise ReckoningError("The ends of the hoop pass one another farther than once around.")
    hooks = 0.0
    if turn is not None:
        end = hook(tie, turn, use="tie")
        hooks = 2 * (end.arc + end.extension)
    return around + overlap + hooks


def square_tie(width: float, depth: float, tie: Bar, *, turn: Turn = 135) -> float:
    """Return the length in mm to cut for a closed tie with four corners, measured out to out.

    Three corners are bent square; at the fourth both ends go around the bar and turn in.

    Raises:
        ReckoningError: when a side is too short for its bends.
    """
    corner, end = hook(tie, 90, use="tie"), hook(tie, turn, use="tie")
    if min(width, depth) < 2 * corner.set_back:
        raise ReckoningError(f"A side of the tie is too short to be bent from {tie.name}.")
    return 2 * (width + depth) - 8 * corner.set_back + 3 * corner.arc + 2 * (end.arc + end.extension)


def greatest_spacing(bar: Bar, tie: Bar, width: float) -> float:
    """Return the greatest spacing of ties in mm, middle to middle: :func:`tie_code` says by which rule.

    Args:
        bar: the bars inside the ties.
        tie: the ties.
        width: the least width of the pier.
    """
    width = more_than_nothing("The width of a pier", width)
    if bar.standard == "en":
        return min(20 * bar.diameter, width, _EN_SPACING)
    return min(16 * bar.diameter, 48 * tie.diameter, width)


def tie_is_thick_enough(bar: Bar, tie: Bar) -> bool:
    """Return whether ties are as thick as their bars ask: see :func:`least_tie`."""
    slack = _HAIR if tie.standard == "astm" else 1.0  # where bars are metric, 12 mm is the size next to 12.7 mm
    return tie.diameter >= least_tie(bar) - (_HAIR if bar.standard == "en" else slack)


def least_tie(bar: Bar) -> float:
    """Return the least diameter of ties in mm.

    ACI 318-19, 25.7.2.2: No. 3, and No. 4 around bars over No. 10. Around bars of EN 10080 a quarter of theirs,
    6 mm at least (EN 1992-1-1:2004, 9.5.3(1)).
    """
    if bar.standard == "en":
        return max(_EN_TIE, bar.diameter / 4)
    return (0.375 if bar.diameter <= _NO_10 + _HAIR else 0.5) * MM_PER_INCH


def tie_code(bar: Bar) -> str:
    """Return which rule says how thick ties are and how far apart they stand, for sentences."""
    return "EN 1992-1-1, 9.5.3" if bar.standard == "en" else "ACI 318-19, 25.7.2"


def ties_along(length: float, *, first: float, spacing: float) -> int:
    """Return how many ties stand along a cage.

    Args:
        length: of the bars inside the pier, in mm.
        first: from each end to the tie next to it.
        spacing: which the ties do not exceed, middle to middle.

    Raises:
        ReckoningError: for figures of nothing, and when there would be more than 100,000.
    """
    more_than_nothing("The length of a cage", length)
    more_than_nothing("The spacing of ties", spacing)
    between = length - 2 * not_negative("The place of the first tie", first)
    if between < 0:
        raise ReckoningError("The first tie and the last stand past one another: the cage is too short.")
    if between / spacing > _MOST:
        raise ReckoningError("More than 100,000 ties in one pier: look at their spacing.")
    return math.ceil(between / spacing - _HAIR) + 1


def lap(bar: Bar, splice: Splice) -> float:
    """Return how far two bars lie beside one another in a lap, in mm; at least 12 in.

    Compression: 30 diameters, ACI 318-19, 25.5.5.1. Tension: 40 or 60 diameters by grade, International Residential
    Code, table R608.5.4(1). The engineer of the job may ask for more.
    """
    return max(_LAP_DIAMETERS[splice] * bar.diameter, _LEAST_LAP)
