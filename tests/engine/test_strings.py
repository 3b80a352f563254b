"""Strings over beam lines and across rows: where their boards stand, how high they hang, which lies on top."""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.engine.levels.crossings import string_crossings
from layoutdesk.engine.levels.entries import PierHeight, StringRun
from layoutdesk.engine.levels.ground_contract import GroundBelow
from layoutdesk.engine.levels.string_heights import CLEAR_MM, string_heights
from layoutdesk.engine.levels.strings import BEYOND_MARKS_MM, Strings
from layoutdesk.geometry.vector import distance
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Detail,
    HeightSettings,
    Keepout,
    Levels,
    LineHeights,
    Pier,
    Plan,
    Wall,
)
from tests.engine.slopes import NoYard, PlaneYard

CLEAR = 900.0


def porch(*, keepouts: tuple[Keepout, ...] = (), lines: tuple[LineHeights, ...] = ()) -> Plan:
    """Return two beam lines from a wall along x into a yard below it, with two piers each at 2 m and 4 m."""
    return Plan(
        units="mm",
        rounding=1.0,
        walls=(Wall(id="W1", points=((0.0, 0.0), (8000.0, 0.0)), house_side="left"),),
        attachments=(
            Attachment(id="A1", at=(1000.0, 0.0), kind="ledger"),
            Attachment(id="A2", at=(5000.0, 0.0), kind="ledger"),
        ),
        lines=(
            BeamLine(id="L1", start=(1000.0, 0.0), end=(1000.0, -4300.0), attachment="A1"),
            BeamLine(id="L2", start=(5000.0, 0.0), end=(5000.0, -4300.0), attachment="A2"),
        ),
        piers=(
            Pier(id="P1", at=(1000.0, -2000.0), line="L1", detail="D1"),
            Pier(id="P2", at=(1000.0, -4000.0), line="L1", detail="D1"),
            Pier(id="P3", at=(5000.0, -2000.0), line="L2", detail="D1"),
            Pier(id="P4", at=(5000.0, -4000.0), line="L2", detail="D1"),
        ),
        details=(Detail(id="D1", profile=((0.0, 300.0), (800.0, 400.0)), reveal=50.0),),
        keepouts=keepouts,
        levels=Levels(lines=lines, settings=HeightSettings(board_clear=CLEAR, line_gap=12.0)),
    )


def strung(plan: Plan, yard: GroundBelow, heights: dict[str, PierHeight] | None = None) -> dict[str, StringRun]:
    layout = PlanLayout(plan)
    strings = Strings(
        plan,
        rows=layout.rows,
        families=layout.families,
        obstacles=layout.obstacles,
        ground=yard,
        heights=heights or {},
        hung=string_heights(plan, layout.rows, yard),
    )
    return {run.id: run for run in strings.runs()}


def test_a_string_over_a_beam_line_runs_from_the_house_to_a_board_clear_of_the_digging() -> None:
    run = strung(porch(), PlaneYard())["L1"]
    near, far = run.boards
    assert (near.held_by, near.at) == ("house", (1000.0, 0.0))
    assert far.held_by == "board"
    assert far.at == pytest.approx((1000.0, -(4000.0 + 200.0 + CLEAR)))
    assert run.length == pytest.approx(5100.0)
    assert run.troubles == ()


def test_rows_across_the_lines_have_a_string_with_a_board_at_both_ends() -> None:
    runs = strung(porch(), PlaneYard())
    assert set(runs) == {"L1", "L2", "P1 across", "P2 across"}
    across = runs["P2 across"]
    assert [board.held_by for board in across.boards] == ["board", "board"]
    assert [stop.pier for stop in across.stops] == ["P2", "P4"]
    assert [board.at for board in across.boards] == [
        pytest.approx((1000.0 - 200.0 - CLEAR, -4000.0)),
        pytest.approx((5000.0 + 200.0 + CLEAR, -4000.0)),
    ]


def test_a_board_goes_beyond_a_tree_that_stands_where_it_would() -> None:
    tree = Keepout(id="K1", outline=((500, -5000), (1500, -5000), (1500, -5400), (500, -5400)), kind="tree")
    run = strung(porch(keepouts=(tree,)), PlaneYard())["L1"]
    assert run.boards[1].at == pytest.approx((1000.0, -5400.0))
    assert run.troubles == ("tree K1 stands in the way of the string of L1",)


def test_without_any_free_place_the_string_says_what_is_in_the_way() -> None:
    tree = Keepout(id="K1", outline=((-500, -4500), (1500, -4500), (1500, -30_000), (-500, -30_000)), kind="tree")
    run = strung(porch(keepouts=(tree,)), PlaneYard())["L1"]
    assert run.troubles[0] == (
        "there is no free place for a board of the string of L1 beyond P2: tree K1 is in the way"
    )


def test_a_proposed_string_clears_the_ground_and_the_tops_by_a_hand_and_is_a_whole_centimetre_high() -> None:
    yard = PlaneYard(height=-103.0, north=0.02)
    run = strung(porch(), yard)["L1"]
    wanted = max(-103.0 + CLEAR_MM, -103.0 - 2000 * 0.02 + 50.0 + CLEAR_MM)
    assert run.proposed
    assert run.boards[1].string == math.ceil(wanted / 10) * 10


