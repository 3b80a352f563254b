"""Places from the tapes alone: circles crossed one after the other, the plan asked only where they leave a choice.

An adjustment ends in the valley that it starts in. Where the plan is a bad start, these places are another: a stake
goes where the circles of two tapes cross and the other tapes of it fit, first those that leave no choice. Where
two crossings fit as well, the stake takes the side on which it is drawn, and whoever follows it is tied to that
side; at the end all of a side may change over together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats
from layoutdesk.engine.proof.network import DISTANCE, Network

_MANY: Final = 150
"""With more points than this the tapes are not followed one by one."""
_PARTNERS: Final = 6
"""So many tapes of a stake are crossed two by two; all of them are fitted."""
_CLOSE: Final = 20.0
"""Crossings carry the errors of what they are crossed from: so much, in mm, counts as one."""
_WORST: Final = 15.0
"""No tape counts for more than this, so that a misread one does not decide."""
_CLEAR: Final = 5.0
_SAME: Final = 200.0
"""Crossings nearer to each other than this, in mm, are one place."""
_ABSOLUTE: Final = -1

Tie = tuple[int, float]


@dataclass(frozen=True, slots=True)
class _Choice:
    """Where a stake may be: the best place, another, and how much worse that fits."""

    best: complex
    other: complex | None
    clear: float


def placed_by_tapes(network: Network, known: Bools, sought: Bools) -> Floats | None:
    """Return places to start from that the tapes give, (n, 2) in mm; None when they give none.

    Args:
        network: points and measures.
        known: the points that are where they are drawn, or nearly, (n,).
        sought: the points to place, (n,); others stay where they are drawn.
    """
    placing = _Placing(network, known, sought)
    if not 0 < len(placing.sought) <= _MANY:
        return None
    placing.run()
    placing.change_sides()
    xy = network.start.copy()
    for point, place in placing.placed.items():
        xy[point] = place.real, place.imag
    return xy


class _Placing:
    def __init__(self, network: Network, known: Bools, sought: Bools) -> None:
        seen = network.observations
        self.drawn: list[complex] = (network.start @ (1, 1j)).tolist()
        self.sought = np.flatnonzero(sought & ~known).tolist()
        self.placed = {p: self.drawn[p] for p in np.flatnonzero(known).tolist()}
        self.side = dict.fromkeys(self.placed, _ABSOLUTE)
        self.ties: dict[int, list[Tie]] = {p: [] for p in (*self.sought, *self.placed)}
        plain = np.flatnonzero((seen.kind == DISTANCE) & network.usable)
        for i, j, far in zip(
            seen.i[plain].tolist(), seen.j[plain].tolist(), seen.value[plain].tolist(), strict=True
        ):
            if i in self.ties and j in self.ties:
                self.ties[i].append((j, far))
                self.ties[j].append((i, far))
        if not self.placed and self.sought:
            self._first_two()

    def _first_two(self) -> None:
        """Lay the longest tape down where it is drawn, when nothing holds the figure."""
        far, a, b = max((far, a, b) for a in self.sought for b, far in [*self.ties[a], (a, 0.0)])
        way = self.drawn[b] - self.drawn[a]
        if far <= 0 or abs(way) < 1.0:
            return
        for point, place in ((a, self.drawn[a]), (b, self.drawn[a] + way / abs(way) * far)):
            self.placed[point], self.side[point] = place, _ABSOLUTE

    def run(self) -> None:
        """Place the stakes, those first whose tapes leave the least choice."""
        choices: dict[int, _Choice | None] = {}
        stale = {p for p in self.sought if p not in self.placed}
        left = set(stale)
        while left:
            for p in stale & left:
                choices[p] = self._choice(self._partners(p))
            open_ = [(p, choice) for p in sorted(left) if (choice := choices[p]) is not None]
            if not open_:
                return
            p, choice = max(open_, key=lambda one: min(one[1].clear, 2 * _CLEAR))
            self._place(p, choice)
            left.discard(p)
            stale = {q for q, _ in self.ties[p]}

    def _place(self, p: int, choice: _Choice) -> None:
        partners = self._partners(p)
        sides = {self.side[q] for q, _ in partners} - {_ABSOLUTE}
        at = choice.best
        if choice.clear < _CLEAR and choice.other is not None:
            if abs(choice.other - self.drawn[p]) < abs(at - self.drawn[p]):
                at = choice.other
            self.side[p] = p if not sides else min(sides)
        else:
            absolute = [tie for tie in partners if self.side[tie[0]] == _ABSOLUTE]
            alone = self._choice(absolute) if sides else choice
            sure = alone is not None and alone.clear >= _CLEAR
            self.side[p] = _ABSOLUTE if sure or not sides else min(sides)
        self.placed[p] = at

    def _partners(self, p: int) -> list[Tie]:
        return [(q, far) for q, far in self.ties[p] if q in self.placed]

    def _misfit(self, at: complex, ties: list[Tie]) -> float:
        return math.fsum(min(abs(abs(at - self.placed[q]) - far) / _CLOSE, _WORST) for q, far in ties)

    def _choice(self, ties: list[Tie]) -> _Choice | None:
        """Return where tapes from placed points lead to."""
        crossings: list[complex] = []
        for (q, r), (s, t) in combinations(ties[:_PARTNERS], 2):
            if q != s:
                crossings += _crossings(self.placed[q], r, self.placed[s], t)
        if not crossings:
            return None
        scored = sorted(((self._misfit(at, ties), k) for k, at in enumerate(crossings)))
        least, first = scored[0]
        best = crossings[first]
        for worse, k in scored[1:]:
            if abs(crossings[k] - best) > _SAME:
                return _Choice(best, crossings[k], worse - least)
        return _Choice(best, None, math.inf)

    def change_sides(self) -> None:
        """Let the stakes that depend on one choice change over together where that fits better."""
        for side in sorted(set(self.side.values()) - {_ABSOLUTE}):
            mine = [p for p, one in self.side.items() if one == side]
            ends = {q for p in mine for q, _ in self._partners(p) if self.side[q] == _ABSOLUTE}
            if len(ends) < 2:
                continue
            a, b = max(
                combinations(sorted(ends), 2), key=lambda two: abs(self.placed[two[0]] - self.placed[two[1]])
            )
            way = self.placed[b] - self.placed[a]
            if abs(way) < 1.0:
                continue
            here = {p: self.placed[p] for p in mine}
            there = {p: self.placed[a] + ((at - self.placed[a]) / way).conjugate() * way for p, at in here.items()}
            before = sum(self._misfit(self.placed[p], self._partners(p)) for p in mine)
            self.placed |= there
            gain = before - sum(self._misfit(self.placed[p], self._partners(p)) for p in mine)
            nearer = sum(abs(there[p] - self.drawn[p]) < abs(here[p] - self.drawn[p]) for p in mine)
            if gain < -_CLEAR or (gain < _CLEAR and 2 * nearer <= len(mine)):
                self.placed |= here


def _crossings(a: complex, r: float, b: complex, t: float) -> list[complex]:
    """Return where two circles cross; where they just miss each other, the place between them."""
    way = b - a
    far = abs(way)
    if far < 1.0:
        return []
    along = (far * far + r * r - t * t) / (2 * far)
    across = r * r - along * along
    foot = a + way / far * along
    if across <= 0:
        return [foot] if -across < (_SAME * max(r, 1.0)) else []
    up = 1j * way / far * math.sqrt(across)
    return [foot + up, foot - up]
