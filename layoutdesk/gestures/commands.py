"""What keys do to the pieces that are picked: nudging and deleting."""

from __future__ import annotations

from typing import Final

from layoutdesk.geometry.vector import plus, times
from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.gestures.gesture import Outcome
from layoutdesk.plan import edits
from layoutdesk.plan.model import Pier, Plan

COARSE: Final = 10
"""How many steps of the tape a nudge with Shift takes."""


def named(plan: Plan, ids: tuple[str, ...]) -> str:
    """Return what picked pieces are called together: ``P4``, or ``3 pieces``."""
    if len(ids) != 1:
        return f"{len(ids)} pieces"
    piece = plan.piece(ids[0])
    return piece.label if isinstance(piece, Pier) else ids[0]


def nudge_picked(
    plan: Plan, picked: tuple[str, ...], right: int, down: int, *, coarse: bool = False
) -> Outcome | None:
    """Return the move of the picked pieces by the tape's smallest step, in a direction of the screen.

    A run of nudges of the same pieces is one step to undo.
    """
    if not picked:
        return None
    step = plan.rounding * (COARSE if coarse else 1)
    bearings = bearings_of(plan)
    by = plus(times(bearings.right, right * step), times(bearings.down, down * step))
    return Outcome(f"Nudge {named(plan, picked)}", lambda p: edits.move(p, picked, by), merge=("nudge", picked))


def delete_picked(plan: Plan, picked: tuple[str, ...]) -> Outcome | None:
    """Return the removal of the picked pieces."""
    if not picked:
        return None
    return Outcome(f"Delete {named(plan, picked)}", lambda p: edits.delete(p, picked), select=())
