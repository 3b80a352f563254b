"""Groups of stakes that can as well stand on the other side of a line: they hang on it as a door on its hinge.

Such a group is taped to nothing but points of one line. Its mirror image in that line fits all tapes as well, and
only the plan tells the side. It does so unless every stake of the group is so far out of place that its image is
hardly farther out: then the whole group lies close to its line. So stakes are looked at whose partners stand nearly
in one line; among those, parts are sought that two points cut off from all others.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final, TypeAlias

import numpy as np
from scipy.special import chdtri

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.determinacy import LooseGroup, joined
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.sides import ALIKE, APART, CLEAR, Hanging

_SMALL: Final = 40
"""Among so many stakes of one line all parts are sought, of more those of up to ``_PART`` stakes."""
_PART: Final = 12
_FITS: Final = 1e-6
"""Where sound tapes would fit as badly less often than this, the start was wrong, and sides are not compared."""
_TELLS: Final = 10.0
"""A distance tells the side when it differs by more than this, in mm, from one to the other."""


Part: TypeAlias = tuple[frozenset[int], tuple[int, int]]


def folds(network: Network, hung: Hanging, xy: Floats, determined: Bools) -> list[LooseGroup]:
    """Return the groups of two points or more that can stand on either side of a line.

    Args:
        network: points and measures.
        hung: the points that hang on tapes alone, and their tapes.
        xy: the adjusted places, (n, 2) in mm.
        determined: which points have a place, (n,).
    """
    if len(hung.point) < 2:
        return []
    off = xy - network.start
    out = np.sqrt((off * off).sum(1))
    # A stake within this of a line is known across it less well than that: h = s L / h, three standard deviations.
    lying = np.sqrt(3.0 * hung.value / hung.weight)
    flat = hung.one_sided & (hung.spread <= max(2.0 * float(out[hung.one_sided].max()), float(lying.max())))
    # Of every tape of a stake in such a group the other end is in it, too, or on the line.
    if np.count_nonzero(flat) < 2:
        return []
    there = np.where(hung.one_sided, out, 0.0)
    near = np.maximum(2.0 * np.maximum(there[hung.point], there[hung.other]), lying)
    width = np.zeros(len(xy))
    np.maximum.at(width, hung.point, near)
    flat &= hung.spread <= width
    both = flat[hung.point] & flat[hung.other]
    if not both.any():
        return []
    ends = np.stack((hung.point[both], hung.other[both], hung.other[both]))
    label = joined(ends, len(xy))
    found: list[LooseGroup] = []
    for group in _parts_of(np.unique(ends), label):
        found += _among(network, hung, xy, determined, group)
    return found


def _parts_of(points: Indices, label: Indices) -> Iterator[set[int]]:
    for one in np.unique(label[points]).tolist():
        yield set(points[label[points] == one].tolist())


def _among(network: Network, hung: Hanging, xy: Floats, determined: Bools, group: set[int]) -> list[LooseGroup]:
    """Return the groups among stakes that lie nearly in one line, the greatest first, none of them twice."""
    ties: dict[int, set[int]] = {p: set() for p in group}
    mine = np.isin(hung.point, list(group))
    for p, q in zip(hung.point[mine].tolist(), hung.other[mine].tolist(), strict=True):
        ties[p].add(q)
    found: list[LooseGroup] = []
    taken: set[int] = set()
    for part, hinge in sorted(set(_cut_off(ties, xy)), key=lambda one: (-len(one[0]), sorted(one[0]))):
        if taken.isdisjoint(part):
            loose = _Door(hung, xy, np.array(sorted(part)), hinge).loose(network.start, determined)
            if loose is not None:
                found.append(loose)
                taken |= part
    return found


def _cut_off(ties: dict[int, set[int]], xy: Floats) -> Iterator[Part]:
    """Yield the stakes that two points cut off, and these; of all together the two ends of their line."""
    beside = {p: set(ends) for p, ends in ties.items()}
    for p, ends in ties.items():
        for q in ends:
            beside.setdefault(q, set()).add(p)
    outside = sorted(set(beside) - set(ties))
    if len(outside) >= 2:
        yield (
            frozenset(ties),
            max(combinations(outside, 2), key=lambda two: float(np.hypot(*(xy[two[0]] - xy[two[1]])))),
        )
    points = sorted(beside)
    most, reach = (len(ties), len(points)) if len(ties) <= _SMALL else (_PART, _PART)
    places = xy[points] - xy[points].mean(0)
    row = [points[k] for k in np.argsort(places @ np.linalg.svd(places, full_matrices=False)[2][0])]
    for k, a in enumerate(row):
        for b in row[k + 1 : k + 1 + reach]:
            seen = {a, b}
            for start in sorted(beside[a] & set(ties)):
                if start not in seen:
                    part = _flooded(start, {a, b}, ties, most)
                    seen |= part
                    if 1 < len(part) <= most and all(ties[p] <= part | {a, b} for p in part):
                        yield frozenset(part), (min(a, b), max(a, b))


def _flooded(start: int, stop: set[int], ties: dict[int, set[int]], most: int) -> set[int]:
    """Return the stakes that tapes lead to from one, but by way of some points; no more than one over ``most``."""
    part, edge = {start}, [start]
    while edge and len(part) <= most:
        for q in ties[edge.pop()]:
            if q in ties and q not in stop and q not in part:
                part.add(q)
                edge.append(q)
    return part


class _Door:
    """A group of stakes, and the line that it may turn over about."""

    def __init__(self, hung: Hanging, xy: Floats, part: Indices, hinge: tuple[int, int]) -> None:
        self.part, self.hinge, self._xy = part, hinge, xy
        # About a line of control that parts some from others, starts.py tells which stand on the wrong side.
        self._swings = bool(hung.one_sided[list(hinge)].any())
        mine = np.isin(hung.point, part)
        inner = np.isin(hung.other, part)
        mine &= ~inner | (hung.point < hung.other)
        self._first, self._second = hung.point[mine], hung.other[mine]
        self._weight, self._value = hung.weight[mine], hung.value[mine]
        row = np.full(len(xy), -1, dtype=np.intp)
        row[part] = np.arange(len(part))
        self._rows = row[self._first], row[self._second]

    def _misfit(self, xy: Floats) -> Floats:
        off: Floats = (np.hypot(*(xy[self._first] - xy[self._second]).T) - self._value) * self._weight
        return off

    def _slopes(self, xy: Floats) -> Floats:
        """Return the derivatives of the tapes by the places of the stakes, (t, 2 c)."""
        way = xy[self._first] - xy[self._second]
        unit = way * (self._weight / np.maximum(np.hypot(*way.T), 1e-9))[:, None]
        slopes = np.zeros((len(unit), len(self.part), 2))
        at = np.arange(len(unit))
        slopes[at, self._rows[0]] = unit
        inner = self._rows[1] >= 0
        slopes[at[inner], self._rows[1][inner]] = -unit[inner]
        return slopes.reshape(len(unit), -1)

    def loose(self, drawn: Floats, determined: Bools) -> LooseGroup | None:
        """Return the group when it can stand on either side, and nothing says on which."""
        xy, part = self._xy, self.part
        a, b = xy[list(self.hinge)]
        along = b - a
        far = float(np.hypot(*along))
        if far < 1.0:
            return None
        normal = np.array([-along[1], along[0]]) / far
        over = xy.copy()
        over[part] -= 2.0 * ((xy[part] - a) @ normal)[:, None] * normal
        first, here = over.copy(), self._misfit(xy)
        sum_here = float(here @ here)
        if sum_here > float(chdtri(len(here), _FITS)):
            return None
        for _ in range(3):
            # Ends of tapes that stand off the line leave the image a little off: let it settle there.
            over[part] -= np.linalg.lstsq(self._slopes(over), self._misfit(over), rcond=1e-9)[0].reshape(-1, 2)
        if not abs(float((self._misfit(over) ** 2).sum()) - sum_here) <= ALIKE:
            return None
        across = self._across(normal)
        flat = float((self._misfit(first) ** 2).sum()) <= sum_here + ALIKE
        if flat and (np.hypot(*(first[part] - xy[part]).T) <= APART * across).all():
            return LooseGroup(tuple(part.tolist()), "in line", self.hinge, self._settled_by(first, determined))
        if (np.hypot(*(over[part] - xy[part]).T) <= APART * across).all():
            return None  # it settled where it was
        out, image = (np.hypot(*(places[part] - drawn[part]).T) for places in (xy, over))
        here_told, there_told = (CLEAR * out <= image).sum(), (CLEAR * image <= out).sum()
        if here_told > there_told or (there_told and not self._swings):
            return None
        return LooseGroup(tuple(part.tolist()), "two places", self.hinge, self._settled_by(over, determined))

    def _across(self, normal: Floats) -> Floats:
        """Return the deviations of the stakes square to the line, all others standing still; (c,) in mm."""
        slopes, many = self._slopes(self._xy), len(self.part)
        spread = np.linalg.pinv(slopes.T @ slopes, rcond=1e-12, hermitian=True).reshape(many, 2, many, 2)
        across: Floats = np.sqrt(np.maximum(np.einsum("i,pipj,j->p", normal, spread, normal), 0.0))
        return across

    def _settled_by(self, over: Floats, determined: Bools) -> tuple[int, int] | None:
        """Return the ends of the distance that differs most between the two sides."""
        others = determined.copy()
        others[self.part] = False
        others[list(self.hinge)] = False
        known = np.flatnonzero(others)
        if not len(known):
            return None
        here, there = (
            np.hypot(*np.moveaxis(xy[self.part][:, None] - self._xy[known], -1, 0)) for xy in (self._xy, over)
        )
        differs = np.abs(there - here)
        p, q = np.unravel_index(int(np.argmax(differs)), differs.shape)
        if differs[p, q] < _TELLS:
            return None
        return int(self.part[p]), int(known[q])
