"""How certain the places of an adjusted network are, and how much more so after one more distance.

With the covariance C of all places and a the derivatives of one more distance, of standard deviation s, it
becomes C - C a (s² + a'Ca)⁻¹ a'C. That holds for a free network too, whose C is a pseudo-inverse: a distance does
not change when the whole figure is shifted or turned.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.sparse import bmat, coo_matrix, csc_matrix, diags
from scipy.sparse.linalg import splu

from layoutdesk.engine.columns import Bools, Floats, Indices
from layoutdesk.engine.proof.candidates import Candidates
from layoutdesk.engine.proof.derivatives import Readings
from layoutdesk.engine.proof.network import Network

VAGUE_MM: Final = 1000.0
"""How well a stake is known before it is measured at all, one standard deviation: it stands about there."""
WHOLE_UP_TO: Final = 700
"""Up to so many unknowns the whole covariance is kept."""


class Certainty:
    """The covariance of a network's places, column by column when asked for.

    Args:
        network: the network.
        xy: the adjusted places, (n, 2) in mm; where they are not determined, the planned ones.
        there: which points belong to the network at all, (n,).
        vague: which of them are not determined: they are taken to stand within about a metre of the plan, (n,).
    """

    def __init__(self, network: Network, xy: Floats, *, there: Bools, vague: Bools) -> None:
        count = len(xy)
        self._column: Indices = np.full(count, -1, dtype=np.intp)
        sought = np.flatnonzero(there if network.free else there & ~network.held)
        self._column[sought] = 2 * np.arange(len(sought))
        self.size = 2 * len(sought)
        rows = weighted_rows(network, xy)
        keep = np.stack((2 * sought, 2 * sought + 1), axis=1).ravel()
        rows = rows[:, keep]
        known = np.zeros(count) if network.free else 1.0 / np.square(network.prior)
        known = np.where(vague, known + VAGUE_MM**-2, known)[sought]
        normal = (rows.T @ rows + diags(np.repeat(known, 2))).tocsc()
        datum = (~vague if network.datum is None else network.datum & ~vague)[sought]
        if not datum.any():
            datum = ~vague[sought]  # no point of the datum was measured: the figure is laid over what was
        if network.free and datum.any():
            border = csc_matrix(shift_and_turn(xy[sought], datum))
            normal = bmat([[normal, border], [border.T, None]], format="csc")
        self._factor = splu(normal, permc_spec="COLAMD")
        self._whole: Floats | None = None
        if self.size <= WHOLE_UP_TO:
            self._whole = self._solve(np.eye(self.size))

    def _solve(self, right: Floats) -> Floats:
        padded = np.zeros((self._factor.shape[0], right.shape[1]))
        padded[: self.size] = right
        solution: Floats = self._factor.solve(padded)[: self.size]
        return solution

    def columns(self, points: Indices) -> Floats:
        """Return the covariance of all unknowns with the places of some points, (u, 2 p); nought for held ones."""
        at = self._column[points]
        unknown = (at[:, None] + np.array([0, 1])).ravel()
        held = np.repeat(at < 0, 2)
        if self._whole is not None:
            found = self._whole[:, np.where(held, 0, unknown)]
            found[:, held] = 0.0
            return found
        right = np.zeros((self.size, len(unknown)))
        free = np.flatnonzero(~held)
        right[unknown[free], free] = 1.0
        return self._solve(right)

    def block(self, columns: Floats, points: Indices) -> Floats:
        """Return the rows of some points out of columns, (p, 2, c); nought for held ones."""
        at = self._column[points]
        found: Floats = columns[np.maximum(at, 0)[:, None] + np.array([0, 1])]
        found[at < 0] = 0.0
        return found

    def of(self, point: int) -> Floats:
        """Return the covariance of one place, (2, 2) in mm²."""
        here = np.array([point], dtype=np.intp)
        covariance: Floats = self.block(self.columns(here), here)[0]
        return covariance

    def pulled(self, columns: Floats, tapes: Candidates) -> Floats:
        """Return the covariance of columns with distances, a'C: (t, c) for columns (u, c)."""
        apart = self.block(columns, tapes.second) - self.block(columns, tapes.first)
        with_tape: Floats = apart[:, 0] * tapes.dx[:, None] + apart[:, 1] * tapes.dy[:, None]
        return with_tape

    def spread(self, tapes: Candidates) -> Floats:
        """Return the variance of distances as they follow from the places, a'Ca: (t,) in mm²."""
        ends, where = np.unique(np.stack((tapes.first, tapes.second)), return_inverse=True)
        first, second = where.reshape(2, -1)
        between = self.block(self.columns(ends), ends).reshape(len(ends), 2, len(ends), 2)
        along = np.stack((tapes.dx, tapes.dy), axis=1)

        def part(a: Indices, b: Indices) -> Floats:
            covariance: Floats = between[a, :, b, :]
            variance: Floats = np.einsum("ti,tij,tj->t", along, covariance, along)
            return variance

        found = part(first, first) + part(second, second) - 2 * part(first, second)
        return np.maximum(found, 0.0)


def weighted_rows(network: Network, xy: Floats) -> csc_matrix:
    """Return the derivatives of the measures by all places, in units of their standard deviations, (m, 2 n)."""
    readings = Readings(network.observations, network.usable)
    line = readings.at(xy)
    values, columns, rows, start = [], [], [], 0
    for points, slopes in ((readings.pairs, line.pairs), (readings.triples, line.triples)):
        tapes = np.arange(start, start + points.shape[1])
        for k, derivative in enumerate(slopes):
            values.append(derivative)
            columns.append(2 * points[k // 2] + k % 2)
            rows.append(tapes)
        start += points.shape[1]
    entries = np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))
    matrix: csc_matrix = coo_matrix(entries, shape=(start, 2 * len(xy))).tocsc()
    return matrix


def shift_and_turn(xy: Floats, datum: Bools) -> Floats:
    """Return the moves of a whole figure that no distance shows, each of size 1 over the datum, (2 n, 3).

    Rows of points outside the datum are nought: the figure is laid over the others.
    """
    middle = xy[datum].mean(0)
    moves = np.zeros((len(xy), 2, 3))
    moves[:, 0, 0] = moves[:, 1, 1] = 1.0
    moves[:, 0, 2], moves[:, 1, 2] = -(xy - middle)[:, 1], (xy - middle)[:, 0]
    moves[~datum] = 0.0
    flat: Floats = moves.reshape(-1, 3)
    sizes = np.linalg.norm(flat, axis=0)
    shown: Floats = flat[:, sizes > 0] / sizes[sizes > 0]
    return shown


def semi_major(covariance: Floats) -> Floats:
    """Return the greatest deviation of places in any direction from their covariances, (..., 2, 2) to (...)."""
    a, b, c = covariance[..., 0, 0], covariance[..., 1, 1], covariance[..., 0, 1]
    largest: Floats = (a + b) / 2 + np.hypot((a - b) / 2, c)
    return np.sqrt(np.maximum(largest, 0.0))
