"""Stakes that stand in each other's place or on the wrong side: a start from the plan that is far off.

Either the measures themselves say it, being enough to lead the adjustment to the right places whatever it starts
from; or the adjustment from the plan ends in places that do not fit, while from exchanged or mirrored places it
ends in ones that do. What is found here is to be told, and changes nothing by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, islice
from typing import Final

import numpy as np
from scipy.special import chdtri

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.derivatives import Readings
from layoutdesk.engine.proof.determinacy import ends_of, grounds
from layoutdesk.engine.proof.misplaced import Kind, Misplaced, misplaced
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.placing import placed_by_tapes
from layoutdesk.engine.proof.sides import mirrored

NORMAL: Final = 1e-3
"""A weighted sum is of normal size when sound measures go beyond it no more often than this."""
_USUAL: Final = 0.05
"""Beyond a sum that sound measures exceed this often, the places that the tapes give by themselves are tried."""
_BETTER: Final = 9.0
"""Other places are taken when they bring the weighted sum down by more than this: three standard deviations."""
_FAR_BETTER: Final = 0.2
"""Where no start makes the sum normal, as when a tape is misread too, one that leaves so little of it is taken."""
_TRIED: Final = 12
"""So many stakes whose drawn places fit worst are moved elsewhere, alone and two by two."""
_ADJUSTED: Final = 6
"""So many of these starts, those that fit best, are adjusted."""
_LAID: Final = 2000
"""So many pairs of points are tried to lay a free figure over the drawn one."""
_ELSEWHERE: Final = 100.0
"""Places that differ by less than this, in mm, are one place."""


@dataclass(frozen=True, slots=True)
class OtherStart:
    """Points that seem to have been set out elsewhere, and how.

    ``xy`` are places to start from, (n, 2) in mm: the drawn ones, but for stakes that were set out elsewhere those
    found; with the ``weighted`` sum of squares to which they lead. ``line`` are the two points of a line of
    mirroring, and ``rest`` the stakes on its other side when those may as well be the wrong ones.
    """

    kind: Kind
    points: tuple[int, ...]
    xy: Floats
    weighted: float
    line: tuple[int, int] | None = None
    rest: tuple[int, ...] = ()


def swapped(network: Network, adjustment: Adjustment) -> tuple[OtherStart, ...]:
    """Return which stakes seem to be set out in the wrong places; empty when nothing speaks for it."""
    ground = grounds(network)
    movable = adjustment.determined & ~ground.known
    told = _named(network, adjustment, movable, adjustment)
    if adjustment.degrees < 1 or adjustment.weighted <= float(chdtri(adjustment.degrees, _USUAL)):
        return told
    most = float(chdtri(adjustment.degrees, NORMAL))
    begin = placed_by_tapes(network, ground.known, movable)
    if begin is not None:
        again = adjust(network, covariance=False, begin=begin)
        if _better(again, adjustment, most):
            return _named(network, again, movable, adjustment)
    if adjustment.weighted <= most:
        return told
    # Places that do not fit tell little by themselves: what fits better comes first.
    return tuple(_tried(network, adjustment, movable, most)) or told


def explained(network: Network) -> bool:
    """Return whether stakes that were set out in the wrong places explain all measures, even the oddest ones."""
    found = adjust(network, covariance=False)
    if found.degrees < 1:
        return False
    most = float(chdtri(found.degrees, NORMAL))
    return any(other.weighted <= most for other in swapped(network, found))


def _better(again: Adjustment, adjustment: Adjustment, most: float) -> bool:
    return (
        again.converged
        and again.weighted < adjustment.weighted - _BETTER
        and (again.weighted <= most or again.weighted < _FAR_BETTER * adjustment.weighted)
        and bool((again.determined >= adjustment.determined).all())
    )


def _named(network: Network, found: Adjustment, movable: Bools, before: Adjustment) -> tuple[OtherStart, ...]:
    """Return what the places found say; of places that were not reached before at least which they are."""
    xy, known = found.xy, grounds(network).known
    if network.free:
        xy, known = _laid_over(network.start, found)
    points = np.flatnonzero(movable)
    unsure = [flip for flip in found.flips if not flip.by_plan and not network.free]
    both = [place for flip in unsure for place in (flip.found, flip.mirror)]
    which = np.concatenate((points, np.repeat(np.array([f.point for f in unsure], dtype=np.intp), 2)))
    places = np.concatenate((xy[points], np.array(both).reshape(-1, 2)))
    named = misplaced(network.start, places, which, np.flatnonzero(known))
    if found is not before and not named:
        out = np.nan_to_num(xy - network.start), np.nan_to_num(found.xy - before.xy)
        other = movable & (np.minimum(*(np.hypot(*off.T) for off in out)) > _ELSEWHERE)
        named = [Misplaced("elsewhere", tuple(np.flatnonzero(other).tolist()))]
    begin = network.start.copy()
    for one in named:
        moved = [p for p in one.points if found.determined[p]]
        begin[moved] = xy[moved]
    return tuple(
        OtherStart(
            one.kind, one.points, begin, found.weighted, one.line, _or_the_rest(network, found, movable, one)
        )
        for one in named
        if one.points
    )


def _laid_over(drawn: Floats, found: Adjustment) -> tuple[Floats, Bools]:
    """Return a free figure laid over as many drawn places as agree with one shift and turn, and which those are.

    The best shift and turn of all would be drawn aside by the stakes that were set out elsewhere.
    """
    points = np.flatnonzero(found.determined)
    a, b = found.xy[points] @ (1, 1j), drawn[points] @ (1, 1j)
    known = np.zeros(len(drawn), dtype=np.bool_)
    best, xy = 0, found.xy
    whole = np.where(found.determined, np.nan_to_num(found.xy) @ (1, 1j), 0)
    for i, j in islice(combinations(range(len(points)), 2), _LAID):
        turn = (b[j] - b[i]) * np.conj(a[j] - a[i])
        if abs(turn) < 1.0:
            continue
        turn /= abs(turn)
        shift = (b[i] + b[j]) / 2 - turn * (a[i] + a[j]) / 2
        near = np.abs(turn * a + shift - b) < _ELSEWHERE
        if near.sum() > best:
            best = int(near.sum())
            laid = turn * whole + shift
            xy = np.where(found.determined[:, None], np.stack((laid.real, laid.imag), axis=1), found.xy)
            known[:] = False
            known[points[near]] = True
    return xy, known


def _or_the_rest(network: Network, found: Adjustment, movable: Bools, one: Misplaced) -> tuple[int, ...]:
    """Return the stakes across the line from those mirrored, when all fit as well with their sides changed over."""
    if one.line is None or network.free:
        return ()
    a, b = (complex(*found.xy[p]) for p in one.line)
    places = (found.xy @ (1, 1j) - a) / (b - a)
    rest = movable & (np.abs(places.imag) * abs(b - a) > _ELSEWHERE)
    rest[list(one.points)] = False
    if rest.sum() >= 2 * len(one.points):
        return ()
    image = a + (b - a) * places.conjugate()
    over = np.where(movable[:, None], np.stack((image.real, image.imag), axis=1), found.xy)
    readings = _readings(network, found.determined)
    if readings.at(over).weighted > readings.at(found.xy).weighted + _BETTER:
        return ()
    return tuple(np.flatnonzero(rest).tolist())


def _tried(network: Network, adjustment: Adjustment, movable: Bools, most: float) -> Iterator[OtherStart]:
    """Yield the first other start that brings the weighted sum down to its normal size."""
    readings = _readings(network, adjustment.determined)
    scored = []
    for points, places in _others(network, _worst(network, readings, movable)):
        begin = network.start.copy()
        begin[points] = places
        scored.append((float(np.abs(readings.at(begin).misfit).sum()), begin))
    scored.sort(key=lambda start: start[0])
    for _, begin in scored[:_ADJUSTED]:
        again = adjust(network, covariance=False, begin=begin)
        if again.weighted <= most and bool((again.determined >= adjustment.determined).all()):
            yield from _named(network, again, movable, adjustment)
            return


def _readings(network: Network, determined: Bools) -> Readings:
    """Return the measures all of whose points have a place."""
    ends = ends_of(network, np.arange(len(network.observations.kind)))
    return Readings(network.observations, network.usable & determined[ends].all(axis=0))


def _worst(network: Network, readings: Readings, movable: Bools) -> list[int]:
    """Return the points whose drawn places fit worst."""
    off = np.abs(readings.at(network.start).misfit)
    misfit = np.zeros(len(movable))
    for row in ends_of(network, readings.which):
        np.add.at(misfit, row, off)
    misfit[~movable] = 0.0
    return [int(p) for p in np.argsort(-misfit, kind="stable")[:_TRIED] if misfit[p] > 0]


def _others(network: Network, worst: list[int]) -> Iterator[tuple[list[int], Floats]]:
    """Yield points and other places to start from: mirrored ones, alone and two by two, and exchanged ones."""
    drawn = network.start
    points = np.array(worst, dtype=np.intp)
    for images in (_across_control(network, points), _across_tapes(network, points)):
        if images is not None:
            for p in worst:
                yield [p], images[[p]]
            for a, b in combinations(worst, 2):
                yield [a, b], images[[a, b]]
    for a, b in combinations(worst, 2):
        yield [a, b], drawn[[b, a]]


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
