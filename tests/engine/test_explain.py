"""What numbers mean, in sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine import explain
from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Bay, Pier, Plan
from tests.engine.scenes import PORCH, rows_plan


def test_difference_of_a_square_bay_in_feet() -> None:
    """3 m square: 1/4 in between the diagonals is 0.177 in at the far corner, 3/16 in on the tape."""
    layout = derive(PORCH.with_(units="ft-in", rounding=1.5875))
    assert explain.difference(layout, layout.bays[0]) == "¹⁄₄″ between them puts the far corner P5 ³⁄₁₆″ out."


@pytest.mark.parametrize("units", ["m", "mm"])
def test_difference_of_a_square_bay_in_metric(units: str) -> None:
    layout = derive(PORCH.with_(units=units))
    assert (
        explain.difference(layout, layout.bays[0]) == "5\u00a0mm between them puts the far corner P5 4\u00a0mm out."
    )


def test_difference_of_a_leaning_bay() -> None:
    layout = derive(rows_plan([(0, 3000)] * 2, (0.0, -3000.0), lean=0.2))
    assert "more or less between them puts the far corner P4" in explain.difference(layout, layout.bays[0])


def test_example_is_a_whole_step_and_never_under_one() -> None:
    assert explain.telling_difference(Plan(units="mm", rounding=2.0)) == 6.0
    assert explain.telling_difference(Plan(units="mm", rounding=10.0)) == 10.0
    assert explain.telling_difference(Plan(units="ft-in", rounding=1.5875)) == pytest.approx(6.35)


@pytest.mark.parametrize(
    ("lean", "longer", "shorter"), [(0.2, "P3 to P2", "P1 to P4"), (-0.2, "P1 to P4", "P3 to P2")]
)
def test_expected_difference_names_the_longer_diagonal(lean: float, longer: str, shorter: str) -> None:
    """A square of 3 m leaning by 600 mm: 3841.9 mm against 4686.2 mm."""
    layout = derive(rows_plan([(0, 3000)] * 2, (0.0, -3000.0), lean=lean))
    sentence = explain.expected_difference(layout, layout.bays[0])
    assert sentence == f"{longer} must be 844\u00a0mm longer than {shorter}."


def test_equal_diagonals_are_said_to_be_equal() -> None:
    layout = derive(PORCH)
    assert explain.expected_difference(layout, layout.bays[0]) == "The two diagonals must be equal."


def test_bay_that_proves_nothing_is_said_so() -> None:
    flat = Plan(
        piers=tuple(Pier(id=f"P{k}", at=(1000.0 * k, 0.0)) for k in range(4)),
        bays=(Bay(id="B1", corners=("P0", "P1", "P2", "P3")),),
    )
    layout = derive(flat)
    assert (
        explain.difference(layout, layout.bays[0]) == "The diagonals of this bay do not show whether it is square."
    )


def test_what_is_left_where_a_diagonal_is_barred() -> None:
    """One diagonal and all four sides hold a bay; sides alone do not."""
    bay = derive(PORCH).bays[0]
    assert explain.barred_check(bay) == ""
    one = explain.barred_check(replace(bay, barred=("tree K1", None)))
    assert one == "When all four sides are as the plan says, B alone shows whether this bay is right."
    none = explain.barred_check(replace(bay, barred=("tree K1", "the house")))
    assert none.startswith("No diagonal can be taped")
