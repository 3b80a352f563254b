"""Stations, ties and diagonals of many piers, against the same arithmetic alone: numpy, and plain Python.

All start from the plan's own objects and end with the numbers. The bare ones know beforehand that the piers
are a grid; the program finds rows and bays by itself, weighs every pair of tapes by its expected error, looks
for what stands in the way of a tape, and keeps names.
"""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Plan
from tests.benchmarks.big_plans import GRIDS, grid_plan
from tests.benchmarks.ratio import Row, race

TARGETS = {8: 8.0, 1_000: 4.0, 10_000: 2.0}
CHUNK = 1024
Floats = NDArray[np.float64]


class WithNumpy:
    """The least that numpy can do."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.controls = np.array([control.at for control in plan.controls])
        self.first, self.second = np.triu_indices(len(self.controls), 1)
        assert plan.baseline is not None
        self.origin, self.toward = np.array(plan.baseline.origin), np.array(plan.baseline.toward)

    def __call__(self) -> None:
        """Compute stations, offsets, ties, the best pair by its crossing, and the diagonals of the grid."""
        places = np.array([pier.at for pier in self.plan.piers])
        grid = places.reshape(*GRIDS[len(places)], 2)
        x, y = np.ascontiguousarray(places.T)
        (ox, oy), way = self.origin, self.toward - self.origin
        ux, uy = way / math.hypot(*way)
        dx, dy = x - ox, y - oy
        _ = dx * ux + dy * uy, dx * uy - dy * ux
        for start in range(0, len(x), CHUNK):
            self.ties(x[start : start + CHUNK], y[start : start + CHUNK])
        for way in (grid[1:, 1:] - grid[:-1, :-1], grid[1:, :-1] - grid[:-1, 1:]):
            np.sqrt(way[..., 0] ** 2 + way[..., 1] ** 2)

    def ties(self, x: Floats, y: Floats) -> None:
        """Compute the distances, the sine of every crossing, and the index of the largest."""
        dx, dy = x - self.controls[:, 0, None], y - self.controls[:, 1, None]
        far = np.sqrt(dx * dx + dy * dy)
        turn = np.abs(dx[self.first] * dy[self.second] - dy[self.first] * dx[self.second])
        (turn / (far[self.first] * far[self.second])).argmax(0)


class InPlainPython:
    """The same without numpy, which wins for a porch."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.controls = [control.at for control in plan.controls]
        self.pairs = list(combinations(range(len(self.controls)), 2))
        assert plan.baseline is not None
        self.origin, self.toward = plan.baseline.origin, plan.baseline.toward

    def __call__(self) -> None:
        """Compute what the other one does, point by point."""
        (ox, oy), (tx, ty) = self.origin, self.toward
        size = math.hypot(tx - ox, ty - oy)
        ux, uy = (tx - ox) / size, (ty - oy) / size
        stations, best = [], []
        places = [pier.at for pier in self.plan.piers]
        count, in_row = GRIDS[len(places)]
        rows = [places[row * in_row : (row + 1) * in_row] for row in range(count)]
        for row in rows:
            for x, y in row:
                dx, dy = x - ox, y - oy
                stations.append((dx * ux + dy * uy, dx * uy - dy * ux))
                ties = [(x - cx, y - cy, math.hypot(x - cx, y - cy)) for cx, cy in self.controls]
                sines = [
                    abs(ties[i][0] * ties[j][1] - ties[i][1] * ties[j][0]) / (ties[i][2] * ties[j][2])
                    for i, j in self.pairs
                ]
                best.append(sines.index(max(sines)))
        _ = [
            (math.dist(near[k], far[k + 1]), math.dist(near[k + 1], far[k]))
            for near, far in pairwise(rows)
            for k in range(len(near) - 1)
        ]


def rows() -> list[Row]:
    """Return a row for each size."""
    found = []
    for count, target in TARGETS.items():
        plan = grid_plan(count)

        def ours(plan: Plan = plan) -> None:
            layout = derive(plan)
            _ = layout.points.station, layout.points.offset
            _ = layout.stakes.distance, layout.stakes.within, layout.stakes.best_pair
            _ = layout.bays.diagonal

        by_numpy, by_hand, taken = race(WithNumpy(plan), InPlainPython(plan), ours)
        against = "numpy" if by_numpy < by_hand else "plain Python"
        size = f"{count:,}".replace(",", " ") + " piers"
        found.append(Row("stations, ties, diagonals", size, against, min(by_numpy, by_hand), taken, target))
    return found
