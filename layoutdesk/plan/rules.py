"""What a plan may say: small rules that the file reader and the edits share.

Each rule returns None when it is kept, or else the rest of a sentence (``is not a finite number``) that the
caller puts after the place or the name concerned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, minus
from layoutdesk.units import LIMIT_MM

MOST_NAME: Final = 40
"""The longest id or mark, in characters: it must fit on a stake and on a card."""
MOST_TEXT: Final = 200
"""The longest title, in characters."""
MOST_ISSUE: Final = 20
"""The longest issue that an edit gives a plan, in characters; files may hold longer ones."""
MOST_PATH: Final = 1000
"""The longest path of a file that lies under the sheet, in characters."""
MOST_PROFILE: Final = 200
"""The most entries of one profile."""
MOST_PARTS: Final = 10_000
"""The most parts of one chain of dimensions."""
LEAST_STEP: Final = SAME_MM
"""The smallest step of rounding, in millimetres."""
MOST_STEP: Final = 1000.0
"""The largest step of rounding, in millimetres."""


def wrong_number(value: float) -> str | None:
    """Return what is wrong with a coordinate or length in millimetres."""
    if not math.isfinite(value):
        return "is not a finite number"
    if abs(value) > LIMIT_MM:
        return "is more than 10 km (6 miles)"
    return None


def wrong_place(place: Vector) -> str | None:
    """Return what is wrong with a point of the plan."""
    if not (math.isfinite(place[0]) and math.isfinite(place[1])):
        return "is not a finite number"
    if abs(place[0]) > LIMIT_MM or abs(place[1]) > LIMIT_MM:
        return "is farther than 10 km (6 miles) out"
    return None


def wrong_name(name: str) -> str | None:
    """Return what is wrong with an id or a mark: it is printed on stakes, cards and drawings."""
    if not name.strip():
        return "is empty"
    return wrong_text(name, most=MOST_NAME)


def wrong_text(text: str, *, most: int = MOST_TEXT) -> str | None:
    """Return what is wrong with a line of text: it must be printable and not longer than ``most``."""
    if len(text) > most:
        return f"is longer than {most} characters"
    if not text.isprintable():
        return "holds a character that cannot be printed"
    return None


def wrong_wall(points: Sequence[Vector]) -> str | None:
    """Return what is wrong with the points of a wall."""
    if len(points) < 2:
        return "needs at least 2 points"
    return None


def wrong_outline(outline: Sequence[Vector]) -> str | None:
    """Return what is wrong with the corners of an outline."""
    if len(outline) < 3:
        return "needs at least 3 corners"
    return None


def wrong_profile(profile: Sequence[tuple[float, float]]) -> str | None:
    """Return what is wrong with a profile of (depth, diameter) in millimetres, from the top down."""
    if not profile:
        return "is empty; it needs at least one depth with a diameter"
    if len(profile) > MOST_PROFILE:
        return f"has more than {MOST_PROFILE} entries"
    before = 0.0
    for depth, diameter in profile:
        if trouble := wrong_number(depth) or wrong_number(diameter):
            return f"has a depth or diameter that {trouble}"
        if depth < 0:
            return f"has the depth {depth:g}, which is above the ground"
        if depth < before:
            return f"goes back up from {before:g} to {depth:g} mm; depths must not fall"
        if diameter <= 0:
            return f"has the diameter {diameter:g}; diameters must be more than 0"
        before = depth
    return None


def wrong_chain(parts: Sequence[float], overall: float | None) -> str | None:
    """Return what is wrong with the parts and the overall dimension of a chain, in millimetres."""
    if not parts:
        return "has no parts"
    if len(parts) > MOST_PARTS:
        return f"has more than {MOST_PARTS} parts"
    for part in parts if overall is None else (*parts, overall):
        if trouble := wrong_number(part):
            return f"has a part that {trouble}"
        if part <= 0:
            return "has a part that is not more than 0"
    return None


def wrong_map(rows: Sequence[float]) -> str | None:
    """Return what is wrong with the nine numbers that lay a picture on the plan, row by row."""
    if not all(math.isfinite(n) for n in rows):
        return "holds a number that is not finite"
    a, b, c, d, e, f, g, h, i = rows
    if a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) == 0:
        return "lays the whole picture on one line"
    return None


def wrong_step(step: float) -> str | None:
    """Return what is wrong with a step of rounding in millimetres."""
    if not LEAST_STEP <= step <= MOST_STEP:
        return f"must be more than 0 and at most {MOST_STEP:g} mm"
    return None


def path_length(points: Sequence[Vector]) -> float:
    """Return how long a polyline is, in millimetres."""
    return sum(distance(a, b) for a, b in pairwise(points))


def twice_area(outline: Sequence[Vector]) -> float:
    """Return twice the signed area of an outline in mm²; measured from its first corner, so that far is exact."""
    first = outline[0]
    return sum(cross(minus(a, first), minus(b, first)) for a, b in pairwise(outline))
