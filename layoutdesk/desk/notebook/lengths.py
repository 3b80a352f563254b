"""Lengths as the plan shows them."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.plan.model import Plan
from layoutdesk.units import Units, format_exact, format_length, format_small, round_up_to_step


@dataclass(frozen=True, slots=True)
class LengthText:
    """Writes lengths in a plan's units and to its rounding."""

    units: Units
    step: float

    @classmethod
    def of(cls, plan: Plan) -> LengthText:
        """Return the way in which ``plan`` writes lengths."""
        return cls(plan.units, plan.rounding)

    def __call__(self, mm: float | None) -> str:
        """Return a length for the eye; a dash where there is none."""
        return "–" if mm is None or mm != mm else format_length(mm, self.units, self.step, pretty=True)  # noqa: PLR0124

    def held(self, mm: float) -> str:
        """Return a length for running text: number and unit stay on one line."""
        return held(self(mm))

    def up(self, mm: float) -> str:
        """Return a small amount rounded up to the tape's step: for errors, which must not be belittled."""
        return self.small(max(self.step, round_up_to_step(mm, self.step)))

    def small(self, mm: float) -> str:
        """Return a small amount, in the units in which it is small."""
        return format_small(mm, self.units, self.step)

    def exact(self, mm: float) -> str:
        """Return a length as text to edit, which reads back as the very same length."""
        return format_exact(mm, self.units)


def held(length: str) -> str:
    """Return a written length whose number and unit stay on one line."""
    return length.replace(" ", "\u00a0").replace("\u2009", "\u202f")
