"""What a measure may say, and the settings by which measures are judged: rules of the file, the edits, the proof.

What depends on where the points lie, such as a right angle whose three points are in line, is no rule: the proof
says it.
"""

from __future__ import annotations

from typing import Final

from layoutdesk.plan.model import Plan
from layoutdesk.plan.rules import MOST_STEP, wrong_number
from layoutdesk.plan.site import ProofSettings, Tape

COLDEST_C: Final = -60.0
HOTTEST_C: Final = 80.0
HARDEST_PULL_N: Final = 1000.0
"""No tape is pulled harder, and few hands could."""
MOST_SECTION_MM2: Final = 100.0
LEAST_OWN: Final = 0.001
MOST_OWN: Final = 1000.0
"""The least and the most that an own tape may be wrong by, in mm and in mm per metre."""
MOST_LEG_MM: Final = 1e6
MOST_DEVIATION_MM: Final = 1e4
MOST_EXAGGERATION: Final = 10_000.0

Wrong = tuple[str, str]
"""The field of the plan that is wrong, and the rest of a sentence about it."""

_CALLED: Final = {
    "start": "first point",
    "end": "second point",
    "third": "third point",
    "own": "error of the own tape",
    "legs": "legs of the triangle",
    "section": "cross-section of the tape",
    "control_deviation": "deviation of the control points",
    "held_attachment": "held attachment",
    "read_to": "step that tapes are read to",
}


def called(field: str, *, angle: bool = False) -> str:
    """Return what a sentence calls a field of a measure or of the settings, without an article."""
    return "angle" if angle and field == "distance" else _CALLED.get(field, field.replace("_", " "))


def wrong_tape(tape: Tape) -> Wrong | None:
    """Return what is wrong with a measure as it stands; whether its points exist is asked elsewhere."""
    return _wrong_points(tape) or _wrong_length(tape) or _wrong_class(tape) or _wrong_corrections(tape)


def wrong_proof(proof: ProofSettings) -> Wrong | None:
    """Return what is wrong with the settings of the proof; whether the attachment exists is asked elsewhere."""
    for field, value, most in (
        ("control_deviation", proof.control_deviation, MOST_DEVIATION_MM),
        ("tolerance", proof.tolerance, MOST_DEVIATION_MM),
    ):
        if not 0 < value <= most:
            return field, f"must be more than 0 and at most {most:g} mm"
    if not 1 <= proof.exaggeration <= MOST_EXAGGERATION:
        return "exaggeration", f"must be from 1 to {MOST_EXAGGERATION:g}"
    if not 0 <= proof.read_to <= MOST_STEP:
        return "read_to", f"must be from 0 to {MOST_STEP:g} mm"
    return None


def reading_step(plan: Plan) -> float:
    """Return the step that the tapes of a plan are read to, or will be; mm, 0 when nothing is added for it.

    Where the plan does not say it and nothing is taped yet, it will be the step that the plan rounds to: what is
    planned and printed before the first measure then still holds after it.
    """
    return plan.proof.read_to or (0.0 if plan.tapes else plan.rounding)


def _wrong_points(tape: Tape) -> Wrong | None:
    if tape.start == tape.end:
        return "end", f"is {tape.end} at both ends; a tape needs two points"
    if tape.kind != "distance":
        if tape.third is None:
            return "third", "is missing; the measure needs three points"
        if tape.third in {tape.start, tape.end}:
            return "third", f"is {tape.third} a second time; the measure needs three points"
    return None


def _wrong_length(tape: Tape) -> Wrong | None:
    if trouble := wrong_number(tape.distance):
        return "distance", trouble
    if tape.kind == "distance" and tape.distance <= 0:
        return "distance", "must be more than 0"
    if tape.kind == "square" and tape.distance == 0:
        return "distance", "is 0; a stake that stands on a line is taken down as on a string"
    if tape.kind == "right angle":
        if not 0 < tape.distance < 180:
            return "distance", "must be more than 0 and less than 180 degrees"
        if tape.legs is None:
            return "legs", "are missing; they say how exact the angle is"
    if tape.legs is not None and not all(0 < leg <= MOST_LEG_MM for leg in tape.legs):
        return "legs", "must each be more than 0 and at most 1 km"
    return None


def _wrong_class(tape: Tape) -> Wrong | None:
    if tape.own is None:
        return ("own", "is missing: mm, and mm for every metre") if tape.tape_class == "own" else None
    if not all(0 <= part <= MOST_OWN for part in tape.own) or sum(tape.own) < LEAST_OWN:
        return "own", f"must be two numbers from 0 to {MOST_OWN:g}, together at least {LEAST_OWN:g}"
    return None


def _wrong_corrections(tape: Tape) -> Wrong | None:
    if tape.rise is not None:
        if tape.slope is not None:
            return "slope", "is given twice, by a rise and by an angle"
        if trouble := wrong_number(tape.rise):
            return "rise", trouble
        if tape.kind != "right angle" and tape.distance and abs(tape.rise) >= abs(tape.distance):
            return "rise", "must be less than the distance"
    if tape.slope is not None and not abs(tape.slope) < 90:
        return "slope", "must be less than 90 degrees"
    if tape.temperature is not None and not COLDEST_C <= tape.temperature <= HOTTEST_C:
        return "temperature", f"must be from {COLDEST_C:g} to {HOTTEST_C:g} °C"
    if tape.pull is not None and not 0 <= tape.pull <= HARDEST_PULL_N:
        return "pull", f"must be from 0 to {HARDEST_PULL_N:g} N"
    if tape.section is not None and not 0 < tape.section <= MOST_SECTION_MM2:
        return "section", f"must be more than 0 and at most {MOST_SECTION_MM2:g} mm²"
    return None
