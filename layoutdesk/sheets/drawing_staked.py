"""Where stakes stand by their measures, on the plan drawing: a slanting cross with how far off it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from layoutdesk.plan.model import Plan
from layoutdesk.sheets.drawing_marks import SMALL_TEXT_MM, Placed, Stroke, Symbol
from layoutdesk.units import format_length

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof

STAKED: Final = "AS-STAKED"
_ARM_MM: Final = 1.2
"""Half the side of the square that the cross fills, on paper."""


def staked_symbol(ratio: float) -> Symbol:
    """Return the cross that marks where a stake stands; nothing of its attributes is shown over the pier's name."""
    h = _ARM_MM * ratio
    cross = (Stroke(((-h, -h), (h, h)), "as staked"), Stroke(((-h, h), (h, -h)), "as staked"))
    fields = (("MARK", "Mark", False), ("OFF_ALONG", "Off along", False), ("OFF_AWAY", "Off away", False))
    return Symbol(STAKED, "as staked", cross, fields)


def staked_places(plan: Plan, proof: Proof, ratio: float, turn: float) -> Iterator[Placed]:
    """Yield every point whose place the measures give, where it stands.

    Off along and off away say how far it stands beyond its planned place: along the way stations grow, and away
    from the house. They are the move that puts it right, the other way round.
    """
    for point in proof.points:
        if point.held or point.found is None:
            continue
        along, away = (format_length(-off, plan.units, plan.rounding) for off in (point.along, point.away))
        values = (("MARK", point.label), ("OFF_ALONG", along), ("OFF_AWAY", away))
        yield Placed(STAKED, point.found, values, point.found, SMALL_TEXT_MM * ratio, turn=turn)
