"""Which readings stand out against the plan: what any builder sees who looks along the planned distances.

With hardly a tape to spare the tapes alone cannot tell which of them was misread: all that they say is that they do
not agree. The plan tells more. Stakes were set out from it, so that most stand within a few centimetres of where
they are drawn; one that does not is off in all its tapes, while a misread tape is alone. So each place is taken as
known to ``SET_OUT_MM`` beforehand, and what is left standing out is taken away one at a time: the tape or the stake
that explains the most. Only what is far beyond anything that tapes and stakes do is named, and nothing is judged
by the plan where the tapes judge each other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import chdtri

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.derivatives import misfits_of, rows_of
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.observations import ANGLE, DISTANCE, Observations
from layoutdesk.engine.proof.standing import named_in
from layoutdesk.engine.proof.statistics import limit_of

SET_OUT_MM: Final = 20.0
"""How near to its drawn place a stake is set out, one standard deviation: common practice, no source."""
LEAST_MM: Final = 50.0
"""An error that is smaller is never told from the plan."""
UP_TO: Final = 100
"""Among more measures than this nothing is looked for: they have enough to spare."""
_MOST: Final = 8
_FAR_MM: Final = 20_000.0
"""How near to its drawn place a stake is known that was set out quite elsewhere."""
_BENT_MM: Final = 2.0
"""What a distance changes beyond its tangent when its ends are a few centimetres off."""
_STEPS: Final = 5
_TRIED: Final = 3
"""So many stakes that explain the most are set elsewhere in turn."""
_SECOND_WAY: Final = 10.0
"""What a stake must explain more than a tape, since it may be off in two ways."""
_AGAIN: Final = 4.0
"""Two readings of one distance are the same within so many standard deviations of their difference."""
_SOUND: Final = 1e-3
"""All that is left must be such as sound measures come to no less often than this."""


@dataclass(frozen=True, slots=True)
class StandsOut:
    """A distance that the plan speaks against.

    ``row`` is its row of all measures, ``expected`` what the drawn places and all other measures lead one to
    expect, ``deviation`` the standard deviation of how far the reading may be from that; mm.
    """

    row: int
    expected: float
    deviation: float


def standing_out(network: Network, observations: Observations, out: Indices) -> tuple[StandsOut, ...]:
    """Return the distances that the plan speaks against, in the order of the measures; none where it is in doubt.

    Args:
        network: all of it, with all measures.
        observations: the measures of that network.
        out: rows that are left out from the start because they are plainly wrong.
    """
    if not 0 < len(observations) <= UP_TO:
        return ()
    before = np.zeros(len(observations), dtype=np.bool_)
    before[out] = True
    fit = _Fit(network, observations, before)
    limit = limit_of(len(observations)) ** 2
    for _ in range(_MOST):
        tape, stake = fit.tapes(), fit.stakes()
        if max(tape.max(initial=0.0), stake.max(initial=0.0)) <= limit:
            break
        fit = fit.next(tape, stake)
    if not fit.sound():
        return ()
    return tuple(one for row in np.flatnonzero(fit.out & ~before).tolist() if (one := fit.judged(row)) is not None)


class _Fit:
    """The drawn places and the measures, laid together as well as both can be.

    Args:
        network: all of it.
        observations: its measures.
        out: which measures are left out, (m,).
        far: which points are taken as set out anywhere, (n,); none when it is not given.
        begin: the places to start from, (n, 2); the drawn ones when it is not given.
    """

    def __init__(
        self,
        network: Network,
        observations: Observations,
        out: Bools,
        far: Bools | None = None,
        begin: Floats | None = None,
    ) -> None:
        self._network, self._seen = network, observations
        angle = observations.kind == ANGLE
        self._size = np.where(angle, observations.deviation, np.hypot(observations.deviation, _BENT_MM))
        self.out = out
        self._far = np.zeros(len(network.start), dtype=np.bool_) if far is None else far
        self._moves = np.flatnonzero((~network.held | network.free) & named_in(observations, len(network.start)))
        known = np.where(np.isfinite(network.prior), network.prior, SET_OUT_MM)
        known[self._far] = _FAR_MM
        self._known: Floats = np.repeat(known[self._moves], 2)
        self._usable = network.usable
        self._believed = _believed(network, observations)
        self._xy = network.start if begin is None else begin
        for _ in range(_STEPS if self._far.any() else 1):
            self._solve()

    def _solve(self) -> None:
        """Take one step from the places as they are."""
        start, seen = self._network.start, self._seen
        columns = np.stack((2 * self._moves, 2 * self._moves + 1), axis=1).ravel()
        rows = rows_of(self._network, self._xy).toarray()[:, columns] * (seen.deviation / self._size)[:, None]
        here = (self._xy - start)[self._moves].ravel()
        # The measures as they would be at the drawn places, if they changed evenly from there to here.
        wanted = np.where(self._usable, rows @ here - np.nan_to_num(misfits_of(seen, self._xy)) / self._size, 0.0)
        rows[~self._usable] = 0.0
        used = rows[~self.out]
        self._inverse: Floats = np.linalg.inv(used.T @ used + np.diag(self._known**-2))
        self._off: Floats = self._inverse @ (used.T @ wanted[~self.out])
        self._left: Floats = rows @ self._off - wanted
        self._open: Floats = np.sum((rows @ self._inverse) * rows, axis=1)
        self._xy = start.copy()
        self._xy[self._moves] += self._off.reshape(-1, 2)

    @property
    def weighted(self) -> float:
        """Return the weighted sum of squares of what is left, with that of how far the stakes are off."""
        left = self._left[self._usable & ~self.out]
        return float(left @ left) + float(np.sum((self._off / self._known) ** 2))

    def tapes(self) -> Floats:
        """Return what leaving out each distance would take off the weighted sum, (m,)."""
        may = self._usable & (self._seen.kind == DISTANCE) & ~self.out & ~self._believed
        return np.where(may, self._left**2 / np.maximum(1 - self._open, 1e-9), 0.0)

    def stakes(self) -> Floats:
        """Return what it would take off the weighted sum if each stake in turn stood elsewhere, (k,)."""
        gains = np.zeros(len(self._moves))
        for k in np.flatnonzero(~self._far[self._moves]).tolist():
            part = slice(2 * k, 2 * k + 2)
            off, free = self._off[part], np.diag(self._known[part] ** 2) - self._inverse[part, part]
            if float(off @ off) > self._known[2 * k] ** 2:  # what is nearer than is usual explains nothing
                gains[k] = float(off @ np.linalg.pinv(free, rcond=1e-6, hermitian=True) @ off)
        return gains

    def next(self, tape: Floats, stake: Floats) -> _Fit:
        """Return the fit without the distance, or with the stake elsewhere, that explains the most.

        Args:
            tape: what leaving out each distance explains.
            stake: what each stake elsewhere explains, about: a stake far off is not where the tangents lead.
        """
        worst, out = int(np.argmax(tape)), self.out.copy()
        out[worst] = True
        best, least = None, self.weighted - float(tape[worst]) - _SECOND_WAY
        for k in np.argsort(-stake)[:_TRIED].tolist():
            if not stake[k]:
                continue
            far = self._far.copy()
            far[self._moves[k]] = True
            tried = _Fit(self._network, self._seen, self.out, far, self._xy)
            if tried.weighted < least:
                best, least = tried, tried.weighted
        return best or _Fit(self._network, self._seen, out, self._far, self._xy)

    def sound(self) -> bool:
        """Return whether what is left agrees with itself and with the plan."""
        kept = int((self._usable & ~self.out).sum())
        return self.weighted <= float(chdtri(max(kept, 1), _SOUND))

    def judged(self, row: int) -> StandsOut | None:
        """Return what is said of a measure that was left out; None where it is near what is planned or expected."""
        size = float(self._size[row])
        error = -float(self._left[row]) * size
        off_plan = float(misfits_of(self._seen, self._network.start)[row])
        if min(abs(error), abs(off_plan)) < LEAST_MM:
            return None
        deviation = size * math.sqrt(1 + float(self._open[row]))
        return StandsOut(row, float(self._seen.value[row]) - error, deviation)


def _believed(network: Network, seen: Observations) -> Bools:
    """Return the distances that are not judged by the plan, (m,): those at a stake that one was taped to twice.

    What reads the same twice is not misread: when it is far from the plan, the stake is, and its other tapes too.
    """
    low, high = np.minimum(seen.i, seen.j), np.maximum(seen.i, seen.j)
    plain = seen.kind == DISTANCE
    same = (low[:, None] == low) & (high[:, None] == high) & plain[:, None] & plain
    near = np.abs(seen.value[:, None] - seen.value) <= _AGAIN * np.hypot(seen.deviation[:, None], seen.deviation)
    far = np.abs(misfits_of(seen, network.start)) > LEAST_MM
    twice = ((same & near).sum(axis=1) > 1) & far
    stakes = np.zeros(len(network.start), dtype=np.bool_)
    stakes[seen.i[twice]] = True
    stakes[seen.j[twice]] = True
    stakes &= ~network.held
    believed: Bools = stakes[seen.i] | stakes[seen.j]
    return believed
