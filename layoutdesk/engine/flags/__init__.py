"""What a plan must not do, found topic by topic; ``flags_of`` gathers it."""

from __future__ import annotations

from itertools import chain

from layoutdesk.engine.flags import belonging, control, drawing, footprints, marks, measuring, proof, squareness
from layoutdesk.engine.flags.facts import Facts, errors_first
from layoutdesk.engine.layout import Flag

__all__ = ["flags_of"]


def flags_of(facts: Facts) -> tuple[Flag, ...]:
    """Return all flags of a plan, errors first."""
    checks = (
        drawing.check,
        marks.check,
        control.check,
        belonging.check,
        footprints.check,
        measuring.check,
        squareness.check,
        proof.check,
    )
    return errors_first(chain.from_iterable(check(facts) for check in checks))
