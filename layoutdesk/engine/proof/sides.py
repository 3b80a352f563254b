"""Which side of a line: points that can as well stand across the line of what they are taped from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.determinacy import LooseGroup
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.normal import Unknowns
from layoutdesk.engine.proof.sums import summed
from layoutdesk.geometry.vector import Vector

CLEAR: Final = 3.0
"""The plan chooses between two places when one lies so many times as near to the planned place as the other."""
ALIKE: Final = 9.0
"""Two places fit equally well when their weighted sums differ by no more than this: three standard deviations."""
APART: Final = 6.0
"""Two places count as two when they lie so many standard deviations apart."""


@dataclass(frozen=True, slots=True)
class Flip:
    """A point that fits its measures in two places, mm: ``found`` and its mirror image.

    ``by_plan`` says that the planned place chooses clearly between them, so that ``found`` is given as the place;
    otherwise the point is not determined.
    """

    point: int
    found: Vector
    mirror: Vector
    by_plan: bool


@dataclass(frozen=True, slots=True)
class Hanging:
    """The points that hang on tapes alone, (n,), and their tapes, (c,): point, other end, weight and value.

    ``image`` (n, 2) are the mirror images of the points in the line that fits their partners best, ``across``
    (n, 2) the normals of those lines, and ``spread`` (n,) how far the partners stand off them on average.
    """

    one_sided: Bools
    point: Indices
    other: Indices
    weight: Floats
    value: Floats
    image: Floats
    across: Floats
    spread: Floats


def hanging(network: Network, unknowns: Unknowns, xy: Floats) -> Hanging:
    """Return the tapes of the points that hang on tapes alone, and how straight their partners stand."""
    readings, count = unknowns.readings, len(xy)
    one_sided = np.zeros(count, dtype=np.bool_)
    one_sided[unknowns.points] = True
    one_sided &= ~np.isfinite(network.prior) | network.free
    one_sided[readings.triples.ravel()] = False
    point = readings.pairs.ravel()
    other = readings.pairs[::-1].ravel()
    weight = np.tile(readings.weight[: readings.pairs.shape[1]], 2)
    value = np.tile(network.observations.value[readings.which[: readings.pairs.shape[1]]], 2)
    keep = one_sided[point]
    point, other, weight, value = point[keep], other[keep], weight[keep], value[keep]
    image, across, spread = mirrored(point, xy[other], xy, count)
    return Hanging(one_sided, point, other, weight, value, image, across, spread)


def flips(network: Network, hung: Hanging, xy: Floats) -> tuple[list[Flip], list[LooseGroup]]:
    """Return the points that fit in two places, and which of them are not determined for that.

    All other ends of the tapes to such a point lie in one line, or nearly so: the point can as well stand on its
    other side. Points with a measure that tells the side (square from a line, an angle) are not among them.
    """
    count, one_sided = len(xy), hung.one_sided
    point, weight, value = hung.point, hung.weight, hung.value
    if not len(point):
        return [], []
    place = xy[hung.other]
    mirror, across, spread = hung.image, hung.across, hung.spread

    def misfit(at: Floats) -> Floats:
        away = at[point] - place
        off: Floats = (np.sqrt((away * away).sum(1)) - value) * weight
        return off

    here = summed(point, misfit(xy) ** 2, count)
    # Partners that are not quite in line leave the mirror image a little off: let the point settle there.
    there = summed(point, misfit(mirror) ** 2, count)
    flat = one_sided & (there <= here + ALIKE)
    near = one_sided & (there <= here + 100 * ALIKE)
    near &= np.bincount(point, minlength=count) > 0
    if not near.any():
        return [], []
    pick = near[point]
    point, place, weight, value = point[pick], place[pick], weight[pick], value[pick]
    here = summed(point, misfit(xy) ** 2, count)
    first = mirror
    for _ in range(3):
        mirror = mirror + _settle(point, mirror[point] - place, misfit(mirror), weight, count)
    there = summed(point, misfit(mirror) ** 2, count)
    # A mirror image that fits much better means that the steps ended in the wrong place, which starts.py tells.
    found, loose = [], []
    narrow = _across(point, xy[point] - place, weight, across, count)
    for p in np.flatnonzero(near & (np.abs(there - here) <= ALIKE)).tolist():
        if flat[p] and spread[p] <= narrow[p] and float(np.hypot(*(first[p] - xy[p]))) <= APART * narrow[p]:
            loose.append(LooseGroup((p,), "in line"))
            continue
        out, out_there = np.hypot(*(xy[p] - network.start[p])), np.hypot(*(mirror[p] - network.start[p]))
        if float(np.hypot(*(mirror[p] - xy[p]))) <= APART * narrow[p]:
            continue  # it settled where it was
        by_plan = bool(CLEAR * out <= out_there)
        places = xy[p].tolist(), mirror[p].tolist()
        found.append(Flip(p, (places[0][0], places[0][1]), (places[1][0], places[1][1]), by_plan))
        if not by_plan:
            loose.append(LooseGroup((p,), "two places"))
    return found, loose


def mirrored(point: Indices, place: Floats, xy: Floats, count: int) -> tuple[Floats, Floats, Floats]:
    """Return the mirror images of points in the line that fits their partners best, and how straight that is.

    Images (n, 2), the normals of the lines (n, 2), and how far the partners stand off them on average (n,).
    """
    many = np.maximum(np.bincount(point, minlength=count), 1)
    middle = np.stack([summed(point, place[:, axis], count) / many for axis in (0, 1)], axis=1)
    dx, dy = (place - middle[point]).T
    xx, yy, both = (summed(point, part, count) for part in (dx * dx, dy * dy, dx * dy))
    turn = np.arctan2(2 * both, xx - yy) / 2
    normal = np.stack((-np.sin(turn), np.cos(turn)), axis=1)
    off = ((xy - middle) * normal).sum(1, keepdims=True)
    least = (xx + yy) / 2 - np.sqrt(((xx - yy) / 2) ** 2 + both * both)
    return xy - 2 * off * normal, normal, np.sqrt(np.maximum(least, 0.0) / many)


def _own(point: Indices, away: Floats, weight: Floats, count: int) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the normal equations of every point by itself: xx, xy, yy and the determinant."""
    unit = away * (weight / np.maximum(np.sqrt((away * away).sum(1)), 1e-9))[:, None]
    x, y = unit.T
    xx, both, yy = (summed(point, part, count) for part in (x * x, x * y, y * y))
    return xx, both, yy, np.maximum(xx * yy - both * both, 1e-12 * (xx + yy) ** 2 + 1e-300)


def _settle(point: Indices, away: Floats, misfit: Floats, weight: Floats, count: int) -> Floats:
    xx, both, yy, full = _own(point, away, weight, count)
    scaled = (misfit * weight / np.maximum(np.sqrt((away * away).sum(1)), 1e-9))[:, None] * away
    gx, gy = summed(point, scaled[:, 0], count), summed(point, scaled[:, 1], count)
    return -np.stack(((yy * gx - both * gy) / full, (xx * gy - both * gx) / full), axis=1)


def _across(point: Indices, away: Floats, weight: Floats, normal: Floats, count: int) -> Floats:
    """Return the standard deviation of every point square to a line, its partners standing still; (n,) in mm."""
    xx, both, yy, full = _own(point, away, weight, count)
    nx, ny = normal.T
    deviation: Floats = np.sqrt((yy * nx * nx - 2 * both * nx * ny + xx * ny * ny) / full)
    return deviation
