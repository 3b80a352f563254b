"""Measures adjusted with every ellipse, against the barest Gauss-Newton that could be written for distances only.

The bare side knows that its network is whole and good: it checks nothing, names nothing, stops when a step is
shorter than a thousandth of a millimetre, and computes the ellipses alone. The program also looks for what is not
determined and what could stand elsewhere, goes on to the last digit, and computes the redundancy of every measure.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from scipy.linalg import cho_factor, cho_solve, cho_solve_banded, cholesky_banded, get_lapack_funcs
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import reverse_cuthill_mckee

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.observations import Observations
from tests.benchmarks.ratio import Row, race

DEVIATION = 5.0
NEAR = 1e-3
SIZES = ((8, 2, 3.0), (100, 10, 2.0), (1000, 25, 1.5), (5000, 50, 1.3))
POTRF, POTRS, POTRI = get_lapack_funcs(("potrf", "potrs", "potri"), dtype=np.float64)
_A, _B = np.tril_indices(4)


def network(count: int, rows: int) -> Network:
    """Return stakes on a crooked grid of 8 by 6 m, numbered at random, taped to their neighbours and across."""
    rng = np.random.default_rng(3)
    columns = count // rows
    grid = np.stack(np.meshgrid(np.arange(columns) * 8000.0, np.arange(rows) * 6000.0), -1).reshape(-1, 2)
    k = rng.permutation(count).reshape(rows, columns)
    xy = np.empty_like(grid)
    xy[k.ravel()] = grid + rng.uniform(-300, 300, grid.shape)
    tied = ((k[:, :-1], k[:, 1:]), (k[:-1], k[1:]), (k[:-1, :-1], k[1:, 1:]), (k[:-1, 1:], k[1:, :-1]))
    i, j = np.concatenate([np.stack((a.ravel(), b.ravel())) for a, b in tied], axis=1)
    value = np.hypot(*(xy[i] - xy[j]).T) + rng.normal(0, DEVIATION, len(i))
    held = np.zeros(count, dtype=np.bool_)
    held[[k[0, 0], k[-1, -1]]] = True
    start = xy + rng.normal(0, 100, xy.shape) * ~held[:, None]
    many = len(i)
    measures = Observations(
        kind=np.zeros(many, dtype=np.intp),
        i=i,
        j=j,
        k=np.full(many, -1, dtype=np.intp),
        value=value,
        deviation=np.full(many, DEVIATION),
        tape=np.arange(many, dtype=np.intp),
    )
    return Network(start, held, np.full(count, np.inf), free=False, observations=measures)


def _summed(into: Indices, parts: Floats, count: int) -> Floats:
    sums: Floats = np.bincount(into, parts, count).astype(np.float64, copy=False)
    return sums


class Bare:
    """The bare solver: held points stay in as unknowns that are tied to nothing."""

    def __init__(self, net: Network, *, full: bool) -> None:
        self._i, self._j = net.observations.i, net.observations.j
        self._value = net.observations.value
        self._xy = net.start.copy()
        count = len(net.start)
        self._count = 2 * count
        order: Indices = np.arange(count)
        self._full = full
        if not full:
            both = np.concatenate((self._i, self._j)), np.concatenate((self._j, self._i))
            graph = csr_matrix((np.ones(len(both[0]), dtype=np.int8), both), shape=(count, count))
            order = reverse_cuthill_mckee(graph, symmetric_mode=True).astype(np.intp)
        self._order = order
        place = np.empty(count, dtype=np.intp)
        place[order] = np.arange(count)
        a, b = 2 * place[self._i], 2 * place[self._j]
        self._columns = np.stack((a, a + 1, b, b + 1))
        self._free = ~np.repeat(np.stack((net.held[self._i], net.held[self._j])), 2, axis=0)
        self._held = np.ravel([[2 * place[p], 2 * place[p] + 1] for p in np.flatnonzero(net.held)])
        first, second = self._columns[_A].ravel(), self._columns[_B].ravel()
        self._high, self._low = np.maximum(first, second), np.minimum(first, second)
        self._band = int((self._high - self._low).max())

    def run(self) -> tuple[Floats, Floats]:
        """Return places (n, 2), and xx, yy and xy of their covariances (3, n) in the solver's order."""
        while True:
            rows, off = self._rows()
            right: Floats = _summed(self._columns.ravel(), (rows * off).ravel(), self._count)
            move = self._solve((rows[_A] * rows[_B]).ravel(), right)
            self._xy[self._order] += move.reshape(-1, 2)
            if np.abs(move).max() < NEAR:
                break
        rows, _ = self._rows()
        products = (rows[_A] * rows[_B]).ravel()
        return self._xy, self._ellipses_full(products) if self._full else self._ellipses(products)

    def _rows(self) -> tuple[Floats, Floats]:
        across = self._xy[self._j] - self._xy[self._i]
        length = np.sqrt((across * across).sum(1))
        unit = (across / (length * DEVIATION)[:, None]).T
        return np.concatenate((-unit, unit)) * self._free, (self._value - length) / DEVIATION

    def _matrix(self, products: Floats) -> Floats:
        into = self._high * self._count + self._low
        matrix: Floats = _summed(into, products, self._count**2).reshape(self._count, -1)
        matrix[self._held, self._held] = 1.0
        return matrix

    def _solve(self, products: Floats, right: Floats) -> Floats:
        if self._full:
            factor = cho_factor(self._matrix(products), lower=True, overwrite_a=True, check_finite=False)
            move: Floats = cho_solve(factor, right, check_finite=False)
            return move
        into = (self._high - self._low) * self._count + self._low
        band = _summed(into, products, (self._band + 1) * self._count).reshape(-1, self._count)
        band[0, self._held] = 1.0
        lower = cholesky_banded(band, lower=True, overwrite_ab=True, check_finite=False)
        solved: Floats = cho_solve_banded((lower, True), right, check_finite=False)
        return solved

    def _ellipses_full(self, products: Floats) -> Floats:
        upper = POTRF(self._matrix(products).T, lower=0, overwrite_a=1)[0]
        inverse = POTRI(upper, overwrite_c=1)[0]
        return self._three(inverse.diagonal(), inverse.diagonal(1))

    def _three(self, diagonal: Floats, beside: Floats) -> Floats:
        found = np.stack((diagonal[:-1:2], diagonal[1::2], beside[::2]))
        found[:, self._held[::2] // 2] = 0.0
        return found

    def _ellipses(self, products: Floats) -> Floats:
        size = self._band + (self._band & 1)
        many = -(-self._count // size)
        a, b = self._high // size, self._low // size
        into = (b * size + self._high % size) * size + self._low % size
        same, whole = a == b, many * size * size
        blocks = _summed(into[same], products[same], whole).reshape(many, size, size)
        below = _summed(into[~same], products[~same], whole).reshape(many, size, size)
        alone = np.concatenate((self._held, np.arange(self._count, many * size)))
        blocks[alone // size, alone % size, alone % size] = 1.0
        upper, beside, rest = [], [], blocks[0]
        for k in range(many):
            upper.append(POTRF(rest.T, lower=0, overwrite_a=1)[0])
            if k + 1 < many:
                beside.append(POTRS(upper[k], below[k].T)[0])
                rest = blocks[k + 1] - below[k] @ beside[k]
        diagonal, off = np.empty(many * size), np.zeros(many * size)
        later = np.empty(0)
        for k in range(many - 1, -1, -1):
            own = POTRI(upper[k], overwrite_c=1)[0]
            if k + 1 < many:
                own += beside[k] @ later @ beside[k].T
            later = np.triu(own) + np.triu(own, 1).T
            part = slice(k * size, (k + 1) * size)
            diagonal[part], off[part][:-1] = later.diagonal(), later.diagonal(1)
        return self._three(diagonal[: self._count], off[: self._count - 1])


def rows() -> list[Row]:
    """Return the rows of the proof."""
    found = []
    for count, deep, target in SIZES:
        net = network(count, deep)
        ways = {"full matrix": True, "banded matrix": False} if count <= 100 else {"banded matrix": False}
        ours = adjust(net)
        assert ours.determined.all()
        most = float(np.trace(ours.covariance, axis1=1, axis2=2).max())
        for full in ways.values():
            places, (xx, yy, _) = Bare(net, full=full).run()
            assert np.abs(ours.xy - places).max() < NEAR
            assert np.isclose(most, (xx + yy).max(), rtol=1e-6)
        *bare, taken = race(
            *(partial(_bare, net, full=full) for full in ways.values()), partial(adjust, net), rounds=9
        )
        least = min(bare)
        against = list(ways)[bare.index(least)]
        found.append(Row("measures adjusted, all ellipses", f"{count:,} stakes", against, least, taken, target))
    return found


def _bare(net: Network, *, full: bool) -> tuple[Floats, Floats]:
    return Bare(net, full=full).run()
