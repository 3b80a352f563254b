"""How exact a tape is: the accuracy classes of measuring instruments.

Directive 2014/32/EU, annex X (MI-008), chapter I: a tape of class I, II or III may be wrong by ``a + b·L``, L
being the length in metres. The directive rounds L up to the next whole metre for the approval of a tape; here
it is not rounded, so that the error of a stake changes smoothly with its place. Half of the permissible error
is taken as one standard deviation.
"""

from __future__ import annotations

import math
from typing import Final, TypeVar

from layoutdesk.engine.columns import Floats
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import TakenClass, TapeClass

PERMISSIBLE_MM: Final[dict[TapeClass, tuple[float, float]]] = {
    "I": (0.1, 0.1),
    "II": (0.3, 0.2),
    "III": (0.6, 0.4),
}
"""a in mm and b in mm per metre of each class."""

FOOT_MM: Final = 304.8
HANDBOOK_44: Final[tuple[tuple[float, float], ...]] = (
    (6 * FOOT_MM, 25.4 / 32),
    (30 * FOOT_MM, 25.4 / 16),
    (55 * FOOT_MM, 25.4 / 8),
    (80 * FOOT_MM, 25.4 * 3 / 16),
    (100 * FOOT_MM, 25.4 / 4),
)
"""NIST Handbook 44, section 5.52, metal tapes: (up to this length, tolerance), both in mm.

The table counts whole feet (6 or less, 7 to 30, and so on): a length between two bands belongs to the longer.
It ends at 100 ft; from there on the tolerance grows in proportion, 1/4 in for every 100 ft: common practice, no
source.
"""


def permissible_error(length: float, tape_class: TapeClass) -> float:
    """Return by how much a tape may be wrong by the directive, its length rounded up to a whole metre; mm."""
    a, b = PERMISSIBLE_MM[tape_class]
    return a + b * math.ceil(abs(length) / 1000)


_Length = TypeVar("_Length", float, Floats)


def tape_deviation(length: _Length, tape_class: TapeClass) -> _Length:
    """Return the standard deviation of one taped length, or of a column of them; all in mm."""
    a, b = PERMISSIBLE_MM[tape_class]
    return a / 2 + abs(length) * (b / 2000)


def reading_deviation(read_to: float) -> float:
    """Return the standard deviation that comes of reading a tape to whole steps of so many mm; 0 for 0.

    A reading is out by anything up to half a step, all of it as likely: the standard deviation of that rectangular
    distribution is the step divided by the root of twelve (JCGM 100:2008, 4.3.7).
    """
    return read_to / math.sqrt(12)


def handbook_tolerance(length: float) -> float:
    """Return by how much a metal tape of NIST Handbook 44 may be wrong at a length; mm."""
    size = abs(length)
    for most, tolerance in HANDBOOK_44:
        if size <= most + 1e-6:  # 6 ft that was computed is still 6 ft
            return tolerance
    most, tolerance = HANDBOOK_44[-1]
    return tolerance * size / most


def taken_deviation(
    length: float, tape_class: TakenClass, own: Vector | None = None, *, read_to: float = 0.0
) -> float:
    """Return the standard deviation of a length as taken on site: half of what its tape may be wrong by; mm.

    What reading to a step brings is added as variances are.

    Args:
        length: in mm; its sign does not matter.
        tape_class: a class of the directive, ``H44`` or ``own``.
        own: (a in mm, b in mm per metre) of an own tape, which may be wrong by ``a + b·L``.
        read_to: the step that the tape was read to, in mm; 0 when nothing is added for it.

    Raises:
        ValueError: when the class is ``own`` and it is not said how exact the tape is.
    """
    if tape_class == "H44":
        deviation = handbook_tolerance(length) / 2
    elif tape_class != "own":
        deviation = tape_deviation(length, tape_class)
    elif own is None:
        raise ValueError("it is not said how exact the own tape is")
    else:
        deviation = own[0] / 2 + abs(length) * (own[1] / 2000)
    return math.hypot(deviation, reading_deviation(read_to)) if read_to else deviation