@given(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), st.floats(0, 0.1), st.sampled_from(["level", "beam"]))
def test_no_proposed_string_touches_ground_or_tops(east: float, north: float, fall: float, rule: str) -> None:
    yard = PlaneYard(height=20.0, east=east, north=north)
    said = LineHeights(line="L1", fall=fall, string_rule="level" if rule == "level" else "beam")
    run = strung(porch(lines=(said,)), yard)["L1"]
    for stop, pier in zip(run.stops, porch().piers[:2], strict=True):
        assert stop.string is not None
        assert stop.string - yard.up(pier.at) - 50.0 >= CLEAR_MM - 1e-6
    assert run.rise == (0.0 if rule == "level" else -fall)


def test_a_typed_string_hangs_where_it_is_typed_and_falls_with_its_beam() -> None:
    said = LineHeights(line="L1", fall=1 / 48, string=500.0, string_rule="beam")
    run = strung(porch(lines=(said,)), PlaneYard())["L1"]
    assert not run.proposed
    assert [stop.string for stop in run.stops] == [pytest.approx(500 - 2000 / 48), pytest.approx(500 - 4000 / 48)]
    assert run.boards[0].above_ground == pytest.approx(500.0)


def test_strings_across_lie_the_gap_above_those_that_they_cross() -> None:
    plan = porch(lines=(LineHeights(line="L1", string=300.0), LineHeights(line="L2", string=340.0)))
    runs = strung(plan, PlaneYard())
    found = {(c.upper, c.lower): c for c in string_crossings(plan, tuple(runs.values()))}
    assert set(found) == {(f"P{k} across", line) for k in (1, 2) for line in ("L1", "L2")}
    assert found["P1 across", "L2"].gap == pytest.approx(12.0)
    assert found["P1 across", "L1"].gap == pytest.approx(52.0)
    assert found["P1 across", "L1"].at == pytest.approx((1000.0, -2000.0))
    assert found["P1 across", "L2"].says == "The string across P1–P3 lies 12\u00a0mm over the string of L2."


def test_two_strings_that_would_touch_are_said_with_what_to_do() -> None:
    plan = porch()
    slanting = replace(
        plan,
        lines=(*plan.lines, BeamLine(id="L3", start=(0.0, -3000.0), end=(6500.0, -3300.0))),
        piers=(*plan.piers, Pier(id="P5", at=(3000.0, -3138.4615384615386), line="L3", detail="D1")),
        levels=replace(
            plan.levels,
            lines=tuple(LineHeights(line=name, string=300.0) for name in ("L1", "L2", "L3")),
            settings=replace(plan.levels.settings, board_clear=2000.0),
        ),
    )
    runs = strung(slanting, PlaneYard())
    crossed = [c for c in string_crossings(slanting, tuple(runs.values())) if {c.upper, c.lower} == {"L1", "L3"}]
    assert [c.says for c in crossed] == [
        "The string of L3 would touch the string of L1 where they cross: hang it 12\u00a0mm higher."
    ]


def test_marks_show_the_line_and_both_edges_of_hole_and_column() -> None:
    run = strung(porch(), PlaneYard())["L1"]
    assert [(m.of, m.across) for m in run.boards[1].marks] == [
        ("pier edge", 150.0),
        ("column edge", pytest.approx(69.85)),
        ("line", 0.0),
        ("column edge", pytest.approx(-69.85)),
        ("pier edge", -150.0),
    ]


def test_without_ground_and_without_a_typed_height_nothing_is_guessed() -> None:
    run = strung(porch(), NoYard())["L1"]
    assert [stop.string for stop in run.stops] == [None, None]
    assert run.boards[1].above_ground is None


def test_a_long_slack_line_says_that_its_sag_matters() -> None:
    plan = porch()
    slack = replace(plan, levels=replace(plan.levels, settings=HeightSettings(line_mass=5.0, line_pull=10.0)))
    said = strung(slack, PlaneYard())["L1"].sag_says
    assert said is not None
    assert said.startswith(
        "The string of L1 hangs 16\u00a0mm low in the middle of its 5114\u00a0mm: pull it harder"
    )


@given(
    st.lists(st.tuples(st.floats(-3000, 9000), st.floats(-9000, -200), st.floats(50, 1500)), max_size=4),
    st.floats(0, 1500),
)
def test_boards_stand_clear_of_digging_and_keep_outs(
    rounds: list[tuple[float, float, float]], clear: float
) -> None:
    keepouts = tuple(
        Keepout(id=f"K{n}", outline=tuple(shapely.Point(x, y).buffer(r).exterior.coords[:-1]), kind="other")
        for n, (x, y, r) in enumerate(rounds, start=1)
    )
    plan = porch(keepouts=keepouts)
    plan = replace(plan, levels=replace(plan.levels, settings=replace(plan.levels.settings, board_clear=clear)))
    for run in strung(plan, PlaneYard()).values():
        if any("no free place" in trouble for trouble in run.troubles):
            continue
        (x0, y0), (x1, y1) = (board.at for board in run.boards)
        u, v = (x1 - x0) / run.length, (y1 - y0) / run.length
        half = 150.0 + BEYOND_MARKS_MM - 0.01
        for board in run.boards:
            if board.held_by == "house":
                continue
            (x, y) = board.at
            wood = shapely.LineString([(x - v * half, y + u * half), (x + v * half, y - u * half)])
            for pier in plan.piers:
                assert wood.distance(shapely.Point(pier.at)) >= 200.0 + clear - 0.01
            for keepout in keepouts:
                assert shapely.Polygon(keepout.outline).buffer(-0.01).disjoint(wood)


def test_running_is_counted_from_the_zero_of_the_line() -> None:
    run = strung(porch(), PlaneYard())["L2"]
    assert [stop.running for stop in run.stops] == [2000.0, 4000.0]
    assert distance(run.boards[0].at, run.boards[1].at) == pytest.approx(run.length)
