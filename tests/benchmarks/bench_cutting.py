"""Cutting lists proven, against the barest column generation that could be written with the library's solvers.

The bare side solves the programme anew after every round, looks for patterns on a grid of sixteenths of an inch,
and looks for whole numbers among the patterns it has; it proves only where all stock is a multiple of two feet
and only if it is lucky. The program takes lengths of any fineness, prefers shorter stock among answers of equal
cost, and goes on to the proof.
"""

from __future__ import annotations

import math
from functools import partial
from statistics import median

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_matrix

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting import Piece, Stock, best_cutting, first_cutting
from tests.benchmarks.ratio import Row, race

INCH = 25.4
GRID, KERF, COMMON = 16, 2, 24
STOCK = np.array([96, 120, 144, 168, 192])
ROOMS = STOCK * GRID + KERF
SIZES = ((20, 8, 1.2), (60, 16, 1.2), (200, 30, 1.0))
LISTS = 6


def wanted(count: int, kinds: int, seed: int) -> tuple[Indices, Indices]:
    """Return sizes in sixteenths with a saw cut each, and counts: 14 to 110 in, in whole quarters."""
    rng = np.random.default_rng(count + 1000 * seed)
    lengths = np.unique(rng.integers(14 * 4, 110 * 4, kinds)) * (GRID // 4)
    counts = np.bincount(rng.integers(0, len(lengths), count), minlength=len(lengths))
    return lengths[counts > 0] + KERF, counts[counts > 0]


def _filled(sizes: Indices, counts: Indices, values: Floats) -> list[tuple[float, Floats]]:
    """Return the best filling of every stock at once: dynamic programming over the grid."""
    top = int(ROOMS[-1])
    best = np.zeros(top + 1)
    steps = []
    for k, size in enumerate(sizes.tolist()):
        left, lot = int(min(counts[k], top // size)), 1
        while left > 0:
            lot = min(lot, left)
            left -= lot
            if (long := lot * size) <= top:
                with_it = best.copy()
                np.maximum(with_it[long:], best[:-long] + lot * values[k], out=with_it[long:])
                steps.append((k, lot, long, with_it > best + 1e-12))
                best = with_it
            lot *= 2
    found = []
    for room in ROOMS.tolist():
        pattern, rest = np.zeros(len(sizes)), room
        for k, lot, long, took in reversed(steps):
            if took[rest]:
                pattern[k] += lot
                rest -= long
        found.append((float(best[room]), pattern))
    return found


def bare(sizes: Indices, counts: Indices) -> tuple[int, bool]:
    """Return inches bought, and whether they are the bound."""
    columns, costs = [], []
    for k, size in enumerate(sizes.tolist()):
        for room, inches in zip(ROOMS.tolist(), STOCK.tolist(), strict=True):
            if size <= room:
                columns.append(np.eye(len(sizes))[k] * min(room // size, counts[k]))
                costs.append(inches)
    seen = {(column.tobytes(), cost) for column, cost in zip(columns, costs, strict=True)}
    while True:
        solved = linprog(costs, A_ub=-np.array(columns).T, b_ub=-counts, method="highs-ds")
        before = len(columns)
        for inches, (value, pattern) in zip(
            STOCK.tolist(), _filled(sizes, counts, -solved.ineqlin.marginals), strict=True
        ):
            key = (pattern.tobytes(), inches)
            if value > inches + 1e-7 and key not in seen:
                seen.add(key)
                columns.append(pattern)
                costs.append(inches)
        if len(columns) == before:
            break
    whole = milp(
        costs,
        constraints=LinearConstraint(csr_matrix(np.array(columns).T), counts, np.inf),
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, np.inf),
        options={"time_limit": 3, "mip_rel_gap": 0},
    )
    bought = round(whole.fun)
    return bought, bought == COMMON * math.ceil(solved.fun / COMMON - 1e-6)


def rows() -> list[Row]:
    """Return the rows of cutting: the list the target is set for, the median of several lists, the first answer."""
    found = []
    stock = [Stock(inches * INCH) for inches in STOCK.tolist()]
    for count, kinds, target in SIZES:
        times = []
        for seed in range(LISTS):
            sizes, counts = wanted(count, kinds, seed)
            demand = [
                Piece((size - KERF) / GRID * INCH, n, f"{size}")
                for size, n in zip(sizes.tolist(), counts.tolist(), strict=True)
            ]
            ours = best_cutting(demand, stock, kerf=KERF / GRID * INCH)
            assert ours.proven
            assert round(ours.cost / INCH, 6) == bare(sizes, counts)[0]
            one, other, first = race(
                partial(bare, sizes, counts),
                partial(best_cutting, demand, stock, kerf=KERF / GRID * INCH),
                partial(first_cutting, demand, stock, kerf=KERF / GRID * INCH),
                rounds=5,
            )
            times.append((one, other, first))
        size = f"{count} pieces"
        found.append(Row("cutting list, proven", size, "column generation", times[0][0], times[0][1], target))
        bare_ms, ours_ms, first_ms = (median(column) for column in zip(*times, strict=True))
        found += [
            Row(f"the same, median of {LISTS} lists", size, "column generation", bare_ms, ours_ms, target),
            Row("the same, first answer", size, "column generation", bare_ms, first_ms, None),
        ]
    return found
