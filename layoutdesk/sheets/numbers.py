"""Lengths as a page writes them: in the plan's units, rounded to its tape's step, once."""

from __future__ import annotations

from datetime import date
from typing import Final

from layoutdesk.plan.model import Plan
from layoutdesk.units import LengthParts, format_length, format_small, length_parts, round_up_to_step, small_units

_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def parts(plan: Plan, mm: float) -> LengthParts:
    """Return a length in the pieces that it is written with."""
    return length_parts(mm, plan.units, plan.rounding)


def said(plan: Plan, mm: float) -> str:
    """Return a length as it stands in a sentence, in which no line is broken."""
    return format_length(mm, plan.units, plan.rounding, pretty=True).replace(" ", "\u00a0")


def plus_before(plan: Plan, mm: float) -> str:
    """Return the sign before an elevation that is shown as above zero; one below carries its own, zero has none."""
    return "+" if mm > 0 and parts(plan, mm) != parts(plan, 0.0) else ""


def said_elevation(plan: Plan, mm: float) -> str:
    """Return an elevation as it stands in a sentence, with its sign; zero as a small amount."""
    if parts(plan, mm) == parts(plan, 0.0):
        return said_small(plan, 0.0)
    return f"{plus_before(plan, mm)}{said(plan, mm)}"


def said_whole(plan: Plan, mm: float) -> str:
    """Return a round length, such as that of a tape, without noughts that say nothing: ``30 m``."""
    steps = (1000.0, 100.0, 10.0) if plan.units == "m" else ()
    step = next((s for s in steps if mm % s == 0), plan.rounding)
    return format_length(mm, plan.units, step, pretty=True).replace(" ", "\u00a0")


def said_small(plan: Plan, mm: float) -> str:
    """Return a small amount, such as a gap, as it stands in a sentence: in millimetres also in a plan in metres."""
    return format_small(mm, plan.units, plan.rounding)


def small_parts(plan: Plan, mm: float) -> LengthParts:
    """Return a small amount, such as a move, in the pieces that it is written with: in a plan in metres in mm."""
    return length_parts(mm, small_units(mm, plan.units), plan.rounding)


def fine_parts(plan: Plan, mm: float) -> LengthParts:
    """Return an amount that nobody reads from a tape, finer than its step: a tenth, in inches a quarter."""
    step = plan.rounding / (4 if plan.units == "ft-in" else 10)
    return length_parts(mm, small_units(mm, plan.units), step)


def within_parts(plan: Plan, mm: float) -> LengthParts:
    """Return an expected error, rounded up to the tape's step and never under one: it must not be belittled."""
    at_least = max(plan.rounding, round_up_to_step(mm, plan.rounding))
    return length_parts(at_least, small_units(at_least, plan.units), plan.rounding)


def step_text(plan: Plan) -> str:
    """Return the smallest step that is shown, in inches or in millimetres: ``¹⁄₁₆″``, ``1 mm``."""
    return format_length(plan.rounding, "ft-in" if plan.units == "ft-in" else "mm", plan.rounding, pretty=True)


def day_text(iso: str) -> str:
    """Return a date that no country reads differently, as in ``12 March 2026``; other text as it was given."""
    try:
        day = date.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def plan_text(plan: Plan) -> str:
    """Return which plan a sheet was made from, as in ``plan of 12 March 2026, issue B``."""
    dated = f"plan of {day_text(plan.date)}" if plan.date else "plan without a date"
    return f"{dated}, issue {plan.issue}" if plan.issue else dated


def counted(count: int, one: str, many: str = "") -> str:
    """Return a number of things, as in ``1 pier`` and ``6 piers``."""
    return f"{count} {one if count == 1 else many or one + 's'}"
