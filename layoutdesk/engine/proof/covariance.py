"""How well the adjusted places are known: covariances of points, of pairs of points, and of distances.

Of a large inverse only what is asked for is computed: the blocks of points that are tied to each other by the
block-tridiagonal recurrence, columns by solving.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.once import once
from layoutdesk.engine.proof.derivatives import Linearised
from layoutdesk.engine.proof.normal import (
    COLUMNS_AT_A_TIME,
    POTRF,
    POTRI,
    TRSM,
    Factor,
    FullFactor,
    NotDefinite,
    Unknowns,
)

_TRIANGLES: Final = {size: np.tril_indices(size) for size in (4, 6)}
"""Which products of the derivatives of a distance, and of a measure of three points, are kept."""


class Covariance:
    """The covariances of the points of an adjustment, mm².

    Args:
        unknowns: what was sought.
        line: the measures at the adjusted places.
        xy: the adjusted places, (n, 2) in mm.
        determined: which points have a place, (n,).
        datum: for a free figure the points that it is laid over, (n,); None when something is held.
    """

    def __init__(
        self, unknowns: Unknowns, line: Linearised, xy: Floats, determined: Bools, datum: Bools | None
    ) -> None:
        self._unknowns = unknowns
        self._line = line
        self._xy = xy
        self._determined = determined
        self._datum = datum

    @once
    def factor(self) -> Factor:
        """The normal equations at the adjusted places, factored."""
        return self._unknowns.factor(self._line)

    @once
    def _near(self) -> tuple[Floats, Floats]:
        """The inverse where points are tied: variances and covariance of sought points (3, u/2), and the rest.

        The rest are the entries that belong to the products of the normal equations.
        """
        unknowns = self._unknowns
        even = np.arange(0, unknowns.count, 2)
        rows = np.concatenate((unknowns.high, even, even + 1, even + 1))
        columns = np.concatenate((unknowns.low, even, even + 1, even))
        if unknowns.full:
            entries = self._whole[rows, columns]
        elif unknowns.narrow:
            entries = _block_tridiagonal(unknowns, self._line, rows, columns)
        else:
            entries = self._by_columns(rows, columns)
        if len(unknowns.pinned):
            entries[np.isin(rows, unknowns.pinned) | np.isin(columns, unknowns.pinned)] = 0.0
        tied = len(unknowns.high)
        return entries[tied:].reshape(3, -1), entries[:tied]

    @once
    def _whole(self) -> Floats:
        assert isinstance(self.factor, FullFactor)
        return self.factor.inverse()

    def _by_columns(self, rows: Indices, columns: Indices) -> Floats:
        entries = np.empty(len(rows))
        order = np.argsort(columns, kind="stable")
        ends = np.arange(0, self._unknowns.count + COLUMNS_AT_A_TIME, COLUMNS_AT_A_TIME)
        parts = np.searchsorted(columns[order], ends)
        for first, begin, end in zip(ends.tolist(), parts.tolist(), parts[1:].tolist(), strict=False):
            solved = self._solved(np.arange(first, min(first + COLUMNS_AT_A_TIME, self._unknowns.count)))
            part = order[begin:end]
            entries[part] = solved[rows[part], columns[part] - first]
        return entries

    def _solved(self, which: Indices) -> Floats:
        """Return columns of the inverse, (u, c)."""
        unit = np.zeros((self._unknowns.count, len(which)), order="F")
        unit[which, np.arange(len(which))] = 1.0
        return self.factor.solve(unit)

    @once
    def _laid(self) -> tuple[Floats, Floats, Floats]:
        """For a free figure: its shifts and turn as moves of all points G (2n, 3); Q W G; and (G' W G)^-1."""
        assert self._datum is not None
        centre = self._xy[self._datum].mean(0)
        away = self._xy - centre
        # A turn is measured at the rim of the datum, so that all three moves are of one size.
        rim = np.sqrt((away[self._datum] ** 2).sum(1).max())
        moves = np.zeros((len(self._xy), 2, 3))
        moves[:, 0, 0] = moves[:, 1, 1] = 1.0
        moves[:, 0, 2], moves[:, 1, 2] = -away[:, 1] / rim, away[:, 0] / rim
        moves[~self._determined] = 0.0
        whole: Floats = moves.reshape(-1, 3)
        weighted = (moves * self._datum[:, None, None]).reshape(-1, 3)
        small: Floats = np.linalg.inv(weighted.T @ whole).astype(np.float64, copy=False)
        return whole, self._times(weighted), small

    def _times(self, right: Floats) -> Floats:
        """Return the covariance, as far as it is known without laying the figure over its datum, times (2n, c)."""
        unknowns = self._unknowns
        at = np.repeat(2 * unknowns.points, 2)
        at[1::2] += 1
        sought = right[at]
        sought[unknowns.pinned] = 0.0
        solved = self.factor.solve(sought)
        solved[unknowns.pinned] = 0.0
        product = np.zeros_like(right)
        product[at] = solved
        return product

    @once
    def blocks(self) -> Floats:
        """The covariance of every point, (n, 2, 2); nought for held points, NaN for undetermined ones."""
        blocks = np.zeros((len(self._xy), 2, 2))
        points = self._unknowns.points
        if len(points):
            (xx, yy, both), _ = self._near
            blocks[points, 0, 0], blocks[points, 1, 1] = xx, yy
            blocks[points, 0, 1] = blocks[points, 1, 0] = both
        if self._datum is not None:
            moves, carried, small = self._laid
            g, x = moves.reshape(-1, 2, 3), carried.reshape(-1, 2, 3)
            weighted = (moves.reshape(-1, 2, 3) * self._datum[:, None, None]).reshape(-1, 3)
            gm = g @ small
            cross = gm @ x.transpose(0, 2, 1)
            core = weighted.T @ carried
            blocks += gm @ core @ gm.transpose(0, 2, 1) - cross - cross.transpose(0, 2, 1)
        blocks[~self._determined] = np.nan
        return blocks

    @once
    def shares(self) -> Floats:
        """One less the redundancy of every used measure, (m,), distances first.

        A shift or turn of the whole does not change it, so a free figure need not be laid over its datum for it.
        """
        pairs, triples = self._unknowns.free_rows(self._line)
        if not self._unknowns.count:
            return np.zeros(len(self._unknowns.readings))
        _, entries = self._near
        shares = []
        start = 0
        for rows in (pairs, triples):
            high, low = _TRIANGLES[len(rows)]
            part = entries[start : start + len(high) * rows.shape[1]].reshape(len(high), -1)
            start += part.size
            twice = np.where(high == low, 1.0, 2.0)[:, None]
            shares.append((twice * rows[high] * rows[low] * part).sum(0))
        return np.concatenate(shares)

    def columns(self, points: Indices) -> Floats:
        """Return the covariances of all points with some, (n, 2, c, 2) in mm²; NaN where not determined."""
        count = len(points)
        unit = np.zeros((2 * len(self._xy), 2 * count))
        for axis in (0, 1):
            unit[2 * np.asarray(points) + axis, 2 * np.arange(count) + axis] = 1.0
        if self._datum is None:
            found = self._times(unit)
        else:
            moves, carried, small = self._laid
            weighted = (moves.reshape(-1, 2, 3) * self._datum[:, None, None]).reshape(-1, 3)
            found = self._times(unit) - carried @ (small @ (moves.T @ unit))
            found -= moves @ (small @ (weighted.T @ found))
        columns = found.reshape(-1, 2, count, 2)
        columns[~self._determined] = np.nan
        columns[:, :, ~self._determined[points]] = np.nan
        return columns

    def joint(self, points: Indices) -> Floats:
        """Return the covariance of some points together, (2 c, 2 c) in mm²: x and y of the first, and so on."""
        together: Floats = self.columns(points)[points].reshape(2 * len(points), -1)
        return together

    def of_distances(self, first: Indices, second: Indices) -> Floats:
        """Return the variances of the distances between adjusted points, (c,) in mm²; NaN where not determined.

        For any pairs of points, taped or not: with the variance s² of a new tape, s² + this is what its reading
        may differ by.
        """
        first, second = np.asarray(first), np.asarray(second)
        which, back = np.unique(np.concatenate((first, second)), return_inverse=True)
        across = self._xy[second] - self._xy[first]
        unit = across / np.maximum(np.sqrt((across * across).sum(1)), 1e-9)[:, None]
        columns = self.columns(which)
        a, b = back[: len(first)], back[len(first) :]
        block = columns[first, :, a] + columns[second, :, b] - columns[first, :, b] - columns[second, :, a]
        variances: Floats = np.einsum("ci,cij,cj->c", unit, block, unit)
        return variances


def _block_tridiagonal(unknowns: Unknowns, line: Linearised, rows: Indices, columns: Indices) -> Floats:
    """Return entries of the inverse that lie in the blocks about the diagonal.

    The unknowns are cut into blocks as large as the band, so that a block is tied to its two neighbours only. With
    the diagonal blocks D and those below them E, forward S = D - E S'^-1 E' (S' the one before), and backward
    Z = S^-1 + X Z' X' with X = S^-1 E' (Z' the one after), -X Z' beside it.
    """
    count = unknowns.count
    size = unknowns.band + (unknowns.band & 1)
    many = -(-count // size)
    diagonal, below = unknowns.blocks(line, size, many)
    upper, beside = [], []
    rest = diagonal[0]
    for k in range(many):
        factor, fault = POTRF(rest.T, lower=0, overwrite_a=1)
        if fault:
            raise NotDefinite
        upper.append(factor)
        if k + 1 < many:
            half = TRSM(1.0, factor, below[k].T, trans_a=1, overwrite_b=1)
            rest = diagonal[k + 1]
            rest -= half.T @ half
            beside.append(TRSM(1.0, factor, half, overwrite_b=1))
    inverse = np.empty((many, size, size))
    aside = np.empty((many, size, size))
    for k in range(many - 1, -1, -1):
        own = np.triu(POTRI(upper[k], lower=0, overwrite_c=1)[0])
        np.add(own, np.triu(own, 1).T, out=inverse[k])
        if k + 1 < many:
            np.matmul(beside[k], inverse[k + 1], out=aside[k + 1])
            inverse[k] += aside[k + 1] @ beside[k].T
    a, b = rows // size, columns // size
    entries: Floats = np.where(
        a == b, inverse[a, rows % size, columns % size], -aside[a, columns % size, rows % size]
    )
    return entries
