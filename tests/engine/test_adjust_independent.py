"""The adjustment against a general least squares, on fifty networks drawn from seeds."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares

from layoutdesk.engine.columns import Complexes, Floats
from layoutdesk.engine.proof import normal
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.derivatives import rows_of, values_of
from layoutdesk.engine.proof.network import ANGLE, BESIDE, DISTANCE, Network
from tests.engine.networks import mixed, network

HELD, UNCERTAIN, FREE = range(3)
WAYS = ("full", "banded")


def weighted_misfits(net: Network) -> Callable[[Floats | Complexes], Any]:
    """Return the function of all coordinates that is squared and summed; it takes complex steps, too."""
    seen = net.observations
    third = np.maximum(seen.k, 0)

    def misfits(flat: Floats | Complexes) -> Any:
        xy = flat.reshape(-1, 2)
        a, b = xy[seen.j] - xy[seen.i], xy[third] - xy[seen.i]
        aa, bb = (a * a).sum(1), (b * b).sum(1)
        dot, cross = (a * b).sum(1), a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
        back = np.where(dot.real < 0, np.where(cross.real < 0, -np.pi, np.pi), 0.0)
        with np.errstate(all="ignore"):
            angle = np.arctan(cross / dot) + back
            beside = -cross / np.sqrt(bb)
        off = np.select([seen.kind == DISTANCE, seen.kind == BESIDE], [np.sqrt(aa), beside], angle) - seen.value
        off = off - 2 * np.pi * np.round(off.real / (2 * np.pi)) * (seen.kind == ANGLE)
        known = np.isfinite(net.prior) & (not net.free)
        drift = (xy - net.start)[known] / net.prior[known, None]
        return np.concatenate((off / seen.deviation, drift.ravel()))

    return misfits


def by_general_least_squares(net: Network) -> tuple[Floats, Floats, float]:
    """Return places, the Jacobian there by the free coordinates, and the weighted sum."""
    misfits = weighted_misfits(net)
    free = np.repeat(~net.held, 2) if not net.free else np.ones(net.start.size, dtype=np.bool_)
    flat = net.start.ravel().copy()

    def at(part: Any) -> Any:
        whole = flat.astype(part.dtype)
        whole[free] = part
        return misfits(whole)

    def jacobian(part: Floats) -> Floats:
        steps: Complexes = 1e-30j * np.eye(len(part), dtype=np.complex128)
        return np.stack([at(part + step).imag / 1e-30 for step in steps], axis=1)

    part = flat[free]
    exactly = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}
    # To mypy this name is a module of scipy.
    found = least_squares(at, part, jac=jacobian, method="lm", **exactly)  # type: ignore[operator]
    # It ends where the sum no longer falls in the last digit, which places feel only as its square root.
    part = found.x
    for _ in range(4):
        part = part + np.linalg.lstsq(jacobian(part), -at(part), rcond=None)[0]
    assert np.abs(part - found.x).max() < 1e-3
    flat[free] = part
    return flat.reshape(-1, 2), jacobian(part), 2 * float(found.cost)


def drawn(seed: int) -> tuple[Network, int]:
    """Return a network held, uncertain or free in turn."""
    xy, rows = mixed(seed)
    start = xy + np.random.default_rng(seed + 1000).normal(0, 30, xy.shape)
    held_by = seed % 3
    if held_by == HELD:
        return network(start, rows, held=(0, 1)), held_by
    if held_by == UNCERTAIN:
        return network(start, rows, known={0: 3.0, 1: 3.0, 2: 2.0}), held_by
    return network(start, rows, free=True), held_by


@pytest.fixture(params=WAYS)
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Solve small networks, too, in the way of large ones."""
    if request.param == "banded":
        monkeypatch.setattr(normal, "FULL_UP_TO", 0)
    return str(request.param)


