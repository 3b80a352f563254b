"""What a difference between two diagonals means: how far the far corner of a bay is out.

A bay whose four sides are right can still lean, as a gate does: corners 1 and 2 stay, side 2-3 turns about
corner 2, side 4-1 about corner 1, and side 3-4 ties the two together. While it leans, one diagonal grows and
the other shrinks. The ratio of corner 3's way to the change of (diagonal 1 - diagonal 2) follows from the
velocities of this linkage. With unit turn w2 of side 2-3 and w1 of side 1-4, side 3-4 keeps its length when

    w2 (r23 x e) = w1 (r14 x e),    e = P3 - P4,

and the diagonals change by w2 (r23 x (P3 - P1)) / d1 and w1 (r14 x (P4 - P2)) / d2. For a rectangle with the
sides a (1-2) and b (2-3) the ratio is d / (2 a), d being the diagonal.
"""

from __future__ import annotations

import math

from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, length, minus


def corner_per_difference(p1: Vector, p2: Vector, p3: Vector, p4: Vector) -> float:
    """Return how far corner 3 moves per mm of change of (diagonal 1 - diagonal 2); infinite where undefined.

    Corners 1 and 2 and the lengths of all four sides are held.
    """
    d1, d2 = distance(p1, p3), distance(p2, p4)
    r23, r14, e = minus(p3, p2), minus(p4, p1), minus(p3, p4)
    if min(d1, d2, length(r23), length(r14), length(e), distance(p1, p2)) <= SAME_MM:
        return math.inf
    turn_2, turn_1 = cross(r14, e), cross(r23, e)
    change = turn_2 * cross(r23, minus(p3, p1)) / d1 - turn_1 * cross(r14, minus(p4, p2)) / d2
    way = abs(turn_2) * length(r23)
    if abs(change) <= 1e-9 * way or way == 0:
        return math.inf
    return way / abs(change)
