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
from layoutdesk.plan.model import TapeClass

PERMISSIBLE_MM: Final[dict[TapeClass, tuple[float, float]]] = {
    "I": (0.1, 0.1),
    "II": (0.3, 0.2),
    "III": (0.6, 0.4),
}
"""a in mm and b in mm per metre of each class."""


def permissible_error(length: float, tape_class: TapeClass) -> float:
    """Return by how much a tape may be wrong by the directive, its length rounded up to a whole metre; mm."""
    a, b = PERMISSIBLE_MM[tape_class]
    return a + b * math.ceil(abs(length) / 1000)


_Length = TypeVar("_Length", float, Floats)


def tape_deviation(length: _Length, tape_class: TapeClass) -> _Length:
    """Return the standard deviation of one taped length, or of a column of them; all in mm."""
    a, b = PERMISSIBLE_MM[tape_class]
    return a / 2 + abs(length) * (b / 2000)
