"""The normal equations of an adjustment: put together, factored, solved, inverted as far as is needed.

Up to about a hundred points they are a full matrix. Above, the points are put in an order in which only near ones
are tied to each other (reverse Cuthill-McKee), the factor is banded, and of the inverse only the blocks of points
near each other are computed, by the recurrence of a block-tridiagonal matrix. Where no order makes the band narrow
(one stake taped to hundreds of others) a sparse factor takes over.
"""

from __future__ import annotations

from typing import Final, Protocol

import numpy as np
from scipy.linalg import cho_solve_banded, cholesky_banded, get_blas_funcs, get_lapack_funcs
from scipy.sparse import csc_matrix, csr_matrix
from scipy.sparse.csgraph import reverse_cuthill_mckee
from scipy.sparse.linalg import splu

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.derivatives import Linearised, Readings
from layoutdesk.engine.proof.sums import summed

FULL_UP_TO: Final = 100
"""So many unknowns are solved by a full matrix."""
COLUMNS_AT_A_TIME: Final = 256
LEAST_DAMPED: Final = 1e-3
"""Every entry of the diagonal is damped as if it were at least this share of the greatest."""
POTRF, POTRS, POTRI = get_lapack_funcs(("potrf", "potrs", "potri"), dtype=np.float64)
TRSM = get_blas_funcs("trsm", dtype=np.float64)
"""LAPACK's own words for: factor a positive definite matrix, solve with the factor, invert with it; and those of
BLAS for: solve with a triangle."""
_PAIR_ROWS, _PAIR_COLUMNS = np.tril_indices(4)
_TRIPLE_ROWS, _TRIPLE_COLUMNS = np.tril_indices(6)


class NotDefinite(ArithmeticError):  # noqa: N818 - a finding, not a fault
    """The normal equations do not determine all unknowns."""


