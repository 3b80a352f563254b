"""The grid of the sheet: whole steps of the tape, finer as one comes nearer."""

from __future__ import annotations

from typing import Final

from layoutdesk.units import MM_PER_FOOT, Units, inches

_FEET: Final = tuple(n * MM_PER_FOOT for n in (1, 2, 5, 10, 25, 50, 100, 250, 500, 1000, 2500, 5000, 10000))
_INCHES: Final = tuple(inches(n) for n in (0.0625, 0.125, 0.25, 0.5, 1, 3, 6))
_METRIC: Final = tuple(n * 10.0**e for e in range(7) for n in (1, 2, 5))
STEPS: Final[dict[Units, tuple[float, ...]]] = {"ft-in": _INCHES + _FEET, "m": _METRIC, "mm": _METRIC}
"""The steps that a tape of each unit system is read in, in millimetres, rising."""


def step_of_at_least(units: Units, least: float) -> float:
    """Return the smallest step of the tape that is not under ``least``, in millimetres."""
    steps = STEPS[units]
    return next((s for s in steps if s >= least), steps[-1])


def snapping_step(units: Units, reach: float) -> float:
    """Return the step that places snap to when ``reach`` millimetres count as near: about 2.5 reaches."""
    return step_of_at_least(units, 2.5 * reach)
