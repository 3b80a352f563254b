"""The linear programme behind cutting: columns join as they are found, and every answer starts at the last.

The revised simplex method with an explicit inverse. The programme has tens of rows and a few hundred columns, and
is solved again after every handful of new columns: a start at the last basis takes a few steps of microseconds
each. Source: the textbook method, from memory.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats

_ZERO: Final = 1e-9
_REFRESH: Final = 64
"""The inverse is computed afresh after so many steps."""
_STALLED: Final = 60
"""After so many steps without gain the first column that helps is taken: so it cannot go in circles."""


class Programme:
    """Least cost with at least ``wanted`` of each kind and at most ``limits`` of each limited stock.

    Every row starts with a column of its own: for a kind, going without one piece, at the cost ``missing``.
    """

    def __init__(self, wanted: Floats, limits: Floats, *, missing: float) -> None:
        kinds, rows = len(wanted), len(wanted) + len(limits)
        self._right = np.concatenate((wanted, limits))
        over = np.diag(np.concatenate((-np.ones(kinds), np.ones(len(limits)))))
        without = np.eye(rows)[:, :kinds]
        self._columns = np.asfortranarray(np.concatenate((over, without), axis=1))
        self._costs = np.concatenate((np.zeros(rows), np.full(kinds, missing)))
        self.own = rows + kinds
        self._basis = np.concatenate((np.arange(kinds) + rows, np.arange(kinds, rows)))
        self._inverse: Floats = np.eye(rows)
        self._steps = 0
        self.values: Floats = self._right.copy()

    def add(self, columns: Floats, costs: Floats) -> None:
        """Add columns (rows, n) with their costs (n,)."""
        self._columns = np.concatenate((self._columns, columns), axis=1)
        self._costs = np.concatenate((self._costs, costs))

    def solve(self) -> Floats:
        """Go to the least cost; return the value of one more in every row (rows,)."""
        stalled = 0
        while True:
            duals: Floats = self._costs[self._basis] @ self._inverse
            reduced = self._costs - duals @ self._columns
            reduced[self._basis] = 0.0
            enter = int(np.argmin(reduced))
            scale = _ZERO * (1.0 + abs(float(self._costs[enter])))
            if reduced[enter] >= -scale:
                return duals
            if stalled > _STALLED:
                enter = int(np.flatnonzero(reduced < -scale)[0])
            gain = self._enter(enter)
            stalled = 0 if gain > _ZERO else stalled + 1

    def _enter(self, enter: int) -> float:
        """Take a column into the basis; return how many of it are used."""
        rise = self._inverse @ self._columns[:, enter]
        able = np.flatnonzero(rise > _ZERO)
        steps = np.maximum(self.values[able], 0.0) / rise[able]
        step = float(steps.min())
        near = able[steps <= step + 1e-12]
        leave = int(near[np.argmax(rise[near])])
        row = self._inverse[leave] / rise[leave]
        self._inverse -= rise[:, None] * row
        self._inverse[leave] = row
        self.values -= step * rise
        self.values[leave] = step
        self._basis[leave] = enter
        self._steps += 1
        if self._steps % _REFRESH == 0:
            self._inverse = np.asarray(np.linalg.inv(self._columns[:, self._basis]), dtype=np.float64)
            self.values = self._inverse @ self._right
        return step

    @property
    def used(self) -> Floats:
        """Return how much of every added column is used."""
        found = np.zeros(len(self._costs))
        found[self._basis] = np.maximum(self.values, 0.0)
        return found[self.own :]
