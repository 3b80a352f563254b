"""Distances that could be taped: between which points, how long, how exact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.spatial import KDTree

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.tapes import reading_deviation, tape_deviation
from layoutdesk.plan.model import Plan, TapeAtHand

SHORTEST_MM: Final = 50.0
"""Nobody tapes a shorter distance: between two marks on one post or one hub (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Candidates:
    """Distances between two points, one an entry, the first point before the second.

    ``first`` and ``second`` are rows of the points, (c,); ``length`` and ``deviation`` (one standard deviation, by
    the class of the tape at hand and the step it is read to) are mm; ``dx`` and ``dy`` the direction from first to
    second, of size 1.
    """

    first: Indices
    second: Indices
    length: Floats
    deviation: Floats
    dx: Floats
    dy: Floats

    def __len__(self) -> int:
        return len(self.first)

    def take(self, chosen: Bools | Indices) -> Candidates:
        """Return some of them, by mask or in the order of indices."""
        return Candidates(
            self.first[chosen],
            self.second[chosen],
            self.length[chosen],
            self.deviation[chosen],
            self.dx[chosen],
            self.dy[chosen],
        )

    def open_ways(self, xy: Floats, obstacles: Obstacles) -> Bools:
        """Return which of them nothing stands in the way of, (c,); ``xy`` are the points, (n, 2) in mm."""
        return obstacles.blocking(xy[self.first], xy[self.second]) < 0


def to_prove(plan: Plan, points: PointTable) -> Bools:
    """Return which points a proof must find, (n,): all piers, and the attachments that are corners of bays.

    An attachment is a mark on the wall, set out like a stake: whether a bay is square cannot be said without those
    at its corners. No other depends on where an attachment is: a beam is cut to what is found.
    """
    corners = {corner for bay in plan.bays for corner in bay.corners}
    proved = np.arange(len(points)) >= points.first_pier
    for row in range(len(plan.controls), points.first_pier):
        proved[row] = points.ids[row] in corners
    return proved


ALL_UP_TO: Final = 1500
"""Of more points than this only the nearest ones of each are paired: there would be millions of distances."""
NEAREST: Final = 64
NEAREST_HELD: Final = 4


def candidates(
    xy: Floats,
    known: Bools,
    moves: Bools,
    tape: TapeAtHand,
    *,
    read_to: float = 0.0,
    all_up_to: int = ALL_UP_TO,
) -> Candidates:
    """Return all distances that the tape at hand reaches, in the order of the points; obstacles are not looked at.

    Of very many points each is paired with its 64 nearest ones, and with the 4 nearest that have no place to find.

    Args:
        xy: the places of the points, (n, 2) in mm.
        known: which points can be taped from and to, (n,).
        moves: which points have a place to find, (n,): between two that have none a tape tells nothing.
        tape: the tape at hand.
        read_to: the step that it is read to, in mm; 0 when nothing is added for it.
        all_up_to: up to so many points all pairs are taken.
    """
    at, reach = np.flatnonzero(known), tape.length + 1e-6
    if not len(at):
        pairs = np.empty((0, 2), dtype=np.intp)
    elif len(at) <= all_up_to:
        pairs = at[KDTree(xy[at]).query_pairs(reach, output_type="ndarray")]
    else:
        fixed = np.flatnonzero(known & ~moves)
        pairs = np.concatenate((_nearest(xy, at, at, NEAREST, reach), _nearest(xy, at, fixed, NEAREST_HELD, reach)))
        pairs = np.unique(np.sort(pairs, axis=1), axis=0)
    pairs = np.sort(pairs, axis=1)
    pairs = pairs[(moves[pairs[:, 0]] | moves[pairs[:, 1]])]
    first, second = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))].T
    way = xy[second] - xy[first]
    length = np.hypot(way[:, 0], way[:, 1])
    far = length >= SHORTEST_MM
    first, second, way, length = first[far], second[far], way[far], length[far]
    deviation = np.hypot(tape_deviation(length, tape.tape_class), reading_deviation(read_to))
    return Candidates(first, second, length, deviation, way[:, 0] / length, way[:, 1] / length)


def _nearest(xy: Floats, points: Indices, others: Indices, count: int, reach: float) -> Indices:
    """Return each of some points with the nearest of some others that are within reach, (pairs, 2)."""
    if not len(others):
        return np.empty((0, 2), dtype=np.intp)
    # One more than asked for, because a point may find itself.
    away, which = KDTree(xy[others]).query(xy[points], k=np.arange(1, min(count + 1, len(others)) + 1))
    near = away <= reach
    pairs: Indices = np.stack((np.broadcast_to(points[:, None], which.shape)[near], others[which[near]]), axis=1)
    other: Indices = pairs[pairs[:, 0] != pairs[:, 1]]
    return other
