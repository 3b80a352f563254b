"""How big holes come out, and what is learned from those that were logged."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.concrete.over_dig import (
    OverDig,
    learned,
    over_dig,
    over_dig_sentence,
    usual_over_dig,
)
from layoutdesk.engine.reckoning import ReckoningError

LOGS = ([1.3], [1.22, 1.31, 1.19], [0.98, 1.05, 1.02, 0.97, 1.04, 1.0], [1.1, 1.5, 0.9, 1.2])


def test_shares_come_back_as_they_were_given() -> None:
    belief = over_dig(allowance=0.12, own=0.15, common=0.07, weight=5)
    assert belief.allowance == pytest.approx(0.12)
    assert belief.own_spread == pytest.approx(0.15)
    assert belief.common_spread == pytest.approx(0.07)


def test_mean_and_spread_of_drawn_factors_are_those_stated() -> None:
    """Oracle: a million draws."""
    belief = over_dig(allowance=0.12, own=0.15, common=0.07, weight=5)
    rng = np.random.default_rng(3)
    factors = np.exp(belief.middle + belief.common * rng.standard_normal(10**6))
    factors *= np.exp(belief.own * rng.standard_normal(10**6))
    assert factors.mean() == pytest.approx(1.12, abs=0.001)
    assert factors.std() / 1.12 == pytest.approx(math.sqrt((1 + 0.15**2) * (1 + 0.07**2) - 1), abs=0.001)


@pytest.mark.parametrize("log", LOGS)
def test_common_part_is_the_exact_posterior_for_a_known_spread(log: list[float]) -> None:
    """Oracle: Bayes' rule on a fine grid of m."""
    belief = OverDig(0.08, 0.08, 0.1, 1e12)
    m = np.linspace(-0.6, 0.8, 200_001)
    density = np.exp(-0.5 * ((m - 0.08) / 0.08) ** 2)
    for factor in log:
        density *= np.exp(-0.5 * ((math.log(factor) - m) / 0.1) ** 2)
    density /= density.sum()
    mean = float(density @ m)
    after = learned(belief, log)
    assert after.middle == pytest.approx(mean, abs=1e-7)
    assert after.common == pytest.approx(math.sqrt(float(density @ (m - mean) ** 2)), abs=1e-7)


@pytest.mark.parametrize("log", LOGS)
def test_both_parts_are_near_the_exact_joint_posterior(log: list[float]) -> None:
    """Oracle: Bayes' rule on a grid of m and σ²; the approximation leaves out what the mean says of σ²."""
    belief = usual_over_dig()
    m = np.linspace(-0.5, 0.7, 1201)[:, None]
    s2 = np.geomspace(5e-4, 0.5, 800)[None, :]
    y = np.log(log)
    nu, n = belief.weight, len(y)
    prior = -0.5 * ((m - belief.middle) / belief.common) ** 2
    prior = prior - nu / 2 * np.log(s2) - nu * belief.own**2 / (2 * s2)  # in equal steps of ln σ²
    sums = ((y - m[..., None]) ** 2).sum(-1)
    density = np.exp(prior - n / 2 * np.log(s2) - sums / (2 * s2) - 10)
    density /= density.sum()
    mean = float((density * m).sum())
    after = learned(belief, log)
    assert after.middle == pytest.approx(mean, abs=0.012)
    assert after.common == pytest.approx(math.sqrt(float((density * (m - mean) ** 2).sum())), rel=0.15)
    assert after.own**2 == pytest.approx(1 / float((density / s2).sum()), rel=0.25)


def test_many_holes_outweigh_what_was_believed() -> None:
    rng = np.random.default_rng(8)
    after = learned(usual_over_dig(), list(np.exp(0.25 + 0.05 * rng.standard_normal(400))))
    assert after.middle == pytest.approx(0.25, abs=0.01)
    assert after.own == pytest.approx(0.05, abs=0.01)
    assert after.common < 0.005
    assert after.logged == 400


def test_own_spread_learned_in_two_steps_counts_the_holes_of_both() -> None:
    after = learned(learned(usual_over_dig(), [1.2, 1.1]), [1.3])
    assert after.logged == 3
    assert after.common < usual_over_dig().common


def test_nothing_logged_changes_nothing() -> None:
    assert learned(usual_over_dig(), []) == usual_over_dig()


def test_holes_without_any_spread_are_learned_too() -> None:
    alike = over_dig(allowance=0.1, own=0.0, common=0.1, weight=3)
    assert learned(alike, [1.2]).middle == pytest.approx(math.log(1.2))
    assert learned(alike, [1.2]).common == 0
    certain = over_dig(allowance=0.1, own=0.1, common=0.0, weight=3)
    assert learned(certain, [1.5, 1.4]).middle == certain.middle


@pytest.mark.parametrize(
    "figures",
    [(-1.0, 0.1, 0.1, 1), (0.1, -0.1, 0.1, 1), (0.1, 0.1, 9.0, 1), (0.1, 0.1, 0.1, 0), (9.0, 0.1, 0.1, 1)],
)
def test_senseless_belief_is_refused(figures: tuple[float, float, float, float]) -> None:
    allowance, own, common, weight = figures
    with pytest.raises(ReckoningError):
        over_dig(allowance=allowance, own=own, common=common, weight=weight)


def test_hole_that_holds_nothing_is_refused() -> None:
    with pytest.raises(ReckoningError, match="more than nothing"):
        learned(usual_over_dig(), [1.1, 0.0])


@pytest.mark.parametrize("factor", [25.0, 0.01])
def test_slip_in_the_log_is_refused(factor: float) -> None:
    with pytest.raises(ReckoningError, match="look at its log"):
        learned(usual_over_dig(), [1.1, factor])


def test_sentences_say_where_the_figures_are_from() -> None:
    assert over_dig_sentence(usual_over_dig()) == (
        "Holes are reckoned to come out 10% bigger than drawn, give or take 8% for all together and 10% for each: "
        "common practice, no source."
    )
    assert over_dig_sentence(learned(usual_over_dig(), [1.3])).startswith("After 1 hole logged, the rest")
    assert "smaller than drawn" in over_dig_sentence(learned(usual_over_dig(), [0.7] * 9))
    assert "as drawn" in over_dig_sentence(over_dig(allowance=0.0, own=0.1, common=0.1, weight=1))
