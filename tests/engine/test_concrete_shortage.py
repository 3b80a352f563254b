"""The chance of running short, against simulation; counts that meet a chance."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.concrete.over_dig import OverDig, learned, over_dig, usual_over_dig
from layoutdesk.engine.concrete.shortage import count_for, counts_and_chances, need
from layoutdesk.engine.reckoning import ReckoningError

DRAWS = 100_000
BAG = 0.0169901079552


def belief(allowance: float, own: float, common: float) -> OverDig:
    return over_dig(allowance=allowance, own=own, common=common, weight=6)


JOBS = {
    "six piers of a porch": ([0.0822] * 6, usual_over_dig(), 0.0),
    "one pier": ([0.0822], usual_over_dig(), 0.0),
    "pads of three sizes, nothing in common": ([0.05, 0.2, 0.3], belief(0.0, 0.3, 0.0), 0.0),
    "a carport, two holes measured": ([0.11] * 10, learned(usual_over_dig(), [1.25, 1.31]), 0.27),
    "a hundred piers": ([0.08] * 100, belief(0.1, 0.1, 0.01), 0.0),
    "five hundred piers, nothing in common": ([0.08] * 500, belief(0.1, 0.1, 0.0), 0.0),
    "holes nearly alike": ([0.08] * 40, belief(0.1, 0.01, 0.02), 0.0),
    "forty holes, all different": (list(np.linspace(0.03, 0.3, 40)), belief(0.2, 0.15, 0.02), 1.0),
    "all in common": ([0.05, 0.2, 0.3], belief(0.05, 0.0, 0.1), 0.1),
    "ground that nobody knows": ([0.05, 0.2], belief(0.5, 1.5, 0.5), 0.0),
}


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_chance_equals_simulation_for_every_count(job: tuple[list[float], OverDig, float]) -> None:
    """Oracle: 100,000 draws of every hole; within half a percentage point at every count of bags."""
    volumes, of, known = job
    rng = np.random.default_rng(20)
    taken = np.zeros(DRAWS)
    for volume in volumes:
        taken += volume * np.exp(of.own * rng.standard_normal(DRAWS))
    taken = known + taken * np.exp(of.middle + of.common * rng.standard_normal(DRAWS))
    wanted = need(volumes, of, known=known)
    curve = counts_and_chances(wanted, BAG)
    off = [abs(at.chance - float((taken > at.volume).mean())) for at in curve]
    assert len(curve) >= 3
    assert max(off) < 0.005
    assert wanted.mean == pytest.approx(taken.mean(), rel=0.02)


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_chance_falls_with_every_bag_and_the_count_is_the_first_to_meet_it(
    job: tuple[list[float], OverDig, float],
) -> None:
    volumes, of, known = job
    wanted = need(volumes, of, known=known)
    curve = counts_and_chances(wanted, BAG)
    chances = [at.chance for at in curve]
    assert chances == sorted(chances, reverse=True)
    assert [at.count for at in curve] == list(range(curve[0].count, curve[-1].count + 1))
    for chance in (0.3, 0.05, 0.01):
        assert count_for(wanted, BAG, chance) == next(at.count for at in curve if at.chance <= chance)


def test_one_hole_is_lognormal() -> None:
    """Oracle: the tail of the normal distribution in closed form."""
    of = belief(0.1, 0.1, 0.08)
    wanted = need([1.0], of)
    for supply in (0.9, 1.1, 1.3, 1.5):
        z = (of.middle - math.log(supply)) / math.hypot(of.own, of.common)
        assert float(wanted.chance_short(supply)) == pytest.approx(math.erfc(-z / math.sqrt(2)) / 2, abs=1e-4)


@pytest.mark.parametrize("common", [0.0, 0.03])
def test_both_ways_to_sum_meet_where_one_takes_over(common: float) -> None:
    """Just under and over 2 % the chances are the same but for the two hundredths of the spread between."""
    below, above = (need([0.08, 0.1, 0.15] * 3, belief(0.1, own, common)) for own in (0.01998, 0.02003))
    supplies = above.mean * np.linspace(0.97, 1.03, 25)
    assert below.chance_short(supplies) == pytest.approx(above.chance_short(supplies), abs=0.002)


@pytest.mark.parametrize("count", [1, 7])
def test_holes_that_differ_wildly_are_still_summed(count: int) -> None:
    """Oracle: a million draws, with a spread of twice the volume."""
    wild = belief(0.2, 2.0, 0.3)
    rng = np.random.default_rng(5)
    taken = 0.1 * np.exp(wild.own * rng.standard_normal((10**6, count))).sum(axis=1)
    taken *= np.exp(wild.middle + wild.common * rng.standard_normal(10**6))
    wanted = need([0.1] * count, wild)
    supplies = [0.5 * wanted.mean, wanted.mean, 2 * wanted.mean, 4 * wanted.mean]
    simulated = [float((taken > supply).mean()) for supply in supplies]
    assert wanted.chance_short(supplies) == pytest.approx(simulated, abs=0.002)


def test_nothing_uncertain_is_simply_counted() -> None:
    as_drawn = belief(0.0, 0.0, 0.0)
    assert count_for(need([3 * BAG] * 2, as_drawn), BAG, 0.05) == 6
    assert count_for(need([3.01 * BAG] * 2, as_drawn), BAG, 0.05) == 7
    assert count_for(need([], usual_over_dig(), known=3 * BAG), BAG, 0.05) == 3
    assert count_for(need([], usual_over_dig()), BAG, 0.05) == 0


def test_shape_of_the_supplies_is_kept() -> None:
    wanted = need([0.1] * 3, usual_over_dig())
    assert wanted.chance_short(np.zeros((2, 3))).shape == (2, 3)
    assert wanted.chance_short([0.0]) == pytest.approx([1.0])
    assert wanted.chance_short(np.empty(0)).shape == (0,)


def test_a_common_spread_is_not_evened_out_by_many_holes() -> None:
    """A hundred holes even out their own spread, not what they share."""
    own = need([0.08] * 100, belief(0.1, 0.2, 0.0))
    common = need([0.08] * 100, belief(0.1, 0.0, 0.2))
    assert float(own.chance_short(own.mean * 1.1)) < 0.001
    assert float(common.chance_short(common.mean * 1.1)) > 0.2


@pytest.mark.parametrize("chance", [0.0, 1.0, -0.1, math.nan])
def test_chance_that_is_none_is_refused(chance: float) -> None:
    with pytest.raises(ReckoningError, match="chance"):
        count_for(need([0.1], usual_over_dig()), BAG, chance)


def test_senseless_figures_are_refused() -> None:
    with pytest.raises(ReckoningError, match="one bag makes"):
        count_for(need([0.1], usual_over_dig()), 0.0, 0.05)
    with pytest.raises(ReckoningError, match="100,000"):
        count_for(need([0.1], usual_over_dig()), 1e-9, 0.05)
    with pytest.raises(ReckoningError, match="volume of a hole"):
        need([0.1, -0.1], usual_over_dig())
