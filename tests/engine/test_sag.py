"""The sag of a line against the catenary found numerically, and against the parabola of the handbooks."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from layoutdesk.engine.levels.sag import GRAVITY, sag


def hanging(span: float, mass: float, pull: float) -> float:
    """Return the sag by shooting: H y'' = w sqrt(1 + y'^2) from the left, its slope found so that it ends level."""
    w = mass * 1e-3 * GRAVITY / 1e3

    def end(slope: float) -> float:
        run = solve_ivp(
            lambda _, y: [y[1], w / pull * math.sqrt(1 + y[1] ** 2)],
            (0, span),
            [0.0, slope],
            rtol=1e-12,
            atol=1e-12,
        )
        return float(run.y[0, -1])

    steep = w * span / pull
    slope = brentq(end, -2 * math.sinh(steep), 0.0, xtol=1e-15, rtol=1e-14)
    half = solve_ivp(
        lambda _, y: [y[1], w / pull * math.sqrt(1 + y[1] ** 2)],
        (0, span / 2),
        [0.0, slope],
        rtol=1e-12,
        atol=1e-12,
    )
    return -float(half.y[0, -1])


@pytest.mark.parametrize(
    ("span", "mass", "pull"), [(12_192.0, 1.0, 50.0), (30_000.0, 2.5, 20.0), (20_000.0, 40.0, 5.0)]
)
def test_sag_is_that_of_the_catenary_computed_numerically(span: float, mass: float, pull: float) -> None:
    assert sag(span, mass, pull) == pytest.approx(hanging(span, mass, pull), rel=1e-6)


@given(st.floats(100, 50_000), st.floats(0.1, 5), st.floats(20, 200))
def test_a_tight_line_sags_as_the_parabola_and_its_next_term(span: float, mass: float, pull: float) -> None:
    w = mass * 1e-3 * GRAVITY / 1e3
    parabola = w * span**2 / (8 * pull)
    next_term = w**3 * span**4 / (384 * pull**3)
    assert sag(span, mass, pull) == pytest.approx(parabola + next_term, rel=1e-7)


def test_a_line_without_weight_is_straight_and_one_without_pull_shows_nothing() -> None:
    assert sag(10_000, 0.0, 50.0) == 0.0
    assert math.isinf(sag(10_000_000, 1e6, 0.01))