class Factor(Protocol):
    """Factored normal equations; right sides are (u,) or (u, c)."""

    weakest: float
    """The smallest share of a diagonal entry that is left when all before it are eliminated, 0 to 1."""

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right sides."""


class Unknowns:
    """Which numbers are sought, and in which order.

    Args:
        readings: the measures used.
        sought: which points are sought, (n,).
        pinned: (point, axis) of single coordinates that stay as they are.
        prior: one over the squared deviation of each point's place, (n,); 0 where nothing is known.

    Attributes:
        points: the sought points in the order of the unknowns, (u/2,).
        column: the place of each point in that order, (n,); -1 for points that are not sought.
    """

    def __init__(
        self, readings: Readings, sought: Bools, pinned: tuple[tuple[int, int], ...], prior: Floats
    ) -> None:
        self.readings = readings
        points = np.flatnonzero(sought)
        self.count = 2 * len(points)
        self.column = np.full(len(sought), -1, dtype=np.intp)
        self.column[points] = np.arange(len(points))
        self.full = self.count <= FULL_UP_TO
        if not self.full:
            points = points[self._near_ones_together(len(points))]
            self.column[points] = np.arange(len(points))
        self.points: Indices = points
        self.pinned: Indices = np.array([2 * self.column[p] + axis for p, axis in pinned], dtype=np.intp)
        self._prior = np.repeat(prior[points], 2)
        self._pair_columns, self._pair_free = self._columns(readings.pairs)
        self._triple_columns, self._triple_free = self._columns(readings.triples)
        self.high, self.low = self._entries()
        self.band = int((self.high - self.low).max()) if len(self.high) else 0
        self.narrow = self.band <= max(64, 6 * int(self.count**0.5))
        if self.full:
            self._into = self.high * self.count + self.low
        elif self.narrow:
            self._into = (self.high - self.low) * self.count + self.low

    def _near_ones_together(self, count: int) -> Indices:
        ties = [self.readings.pairs]
        i, j, k = self.readings.triples
        ties += [np.stack(two) for two in ((i, j), (j, k), (i, k))]
        ends = self.column[np.concatenate(ties, axis=1)]
        first, second = ends[:, (ends >= 0).all(0)]
        both = np.concatenate((first, second)), np.concatenate((second, first))
        graph = csr_matrix((np.ones(len(both[0]), dtype=np.int8), both), shape=(count, count))
        order: Indices = reverse_cuthill_mckee(graph, symmetric_mode=True).astype(np.intp)
        return order

    def _columns(self, points: Indices) -> tuple[Indices, Bools | None]:
        """Return the unknowns of each measure, and which of them are sought; (2 p, m), None when all are."""
        column = self.column[points]
        known = column < 0
        if known.any():
            # The derivative by a point that is not sought is made nought: where its column lies does not matter,
            # so it goes where it does not widen the band.
            column = np.where(known, np.maximum(column.max(0), 0), column)
        free = ~np.repeat(known, 2, axis=0)
        columns = np.repeat(2 * column, 2, axis=0)
        columns[1::2] += 1
        if len(self.pinned):
            free &= ~np.isin(columns, self.pinned)
        return columns, None if free.all() else free

    def _entries(self) -> tuple[Indices, Indices]:
        """Return row and column, row not above column, of all products that go into the matrix."""
        a = np.concatenate((self._pair_columns[_PAIR_ROWS].ravel(), self._triple_columns[_TRIPLE_ROWS].ravel()))
        b = np.concatenate(
            (self._pair_columns[_PAIR_COLUMNS].ravel(), self._triple_columns[_TRIPLE_COLUMNS].ravel())
        )
        return np.maximum(a, b), np.minimum(a, b)

    def free_rows(self, line: Linearised) -> tuple[Floats, Floats]:
        """Return the derivatives by what is sought; nought for the rest."""
        pairs = line.pairs if self._pair_free is None else line.pairs * self._pair_free
        triples = line.triples if self._triple_free is None else line.triples * self._triple_free
        return pairs, triples

    def right_side(self, line: Linearised, drift: Floats) -> Floats:
        """Return the right side: downhill of half the weighted sum; ``drift`` is (u,), off the prior places."""
        pairs, triples = self.free_rows(line)
        d = pairs.shape[1]
        side = summed(self._pair_columns.ravel(), (pairs * line.misfit[:d]).ravel(), self.count)
        if triples.shape[1]:
            side += summed(self._triple_columns.ravel(), (triples * line.misfit[d:]).ravel(), self.count)
        side += self._prior * drift
        downhill: Floats = -side
        return downhill

    def factor(self, line: Linearised, damping: float = 0.0) -> Factor:
        """Return the factored normal equations; ``damping`` is added as a share of the diagonal.

        Raises:
            NotDefinite: when they do not determine all unknowns.
        """
        if not self.count:
            return NothingSought()
        products = self._products(line)
        diagonal = self._diagonal(damping)
        if self.full:
            return FullFactor(self._full(products), diagonal)
        if self.narrow:
            band = summed(self._into, products, (self.band + 1) * self.count)
            return BandFactor(band.reshape(self.band + 1, self.count), diagonal)
        matrix = csc_matrix((products, (self.high, self.low)), shape=(self.count, self.count))
        return SparseFactor(matrix, diagonal)

    def diagonal(self, line: Linearised) -> Floats:
        """Return the diagonal of the normal equations, (u,)."""
        pairs, triples = self.free_rows(line)
        steps = summed(self._pair_columns.ravel(), (pairs * pairs).ravel(), self.count)
        if triples.shape[1]:
            steps += summed(self._triple_columns.ravel(), (triples * triples).ravel(), self.count)
        whole: Floats = steps + self._diagonal(0.0)[0]
        return whole

    def blocks(self, line: Linearised, size: int, many: int) -> tuple[Floats, Floats]:
        """Return the lower triangles of the blocks on the diagonal, and the blocks below them, (many, size, size).

        What the last block has too much is filled with ones on the diagonal.
        """
        products = self._products(line)
        a, b = self.high // size, self.low // size
        same = a == b
        into = (b * size + self.high % size) * size + self.low % size
        whole = many * size * size
        diagonal = summed(into[same], products[same], whole).reshape(many, size, size)
        below = summed(into[~same], products[~same], whole).reshape(many, size, size)
        steps = np.einsum("kii->ki", diagonal)
        added = np.ones(many * size)
        added[: self.count] = self._diagonal(0.0)[0]
        steps += added.reshape(many, size)
        return diagonal, below

    def _full(self, products: Floats) -> Floats:
        matrix: Floats = summed(self._into, products, self.count**2).reshape(self.count, self.count)
        return matrix

    def _products(self, line: Linearised) -> Floats:
        pairs, triples = self.free_rows(line)
        products = (pairs[_PAIR_ROWS] * pairs[_PAIR_COLUMNS]).ravel()
        if not triples.shape[1]:
            return products
        return np.concatenate((products, (triples[_TRIPLE_ROWS] * triples[_TRIPLE_COLUMNS]).ravel()))

    def _diagonal(self, damping: float) -> tuple[Floats, float]:
        """Return what is added to the diagonal, and the share of it by which it is damped."""
        added = self._prior.copy()
        added[self.pinned] = 1.0
        return added, damping


def _share(pivots: Floats, diagonal: Floats) -> float:
    return float((pivots * pivots / diagonal).min()) if len(diagonal) else 1.0


def _damped(steps: Floats, diagonal: tuple[Floats, float]) -> Floats:
    """Return the diagonal with what is added to it; where it is nought, damping needs something to hold on to."""
    added, damping = diagonal
    whole = steps + added
    return whole + damping * np.maximum(whole, LEAST_DAMPED * whole.max()) if damping else whole


def _ready(diagonal: Floats) -> None:
    if len(diagonal) and not diagonal.min() > 0:
        raise NotDefinite


class NothingSought:
    """The factor of no equations at all."""

    weakest = 1.0

    def solve(self, right: Floats) -> Floats:
        """Return the empty solution."""
        return right


class FullFactor:
    """Cholesky's factor of a full matrix, of which the lower triangle (by rows) is given."""

    def __init__(self, lower: Floats, diagonal: tuple[Floats, float]) -> None:
        steps = np.einsum("ii->i", lower)
        steps[:] = _damped(steps, diagonal)
        kept = steps.copy()
        _ready(kept)
        # By columns, as LAPACK reads it, the lower triangle is the upper one.
        self._upper, fault = POTRF(lower.T, lower=0, overwrite_a=1)
        if fault:
            raise NotDefinite
        self.weakest = _share(self._upper.diagonal(), kept)

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right sides."""
        solution: Floats = POTRS(self._upper, right, lower=0)[0]
        return solution

    def inverse(self) -> Floats:
        """Return the inverse, (u, u)."""
        upper: Floats = POTRI(self._upper, lower=0)[0]
        upper = np.triu(upper)
        return upper + np.triu(upper, 1).T


class BandFactor:
    """Cholesky's factor of a banded matrix, of which the lower band is given: (band + 1, u)."""

    def __init__(self, band: Floats, diagonal: tuple[Floats, float]) -> None:
        band[0] = _damped(band[0], diagonal)
        kept = band[0].copy()
        _ready(kept)
        try:
            self._band: Floats = cholesky_banded(band, lower=True, overwrite_ab=True, check_finite=False)
        except np.linalg.LinAlgError:
            raise NotDefinite from None
        self.weakest = _share(self._band[0], kept)

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right sides."""
        solution: Floats = cho_solve_banded((self._band, True), right, check_finite=False)
        return solution


class SparseFactor:
    """A sparse factor of a matrix of which the lower triangle is given."""

    def __init__(self, lower: csc_matrix, diagonal: tuple[Floats, float]) -> None:
        steps = _damped(lower.diagonal(), diagonal)
        _ready(steps)
        lower.setdiag(0.0)
        whole = lower + lower.T
        whole.setdiag(steps)
        try:
            self._factor = splu(
                whole.tocsc(),
                permc_spec="MMD_AT_PLUS_A",
                diag_pivot_thresh=0.0,
                options={"SymmetricMode": True},
            )
        except RuntimeError:  # "exactly singular"
            raise NotDefinite from None
        pivots = self._factor.U.diagonal()
        if not pivots.min() > 0:
            raise NotDefinite
        self.weakest = float((pivots / steps[np.argsort(self._factor.perm_c)]).min())

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right sides."""
        solution: Floats = self._factor.solve(right)
        return solution
