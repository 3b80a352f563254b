"""What a plan must not do, found topic by topic; three functions gather it."""

from __future__ import annotations

from itertools import chain

from layoutdesk.engine.flags import (
    belonging,
    control,
    details,
    drawing,
    footprints,
    holes_dug,
    levels,
    marks,
    measuring,
    openings,
    pouring,
    proof,
    squareness,
    steel,
)
from layoutdesk.engine.flags.facts import Facts, errors_first
from layoutdesk.engine.layout import Flag

__all__ = ["errors_first", "height_flags_of", "plan_flags_of", "proof_flags_of"]


def plan_flags_of(facts: Facts) -> tuple[Flag, ...]:
    """Return the flags of a plan that hang neither on heights nor on what was measured on site, errors first.

    Holes that were logged are held against their planned depth, for which heights are worked out where there are
    any.
    """
    checks = (
        drawing.check,
        marks.check,
        control.check,
        belonging.check,
        footprints.check,
        openings.check,
        details.check,
        steel.check,
        holes_dug.check,
        pouring.check,
        measuring.check,
        squareness.check,
    )
    return errors_first(chain.from_iterable(check(facts) for check in checks))


def height_flags_of(facts: Facts) -> tuple[Flag, ...]:
    """Return the flags of the heights, errors first."""
    return errors_first(chain(levels.check(facts), steel.check_heights(facts)))


def proof_flags_of(facts: Facts) -> tuple[Flag, ...]:
    """Return the flags that follow from what was measured on site, errors first."""
    return errors_first(proof.check(facts))
