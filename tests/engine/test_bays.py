"""Bays found between rows, outlines, and bays that the user names."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.strips import squareness, strip_bays
from layoutdesk.plan.model import Bay, BeamLine, Pier, Plan
from tests.engine.scenes import ATTACHED, PORCH, rows_plan


def ids(plan: Plan, source: str = "found") -> list[str]:
    """Return the bays of one source."""
    return [bay.id for bay in derive(plan).bays if bay.source == source]


def test_rows_of_equal_count_make_a_bay_of_every_four() -> None:
    assert ids(PORCH) == ["P1-P4-P5-P2", "P2-P5-P6-P3"]
    assert ids(PORCH, "outline") == ["P1-P4-P6-P3"]


def test_attachments_are_corners_too() -> None:
    assert ids(ATTACHED) == ["A1-A2-P3-P1", "P1-P3-P4-P2"]
    assert ids(ATTACHED, "outline") == ["A1-A2-P4-P2"]


def test_outline_that_is_the_only_bay_is_not_there_twice() -> None:
    plan = rows_plan([(0, 3000)] * 2, (0.0, -2000.0))
    assert ids(plan) == ["P1-P3-P4-P2"]
    assert ids(plan, "outline") == []


def test_named_bay_takes_the_place_of_the_same_found_one() -> None:
    """Whichever corner the user began with, and whichever way round."""
    plan = PORCH.with_(bays=(Bay(id="B1", corners=("P5", "P4", "P1", "P2")),))
    assert ids(plan) == ["P2-P5-P6-P3"]
    assert ids(plan, "named") == ["B1"]
    (bay,) = (bay for bay in derive(plan).bays if bay.source == "named")
    assert bay.corners == ("P5", "P4", "P1", "P2")


def test_named_bay_may_be_any_four_points() -> None:
    plan = PORCH.with_(bays=(Bay(id="B1", corners=("P1", "P4", "P6", "C2")),))
    assert ids(plan, "named") == ["B1"]
    assert ids(plan) == ["P1-P4-P5-P2", "P2-P5-P6-P3"]


def test_named_bay_with_an_unknown_corner_is_left_out() -> None:
    assert ids(PORCH.with_(bays=(Bay(id="B1", corners=("P1", "P4", "P6", "P77")),)), "named") == []


def test_unequal_rows_leave_out_one_triangle() -> None:
    """Five against four, evenly spread over the same length: the squarest three bays are kept."""
    plan = rows_plan([(0, 3000, 6000, 9000, 12_000), (0, 4000, 8000, 12_000)], (0.0, -4000.0))
    assert ids(plan) == ["P1-P6-P7-P2", "P3-P7-P8-P4", "P4-P8-P9-P5"]


def test_short_row_is_matched_where_it_lies() -> None:
    plan = rows_plan([(0, 3000, 6000, 9000, 12_000), (9000, 12_000)], (0.0, -3000.0))
    assert ids(plan) == ["P4-P6-P7-P5"]


def test_equal_rows_that_are_shifted_by_one_are_matched_square() -> None:
    plan = rows_plan([(0, 3000, 6000, 9000), (3000, 6000, 9000, 12_000)], (0.0, -3000.0))
    assert ids(plan) == ["P2-P5-P6-P3", "P3-P6-P7-P4"]


def test_rows_drawn_against_each_other_are_matched() -> None:
    line = PORCH.lines[1]
    back = PORCH.with_(lines=(PORCH.lines[0], BeamLine(id="L2", start=line.end, end=line.start)))
    assert ids(back) == ids(PORCH)


def test_leaning_rows_make_leaning_bays() -> None:
    plan = rows_plan([(0, 3000, 6000)] * 2, (0.0, -3000.0), lean=0.3)
    assert ids(plan) == ["P1-P4-P5-P2", "P2-P5-P6-P3"]
    bay = derive(plan).bays[0]
    assert not bay.equal
    assert bay.diagonals == pytest.approx((math.hypot(2100, 3000), math.hypot(3900, 3000)))


def test_bays_sharper_than_25_degrees_are_not_offered() -> None:
    """Rows 1 m apart whose points lie 3 m along from each other: 18 degrees."""
    plan = rows_plan([(0, 9000), (3000, 12_000)], (0.0, -1000.0))
    assert ids(plan) == []
    assert ids(plan, "outline") == []


def test_two_short_rows_beside_a_long_one_do_not_overlap() -> None:
    plan = rows_plan([(0, 3000, 6000, 9000), (0, 3000), (6000, 9000)], (0.0, -3000.0, -3200.0))
    assert ids(plan) == ["P1-P5-P6-P2", "P3-P7-P8-P4"]


def test_rows_in_two_directions_do_not_overlap() -> None:
    """The same piers cannot be in two rows; a second family over the first yields to it."""
    plan = rows_plan([(0, 3000)] * 2, (0.0, -3000.0))
    lines = tuple(BeamLine(id=f"M{k}", start=(500.0 + k, 500.0), end=(500.0 + k, -3500.0)) for k in (0, 2000))
    piers = tuple(
        Pier(id=f"{line.id}{k}", at=(line.start[0], y), line=line.id)
        for line in lines
        for k, y in enumerate((-500.0, -2500.0))
    )
    crossed = plan.with_(lines=(*plan.lines, *lines), piers=(*plan.piers, *piers))
    assert ids(crossed) == ["P1-P3-P4-P2"]
    assert ids(crossed, "outline") == ["M00-M20000-M20001-M01"]


def test_diagonals_and_labels_of_a_bay() -> None:
    plan = PORCH.with_(piers=(Pier(id="P1", at=(1000.0, -2000.0), line="L1", mark="NW"), *PORCH.piers[1:]))
    bay = derive(plan).bays[0]
    assert bay.labels == ("NW", "P4", "P5", "P2")
    assert bay.diagonals == pytest.approx((math.hypot(3000, 3000),) * 2)
    assert bay.equal
    assert bay.places[0] == (1000.0, -2000.0)
    assert derive(plan).bays.diagonal[0].tolist() == list(bay.diagonals)


def test_equal_means_to_a_tenth_of_the_tapes_step() -> None:
    """The step is 1 mm: diagonals that differ by 0.07 mm are equal, by 0.2 mm not."""
    for by, equal in ((0.1, True), (0.3, False)):
        (one, *rest) = PORCH.piers
        moved = (Pier(id="P1", at=(one.at[0] + by, one.at[1]), line="L1"), *rest)
        assert derive(PORCH.with_(piers=moved)).bays[0].equal is equal


def test_far_corner_of_a_square_bay_moves_by_seven_tenths() -> None:
    """D / (2 a) with a square of 3 m."""
    assert derive(PORCH).bays[0].per_difference == pytest.approx(math.sqrt(2) / 2)


@pytest.mark.parametrize(
    "corners",
    [((0, 0), (1, 0), (2, 0), (3, 0)), ((0, 0), (0, 0), (1, 1), (0, 1)), ((0, 0), (1, 0), (0, 1), (1, 1))],
)
def test_squareness_of_what_is_no_bay(corners: tuple[tuple[float, float], ...]) -> None:
    """In one line, with two corners in one, and crossing itself."""
    xy = np.array(corners, dtype=float)
    assert squareness(xy[:, 0], xy[:, 1], np.array([[0, 1, 2, 3]]))[0] <= 0


def test_squareness_of_a_parallelogram_is_the_squared_sine() -> None:
    lean = math.radians(70)
    xy = np.array([(0, 0), (3, 0), (3 + math.cos(lean), math.sin(lean)), (math.cos(lean), math.sin(lean))])
    for round_ in ([0, 1, 2, 3], [3, 2, 1, 0]):
        assert squareness(xy[:, 0], xy[:, 1], np.array([round_]))[0] == pytest.approx(math.sin(lean) ** 2)


@pytest.mark.parametrize("counts", [(900, 880), (880, 900), (1000, 3)])
def test_long_rows_of_unequal_count_are_searched_in_blocks(counts: tuple[int, int]) -> None:
    """The bays stay apart and in order across the seams of the blocks."""
    m, n = counts
    plan = rows_plan([np.linspace(0, 1e6, m).tolist(), np.linspace(0, 1e6, n).tolist()], (0.0, -900.0))
    points = PointTable(plan, None)
    bays = strip_bays(points, np.arange(m), np.arange(m, m + n), (1.0, 0.0))
    assert (np.diff(bays[:, 0]) > 0).all()
    assert (np.diff(bays[:, 1]) > 0).all()
    assert (squareness(points.x, points.y, bays) > 0.17).all()
    assert min(counts) < 100 or len(bays) > 0.97 * min(counts)
