"""Moves and verdicts as the Proof page writes them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.desk.notebook.lengths import LengthText

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import BayVerdict, Proof, ProofPoint

MOST_BAYS: Final = 14


def worst(proof: Proof | None) -> ProofPoint | None:
    """Return the stake that is farthest out, of those that are held by the tapes."""
    stakes = [p for p in proof.points if not p.held and math.isfinite(p.out)] if proof else []
    return max(stakes, key=lambda p: p.out, default=None)


def move_along(point: ProofPoint, text: LengthText) -> str:
    """Return how far a stake moves along the baseline: on with its stations, or back."""
    return _move(point.along, ("on", "back"), text)


def move_away(point: ProofPoint, text: LengthText) -> str:
    """Return how far a stake moves away from the house, or in towards it."""
    return _move(point.away, ("away", "in"), text)


def _move(mm: float, ways: tuple[str, str], text: LengthText) -> str:
    if not math.isfinite(mm):
        return "–"
    amount = text.small(abs(mm))
    return amount if amount == text.small(0.0) else f"{ways[mm < 0]} {amount}"


def bay_lines(bays: Sequence[BayVerdict]) -> str:
    """Return the verdicts of the first bays, one line each."""
    return "\n".join(bay.says for bay in bays[:MOST_BAYS])
