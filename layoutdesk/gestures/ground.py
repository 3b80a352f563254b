"""What already stands or lies where a stroke begins or ends."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, dot, middle, minus, nearest_on_segment
from layoutdesk.gestures.bearings import Bearings
from layoutdesk.plan.model import Attachment, BeamLine, Piece, Plan, Side, Wall, places_of

ON_MM: Final = 1e-3
"""A place this near to a line is on it: far below what a tape shows, far above what arithmetic loses."""


def attachment_at(plan: Plan, at: Vector) -> Attachment | None:
    """Return the attachment at a place, or None."""
    return next((a for a in plan.attachments if distance(a.at, at) <= ON_MM), None)


def line_at(plan: Plan, at: Vector) -> BeamLine | None:
    """Return the beam line that a place lies on, or None."""
    return next((b for b in plan.lines if distance(at, nearest_on_segment(at, b.start, b.end)) <= ON_MM), None)


def wall_face_at(plan: Plan, at: Vector) -> tuple[Wall, Vector, Vector] | None:
    """Return the wall that a place lies on and the ends of that straight face, or None."""
    for wall in plan.walls:
        for a, b in pairwise(wall.points):
            if distance(at, nearest_on_segment(at, a, b)) <= ON_MM:
                return wall, a, b
    return None


def at_house(plan: Plan, at: Vector) -> bool:
    """Return whether a place is at the house: on a wall or an attachment."""
    return attachment_at(plan, at) is not None or wall_face_at(plan, at) is not None


def yard_side_of(plan: Plan, origin: Vector, toward: Vector) -> Side:
    """Return on which side of a line the yard most likely lies.

    Opposite the house where the line runs along one of its faces; else where most of what is drawn lies; else
    to the right, as when one looks from the left end with the house at the top of the sheet.
    """
    face = wall_face_at(plan, middle(origin, toward))
    way = minus(toward, origin)
    if face is not None:
        wall, a, b = face
        if abs(cross(minus(b, a), way)) <= 1e-6 * distance(a, b) * distance(origin, toward):
            same = dot(minus(b, a), way) > 0
            house_left = (wall.house_side == "left") == same
            return "right" if house_left else "left"
    pieces: tuple[Piece, ...] = (*plan.piers, *plan.lines, *plan.slabs, *plan.attachments)
    return "left" if _leaning(pieces, origin, way) > 0 else "right"


def _leaning(pieces: tuple[Piece, ...], origin: Vector, way: Vector) -> int:
    """Return how many more places of pieces lie to the left of a line than to its right."""
    turns = [cross(way, minus(at, origin)) for piece in pieces for at in places_of(piece)]
    return sum(1 for turn in turns if turn > 0) - sum(1 for turn in turns if turn < 0)


def house_side_of(plan: Plan, points: tuple[Vector, ...], bearings: Bearings) -> Side:
    """Return on which side of a new wall the house most likely lies.

    Inside a wall that closes; else away from what is drawn in the yard; else at the top of the sheet.
    """
    if len(points) < 2:
        return "left"
    if len(points) > 3 and distance(points[0], points[-1]) <= SAME_MM:
        return "left" if sum(cross(a, b) for a, b in pairwise(points)) > 0 else "right"
    first, last = points[0], points[-1]
    if distance(first, last) <= SAME_MM:
        last = points[1]
    way = minus(last, first)
    leaning = _leaning((*plan.piers, *plan.lines), first, way)
    if leaning:
        return "right" if leaning > 0 else "left"
    below = cross(way, bearings.down)
    return "right" if below > 0 else "left"


def first_detail(plan: Plan) -> str | None:
    """Return the detail that the last pier drawn has, else the plan's first, else None."""
    if plan.piers and plan.detail(plan.piers[-1].detail) is not None:
        return plan.piers[-1].detail
    return plan.details[0].id if plan.details else None


def top_radius(plan: Plan, detail_id: str | None) -> float:
    """Return the radius at the top of a pier with this detail in mm; 150 while it has none."""
    detail = plan.detail(detail_id)
    return detail.profile[0][1] / 2 if detail is not None and detail.profile else 150.0
