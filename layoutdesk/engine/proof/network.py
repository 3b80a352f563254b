"""What is adjusted: points with their places to start from, what holds them, and the measures between them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Protocol

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices

DISTANCE: Final = 0
BESIDE: Final = 1
ANGLE: Final = 2


class Measures(Protocol):
    """Measures as columns of m entries.

    ``kind`` is 0 for the distance from i to j; 1 for the distance of j square from the line that runs from i to k,
    positive to the left of it; 2 for the angle at i from j to k, positive anticlockwise. ``value`` and
    ``deviation`` are mm, or radians for angles.
    """

    @property
    def kind(self) -> Indices:
        """What was measured."""

    @property
    def i(self) -> Indices:
        """The first points."""

    @property
    def j(self) -> Indices:
        """The second points."""

    @property
    def k(self) -> Indices:
        """The third points; of no meaning for distances."""

    @property
    def value(self) -> Floats:
        """What the measures are worth after their corrections."""

    @property
    def deviation(self) -> Floats:
        """Their standard deviations."""


@dataclass(frozen=True, slots=True)
class Network:
    """Points and the measures that tie them together.

    Args:
        start: where the points are drawn, (n, 2) in mm; the adjustment starts there.
        held: which points are where they are drawn and do not give, (n,).
        prior: how well the place of each point is known beforehand, one standard deviation in mm, (n,); infinite
            where nothing is known.
        free: nothing is held: ``held`` and ``prior`` do not count, and the whole figure is laid over the points
            of ``datum`` as well as a shift and a turn can (inner constraints).
        observations: the measures.
        datum: the points that a free figure is laid over, (n,); None for all of them.
    """

    start: Floats
    held: Bools
    prior: Floats
    free: bool
    observations: Measures
    datum: Bools | None = field(default=None)

    @property
    def usable(self) -> Bools:
        """Return which measures can be reckoned with at all, (m,): finite, and between points that differ."""
        seen = self.observations
        count = len(self.start)
        three = seen.kind != DISTANCE
        third = np.where(three, seen.k, seen.j)
        inside = (np.minimum(np.minimum(seen.i, seen.j), third) >= 0) & (
            np.maximum(np.maximum(seen.i, seen.j), third) < count
        )
        apart = (seen.i != seen.j) & (~three | ((seen.i != seen.k) & (seen.j != seen.k)))
        sound = np.isfinite(seen.value) & np.isfinite(seen.deviation) & (seen.deviation > 0)
        usable: Bools = inside & apart & sound & (three | (seen.value >= 0))
        if usable.any():
            finite = np.isfinite(self.start)
            placed: Bools = finite[:, 0] & finite[:, 1]
            at = np.flatnonzero(usable)
            usable[at] = placed[seen.i[at]] & placed[seen.j[at]] & placed[third[at]]
        return usable
