"""Rows, running dimensions along them, and which rows lie side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutdesk.engine.derive import PlanLayout, derive
from layoutdesk.engine.layout import LineRun
from layoutdesk.plan.model import BeamLine, Pier, Plan
from tests.engine.scenes import ATTACHED, PORCH, rows_plan


def stops(run: LineRun) -> list[tuple[str, float, float]]:
    """Return the stops of a run: id, running dimension, spacing."""
    return [(stop.id, stop.running, stop.spacing) for stop in run.stops]


def test_running_dimensions_begin_at_the_attachment() -> None:
    """Also when the beam line was drawn toward it."""
    one, other = derive(ATTACHED).runs
    assert one.zero_label == "A1"
    assert stops(one) == [("A1", 0.0, 0.0), ("P1", 2500.0, 2500.0), ("P2", 5500.0, 3000.0)]
    assert other.zero_label == "A2"
    assert stops(other) == [("A2", 0.0, 0.0), ("P3", 2500.0, 2500.0), ("P4", 5500.0, 3000.0)]


def test_running_dimensions_begin_at_the_lines_start_without_an_attachment() -> None:
    one, _ = derive(PORCH).runs
    assert one.zero_label == "start of L1"
    assert stops(one) == [("P1", 200.0, 0.0), ("P2", 3200.0, 3000.0), ("P3", 6200.0, 3000.0)]


def test_zero_of_a_run_is_known_from_the_baseline() -> None:
    """The first line of the porch begins 800 mm along the baseline and 2 m out."""
    one, _ = derive(PORCH).runs
    assert (one.zero_station, one.zero_offset) == (800.0, 2000.0)
    bare, _ = derive(PORCH.with_(baseline=None)).runs
    assert (bare.zero_station, bare.zero_offset) == (None, None)


def test_one_run_can_be_had_without_the_others() -> None:
    layout = derive(ATTACHED)
    assert layout.run_of("L2") == layout.runs[1]
    assert layout.run_of("L9") is None


def test_stops_are_in_order_whatever_the_order_of_the_piers() -> None:
    shuffled = PORCH.with_(piers=tuple(PORCH.piers[k] for k in (4, 2, 0, 5, 1, 3)))
    assert [stops(run) for run in derive(shuffled).runs] == [stops(run) for run in derive(PORCH).runs]


def test_pier_behind_the_attachment_comes_before_it() -> None:
    behind = ATTACHED.with_(piers=(*ATTACHED.piers, Pier(id="P5", at=(1000.0, 800.0), line="L1")))
    run, _ = derive(behind).runs
    assert stops(run)[:2] == [("P5", -800.0, 0.0), ("A1", 0.0, 800.0)]


def test_piers_off_their_line_say_by_how_much_and_to_which_side() -> None:
    """Positive to the left of the way from the line's start to its end, also when it was drawn backward."""
    off = (3.0, 0.0, 4.0, 0.0)
    piers = tuple(replace(p, at=(p.at[0] + by, p.at[1])) for p, by in zip(ATTACHED.piers, off, strict=True))
    layout = PlanLayout(ATTACHED.with_(piers=piers))
    assert layout.rows.off.tolist() == [3.0, 0.0, -4.0, 0.0]
    assert [[stop.off for stop in run.stops] for run in layout.runs] == [[0, 3, 0], [0, -4, 0]]


def test_piers_on_no_line_are_on_no_run() -> None:
    loose = PORCH.with_(piers=tuple(replace(p, line=None) for p in PORCH.piers))
    assert [run.stops for run in derive(loose).runs] == [(), ()]
    assert len(derive(loose).bays) == 0


def test_line_without_length_runs_toward_its_piers() -> None:
    line = BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, 0.0))
    piers = (Pier(id="P1", at=(600.0, 800.0), line="L1"), Pier(id="P2", at=(300.0, 400.0), line="L1"))
    (run,) = derive(Plan(lines=(line,), piers=piers)).runs
    assert stops(run) == [("P2", 500.0, 0.0), ("P1", 1000.0, 500.0)]


def test_gap_of_parallel_rows() -> None:
    (gap,) = derive(PORCH).gaps
    assert (gap.first, gap.second, gap.at_start, gap.at_end, gap.skew_deg) == ("L1", "L2", 3000.0, 3000.0, 0.0)


def test_gap_of_skewed_rows_at_both_ends() -> None:
    """The second row runs away from the first by 1 in 10."""
    lines = (PORCH.lines[0], replace(PORCH.lines[1], start=(1000.0, -5000.0), end=(7000.0, -5600.0)))
    piers = tuple(
        replace(p, at=(p.at[0], -5000 - (p.at[0] - 1000) / 10)) if p.line == "L2" else p for p in PORCH.piers
    )
    (gap,) = derive(PORCH.with_(lines=lines, piers=piers)).gaps
    assert (gap.at_start, gap.at_end) == pytest.approx((3000.0, 3600.0))
    assert gap.skew_deg == pytest.approx(5.71, abs=0.01)


def neighbours(plan: Plan) -> list[tuple[str, str]]:
    """Return which rows are neighbours."""
    return [(gap.first, gap.second) for gap in derive(plan).gaps]


def test_rows_are_neighbours_in_order_across_not_in_order_of_the_plan() -> None:
    plan = rows_plan([(0, 3000)] * 4, (0.0, -9000.0, -3000.0, -6000.0))
    assert neighbours(plan) == [("L1", "L3"), ("L3", "L4"), ("L4", "L2")]


def test_first_line_of_the_plan_comes_first_whichever_way_it_lies() -> None:
    assert neighbours(rows_plan([(0, 3000)] * 2, (0.0, -3000.0))) == [("L1", "L2")]
    assert neighbours(rows_plan([(0, 3000)] * 2, (0.0, 3000.0))) == [("L1", "L2")]


def test_rows_at_right_angles_are_no_neighbours() -> None:
    post = BeamLine(id="L9", start=(-2000.0, 0.0), end=(-2000.0, -6000.0))
    plan = rows_plan([(0, 3000)] * 2, (0.0, -3000.0))
    assert neighbours(plan.with_(lines=(*plan.lines, post))) == [("L1", "L2")]


def test_rows_one_after_the_other_are_no_neighbours() -> None:
    assert neighbours(rows_plan([(0, 3000), (9000, 12_000)], (0.0, -1000.0))) == []
    assert neighbours(rows_plan([(0, 3000), (9000, 12_000)], (0.0, 0.0))) == []


def test_a_long_row_has_two_short_ones_beside_it() -> None:
    plan = rows_plan([(0, 3000, 6000, 9000), (0, 3000), (6000, 9000)], (0.0, -3000.0, -3200.0))
    assert neighbours(plan) == [("L1", "L2"), ("L1", "L3")]


def test_a_row_in_between_parts_those_beyond() -> None:
    plan = rows_plan([(0, 9000), (0, 9000), (0, 9000)], (0.0, -3000.0, -6000.0))
    assert neighbours(plan) == [("L1", "L2"), ("L2", "L3")]


def test_line_that_has_no_direction_is_beside_nothing() -> None:
    dot = BeamLine(id="L9", start=(500.0, -1500.0), end=(500.0, -1500.0))
    plan = rows_plan([(0, 3000)] * 2, (0.0, -3000.0))
    assert neighbours(plan.with_(lines=(dot, *plan.lines))) == [("L1", "L2")]
