"""How a newer drawing lies over an older one: the best common shift and turn, whatever moved in between."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan.model import Pier, Plan, places_of, with_places

Floats: TypeAlias = NDArray[np.float64]

_MOST: Final = 250
"""So many points of a kind are enough to find how two drawings lie."""
_FACES: Final = 6
_BIN_MM: Final = 4.0
_PEAKS: Final = 4
_PAIRS: Final = 12
_SAME_TURN: Final = 1e-7
_SAME_SHIFT_MM: Final = 1e-5
_TIGHT_MM: Final = 0.1
_LEAST_SHARE: Final = 0.3
_HOUSE: Final = 1.2
"""The corners of the walls together weigh more than all piers: the house is what everything is measured from."""


@dataclass(frozen=True, slots=True)
class Motion:
    """A turn about zero, in radians anticlockwise, and then a shift in mm."""

    turn: float = 0.0
    shift: Vector = (0.0, 0.0)

    @property
    def is_none(self) -> bool:
        """Return whether nothing moves."""
        return self.turn == 0.0 and self.shift == (0.0, 0.0)

    def many(self, points: Floats) -> Floats:
        """Return where points (n × 2) come to lie."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        moved: Floats = points @ np.array([[c, s], [-s, c]]) + np.array(self.shift)
        return moved

    def one(self, point: Vector) -> Vector:
        """Return where a point comes to lie."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        return c * point[0] - s * point[1] + self.shift[0], s * point[0] + c * point[1] + self.shift[1]


@dataclass(frozen=True, slots=True)
class Fit:
    """A motion, and whether enough of the two drawings agrees under it."""

    motion: Motion
    agrees: bool


def fit(plan: Plan, newer: Plan, *, nameless: Collection[str], tolerance: float) -> Fit:
    """Return how a newer drawing is laid over a plan.

    Every turn that walls, baselines, beam lines or marks suggest is tried, with the shifts that most pairs of
    points ask for; the one under which most points meet wins, the house before the piers, and lying as it is
    before all. It is then made exact by least squares over the points that meet (the plane case of the orthogonal
    Procrustes problem; from memory).
    """
    old, new = _Points(plan), _Points(newer)
    near = max(1.0, 2 * tolerance)
    best, most = Motion(), old.weigh(new, Motion(), near)
    if most < 0.999 * old.whole(new):
        for motion in _tries(plan, newer, old, new, nameless):
            score = old.weigh(new, motion, near)
            if score > most + 1e-9:
                best, most = motion, score
    if most < _LEAST_SHARE * old.whole(new):
        return Fit(Motion(), agrees=False)
    exact = best
    for reach in (near, _TIGHT_MM):
        exact = _exact(old, new, exact, reach)
    if abs(exact.turn) < _SAME_TURN and max(map(abs, exact.shift)) < _SAME_SHIFT_MM:
        exact = Motion()
    if old.weigh(new, best, _TIGHT_MM) >= old.weigh(new, exact, _TIGHT_MM) - 1e-9 and best.is_none:
        exact = best
    return Fit(exact, agrees=True)


class _Points:
    """The points of a plan by kind: piers, corners of walls, attachments."""

    def __init__(self, plan: Plan) -> None:
        from scipy.spatial import KDTree

        self.kinds: list[Floats] = [
            _array([p.at for p in plan.piers]),
            _array([at for wall in plan.walls for at in wall.points]),
            _array([a.at for a in plan.attachments]),
        ]
        self.trees = [KDTree(points) if len(points) else None for points in self.kinds]
        self.some = [points[:: max(1, len(points) // _MOST)] for points in self.kinds]

    def _weights(self, new: _Points) -> tuple[float, float, float]:
        piers, corners, others = (len(points) for points in new.some)
        return 1.0, max(1.0, _HOUSE * (piers + others) / corners) if corners else 1.0, 1.0

    def whole(self, new: _Points) -> float:
        """Return what all points of the smaller drawing weigh."""
        counts = [min(len(a), len(b)) for a, b in zip(self.some, new.some, strict=True)]
        return sum(w * n for w, n in zip(self._weights(new), counts, strict=True)) or 1.0

    def weigh(self, new: _Points, motion: Motion, near: float) -> float:
        """Return what the points that meet weigh."""
        total = 0.0
        for tree, points, weight in zip(self.trees, new.some, self._weights(new), strict=True):
            if tree is not None and len(points):
                far, _ = tree.query(motion.many(points), distance_upper_bound=near)
                total += weight * float(np.isfinite(far).sum())
        return total


def _array(places: Sequence[Vector]) -> Floats:
    return np.array(places, np.float64).reshape(-1, 2)


def _tries(plan: Plan, newer: Plan, old: _Points, new: _Points, nameless: Collection[str]) -> Iterator[Motion]:
    """Yield motions worth a try, the smaller turns first."""
    yield from _by_marks(plan, [p for p in newer.piers if p.id not in nameless])
    turns = sorted({round(turn, 9) for turn in _turns(plan, newer)} | {0.0}, key=abs)
    for turn in turns:
        for kind in (1, 0, 2):
            yield from _shifts(old.some[kind], new.some[kind], turn)
    if not any(turns):
        yield from _by_pairs(old.some[0], new.some[0])


def _turns(plan: Plan, newer: Plan) -> Iterator[float]:
    if plan.baseline and newer.baseline:
        one, two = ((b.origin, b.toward) for b in (plan.baseline, newer.baseline))
        yield _half_open(_angle(*one) - _angle(*two))
    for a, b in product(_faces(plan), _faces(newer)):
        for flip in (0.0, math.pi):
            yield _half_open(_angle(*a) - _angle(*b) + flip)


def _faces(plan: Plan) -> list[tuple[Vector, Vector]]:
    """Return the longest faces of walls, and beam lines."""

    def longest(faces: Sequence[tuple[Vector, Vector]]) -> list[tuple[Vector, Vector]]:
        return sorted(faces, key=lambda face: -distance(*face))[:_FACES]

    walls = [face for wall in plan.walls for face in pairwise(wall.points) if distance(*face) > 1.0]
    lines = [(line.start, line.end) for line in plan.lines if distance(line.start, line.end) > 1.0]
    return [*longest(walls), *longest(lines)]


def _angle(a: Vector, b: Vector) -> float:
    return math.atan2(b[1] - a[1], b[0] - a[0])


def _half_open(turn: float) -> float:
    """Return an angle between -180 and 180 degrees, in radians."""
    return math.remainder(turn, 2 * math.pi)


def _shifts(old: Floats, new: Floats, turn: float) -> Iterator[Motion]:
    """Yield the shifts that most pairs of points ask for after a turn."""
    if not len(old) or not len(new):
        return
    turned = Motion(turn).many(new)
    ways = (old[:, None, :] - turned[None, :, :]).reshape(-1, 2)
    bins = np.round(ways / _BIN_MM).astype(np.int64)
    found, count = np.unique(bins, axis=0, return_counts=True)
    for at in np.argsort(-count, kind="stable")[:_PEAKS]:
        close = ways[(np.abs(ways - found[at] * _BIN_MM) <= 1.5 * _BIN_MM).all(axis=1)]
        x, y = np.median(close, axis=0)
        yield Motion(turn, (float(x), float(y)))


def _by_marks(plan: Plan, newer: Sequence[Pier]) -> Iterator[Motion]:
    """Yield the motions that take two marks to where they were."""
    counts = Counter(p.label for p in plan.piers), Counter(p.label for p in newer)
    was = {p.label: p.at for p in plan.piers if counts[0][p.label] == 1}
    now = {p.label: p.at for p in newer if counts[1][p.label] == 1}
    both = [label for label in was if label in now]
    some = both[:: max(1, len(both) // _PAIRS)]
    for one in some:
        far = sorted(both, key=lambda label: -distance(was[label], was[one]))[:4]
        for other in far:
            a, b, c, d = was[one], was[other], now[one], now[other]
            if distance(a, b) > 100.0 and abs(distance(a, b) - distance(c, d)) <= 2.0:
                yield _onto(a, b, c, d)


def _by_pairs(old: Floats, new: Floats) -> Iterator[Motion]:
    """Yield the motions that take two points of the newer drawing to two as far apart in the older one."""
    if len(old) < 2 or len(new) < 2:
        return
    apart = np.hypot(*(new[:, None, :] - new[None, :, :]).transpose(2, 0, 1))
    first = old[:: max(1, len(old) // 4)]
    for a in first:
        far = np.hypot(*(old - a).T)
        for at in np.argsort(-far, kind="stable")[:3]:
            b = old[at]
            for i, j in np.argwhere(np.abs(apart - far[at]) <= 1.0)[:80].tolist():
                if i != j and far[at] > 100.0:
                    yield _onto(_vector(a), _vector(b), _vector(new[i]), _vector(new[j]))


def _vector(point: Floats) -> Vector:
    return float(point[0]), float(point[1])


def _onto(a: Vector, b: Vector, c: Vector, d: Vector) -> Motion:
    """Return the motion that takes the middle of c and d to that of a and b, and one direction to the other."""
    turn = _half_open(_angle(a, b) - _angle(c, d))
    middle = Motion(turn).one(((c[0] + d[0]) / 2, (c[1] + d[1]) / 2))
    return Motion(turn, ((a[0] + b[0]) / 2 - middle[0], (a[1] + b[1]) / 2 - middle[1]))


def _exact(old: _Points, new: _Points, motion: Motion, reach: float) -> Motion:
    """Return the motion by least squares over the points that meet within a reach; the same when they are few."""
    was, now = [], []
    for tree, points, there in zip(old.trees, new.some, old.kinds, strict=True):
        if tree is None or not len(points):
            continue
        far, at = tree.query(motion.many(points), distance_upper_bound=reach)
        close = np.isfinite(far)
        was.append(there[at[close]])
        now.append(points[close])
    if sum(map(len, was)) < 2:
        return motion
    a, b = np.concatenate(was), np.concatenate(now)
    from_a, from_b = a - a.mean(axis=0), b - b.mean(axis=0)
    sine = float((from_b[:, 0] * from_a[:, 1] - from_b[:, 1] * from_a[:, 0]).sum())
    cosine = float((from_b * from_a).sum())
    if cosine == 0.0 == sine:
        return motion
    turn = math.atan2(sine, cosine)
    shift = a.mean(axis=0) - Motion(turn).many(b.mean(axis=0, keepdims=True))[0]
    return Motion(turn, _vector(shift))


def laid(plan: Plan, motion: Motion) -> Plan:
    """Return a plan with all that lies on its sheet moved; the very plan when nothing moves."""
    if motion.is_none:
        return plan
    degrees = math.degrees(motion.turn)
    kinds = ("walls", "attachments", "controls", "lines", "piers", "slabs", "keepouts")
    changes: dict[str, object] = {
        kind: tuple(with_places(p, tuple(map(motion.one, places_of(p)))) for p in getattr(plan, kind))
        for kind in kinds
    }
    changes["written"] = tuple(
        replace(
            w,
            start=motion.one(w.start),
            end=motion.one(w.end),
            along=None if w.along is None else w.along + degrees,
        )
        for w in plan.written
    )
    changes["chains"] = tuple(
        replace(c, start=c.start and motion.one(c.start), end=c.end and motion.one(c.end)) for c in plan.chains
    )
    if plan.baseline is not None:
        b = plan.baseline
        changes["baseline"] = replace(b, origin=motion.one(b.origin), toward=motion.one(b.toward))
    return plan.with_(**changes)
