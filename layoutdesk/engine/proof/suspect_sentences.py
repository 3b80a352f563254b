"""What is said of suspect measures: by how much each is wrong, what it probably was, and which others it may be."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.proof.slips import Slip
from layoutdesk.engine.reasons import listed, shown_reading, shown_small
from layoutdesk.plan.model import Plan, Tape


def slip_sentence(tape: Tape, name: str, error: float, slip: Slip, plan: Plan) -> str:
    """Return what is wrong with a measure: by how much, and what it probably was.

    Args:
        tape: the measure.
        name: what sentences call it.
        error: what it is too much by: mm, or degrees of a right angle.
        slip: what kind of slip it looks like.
        plan: gives the units.
    """
    if tape.kind == "right angle":
        return f"{name}, does not fit: it is out by {abs(error):.2f}°."
    by = shown_small(abs(error), plan)
    much = "too much" if error > 0 else "too little"
    if tape.kind == "string":
        return f"{name}, does not fit: the stake stands {by} off."
    read = shown_reading(tape.distance, plan)
    if slip.kind == "other":
        return f"{name}, reads {read}, {by} {much}."
    if slip.kind == "wrong end":
        return f"{name}, reads {read}, {by} {much}: {slip.words}."
    right = shown_reading(slip.right, plan)
    return f"{name}, reads {read}, {by} {much}: probably {right}, {slip.words}."


def suspect_sentence(parts: Sequence[str], names: Sequence[str], *, checked: bool) -> str:
    """Return the sentence about a suspect, or about several that cannot be told apart.

    Args:
        parts: what is wrong with each, the likeliest first, as of :func:`slip_sentence`.
        names: what each is called.
        checked: whether the others check each other still without it; else more than one may be wrong.
    """
    if len(parts) == 1:
        return f"{parts[0]} Tape it again."
    others = listed([f"“{name}”" for name in names[1:]], "or")
    either = " Or it is " if len(parts) == 2 else " Or it is one of these: "
    which = (
        "the measures do not tell which"
        if checked
        else "the measures do not tell which, nor whether it is only one"
    )
    again = "both" if len(parts) == 2 else "all"
    return f"{parts[0]}{either}{others}: {which}. Tape {again} again."


def against_plan_sentence(tape: Tape, name: str, error: float, slip: Slip, plan: Plan) -> str:
    """Return that a distance is far from what the plan has, while all others are near it.

    Args:
        tape: the measure.
        name: what sentences call it.
        error: by how much it is more than planned, mm.
        slip: what kind of slip it looks like.
        plan: gives the units.
    """
    off = f"{shown_small(abs(error), plan)} {'more' if error > 0 else 'less'} than planned"
    words = f"{name}, reads {shown_reading(tape.distance, plan)}, {off}"
    if slip.kind != "other":
        words += f": probably {shown_reading(slip.right, plan)}, {slip.words}"
    return f"{words}. Tape it again; should it read the same, take that down as well."


def only_by_plan(names: Sequence[str]) -> str:
    """Return that the tapes alone could as well blame others."""
    shown = list(names[:_MOST_NAMED])
    if len(names) > _MOST_NAMED:
        shown.append(f"{len(names) - _MOST_NAMED} more")
    either = shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} or {shown[-1]}"
    return f"Only the plan tells: by the tapes alone it could as well be {either}."


_MOST_NAMED: Final = 4
