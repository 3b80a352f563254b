"""Bends and hooks: how tight a bar may be bent, how far it goes on past the bend, and what that takes of it.

A bar of diameter d bent about a pin of diameter D by the angle θ takes θ (D + d) / 2 along its middle. Sides are
dimensioned out to out; each bend begins and ends (D / 2 + d) tan(θ / 2) from the corner where the outer sides would
meet; a bar with hooks is measured over them, and its straight part ends D / 2 + d inside of that.

Least sizes: bars of ASTM A615 by ACI 318-19, tables 25.3.1 (bars) and 25.3.2 (hoops and ties); bars of EN 10080 by
EN 1992-1-1:2004, table 8.1N, 8.4.1 and 8.5.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.sizes import Bar
from layoutdesk.units import MM_PER_INCH

Use: TypeAlias = Literal["bar", "tie"]
Turn: TypeAlias = Literal[90, 135, 180]

_NO_5: Final = 0.625 * MM_PER_INCH
_NO_8: Final = 1.0 * MM_PER_INCH
_NO_11: Final = 1.41 * MM_PER_INCH
_A_HAIR: Final = 1e-6


def bend_diameter(bar: Bar, *, use: Use = "bar") -> float:
    """Return the least diameter in mm about which a bar is bent, measured inside.

    Raises:
        ReckoningError: for a tie of a bar that is too thick to be one.
    """
    d = bar.diameter
    if bar.standard == "en":
        return (4 if d <= 16 else 7) * d
    if use == "tie":
        if d > _NO_8 + _A_HAIR:
            raise ReckoningError(f"{bar.name} is too thick for a tie: ACI 318-19 has ties up to No. 8.")
        return (4 if d <= _NO_5 + _A_HAIR else 6) * d
    if d <= _NO_8 + _A_HAIR:
        return 6 * d
    return (8 if d <= _NO_11 + _A_HAIR else 10) * d


def extension(bar: Bar, turn: Turn, *, use: Use = "bar") -> float:
    """Return how far in mm a bar goes straight on past a hook.

    Raises:
        ReckoningError: for a hook of 135° at the end of a bar that is no tie.
    """
    d, inch = bar.diameter, MM_PER_INCH
    if use == "bar" and turn == 135:
        raise ReckoningError("A hook of 135° ends a tie; a bar ends in 90° or 180°.")
    if bar.standard == "en":
        if use == "bar":
            return 5 * d
        return max(10 * d, 70.0) if turn == 90 else max(5 * d, 50.0)
    if turn == 180:
        return max(4 * d, 2.5 * inch)
    if turn == 135:
        return max(6 * d, 3 * inch)
    if use == "tie" and d <= _NO_5 + _A_HAIR:
        return max(6 * d, 3 * inch)
    return 12 * d


@dataclass(frozen=True, slots=True)
class Hook:
    """A hook at the end of a bar; lengths in mm, the turn in degrees."""

    turn: Turn
    diameter: float
    inside: float
    extension: float

    @property
    def arc(self) -> float:
        """Return what the bend takes along the middle of the bar."""
        return math.radians(self.turn) * (self.inside + self.diameter) / 2

    @property
    def set_back(self) -> float:
        """Return how far from the outermost side of the hook the straight bar ends."""
        return self.inside / 2 + self.diameter

    @property
    def adds(self) -> float:
        """Return what the hook adds to a bar that is measured out to out over it."""
        return self.arc + self.extension - self.set_back

    @property
    def leg(self) -> float:
        """Return how far a square hook stands out, out to out."""
        return self.set_back + self.extension

    @property
    def wide(self) -> float:
        """Return the width of a hook turned right round, out to out."""
        return self.inside + 2 * self.diameter


def hook(bar: Bar, turn: Turn, *, use: Use = "bar") -> Hook:
    """Return the least hook of a bar."""
    return Hook(turn, bar.diameter, bend_diameter(bar, use=use), extension(bar, turn, use=use))


def bent_length(sides: tuple[float, ...], bar: Bar, *, use: Use = "bar") -> float:
    """Return the length in mm to cut for a bar bent square between sides that are measured out to out.

    Raises:
        ReckoningError: when a side is too short for its bends.
    """
    corner = hook(bar, 90, use=use)
    for k, side in enumerate(sides):
        bends = (k > 0) + (k < len(sides) - 1)
        if side < bends * corner.set_back:
            raise ReckoningError(f"Side {k + 1} is too short to be bent from {bar.name}.")
    bends = max(0, len(sides) - 1)
    return math.fsum(sides) + bends * (corner.arc - 2 * corner.set_back)


def hooked_length(out_to_out: float, hooks: tuple[Hook, ...]) -> float:
    """Return the length in mm to cut for a straight bar with hooks, measured out to out over them.

    Raises:
        ReckoningError: when the bar is shorter than its hooks.
    """
    if out_to_out <= 0 or out_to_out < math.fsum(one.set_back for one in hooks):
        raise ReckoningError("The bar is too short for its hooks.")
    return out_to_out + math.fsum(one.adds for one in hooks)
