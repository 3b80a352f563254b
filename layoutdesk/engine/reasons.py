"""Why a pier is staked one way and not the other, in one sentence with its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.layout import AlongLine, SquareOut, Tie, TiePair
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_length, format_small, round_up_to_step

Method: TypeAlias = Literal["square", "two tapes", "none"]

SQUARE_MARGIN: Final = 1.1
"""Square from the baseline is chosen while it is at most this much less exact: it is simpler."""

MOST_NAMED: Final = 6
"""A sentence names so many, and counts the others."""


def listed(names: Sequence[str], joint: str = "and", *, of: int | None = None) -> str:
    """Return names as a sentence lists them: ``P1, P2 and P3``, or ``P1, P2 and 12 more``.

    Args:
        names: at least one; of many the first few are enough.
        joint: the word before the last.
        of: how many there are, when not all were given.
    """
    many = len(names) if of is None else of
    if many > MOST_NAMED:
        return f"{', '.join(names[:MOST_NAMED])} and {many - MOST_NAMED} more"
    return names[0] if many == 1 else f"{', '.join(names[:-1])} {joint} {names[-1]}"


def shown_reading(mm: float, plan: Plan) -> str:
    """Return a length as it is read on the tape, or on the rod."""
    return format_length(mm, plan.units, plan.rounding, pretty=True).replace(" ", "\u00a0")


def shown_small(mm: float, plan: Plan) -> str:
    """Return a length as sentences write it, in the plan's units: a gap, a difference, how far off."""
    return format_small(mm, plan.units, plan.rounding)


def shown_within(mm: float, plan: Plan) -> str:
    """Return an expected error as sentences write it: rounded up to the tape's step, so as not to belittle it."""
    return f"±\u00a0{shown_small(max(plan.rounding, round_up_to_step(mm, plan.rounding)), plan)}"


def method_of(best: TiePair | None, square: SquareOut | None) -> Method:
    """Return the more exact way of putting a stake down; square while it is nearly as exact."""
    if square is not None and square.blocked_by is None:
        if best is None or square.within <= SQUARE_MARGIN * best.within:
            return "square"
        return "two tapes"
    return "none" if best is None else "two tapes"


def why_sentence(
    plan: Plan, ties: tuple[Tie, ...], best: TiePair | None, square: SquareOut | None, along: AlongLine | None
) -> str:
    """Return why a pier is staked as it is, in one sentence with its numbers in the plan's units."""
    method = method_of(best, square)
    if method == "none":
        reason = f"{_no_square(square)}, and {_no_pair(plan, ties)}"
        if along is None:
            return f"Nothing puts this pier on the ground: {reason}."
        by = shown_small(along.distance, plan)
        return f"Set it along {along.line}, {by} from {along.near} in line with {along.other}: {reason}."
    if method == "square":
        assert square is not None
        here = shown_within(square.within, plan)
        if best is None:
            return f"Square from the baseline puts it within {here}; {_no_pair(plan, ties)}."
        there = shown_within(best.within, plan)
        close = here == there or square.within > best.within
        verdict = "simpler and about as exact" if close else "the more exact"
        return f"Square from the baseline is {verdict}: within {here}; {_pair(best)} give {there}."
    assert best is not None
    here = shown_within(best.within, plan)
    if square is None or square.blocked_by is not None:
        return f"{_sentence_start(_pair(best))} put it within {here}; {_no_square(square)}."
    there = shown_within(square.within, plan)
    only = "no better" if here == there else f"only within {there}"
    return f"{_sentence_start(_pair(best))} put it within {here}; square from the baseline {only}."


def _pair(best: TiePair) -> str:
    return f"tapes from {best.first.control} and {best.second.control}, crossing at {best.crossing_deg:.0f}°,"


def _sentence_start(text: str) -> str:
    return text[:1].upper() + text[1:]


def _no_square(square: SquareOut | None) -> str:
    if square is None:
        return "there is no baseline to go square from"
    return f"going square from the baseline is barred by {square.blocked_by}"


def _no_pair(plan: Plan, ties: tuple[Tie, ...]) -> str:
    """Return why no two tapes can be used."""
    if len(ties) < 2:
        return "two tapes need two control points"
    blocked = [f"{tie.control} by {tie.blocked_by}" for tie in ties if tie.blocked_by]
    longer = [tie.control for tie in ties if not tie.blocked_by and tie.distance > plan.tape_at_hand.length + 1e-6]
    reasons = []
    if blocked:
        reasons.append("barred are " + ", ".join(blocked[:4]))
    if longer:
        reasons.append(f"beyond the tape are {', '.join(longer[:4])}")
    tail = f" ({'; '.join(reasons)})" if reasons else " at a usable angle"
    return f"no two open tapes cross there{tail}"
