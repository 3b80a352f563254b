"""Checks on what an edit is given; every refusal is one sentence."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final, TypeVar

from layoutdesk.errors import EditError
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, unit
from layoutdesk.plan.model import BeamLine, Keepout, Piece, Slab, Wall, places_of
from layoutdesk.plan.rules import MOST_TEXT, path_length, twice_area, wrong_name, wrong_place, wrong_text

MOST_PIERS: Final = 10_000
"""The most piers that one edit adds: more is a slip of the keyboard."""

Choice = TypeVar("Choice", bound=str)


def place(at: Vector) -> Vector:
    """Return a point as two floats.

    Raises:
        EditError: when it is not finite or farther than 10 km away.
    """
    point = (float(at[0]), float(at[1]))
    if trouble := wrong_place(point):
        raise EditError(f"a place of the plan {trouble}")
    return point


def path(points: Iterable[Vector]) -> tuple[Vector, ...]:
    """Return points as floats, without those that only repeat the one before.

    Raises:
        EditError: when one is not finite or too far away.
    """
    kept: list[Vector] = []
    for at in points:
        point = place(at)
        if not kept or distance(kept[-1], point) > SAME_MM:
            kept.append(point)
    return tuple(kept)


def outline(corners: Iterable[Vector]) -> tuple[Vector, ...]:
    """Return the corners of an outline, without repeats and without closing it.

    Raises:
        EditError: when fewer than three corners remain, or when they enclose nothing.
    """
    ring = path(corners)
    if len(ring) > 1 and distance(ring[0], ring[-1]) <= SAME_MM:
        ring = ring[:-1]
    if len(ring) < 3:
        raise EditError("an outline needs at least 3 corners")
    if encloses_nothing(ring):
        raise EditError("the corners of the outline lie on one straight line and enclose nothing")
    return ring


def encloses_nothing(ring: Sequence[Vector]) -> bool:
    """Return whether an outline has no area to speak of: thinner than the one tolerance."""
    return abs(twice_area(ring)) <= SAME_MM * path_length(ring)


def direction(a: Vector, b: Vector, what: str) -> Vector:
    """Return the direction from a to b, one millimetre long.

    Raises:
        EditError: when both are the same place; ``what`` is what has no length then.
    """
    try:
        return unit(minus(b, a))
    except ValueError:
        raise EditError(f"{what} has no length; its two places are the same") from None


def sound(piece: Piece) -> Piece:
    """Return a piece whose places changed, when it still is one.

    Raises:
        EditError: when a place is too far away, or when the piece has lost its length or its area.
    """
    places = places_of(piece)
    for at in places:
        if trouble := wrong_place(at):
            raise EditError(f"{piece.id} would lie at a place that {trouble}")
    if isinstance(piece, BeamLine | Wall) and path_length(places) <= SAME_MM:
        raise EditError(f"{piece.id} would have no length")
    if isinstance(piece, Slab | Keepout) and encloses_nothing(places):
        raise EditError(f"{piece.id} would enclose nothing")
    return piece


def positive(value: float, what: str) -> float:
    """Return a length in millimetres that must be more than nothing.

    Raises:
        EditError: when it is 0, negative, not finite or more than 10 km.
    """
    if not math.isfinite(value) or not 0 < value <= 1e7:
        raise EditError(f"{what} must be more than 0 and at most 10 km (6 miles)")
    return float(value)


def finite(value: float, what: str) -> float:
    """Return a length in millimetres that may be negative.

    Raises:
        EditError: when it is not finite or more than 10 km.
    """
    if not math.isfinite(value) or abs(value) > 1e7:
        raise EditError(f"{what} must be a length of at most 10 km (6 miles)")
    return float(value)


def one_of(value: str, choices: Sequence[Choice], what: str) -> Choice:
    """Return a word that must be in a list.

    Raises:
        EditError: when it is not.
    """
    for choice in choices:
        if value == choice:
            return choice
    raise EditError(f"{what} must be one of {', '.join(choices)}, not “{value[:40]}”")


def name(text: str, what: str) -> str:
    """Return an id or mark without blanks round it.

    Raises:
        EditError: when it is empty, too long or cannot be printed.
    """
    clean = text.strip()
    if trouble := wrong_name(clean):
        raise EditError(f"{what} {trouble}")
    return clean


def line_of_text(text: str, what: str, *, most: int = MOST_TEXT) -> str:
    """Return a line of text without blanks round it.

    Raises:
        EditError: when it is too long or cannot be printed.
    """
    clean = text.strip()
    if trouble := wrong_text(clean, most=most):
        raise EditError(f"{what} {trouble}")
    return clean
