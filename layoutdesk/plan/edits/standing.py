"""What stands on a wall goes along when the wall is moved: attachments and control points."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Final

from layoutdesk.geometry.vector import Vector, distance, nearest_on_segment
from layoutdesk.plan.model import Attachment, Control, Piece, Plan, Wall

STANDS_MM: Final = 0.01
"""A point this near to a wall or control point stands on it; that is far less than any tape shows."""


def stands_on(at: Vector, piece: Piece) -> bool:
    """Return whether a place is that of a control point, or lies at a corner or anywhere along a face of a wall."""
    if isinstance(piece, Control):
        return distance(at, piece.at) <= STANDS_MM
    return isinstance(piece, Wall) and any(
        distance(at, nearest_on_segment(at, a, b)) <= STANDS_MM for a, b in pairwise(piece.points)
    )


def with_standing(plan: Plan, pieces: Mapping[str, Piece]) -> dict[str, Piece]:
    """Return the pieces and the points that stand on the walls among them, each once.

    A point stays when it also stands on a wall that stays.
    """
    walls = [piece for piece in pieces.values() if isinstance(piece, Wall)]
    if not walls:
        return dict(pieces)
    staying = [wall for wall in plan.walls if wall.id not in pieces]
    return {**pieces, **{p.id: p for p in _points(plan) if _goes(p.at, walls, staying)}}


def at_corner(plan: Plan, wall: Wall, corner: Vector) -> list[Attachment | Control]:
    """Return the points that stand exactly at a corner or end of a wall, and on no other wall."""
    others = [other for other in plan.walls if other.id != wall.id]
    return [
        p
        for p in _points(plan)
        if distance(p.at, corner) <= STANDS_MM and not any(stands_on(p.at, other) for other in others)
    ]


def _points(plan: Plan) -> Iterable[Attachment | Control]:
    yield from plan.attachments
    yield from plan.controls


def _goes(at: Vector, moved: Iterable[Wall], staying: Iterable[Wall]) -> bool:
    return any(stands_on(at, wall) for wall in moved) and not any(stands_on(at, wall) for wall in staying)
