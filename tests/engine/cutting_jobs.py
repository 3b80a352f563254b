"""Cutting jobs for the tests, and two ways to the optimum that share nothing with the program."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

from layoutdesk.engine.cutting import Cutting, Piece, Stock


def price_of(stock: Stock) -> float:
    return stock.length if stock.price is None else stock.price


def groupings(items: list[int]) -> Iterator[list[list[int]]]:
    """Yield every way to put items into groups."""
    if not items:
        yield []
        return
    head, rest = items[0], items[1:]
    for size in range(len(rest) + 1):
        for chosen in itertools.combinations(range(len(rest)), size):
            group = [head, *(rest[i] for i in chosen)]
            for others in groupings([x for i, x in enumerate(rest) if i not in chosen]):
                yield [group, *others]


def tried(demand: Sequence[Piece], stock: Sequence[Stock], kerf: float) -> tuple[float, float, int]:
    """Return the least cost, of that the least sum of squared lengths, and of that the fewest patterns.

    Every grouping is tried; stock must be unlimited.
    """
    lengths = [piece.length for piece in demand for _ in range(piece.count)]
    best = (math.inf, math.inf, 0)
    for grouping in groupings(list(range(len(lengths)))):
        needs = [sum(lengths[i] for i in group) + kerf * (len(group) - 1) for group in grouping]
        able = [
            min(((price_of(one), one.length) for one in stock if one.length >= need - 1e-6), default=None)
            for need in needs
        ]
        if None in able:
            continue
        bought = [one for one in able if one is not None]
        kinds = {
            (one, tuple(sorted(lengths[i] for i in group))) for one, group in zip(bought, grouping, strict=True)
        }
        rank = (
            round(sum(cost for cost, _ in bought), 6),
            round(sum(length**2 for _, length in bought), 3),
            len(kinds),
        )
        best = min(best, rank)
    return best


def flow(demand: Sequence[Piece], stock: Sequence[Stock], kerf: int) -> float | None:
    """Return the least cost by flow along the stock, from whole millimetres; None when it cannot be done.

    A piece of stock is a path from 0: every arc of a piece goes on by its length and a saw cut, the last arc
    leaves to the stock that the path fits into. Only whole numbers of millimetres are understood.
    """
    wanted: Counter[int] = Counter()
    for piece in demand:
        wanted[round(piece.length) + kerf] += piece.count
    sizes = sorted(wanted, reverse=True)
    rooms = [round(one.length) + kerf for one in stock]
    top = max(rooms)
    arcs: list[tuple[int, int, int]] = []
    nodes = {0}
    for k, size in enumerate(sizes):
        for start in sorted(nodes):
            for n in range(min(wanted[size], (top - start) // size)):
                arcs.append((start + n * size, start + (n + 1) * size, k))
                nodes.add(start + (n + 1) * size)
    arcs = sorted(set(arcs))
    place = {node: n for n, node in enumerate(sorted(nodes))}
    ends = [(node, s) for node in sorted(nodes) if node for s, room in enumerate(rooms) if node <= room]
    many = len(arcs) + len(ends)
    rows, columns, values = [], [], []
    for n, (start, end, k) in enumerate(arcs):
        rows += [place[start], place[end], len(place) + k]
        columns += [n] * 3
        values += [-1.0, 1.0, 1.0]
    for n, (node, s) in enumerate(ends, start=len(arcs)):
        rows += [place[node], place[0], len(place) + len(sizes) + s]
        columns += [n] * 3
        values += [-1.0, 1.0, 1.0]
    table = csr_matrix((values, (rows, columns)), (len(place) + len(sizes) + len(stock), many))
    low = np.concatenate((np.zeros(len(place)), [wanted[size] for size in sizes], np.zeros(len(stock))))
    high = np.concatenate(
        (
            np.zeros(len(place)),
            np.full(len(sizes), np.inf),
            [np.inf if one.available is None else one.available for one in stock],
        )
    )
    cost = np.concatenate((np.zeros(len(arcs)), [price_of(stock[s]) for _, s in ends]))
    found = milp(
        cost,
        integrality=np.ones(many),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(table, low, high),
        options={"mip_rel_gap": 0.0},
    )
    assert found.status in {0, 2}
    return None if found.x is None else float(found.fun)


def random_job(seed: int) -> tuple[list[Piece], list[Stock], int]:
    """Return a random list: pieces of 200 to 1,900 mm, stock of 2 to 4 m, sometimes priced, sometimes scarce."""
    rng = np.random.default_rng(seed)
    kinds = int(rng.integers(2, 8))
    lengths = rng.choice(np.arange(400, 1900, 25), kinds, replace=False)
    demand = [Piece(float(x), int(rng.integers(1, 6)), f"K{n}") for n, x in enumerate(lengths)]
    stock = []
    priced, scarce = bool(seed % 2), seed % 3 == 0
    for length in rng.choice([2000, 2400, 2700, 3000, 3600], int(rng.integers(1, 4)), replace=False):
        price = round(float(length) / 1000 * float(rng.uniform(2.5, 4.0)), 2) if priced else None
        stock.append(Stock(float(length), price, int(rng.integers(2, 9)) if scarce else None))
    if scarce:
        stock.append(Stock(3900.0, 19.99 if priced else None, None if seed % 2 else int(rng.integers(1, 9))))
    return demand, stock, int(rng.choice([0, 3, 5]))


def check(found: Cutting, demand: Sequence[Piece], stock: Sequence[Stock], kerf: float) -> None:
    """Assert that every piece is cut once, nothing is over-long, no more is used than there is, and the sums."""
    by_label = {piece.label: piece.length for piece in demand}
    assert len(by_label) == len(demand)
    wanted = {piece.label: piece.count for piece in demand if piece.count}
    assert Counter(label for piece in found.pieces for label in piece.cuts) == wanted
    for piece in found.pieces:
        assert piece.cuts
        need = sum(by_label[label] for label in piece.cuts) + kerf * (len(piece.cuts) - 1)
        assert need <= piece.stock.length + 1.1e-6
        assert abs(piece.left_over - max(0.0, piece.stock.length - need)) <= 1e-6
    for one, used in Counter(piece.stock for piece in found.pieces).items():
        assert one in stock
        same = [other.available for other in stock if other == one]
        assert None in same or used <= sum(n or 0 for n in same)
    cost = sum(price_of(piece.stock) for piece in found.pieces)
    assert abs(found.cost - cost) <= 1e-5 * max(1, len(found.pieces))
    assert found.bound <= found.cost
    assert not found.proven or abs(found.bound - found.cost) <= 1e-9 * max(1.0, found.cost)
    bought = sum(piece.stock.length for piece in found.pieces)
    pieces = sum(piece.length * piece.count for piece in demand)
    assert abs(found.waste - max(0.0, bought - pieces)) <= 1e-6 * max(1.0, bought)
