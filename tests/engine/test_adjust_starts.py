"""Stakes that changed places or stand on the wrong side are recognised, and sound jobs are left in peace."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.starts import swapped
from tests.engine.networks import Row, network

WALL = ((0.0, 0.0), (9000.0, 0.0), (4500.0, 0.0))
PLAN = np.array([*WALL, *((x, y) for y in (-2500.0, -5000.0) for x in (0.0, 3000.0, 6000.0, 9000.0))])
HELD = (0, 1, 2)
DEVIATION = 1.5


def staked(seed: int) -> tuple[Floats, np.random.Generator]:
    """Return where stakes stand that were set out as well as one can."""
    rng = np.random.default_rng(seed)
    stands = PLAN + rng.normal(0, 15, PLAN.shape)
    stands[list(HELD)] = PLAN[list(HELD)]
    return stands, rng


def taped(stands: Floats, rng: np.random.Generator) -> Network:
    """Tape every stake from all control, and to every other one."""
    rows: list[Row] = []
    for i in range(3, len(stands)):
        for j in range(i):
            far = float(np.hypot(*(stands[i] - stands[j]))) + DEVIATION * float(rng.standard_normal())
            rows.append((DISTANCE, i, j, -1, far, DEVIATION))
    return network(PLAN, rows, held=HELD)


@pytest.mark.parametrize("seed", range(12))
def test_a_sound_job_has_nothing_to_tell(seed: int) -> None:
    net = taped(*staked(seed))
    assert swapped(net, adjust(net)) == ()


@pytest.mark.parametrize("seed", range(12))
def test_two_stakes_that_changed_places_are_named(seed: int) -> None:
    stands, rng = staked(seed)
    a, b = sorted(rng.choice(np.arange(3, len(PLAN)), 2, replace=False).tolist())
    stands[[a, b]] = stands[[b, a]]
    net = taped(stands, rng)
    (told,) = swapped(net, adjust(net))
    assert (told.kind, told.points) == ("swapped", (a, b))
    assert np.abs(adjust(net, begin=told.xy).xy - stands).max() < 10


@pytest.mark.parametrize("seed", range(12))
def test_a_stake_on_the_wrong_side_of_the_wall_is_named(seed: int) -> None:
    stands, rng = staked(seed)
    stray = int(rng.integers(3, len(PLAN)))
    stands[stray, 1] *= -1
    net = taped(stands, rng)
    (told,) = swapped(net, adjust(net))
    assert (told.kind, told.points) == ("mirrored", (stray,))
    assert np.abs(adjust(net, begin=told.xy).xy - stands).max() < 10


@pytest.mark.parametrize("seed", range(6))
def test_a_reading_a_foot_wrong_does_not_pass_for_a_swap(seed: int) -> None:
    stands, rng = staked(seed)
    net = taped(stands, rng)
    net.observations.value[int(rng.integers(len(net.observations.value)))] += 304.8
    assert swapped(net, adjust(net)) == ()


@pytest.mark.parametrize("off", [300.0, 1000.0])
@pytest.mark.parametrize("seed", range(6))
def test_the_steps_come_to_an_end_from_far_off(seed: int, off: float) -> None:
    stands, rng = staked(seed)
    net = taped(stands, rng)
    begin = PLAN + rng.uniform(-off, off, PLAN.shape)
    begin[list(HELD)] = PLAN[list(HELD)]
    near, far = adjust(net), adjust(net, begin=begin)
    assert near.converged
    assert far.converged
    np.testing.assert_allclose(far.xy, near.xy, atol=1e-6)
