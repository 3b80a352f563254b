"""What a length read on a steel tape is worth on the level: slope, temperature and pull.

All corrections are made to what was read. A tape that is warmer, or pulled harder, than when it was graduated is
longer than it says: what it reads is too little, and the correction is added.
"""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.plan.model import TakenClass, Tape

STEEL_PER_C: Final = 1.16e-5
"""How much steel grows per °C: the 0.00000645 per °F of the surveying textbooks (6.45e-6 · 1.8)."""
GRADUATED_AT_C: Final = 20.0
"""The temperature at which a tape is right: directive 2014/32/EU, annex X, and 68 °F in NIST Handbook 44."""
STEEL_N_MM2: Final = 200_000.0
"""The modulus of elasticity of steel: 29,000,000 psi in the surveying textbooks."""
USUAL_SECTION_MM2: Final = 2.6
"""The cross-section of a steel tape that none is given for, 13 mm by 0.2 mm: common practice, no source."""
PULL_N: Final = 50.0
"""The pull at which a tape is right: directive 2014/32/EU, annex X, for tapes of 5 m and more."""
HANDBOOK_PULL_N: Final = 44.482
"""The pull at which a metal tape of NIST Handbook 44 is right: 10 lbf, from memory."""


def temperature_correction(length: float, celsius: float, *, per_celsius: float = STEEL_PER_C) -> float:
    """Return what to add to a length read on a steel tape of this temperature, in mm."""
    return length * per_celsius * (celsius - GRADUATED_AT_C)


def pull_correction(
    length: float, pull: float, *, standard: float = PULL_N, section: float = USUAL_SECTION_MM2
) -> float:
    """Return what to add to a length read under a pull, in mm; pulls in N, the tape's cross-section in mm²."""
    return length * (pull - standard) / (section * STEEL_N_MM2)


def standard_pull(tape_class: TakenClass) -> float:
    """Return the pull in N at which a tape of a class reads right."""
    return HANDBOOK_PULL_N if tape_class == "H44" else PULL_N


def cosine_of_rise(slope_length: float, rise: float) -> float:
    """Return the cosine of the slope of a length whose ends differ in height by ``rise``, both in mm.

    Raises:
        ValueError: when the ends differ in height by as much as the length, or by more.
    """
    if abs(rise) >= abs(slope_length):
        raise ValueError("the rise must be less than the distance")
    sine = rise / slope_length
    return math.sqrt((1 - sine) * (1 + sine))


def as_steel(tape: Tape) -> float:
    """Return the length that was read, corrected for temperature and pull where they were taken down; mm."""
    return tape.distance + _by_temperature(tape) + _by_pull(tape)


def _by_temperature(tape: Tape) -> float:
    return 0.0 if tape.temperature is None else temperature_correction(tape.distance, tape.temperature)


def _by_pull(tape: Tape) -> float:
    if tape.pull is None:
        return 0.0
    section = USUAL_SECTION_MM2 if tape.section is None else tape.section
    return pull_correction(tape.distance, tape.pull, standard=standard_pull(tape.tape_class), section=section)


def corrections_of(tape: Tape) -> tuple[float, float, float]:
    """Return what slope, temperature and pull each add to what was read, mm; noughts for a right angle.

    Raises:
        ValueError: when the ends differ in height by as much as the length, or by more.
    """
    if tape.kind == "right angle" or not tape.distance:
        return 0.0, 0.0, 0.0
    return on_the_level(tape)[0] - as_steel(tape), _by_temperature(tape), _by_pull(tape)


def on_the_level(tape: Tape) -> tuple[float, float]:
    """Return what a taped length is worth on the level in mm, and how much of an error of the tape comes through.

    The heights, or the angle, are taken as right. Where two heights are given the error of a tape counts for more
    on the level: it is divided by the cosine of the slope.

    Raises:
        ValueError: when the ends differ in height by as much as the length, or by more.
    """
    length = as_steel(tape)
    if tape.rise:
        cosine = cosine_of_rise(length, tape.rise)
        return length * cosine, 1 / cosine
    cosine = math.cos(math.radians(tape.slope or 0.0))
    return length * cosine, cosine
