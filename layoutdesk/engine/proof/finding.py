"""What is wrong among all measures: mixed-up units, then what the tapes say, then what only the plan tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Indices
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.by_plan import StandsOut, standing_out
from layoutdesk.engine.proof.misreading import mixed_units
from layoutdesk.engine.proof.observations import DISTANCE, Observations
from layoutdesk.engine.proof.standing import Standing
from layoutdesk.engine.proof.starts import explained
from layoutdesk.engine.proof.statistics import chi_square_limits
from layoutdesk.engine.proof.suspects import Search, search

FITS: Final = 10.0
"""A reading that the plan speaks against is sound when it agrees with all others to so many deviations."""
SPARE: Final = 2
"""With fewer measures to spare almost any of them agree once a stake is taken to the other side of a line."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found.

    Args:
        found: what the search came to.
        wrong: rows that were left out from the start, as mixed-up units.
        against: what the plan speaks against, by row; left out from the start too.
        alike: for rows of these, the rows that the measures alone cannot tell from them.
    """

    found: Search
    wrong: Sequence[int] = ()
    against: Mapping[int, StandsOut] = field(default_factory=dict)
    alike: Mapping[int, tuple[int, ...]] = field(default_factory=dict)


def find(points: PointTable, standing: Standing, observations: Observations) -> Finding:
    """Return which measures are wrong, and the adjustment without them."""
    network = standing.network
    wrong = plainly_wrong(points, observations)
    if len(wrong) and explained(network):
        wrong = wrong[:0]
    found = search(network, observations, wrong)
    fits = np.abs(found.residual[wrong]) <= FITS * observations.deviation[wrong]
    if fits.any():
        wrong = wrong[~fits]
        found = search(network, observations, wrong)
    if _settled(found):
        return Finding(found, wrong.tolist())
    against = {one.row: one for one in standing_out(network, observations, wrong)}
    if not against:
        return Finding(found, wrong.tolist())
    left_out = np.concatenate((wrong, np.array(list(against), dtype=np.intp)))
    again = search(network, observations, left_out)
    fitting = [row for row in against if abs(again.residual[row]) <= FITS * observations.deviation[row]]
    if fitting:
        against = {row: one for row, one in against.items() if row not in fitting}
        again = search(network, observations, np.setdiff1d(left_out, fitting))
    doubtful = again.doubtful.copy()
    if again.last.degrees <= 0:  # nothing checks where the stakes at their ends seem to be: none is to be moved yet
        rows = list(against)
        doubtful[observations.i[rows]] = doubtful[observations.j[rows]] = True
        # Nor are those that stand elsewhere if it is another measure that is wrong.
        doubtful = (doubtful | found.doubtful) & ~network.held
    found_again = replace(again, first=found.first, doubtful=doubtful)
    return Finding(found_again, wrong.tolist(), against, _alike(found, against))


def plainly_wrong(points: PointTable, observations: Observations) -> Indices:
    """Return the rows of distances that only mixed-up units explain, so far are they from the plan."""
    plain = np.flatnonzero(observations.kind == DISTANCE)
    planned = np.abs(points.z[observations.j[plain]] - points.z[observations.i[plain]])
    value = observations.value[plain]
    off = np.abs(value - planned) > np.maximum(planned, value) / 2
    rows = plain[off].tolist()
    wrong = [
        row
        for row, drawn in zip(rows, planned[off].tolist(), strict=True)
        if mixed_units(float(observations.value[row]), drawn) is not None
    ]
    return np.array(wrong, dtype=np.intp)


def _alike(found: Search, against: Mapping[int, StandsOut]) -> dict[int, tuple[int, ...]]:
    """Return for what the plan speaks against the other rows of the group that the measures alone left in doubt."""
    alike = {}
    for taken in found.taken:
        group = (taken.suspect.row, *(one.row for one in taken.alike))
        for row in group:
            if row in against:
                alike[row] = tuple(other for other in group if other not in against)
    return alike


def _settled(found: Search) -> bool:
    """Return whether the measures alone tell what is wrong: all agree, or all but plainly told suspects."""
    last = found.last
    if last.degrees <= 0 or last.weighted > chi_square_limits(last.degrees)[1]:
        return False
    if found.swapped and last.degrees < SPARE:
        return False
    return not any(one.alike for one in found.taken)
