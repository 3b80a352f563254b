"""The places of a plan as columns, so that what lies near the pointer is found at once among thousands.

This file imports numpy: gestures import it inside their functions, because the first window must not wait.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from layoutdesk.geometry.vector import Vector
from layoutdesk.gestures.kept import Kept
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Control,
    Keepout,
    Piece,
    Pier,
    Plan,
    Slab,
    SpotHeight,
    Wall,
    places_of,
)

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

UNKNOWN_RADIUS = 150.0
"""The radius (mm) that a pier without a detail is caught with."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One place that belongs to a piece: which piece, and how it is called there."""

    piece: str
    words: str


def called(piece: Piece) -> str:
    """Return what a piece is called in a sentence: ``wall W1``, ``line L2``, ``pier P4``, ``tree K1``."""
    match piece:
        case Wall():
            return f"wall {piece.id}"
        case BeamLine():
            return f"line {piece.id}"
        case Slab():
            return f"slab {piece.id}"
        case Keepout(kind=kind):
            return f"{'keep-out' if kind == 'other' else kind} {piece.id}"
        case Attachment():
            return f"attachment {piece.id}"
        case Control():
            return f"control point {piece.id}"
        case SpotHeight():
            return f"spot {piece.id}"
        case Pier():
            return f"pier {piece.label}"


@dataclass(frozen=True)
class PlanIndex:
    """What of a plan can be caught, as columns; all lengths in mm.

    ``points`` are attachments, control points, piers and spots (n, 2), ``radius`` (n,) how large they are on the
    ground; ``spots`` says whose they are. ``corners`` (m, 2) are ends and corners. ``starts`` and ``ends``
    (k, 2) are the straight edges of walls, lines and outlines; ``edges`` whose they are.
    """

    plan: Plan
    points: Floats
    radius: Floats
    spots: tuple[Spot, ...]
    corners: Floats
    corner_spots: tuple[Spot, ...]
    starts: Floats
    ends: Floats
    edges: tuple[Spot, ...]

    @cached_property
    def middles(self) -> Floats:
        """Return the middles of all straight edges, (k, 2)."""
        return (self.starts + self.ends) / 2

    def near_points(self, at: Vector, reach: float) -> Bools:
        """Return which points are within reach, or hold the place inside their circle."""
        return self.distances(self.points, at) <= np.maximum(self.radius, reach)

    def near_edges(self, at: Vector, reach: float) -> NDArray[np.intp]:
        """Return the indices of the edges within reach, nearest first."""
        if not len(self.starts):
            return np.empty(0, dtype=np.intp)
        away = self.distances(self.feet(at), at)
        near = np.flatnonzero(away <= reach)
        return near[np.argsort(away[near], kind="stable")]

    def feet(self, at: Vector) -> Floats:
        """Return the place of every edge that is nearest to a point, (k, 2)."""
        way = self.ends - self.starts
        size = np.maximum((way * way).sum(axis=1), 1e-12)
        share = np.clip(((np.asarray(at) - self.starts) * way).sum(axis=1) / size, 0.0, 1.0)
        nearest: Floats = self.starts + way * share[:, None]
        return nearest

    def others(self, spots: Iterable[Spot], moving: frozenset[str]) -> Bools:
        """Return which spots belong to pieces that are not moving."""
        return np.fromiter((s.piece not in moving for s in spots), dtype=np.bool_)

    @staticmethod
    def distances(places: Floats, at: Vector) -> Floats:
        """Return how far each place is from a point, (n,)."""
        return np.hypot(places[:, 0] - at[0], places[:, 1] - at[1])


def _index(plan: Plan) -> PlanIndex:
    point_pieces: list[Attachment | Control | Pier | SpotHeight] = [
        *plan.attachments,
        *plan.controls,
        *plan.piers,
        *plan.spots,
    ]
    tops = {d.id: d.profile[0][1] / 2 for d in plan.details if d.profile}
    radius = [tops.get(p.detail or "", UNKNOWN_RADIUS) if isinstance(p, Pier) else 0.0 for p in point_pieces]
    corners: list[Vector] = []
    corner_spots: list[Spot] = []
    starts: list[Vector] = []
    ends: list[Vector] = []
    edges: list[Spot] = []
    pieces: tuple[Piece, ...] = (*plan.walls, *plan.lines, *plan.keepouts, *plan.slabs)
    for piece in pieces:
        places, name = places_of(piece), called(piece)
        closed = isinstance(piece, Slab | Keepout)
        for k, at in enumerate(places):
            end = not closed and k in {0, len(places) - 1}
            corners.append(at)
            corner_spots.append(Spot(piece.id, f"{'end' if end else 'corner'} of {name}"))
        for a, b in pairwise((*places, places[0]) if closed else places):
            starts.append(a)
            ends.append(b)
            edges.append(Spot(piece.id, name))
    return PlanIndex(
        plan=plan,
        points=_column([p.at for p in point_pieces]),
        radius=np.array(radius, dtype=np.float64),
        spots=tuple(Spot(p.id, called(p)) for p in point_pieces),
        corners=_column(corners),
        corner_spots=tuple(corner_spots),
        starts=_column(starts),
        ends=_column(ends),
        edges=tuple(edges),
    )


def _column(places: list[Vector]) -> Floats:
    return np.array(places, dtype=np.float64).reshape(-1, 2)


index_of = Kept(_index)
"""Return the index of a plan; kept while the plan is the same object."""
