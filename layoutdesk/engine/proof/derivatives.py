"""What the measures would be at given places, and how they change as the points move.

With a = j - i and b = k - i: a distance is |a|, its derivative by j the unit vector of a. The distance beside a
line is the component of a along the normal n of b; it changes by n with j, by -t n with k and by -(1 - t) n with i,
where t is how far along the line j stands. An angle is arg b - arg a.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.network import ANGLE, DISTANCE, Measures, Network


@dataclass(frozen=True, slots=True)
class Linearised:
    """Measures at given places, in units of their own standard deviations.

    ``misfit`` is (m,), what the places give less what was measured; ``pairs`` (4, d) and ``triples`` (6, t) hold
    the derivatives by x and y of the points of each distance (i, j) and of each other measure (i, j, k).
    """

    misfit: Floats
    pairs: Floats
    triples: Floats

    @property
    def weighted(self) -> float:
        """Return the weighted sum of squared misfits."""
        return float(self.misfit @ self.misfit)


class Readings:
    """The measures that are used, the distances first.

    Attributes:
        which: the indices of the measures in the columns of all measures, (m,).
        pairs: the points of the distances, (2, d).
        triples: the points of the other measures, (3, t).
        weight: one over the standard deviations, (m,).
    """

    def __init__(self, seen: Measures, used: Bools) -> None:
        plain = np.flatnonzero(used & (seen.kind == DISTANCE))
        other = np.flatnonzero(used & (seen.kind != DISTANCE))
        self.which: Indices = np.concatenate((plain, other))
        self.pairs: Indices = np.stack((seen.i[plain], seen.j[plain]))
        self.triples: Indices = np.stack((seen.i[other], seen.j[other], seen.k[other]))
        self._value: Floats = seen.value[self.which]
        self.weight: Floats = 1.0 / seen.deviation[self.which]
        self._angle: Bools = seen.kind[other] == ANGLE

    def __len__(self) -> int:
        return len(self.which)

    def _arms(self, xy: Floats) -> tuple[Floats, Floats]:
        i, j, k = self.triples
        corner = xy[i]
        return xy[j] - corner, xy[k] - corner

    def at(self, xy: Floats) -> Linearised:
        """Return the measures as they would be at given places, (n, 2) in mm."""
        i, j = self.pairs
        across = xy[j] - xy[i]
        dx, dy = across[:, 0], across[:, 1]
        length = np.sqrt(dx * dx + dy * dy)
        weight = self.weight[: len(i)]
        scale = weight / np.maximum(length, 1e-9)
        pairs = np.empty((4, len(i)))
        np.multiply(dx, scale, out=pairs[2])
        np.multiply(dy, scale, out=pairs[3])
        np.negative(pairs[2:], out=pairs[:2])
        if not self.triples.shape[1]:
            return Linearised((length - self._value) * weight, pairs, np.empty((6, 0)))
        values, triples = self._three(xy)
        misfit = np.concatenate((length, values)) - self._value
        turned = misfit[len(i) :]
        turned[self._angle] = np.remainder(turned[self._angle] + np.pi, 2 * np.pi) - np.pi
        return Linearised(misfit * self.weight, pairs, triples * self.weight[len(i) :])

    def _three(self, xy: Floats) -> tuple[Floats, Floats]:
        a, b = self._arms(xy)
        ax, ay, bx, by = a[:, 0], a[:, 1], b[:, 0], b[:, 1]
        aa, bb = np.maximum(ax * ax + ay * ay, 1e-18), np.maximum(bx * bx + by * by, 1e-18)
        dot, cross = ax * bx + ay * by, bx * ay - by * ax
        base = np.sqrt(bb)
        nx, ny, t = -by / base, bx / base, dot / bb
        beside = np.stack((-(1 - t) * nx, -(1 - t) * ny, nx, ny, -t * nx, -t * ny))
        jx, jy, kx, ky = ay / aa, -ax / aa, -by / bb, bx / bb
        angle = np.stack((-jx - kx, -jy - ky, jx, jy, kx, ky))
        values = np.where(self._angle, np.arctan2(-cross, dot), cross / base)
        return values, np.where(self._angle, angle, beside)


def misfits_of(observations: Measures, xy: Floats) -> Floats:
    """Return what given places, (n, 2) in mm, make of every measure less what was measured, (m,) in mm or radians.

    An angle misses by half a turn at most; NaN where a place is not known.
    """
    readings = Readings(observations, np.ones(len(observations.kind), dtype=np.bool_))
    misfits = np.empty(len(observations.kind))
    misfits[readings.which] = readings.at(xy).misfit / readings.weight
    return misfits


def values_of(observations: Measures, xy: Floats) -> Floats:
    """Return what given places, (n, 2) in mm, make of every measure, (m,) in mm or radians.

    An angle comes within half a turn of what was measured; NaN where a place is not known.
    """
    values: Floats = observations.value + misfits_of(observations, xy)
    return values


def rows_of(network: Network, xy: Floats) -> csr_matrix:
    """Return the derivatives of all measures in units of their deviations, (m, 2 n), at given places.

    Columns 2 p and 2 p + 1 belong to x and y of point p, held or not; measures that cannot be used have empty rows.
    """
    readings = Readings(network.observations, network.usable)
    line = readings.at(xy)
    d = len(line.pairs[0])
    rows, columns, entries = [], [], []
    for which, points, part in (
        (readings.which[:d], readings.pairs, line.pairs),
        (readings.which[d:], readings.triples, line.triples),
    ):
        across = np.repeat(2 * points, 2, axis=0)
        across[1::2] += 1
        rows.append(np.broadcast_to(which, part.shape).ravel())
        columns.append(across.ravel())
        entries.append(part.ravel())
    at = np.concatenate(rows), np.concatenate(columns)
    return csr_matrix((np.concatenate(entries), at), shape=(len(network.observations.kind), 2 * len(xy)))
