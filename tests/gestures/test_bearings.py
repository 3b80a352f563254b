"""How places are read and how the sheet is turned: house at the top, yard below, never mirrored."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.geometry.vector import cross, dot
from layoutdesk.gestures.bearings import bearings_of
from layoutdesk.gestures.grid import STEPS, snapping_step, step_of_at_least
from layoutdesk.plan.model import Baseline, Plan
from tests.strategies import places

sides = st.sampled_from(["left", "right"])


def test_without_a_baseline_the_plan_lies_as_it_was_drawn() -> None:
    names = bearings_of(Plan())
    assert names.names == ("x", "y")
    assert (names.right, names.down) == ((1.0, 0.0), (0.0, -1.0))
    assert names.angle((0.0, -5.0)) == pytest.approx(90.0)
    assert names.direction(90.0) == (0.0, -1.0)


def test_a_baseline_without_length_counts_as_none() -> None:
    base = Baseline(origin=(5.0, 5.0), toward=(5.0, 5.0), yard_side="left")
    assert bearings_of(Plan(baseline=base)).frame is None


@given(origin=places, toward=places, side=sides)
def test_the_yard_lies_below_and_nothing_is_mirrored(
    origin: tuple[float, float], toward: tuple[float, float], side: str
) -> None:
    plan = Plan(baseline=Baseline(origin=origin, toward=toward, yard_side=side))  # type: ignore[arg-type]
    names = bearings_of(plan)
    # Right, then up, is a quarter turn to the left in the plan too.
    assert cross(names.right, (-names.down[0], -names.down[1])) == pytest.approx(1.0)
    if names.frame is not None:
        assert dot(names.down, names.aside) == pytest.approx(1.0)
        assert dot(names.right, names.ahead) == pytest.approx(1.0 if side == "right" else -1.0)


@given(origin=places, toward=places, side=sides, at=places)
def test_reading_a_place_and_naming_it_again_is_the_same_place(
    origin: tuple[float, float], toward: tuple[float, float], side: str, at: tuple[float, float]
) -> None:
    plan = Plan(baseline=Baseline(origin=origin, toward=toward, yard_side=side))  # type: ignore[arg-type]
    names = bearings_of(plan)
    assert names.place(*names.read(at)) == pytest.approx(at, abs=1e-6)


def test_quarter_turns_are_exact() -> None:
    plan = Plan(baseline=Baseline(origin=(0.0, 0.0), toward=(10.0, 0.0), yard_side="right"))
    names = bearings_of(plan)
    assert names.direction(0) == (1.0, 0.0)
    assert names.direction(90) == (0.0, -1.0)
    assert names.direction(-90) == (0.0, 1.0)
    assert names.direction(180) == (-1.0, 0.0)


@pytest.mark.parametrize("units", ["ft-in", "m", "mm"])
def test_steps_rise_and_are_never_finer_than_asked(units: str) -> None:
    steps = STEPS[units]  # type: ignore[index]
    assert list(steps) == sorted(steps)
    for least in (0.01, 3.0, 77.0, 1234.5, 9e5):
        assert step_of_at_least(units, least) >= least  # type: ignore[arg-type]
    assert snapping_step(units, 1e9) == steps[-1]  # type: ignore[arg-type]
