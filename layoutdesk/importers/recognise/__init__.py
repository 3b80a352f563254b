"""What a foreign drawing means: which of its shapes are piers, marks, walls, beam lines, slabs and keep-outs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Linework
    from layoutdesk.importers.proposal import Proposal, ScaleGuess
    from layoutdesk.plan.model import Plan

__all__ = ["plan_of", "propose"]


def propose(linework: Linework, scale: ScaleGuess | None = None) -> Proposal:
    """Return what would be made of a drawing; every shape of it belongs to one thing that is proposed.

    Args:
        linework: the drawing.
        scale: how large its unit is on the ground; guessed from its written dimensions when None.
    """
    from layoutdesk.importers.recognise.proposing import proposed

    return proposed(linework, scale)


def plan_of(proposal: Proposal, *, title: str = "") -> Plan:
    """Return the plan of what a proposal's things become; it is valid whatever was chosen.

    Args:
        proposal: what the person left of it.
        title: the plan's title; the drawing's name when empty.
    """
    from layoutdesk.importers.recognise.making import made

    return made(proposal, title=title)
