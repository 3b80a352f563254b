"""What lies under the pointer, and what lies inside a box."""

from __future__ import annotations

from layoutdesk.geometry.vector import Vector, distance, dot
from layoutdesk.gestures.bearings import Bearings
from layoutdesk.plan.model import Keepout, Piece, Plan, Slab, places_of


def piece_at(plan: Plan, at: Vector, reach: float) -> str | None:
    """Return the id of the piece under a place, or None.

    Points come before lines, walls and edges of outlines, these before the insides of keep-outs and slabs;
    of several points the nearest is taken.

    Args:
        plan: what lies on the sheet.
        at: the place, in mm.
        reach: how far beside a thing still hits it, in mm.
    """
    from layoutdesk.gestures.plan_index import index_of

    index = index_of(plan)
    near = index.near_points(at, reach).nonzero()[0]
    if len(near):
        away = index.distances(index.points[near], at)
        return index.spots[int(near[away.argmin()])].piece
    edges = index.near_edges(at, reach)
    if len(edges):
        return _foremost(plan, [index.edges[int(k)].piece for k in edges])
    return outline_round(plan, at)


def _foremost(plan: Plan, ids: list[str]) -> str:
    """Return the beam line among edges that lie together, else the nearest edge's piece."""
    lines = {line.id for line in plan.lines}
    return next((i for i in ids if i in lines), ids[0])


def outline_round(plan: Plan, at: Vector) -> str | None:
    """Return the id of the keep-out or slab that a place lies inside, or None; keep-outs lie on top."""
    outlines: tuple[Keepout | Slab, ...] = (*reversed(plan.keepouts), *reversed(plan.slabs))
    for piece in outlines:
        if _inside(piece.outline, at):
            return piece.id
    return None


def _inside(outline: tuple[Vector, ...], at: Vector) -> bool:
    """Return whether a place lies inside an outline, by counting the sides that a ray crosses."""
    x, y = at
    inside = False
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def is_outline(piece: Piece | None) -> bool:
    """Return whether a piece is a closed outline."""
    return isinstance(piece, Slab | Keepout)


def handle_at(piece: Piece | None, at: Vector, reach: float) -> int | None:
    """Return which of a piece's ends or corners is within reach, or None; single points have none."""
    if piece is None:
        return None
    places = places_of(piece)
    if len(places) < 2:
        return None
    nearest = min(range(len(places)), key=lambda k: distance(places[k], at))
    return nearest if distance(places[nearest], at) <= reach else None


def pieces_in_box(plan: Plan, a: Vector, b: Vector, bearings: Bearings) -> tuple[str, ...]:
    """Return the ids of all pieces that lie wholly inside a box, in drawing order.

    The box stands upright on the screen, between two of its corners ``a`` and ``b`` (mm).
    """
    right, down = bearings.right, bearings.down
    x0, x1 = sorted((dot(a, right), dot(b, right)))
    y0, y1 = sorted((dot(a, down), dot(b, down)))
    return tuple(
        piece.id
        for piece in plan.pieces()
        if all(x0 <= dot(p, right) <= x1 and y0 <= dot(p, down) <= y1 for p in places_of(piece))
    )