@pytest.mark.parametrize("seed", range(51))
def test_places_and_covariances(seed: int, way: str) -> None:
    net, held_by = drawn(seed)
    ours = adjust(net)
    assert ours.determined.all()
    assert ours.converged
    all_points = np.arange(len(net.start))
    covariance = ours.joint(all_points.tolist())
    if held_by == FREE:
        misfits = weighted_misfits(net)
        flat = ours.xy.ravel()
        steps: Complexes = 1e-30j * np.eye(flat.size, dtype=np.complex128)
        jacobian = np.stack([misfits(flat + step).imag / 1e-30 for step in steps], axis=1)
        # It is the least there is: the slope is nought. Of all such places it lies best over the planned ones.
        scale = np.sqrt((jacobian**2).sum(0))
        np.testing.assert_allclose(jacobian.T @ misfits(flat) / scale, 0, atol=1e-7)
        drift = ours.xy - net.start
        np.testing.assert_allclose(drift.sum(0), 0, atol=1e-7)
        about = net.start - net.start.mean(0)
        assert abs((about[:, 0] * drift[:, 1] - about[:, 1] * drift[:, 0]).sum()) < 1e-3
        expected = np.linalg.pinv(jacobian.T @ jacobian, rcond=1e-10, hermitian=True)
        unknowns = flat.size - 3
        weighted = float(misfits(flat) @ misfits(flat))
    else:
        places, jacobian, weighted = by_general_least_squares(net)
        np.testing.assert_allclose(ours.xy, places, rtol=0, atol=1e-6)
        free = np.repeat(~net.held, 2)
        expected = np.zeros_like(covariance)
        expected[np.ix_(free, free)] = np.linalg.inv(jacobian.T @ jacobian)
        unknowns = int(free.sum())
    np.testing.assert_allclose(covariance, expected, rtol=0, atol=1e-6 * np.abs(expected).max())
    np.testing.assert_allclose(
        ours.covariance,
        expected.reshape(len(net.start), 2, len(net.start), 2)[all_points, :, all_points],
        rtol=1e-6,
        atol=1e-9 * np.abs(expected).max(),
    )
    assert ours.weighted == pytest.approx(weighted, rel=1e-9)
    assert ours.degrees == len(jacobian) - unknowns


@pytest.mark.parametrize("seed", range(0, 51, 5))
def test_redundancies_add_up_to_the_degrees_of_freedom(seed: int, way: str) -> None:
    """Of known control a part goes to its own places; without such control the sum is whole."""
    net, held_by = drawn(seed)
    ours = adjust(net)
    assert ((ours.redundancy > -1e-9) & (ours.redundancy < 1 + 1e-9)).all()
    total = float(ours.redundancy.sum())
    if held_by == UNCERTAIN:
        known = np.isfinite(net.prior)
        taken = sum(2 - np.trace(ours.covariance[p]) / net.prior[p] ** 2 for p in np.flatnonzero(known))
        total += float(taken)
    assert total == pytest.approx(ours.degrees, abs=1e-6)


@pytest.mark.parametrize("seed", range(0, 51, 7))
def test_residuals_are_adjusted_less_reduced(seed: int, way: str) -> None:
    net, _ = drawn(seed)
    ours = adjust(net)
    off = values_of(net.observations, ours.xy) - net.observations.value
    assert ours.residual == pytest.approx(off, abs=1e-9)
    plain = net.observations.kind == DISTANCE
    i, j = net.observations.i[plain], net.observations.j[plain]
    apart = np.hypot(*(ours.xy[j] - ours.xy[i]).T) - net.observations.value[plain]
    assert ours.residual[plain] == pytest.approx(apart, abs=1e-9)


@pytest.mark.parametrize("seed", range(0, 51, 7))
def test_variance_of_a_distance_between_any_points(seed: int, way: str) -> None:
    net, _ = drawn(seed)
    ours = adjust(net)
    first, second = np.triu_indices(len(net.start), 1)
    covariance = ours.joint(range(len(net.start)))
    for variance, a, b in zip(ours.of_distances(first, second), first, second, strict=True):
        unit = ours.xy[b] - ours.xy[a]
        unit /= np.hypot(*unit)
        row = np.zeros(len(covariance))
        row[2 * b : 2 * b + 2], row[2 * a : 2 * a + 2] = unit, -unit
        assert variance == pytest.approx(row @ covariance @ row, rel=1e-7, abs=1e-12)


@pytest.mark.parametrize("seed", range(0, 51, 7))
def test_rows_for_others_are_the_derivatives(seed: int) -> None:
    net, _ = drawn(seed)
    misfits = weighted_misfits(net)
    flat = net.start.ravel()
    steps: Complexes = 1e-30j * np.eye(flat.size, dtype=np.complex128)
    jacobian = np.stack([misfits(flat + step).imag / 1e-30 for step in steps], axis=1)
    assert np.allclose(
        rows_of(net, net.start).toarray(), jacobian[: len(net.observations.kind)], atol=1e-12, rtol=1e-9
    )
