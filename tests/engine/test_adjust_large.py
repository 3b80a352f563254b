"""Networks beyond a full matrix give the same as a full matrix does: narrow ones, and one with a hub."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.proof import normal
from layoutdesk.engine.proof.adjust import _Job, adjust
from layoutdesk.engine.proof.determinacy import grounds
from layoutdesk.engine.proof.network import Network
from tests.engine.networks import network, taped

ROWS, COLUMNS = 6, 25


def grid(*, hub: bool, free: bool) -> Network:
    """Return a crooked grid of stakes; with a hub, one more stake that is taped to all of them."""
    rng = np.random.default_rng(5)
    x, y = np.meshgrid(np.arange(COLUMNS) * 8000.0, np.arange(ROWS) * 6000.0)
    xy: Floats = np.stack((x.ravel(), y.ravel()), axis=1) + rng.uniform(-300, 300, (ROWS * COLUMNS, 2))
    number = np.arange(ROWS * COLUMNS).reshape(ROWS, COLUMNS)
    tied = ((number[:, :-1], number[:, 1:]), (number[:-1], number[1:]), (number[:-1, :-1], number[1:, 1:]))
    pairs = [(int(a), int(b)) for one, other in tied for a, b in zip(one.ravel(), other.ravel(), strict=True)]
    if hub:
        pairs += [(len(xy), k) for k in range(len(xy))]
        xy = np.concatenate((xy, [[95_000.0, 40_000.0]]))
    rows = [(*row[:4], row[4] + row[5] * float(rng.standard_normal()), row[5]) for row in taped(xy, pairs)]
    start = xy + rng.normal(0, 30, xy.shape)
    return network(start, rows, held=(0, ROWS * COLUMNS - 1), free=free)


@pytest.mark.parametrize("free", [False, True], ids=["held", "free"])
@pytest.mark.parametrize("hub", [False, True], ids=["narrow", "hub"])
def test_the_same_as_by_a_full_matrix(*, hub: bool, free: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    net = grid(hub=hub, free=free)
    nobody = np.zeros(len(net.start), dtype=np.bool_)
    unknowns = _Job(net, grounds(net), nobody, net.start).unknowns
    assert not unknowns.full
    assert unknowns.narrow != hub
    ours = adjust(net)
    some = [0, 1, 70, 149]
    together, distances = ours.joint(some), ours.of_distances([0, 3], [140, 77])
    monkeypatch.setattr(normal, "FULL_UP_TO", 10_000)
    full = adjust(net)
    assert ours.determined.all()
    assert np.abs(ours.xy - full.xy).max() < 1e-6
    largest = np.abs(full.covariance).max()
    assert np.abs(ours.covariance - full.covariance).max() < 1e-6 * largest
    assert np.abs(ours.redundancy - full.redundancy).max() < 1e-6
    assert np.abs(together - full.joint(some)).max() < 1e-6 * largest
    assert distances == pytest.approx(full.of_distances([0, 3], [140, 77]), rel=1e-6)
