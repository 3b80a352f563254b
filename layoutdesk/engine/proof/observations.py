"""What was measured on site, as columns that the adjustment can use: reduced, weighted, and checked.

The standard deviation of a taped length is half of what its class of tape permits. Where the plan says to what step
tapes were read, the variance of that rounding is added, step²/12 (JCGM 100:2008, 4.3.7). What hands add has no
published value; these are common practice, no source:

* a tape held square to a line by eye: 1/500 of the offset, as of a right angle that is out by 3.6 degrees;
* a stake that was stood on a string by eye: 3 mm.

A right angle that was set by a triangle is as exact as the three tapes of that triangle, each set to a step too.
A stake that stands on a string had no tape to read.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.corrections import on_the_level
from layoutdesk.engine.tapes import taken_deviation
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import cross, distance, dot, minus
from layoutdesk.plan.model import Plan, Tape
from layoutdesk.plan.tape_rules import called, wrong_tape

DISTANCE: Final = 0
BESIDE_LINE: Final = 1
ANGLE: Final = 2

SQUARE_BY_EYE: Final = 1 / 500
"""The share of an offset that a tape squared by eye may add to its standard deviation."""
ON_STRING_MM: Final = 3.0
"""The standard deviation of a stake that stands on a string."""
LEAST_LEVER: Final = 1e-3
"""The sine of the angle at which three points count as lying in one line: 1 mm in a metre."""


@dataclass(frozen=True, slots=True)
class Observations:
    """The measures that can be used, one a row, and what is wrong with the others.

    ``kind`` is DISTANCE, BESIDE_LINE or ANGLE; ``i``, ``j`` and ``k`` are rows of the point table:

    * DISTANCE: from i to j; k is -1;
    * BESIDE_LINE: how far j lies square from the line through i and k, positive to its left as seen from i;
    * ANGLE: at i, from j to k, anticlockwise positive. Nobody writes down to which side a right angle was turned:
      it has the sign that it has on the drawing.

    ``value`` and ``deviation`` (one standard deviation) are mm, or radians for an angle. ``tape`` is the place in
    ``plan.tapes``, rising; a distance that was measured twice is two rows. ``trouble`` holds the place in
    ``plan.tapes`` of every measure that is not used, with one sentence that says why.
    """

    kind: Indices
    i: Indices
    j: Indices
    k: Indices
    value: Floats
    deviation: Floats
    tape: Indices
    trouble: tuple[tuple[int, str], ...] = ()

    def __len__(self) -> int:
        return len(self.kind)

    def take(self, keep: Bools) -> Observations:
        """Return the rows where ``keep`` is true; what is in trouble stays so."""
        return Observations(
            kind=self.kind[keep],
            i=self.i[keep],
            j=self.j[keep],
            k=self.k[keep],
            value=self.value[keep],
            deviation=self.deviation[keep],
            tape=self.tape[keep],
            trouble=self.trouble,
        )


class _UnusableError(ValueError):
    """A measure that cannot be used; its text is the end of the sentence that names it."""


_Row = tuple[int, int, int, int, float, float]


def observations_of(plan: Plan, points: PointTable) -> Observations:
    """Return every measure of a plan reduced to the level, with its standard deviation.

    Nothing is raised for a bad measure: it is left out and said in ``trouble``.
    """
    rows: list[_Row] = []
    places: list[int] = []
    trouble: list[tuple[int, str]] = []
    for index, tape in enumerate(plan.tapes):
        try:
            rows.append(_row_of(tape, points, plan.proof.read_to))
            places.append(index)
        except _UnusableError as problem:
            trouble.append((index, f"{named(index, tape, points)}: {problem}."))
    kind, i, j, k, value, deviation = zip(*rows, strict=True) if rows else ((),) * 6
    return Observations(
        kind=np.array(kind, dtype=np.intp),
        i=np.array(i, dtype=np.intp),
        j=np.array(j, dtype=np.intp),
        k=np.array(k, dtype=np.intp),
        value=np.array(value, dtype=np.float64),
        deviation=np.array(deviation, dtype=np.float64),
        tape=np.array(places, dtype=np.intp),
        trouble=tuple(trouble),
    )


def named(index: int, tape: Tape, points: PointTable) -> str:
    """Return what a sentence calls a measure: its number in the list, counted from 1, and its points."""

    def label(point: str | None) -> str:
        row = points.find(point)
        return points.labels[row] if row >= 0 else point or "?"

    number, start, end, third = index + 1, label(tape.start), label(tape.end), label(tape.third)
    match tape.kind:
        case "square":
            return f"Tape {number}, {end} square from the line {start} to {third}"
        case "string":
            return f"Tape {number}, {end} on the string {start} to {third}"
        case "right angle":
            return f"Tape {number}, the right angle at {start} from {end} to {third}"
    return f"Tape {number}, {start} to {end}"


def _row_of(tape: Tape, points: PointTable, read_to: float) -> _Row:
    """Return the row that a measure makes."""
    if wrong := wrong_tape(tape):
        raise _UnusableError(f"the {called(wrong[0], angle=tape.kind == 'right angle')} {wrong[1]}")
    return _READ[tape.kind](tape, points, read_to)


def _distance(tape: Tape, points: PointTable, read_to: float) -> _Row:
    i, j = _index(tape.start, points), _index(tape.end, points)
    value, error = _reduced(tape, read_to)
    return DISTANCE, i, j, -1, value, error


def _beside_line(tape: Tape, points: PointTable, read_to: float) -> _Row:
    i, j, k = _three(tape, points)
    if distance(points.place(i), points.place(k)) <= SAME_MM:
        raise _UnusableError("both ends of its line are at one place on the drawing, which gives it no direction")
    if tape.kind == "square":
        value, error = _reduced(tape, read_to)
        return BESIDE_LINE, i, j, k, value, math.hypot(error, abs(value) * _out_of_square(tape, read_to))
    value, error = _reduced(tape, read_to) if tape.distance else (0.0, 0.0)
    return BESIDE_LINE, i, j, k, value, math.hypot(error, ON_STRING_MM)


def _right_angle(tape: Tape, points: PointTable, read_to: float) -> _Row:
    i, j, k = _three(tape, points)
    at = points.place(i)
    to_j, to_k = minus(points.place(j), at), minus(points.place(k), at)
    if not math.hypot(*to_j) > SAME_MM < math.hypot(*to_k):
        raise _UnusableError("two of its points are at one place on the drawing")
    turned = cross(to_j, to_k)
    if abs(turned) <= LEAST_LEVER * abs(dot(to_j, to_k)):
        raise _UnusableError("its three points lie in one line on the drawing, where no angle can be set")
    return ANGLE, i, j, k, math.copysign(math.radians(tape.distance), turned), _triangle_error(tape, read_to)


_READ: Final[dict[str, Callable[[Tape, PointTable, float], _Row]]] = {
    "distance": _distance,
    "square": _beside_line,
    "string": _beside_line,
    "right angle": _right_angle,
}


def _index(point: str | None, points: PointTable) -> int:
    """Return the row of a point in the table."""
    row = points.find(point)
    if row < 0:
        raise _UnusableError(f"there is no point {point} in the plan")
    return row


def _three(tape: Tape, points: PointTable) -> tuple[int, int, int]:
    """Return the rows of the three points of a measure."""
    return _index(tape.start, points), _index(tape.end, points), _index(tape.third, points)


def _reduced(tape: Tape, read_to: float) -> tuple[float, float]:
    """Return a length on the level and its standard deviation, both in mm."""
    try:
        value, share = on_the_level(tape)
    except ValueError as problem:
        raise _UnusableError(str(problem)) from None
    return value, taken_deviation(tape.distance, tape.tape_class, tape.own, read_to=read_to) * share


def _out_of_square(tape: Tape, read_to: float) -> float:
    """Return the share of an offset by which it may be wrong because the tape was not held square.

    A tape that is held out of square by a small angle reads too much by half of its square. By eye the share is
    ``SQUARE_BY_EYE``; by a triangle it is next to nothing.
    """
    return SQUARE_BY_EYE if tape.legs is None else _triangle_error(tape, read_to) ** 2


def _triangle_error(tape: Tape, read_to: float) -> float:
    """Return the standard error of the right angle that the triangle of a measure sets, in radians.

    From the cosine rule at the right angle: d(angle) = (c dc - a da - b db) / (a b).
    """
    assert tape.legs is not None
    a, b = tape.legs
    sides = (a, b, math.hypot(a, b))
    parts = [side * taken_deviation(side, tape.tape_class, tape.own, read_to=read_to) for side in sides]
    return math.hypot(*parts) / (a * b)
