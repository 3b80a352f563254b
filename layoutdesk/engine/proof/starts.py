"""Stakes that stand in each other's place or on the wrong side: a start from the plan that is far off.

Either the measures themselves say it, being enough to lead the adjustment to the right places whatever it starts
from; or the adjustment from the plan ends in places that do not fit, while from exchanged or mirrored places it
ends in ones that do. What is found here is to be told, and changes nothing by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal, TypeAlias

import numpy as np
from scipy.spatial import KDTree
from scipy.special import chdtri

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.derivatives import Readings
from layoutdesk.engine.proof.determinacy import ends_of, grounds, mirrored
from layoutdesk.engine.proof.network import DISTANCE, Network

NORMAL: Final = 1e-3
"""A weighted sum is of normal size when sound measures go beyond it no more often than this."""
_CLEAR: Final = 3.0
_TRIED: Final = 12
"""So many stakes whose drawn places fit worst are moved elsewhere, alone and two by two."""
_ADJUSTED: Final = 6
"""So many of these starts, those that fit best, are adjusted."""

Kind: TypeAlias = Literal["swapped", "mirrored"]


@dataclass(frozen=True, slots=True)
class OtherStart:
    """Points that seem to have changed places, or to lie on the other side of the line of their tapes.

    ``xy`` are all places that the measures then give, (n, 2) in mm, with their ``weighted`` sum of squares.
    """

    kind: Kind
    points: tuple[int, ...]
    xy: Floats
    weighted: float


def swapped(network: Network, adjustment: Adjustment) -> tuple[OtherStart, ...]:
    """Return which stakes seem to be swapped or mirrored; empty when nothing speaks for it."""
    movable = adjustment.determined & ~grounds(network).held
    told = tuple(
        OtherStart(kind, points, adjustment.xy, adjustment.weighted)
        for kind, points in _told(network, adjustment, np.flatnonzero(movable))
    )
    if adjustment.degrees < 1:
        return told
    most = float(chdtri(adjustment.degrees, NORMAL))
    if adjustment.weighted <= most:
        return told
    # Places that do not fit tell little by themselves: what fits better comes first.
    return tuple(_tried(network, adjustment, movable, most)) or told


def _told(network: Network, adjustment: Adjustment, points: Indices) -> Iterator[tuple[Kind, tuple[int, ...]]]:
    """Yield pairs each of which stands where the other is drawn, and points found across the control's line."""
    unsure = [flip for flip in adjustment.flips if not flip.by_plan]
    both = [place for flip in unsure for place in (flip.found, flip.mirror)]
    which = np.concatenate((points, np.repeat(np.array([f.point for f in unsure], dtype=np.intp), 2)))
    if not len(which):
        return
    found = np.concatenate((adjustment.xy[points], np.array(both).reshape(-1, 2)))
    sought, drawn = np.unique(which), network.start[which]
    out = np.sqrt(((found - drawn) ** 2).sum(1))
    near, at = KDTree(network.start[sought]).query(found)
    there = {(int(p), int(sought[q])) for p, q, clear in zip(which, at, _CLEAR * near < out, strict=True) if clear}
    pairs = sorted((a, b) for a, b in there if a < b and (b, a) in there)
    for pair in pairs:
        yield "swapped", pair
    images = _across_control(network, sought)
    if images is None:
        return
    done = {p for pair in pairs for p in pair}
    across = np.sqrt(((adjustment.xy[points] - images[points]) ** 2).sum(1))
    for p in points[_CLEAR * across < out[: len(points)]].tolist():
        if p not in done:
            yield "mirrored", (p,)


def _tried(network: Network, adjustment: Adjustment, movable: Bools, most: float) -> Iterator[OtherStart]:
    """Yield the first other start that brings the weighted sum down to its normal size."""
    readings = Readings(network.observations, network.usable & _all_placed(network, adjustment.determined))
    scored = []
    for kind, points, places in _others(network, _worst(network, readings, movable)):
        begin = network.start.copy()
        begin[list(points)] = places
        scored.append((float(np.abs(readings.at(begin).misfit).sum()), kind, points, begin))
    scored.sort(key=lambda start: start[0])
    for _, kind, points, begin in scored[:_ADJUSTED]:
        again = adjust(network, covariance=False, begin=begin)
        if again.weighted <= most and bool((again.determined >= adjustment.determined).all()):
            yield OtherStart(kind, points, again.xy, again.weighted)
            return


def _all_placed(network: Network, determined: Bools) -> Bools:
    ends = ends_of(network, np.arange(len(network.observations.kind)))
    i, j, k = determined[ends]
    placed: Bools = i & j & k
    return placed


def _worst(network: Network, readings: Readings, movable: Bools) -> list[int]:
    """Return the points whose drawn places fit worst."""
    off = np.abs(readings.at(network.start).misfit)
    misfit = np.zeros(len(movable))
    for row in ends_of(network, readings.which):
        np.add.at(misfit, row, off)
    misfit[~movable] = 0.0
    return [int(p) for p in np.argsort(-misfit, kind="stable")[:_TRIED] if misfit[p] > 0]


def _others(network: Network, worst: list[int]) -> Iterator[tuple[Kind, tuple[int, ...], Floats]]:
    """Yield other places to start from: mirrored ones, alone and two by two, and exchanged ones."""
    drawn = network.start
    points = np.array(worst, dtype=np.intp)
    for images in (_across_control(network, points), _across_tapes(network, points)):
        if images is not None:
            for p in worst:
                yield "mirrored", (p,), images[[p]]
            for a, b in combinations(worst, 2):
                yield "mirrored", (a, b), images[[a, b]]
    for a, b in combinations(worst, 2):
        yield "swapped", (a, b), drawn[[b, a]]


def _across_control(network: Network, points: Indices) -> Floats | None:
    """Return the images of drawn places in the line that fits all control best, (n, 2); None without a line."""
    known = np.flatnonzero(grounds(network).known)
    if len(known) < 2:
        return None
    one, other = np.repeat(points, len(known)), np.tile(known, len(points))
    return mirrored(one, network.start[other], network.start, len(network.start))[0]


def _across_tapes(network: Network, points: Indices) -> Floats:
    """Return the images of drawn places in the line of the points that each is taped to, (n, 2)."""
    seen = network.observations
    plain = np.flatnonzero((seen.kind == DISTANCE) & network.usable)
    one: Indices = np.concatenate((seen.i[plain], seen.j[plain]))
    other: Indices = np.concatenate((seen.j[plain], seen.i[plain]))
    keep = np.isin(one, points)
    return mirrored(one[keep], network.start[other[keep]], network.start, len(network.start))[0]
