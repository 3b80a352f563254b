"""The heights of every pier by the rules of the plan, by hand and against another way of reckoning."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import PierHeight
from layoutdesk.plan.heights import (
    TOP_RULES,
    Benchmark,
    HeightSettings,
    LineHeights,
    PierHeights,
    Reading,
    TopRule,
)
from layoutdesk.plan.model import Detail, Levels, Pier, Plan
from tests.engine.motions import Motion, carried
from tests.engine.scenes import ATTACHED, PORCH
from tests.engine.yards import spots

CORNERS = ((-1000.0, 1000.0), (9000.0, 1000.0), (9000.0, -9000.0), (-1000.0, -9000.0))


def falling(plan: Plan, *, east: float = 0.01, north: float = 0.03, levels: Levels | None = None) -> Plan:
    """Return a plan whose ground is a plane that is 0 at the origin and rises so much east and north."""
    heights = [east * x + north * y for x, y in CORNERS]
    return plan.with_(spots=spots(CORNERS, heights), levels=levels or Levels())


def lines(*said: LineHeights, **fields: object) -> Levels:
    """Return levels with the heights of some lines."""
    return Levels(lines=said, **fields)  # type: ignore[arg-type]


def known(value: float | None) -> float:
    """Return a height that must be known."""
    assert value is not None
    return value


def test_plan_without_heights_has_rows_that_know_nothing() -> None:
    layout = derive(PORCH)
    assert [h.id for h in layout.heights] == [pier.id for pier in PORCH.piers]
    for h in layout.heights:
        assert (h.ground, h.lowest, h.top, h.bottom, h.dig, h.seat, h.built) == (None,) * 7
        assert h.ground_from == "none"
        assert math.isnan(h.within)
        assert h.says == "Nothing is known of the ground here; no top, as it goes by the ground."


def test_pier_on_a_slope_by_hand() -> None:
    """P1 at (1000, -2000): 10 - 60 = -50; its circle of 150 mm reaches down 150·√(0.01² + 0.03²) more."""
    h = derive(falling(PORCH)).height_of("P1")
    drop = 150 * math.hypot(0.01, 0.03)
    assert known(h.ground) == pytest.approx(-50.0)
    assert known(h.lowest) == pytest.approx(-50.0 - drop)
    assert known(h.top) == pytest.approx(0.0)
    assert known(h.bottom) == pytest.approx(-50.0 - drop - 800.0)
    assert known(h.dig) == pytest.approx(800.0 + drop)
    assert h.frost_governs is False
    assert h.ground_from == "surface"
    assert h.says == (
        "Ground from the surface between the spots; top 50 mm above the ground by its detail; bottom 800 mm below"
        " the lowest ground in its circle, as its detail says."
    ).replace("0 mm", "0\u00a0mm")


@pytest.mark.parametrize(("frost", "deep"), [(600.0, 800.0), (800.0, 800.0), (1200.0, 1200.0)])
def test_bottom_is_the_deeper_of_detail_and_frost(frost: float, deep: float) -> None:
    governs = frost > 800
    h = derive(falling(PORCH, levels=Levels(settings=HeightSettings(frost=frost)))).height_of("P1")
    assert known(h.lowest) - known(h.bottom) == pytest.approx(deep)
    assert h.frost_governs is governs
    assert ("as deep as it freezes" in h.says) is governs


def test_ground_is_typed_or_read_or_filled_in_that_order() -> None:
    """P1 typed and read, P2 read, P3 between the spots, P4 beyond them; the last one stands alone."""
    readings = (
        Reading(setup=1, point="B1", kind="back", reading=1500.0),
        Reading(setup=1, point="P1", kind="fore", reading=1620.0),
        Reading(setup=1, point="P2", kind="fore", reading=1650.0),
        Reading(setup=1, point="P2 top", kind="fore", reading=1480.0),
    )
    far = (Pier(id="P9", at=(20_000.0, -2000.0), detail="D1", mark="far one"),)
    plan = falling(
        PORCH.with_(piers=PORCH.piers + far),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            readings=readings,
            piers=(PierHeights(pier="P1", ground=-77.0),),
        ),
    )
    rows = {h.id: h for h in derive(plan).heights}
    assert (rows["P1"].ground, rows["P1"].ground_from) == (-77.0, "typed")
    assert known(rows["P2"].ground) == pytest.approx(-150.0)
    assert rows["P2"].ground_from == "reading"
    assert known(rows["P2"].built) == pytest.approx(20.0)
    assert rows["P3"].ground_from == "surface"
    assert rows["P9"].ground_from == "beyond the spots"
    assert rows["P9"].label == "far one"
    assert rows["P9"].within > rows["P3"].within > rows["P2"].within
    assert {h.built for name, h in rows.items() if name != "P2"} == {None}


def test_piers_that_were_read_are_spots_of_the_ground_themselves() -> None:
    """Without any spot: what three piers say is the ground of all others."""
    given_heights = (("P1", 10.0), ("P3", 70.0), ("P4", -20.0))
    plan = PORCH.with_(levels=Levels(piers=tuple(PierHeights(pier=p, ground=z) for p, z in given_heights)))
    layout = derive(plan)
    assert [spot.id for spot in layout.ground.spots] == ["P1", "P3", "P4"]
    assert known(layout.height_of("P2").ground) == pytest.approx(40.0)
    assert layout.height_of("P2").ground_from == "surface"


def test_one_pier_whose_ground_is_known_has_a_hole() -> None:
    h = derive(PORCH.with_(levels=Levels(piers=(PierHeights(pier="P1", ground=-30.0),)))).height_of("P1")
    assert (h.ground, h.lowest, h.top, h.bottom) == (-30.0, -30.0, 20.0, -830.0)


def test_pier_at_the_place_of_a_spot_has_its_ground() -> None:
    spot = (PORCH.piers[0].at, (5000.0, 0.0), (5000.0, -5000.0))
    h = derive(PORCH.with_(spots=spots(spot, [12.0, 0.0, 0.0]))).height_of("P1")
    assert (h.ground, h.ground_from) == (12.0, "typed")


def test_ground_typed_for_a_pier_stands_though_a_spot_there_says_otherwise() -> None:
    """The surface takes the mean of both; the hole of the pier still begins at what was typed for it."""
    spot = (PORCH.piers[0].at, (5000.0, 0.0), (5000.0, -5000.0))
    levels = Levels(piers=(PierHeights(pier="P1", ground=-60.0),))
    h = derive(PORCH.with_(spots=spots(spot, [60.0, 60.0, 60.0]), levels=levels)).height_of("P1")
    assert (h.ground, h.lowest, h.bottom) == (-60.0, -60.0, -860.0)


def test_tops_follow_reveal_level_or_string() -> None:
    """L1 level at 120; L2 120 below a string that is typed: 500 at x = 800, parallel to a beam that falls 2 %."""
    said = (
        LineHeights(line="L1", top="level", pier_top=120.0),
        LineHeights(line="L2", top="string", pier_top=120.0, string=500.0, string_rule="beam", fall=0.02),
    )
    plan = falling(PORCH, levels=lines(*said))
    rows = {h.id: h for h in derive(plan).heights}
    assert [rows[p].top for p in ("P1", "P2", "P3")] == [120.0, 120.0, 120.0]
    tops = [known(rows[p].top) for p in ("P4", "P5", "P6")]
    assert tops == pytest.approx([500.0 - 0.02 * (x - 800) - 120 for x in (1000, 4000, 7000)])
    assert "top level with all of L1" in rows["P1"].says
    assert "top 120\u00a0mm below the string of L2" in rows["P4"].says


def test_typed_top_goes_before_every_rule() -> None:
    rules: tuple[TopRule, ...] = ("reveal", "level", "string")
    for rule in rules:
        levels = lines(
            LineHeights(line="L1", top=rule, pier_top=5.0, string=600.0), piers=(PierHeights(pier="P1", top=33.0),)
        )
        h = derive(falling(PORCH, levels=levels)).height_of("P1")
        assert (h.top, h.top_rule) == (33.0, rule)
        assert "top as typed" in h.says


UNKNOWN_TOPS = {
    "level without a height": (LineHeights(line="L1", top="level"), "no top, as none is given for L1"),
    "string without a distance": (LineHeights(line="L1", top="string"), "no top, as none is given for L1"),
}


@pytest.mark.parametrize(("said", "words"), UNKNOWN_TOPS.values(), ids=UNKNOWN_TOPS)
def test_top_that_nothing_gives_is_not_known(said: LineHeights, words: str) -> None:
    h = derive(falling(PORCH, levels=lines(said))).height_of("P1")
    assert h.top is None
    assert words in h.says
    assert h.bottom is not None


def test_string_that_cannot_be_proposed_gives_no_top() -> None:
    plan = PORCH.with_(levels=lines(LineHeights(line="L1", top="string", pier_top=100.0)))
    h = derive(plan).height_of("P1")
    assert h.top is None
    assert "the string of L1 has no height" in h.says


def test_pier_without_a_detail_has_ground_and_no_more() -> None:
    plan = PORCH.with_(piers=(replace(PORCH.piers[0], detail=None), *PORCH.piers[1:]))
    h = derive(falling(plan, levels=Levels(settings=HeightSettings(frost=900.0)))).height_of("P1")
    assert known(h.ground) == pytest.approx(-50.0)
    assert (h.top, h.bottom, h.dig, h.frost_governs) == (None, None, None, False)
    assert h.says.endswith("no top, as it has no detail; no bottom, as no detail says how deep it goes.")


def test_seat_falls_away_from_the_lines_zero() -> None:
    """L2 was drawn toward the house: its running dimensions still begin at its attachment."""
    said = [LineHeights(line=name, seat=2500.0, fall=1 / 48) for name in ("L1", "L2")]
    rows = {h.id: h for h in derive(falling(ATTACHED, levels=lines(*said))).heights}
    assert [known(rows[p].seat) for p in ("P1", "P2", "P3", "P4")] == pytest.approx(
        [2500 - 2500 / 48, 2500 - 5500 / 48] * 2
    )


def test_belled_pier_looks_for_the_lowest_ground_in_its_widest_circle() -> None:
    bell = Detail(id="D1", profile=((0.0, 300.0), (600.0, 300.0), (900.0, 800.0)), reveal=50.0)
    h = derive(falling(PORCH.with_(details=(bell,)))).height_of("P1")
    assert known(h.lowest) == pytest.approx(-50.0 - 400 * math.hypot(0.01, 0.03))
    assert known(h.lowest) - known(h.bottom) == pytest.approx(900.0)


def test_the_pier_of_an_unknown_id_has_no_row() -> None:
    with pytest.raises(KeyError):
        derive(PORCH).height_of("P99")


def test_many_piers_are_as_another_way_reckons_them() -> None:
    """Scipy's surface, a ring of samples round each pier, and the rules written out once more."""
    rng = np.random.default_rng(11)
    at = rng.uniform(0, 9000, (400, 2)) * np.array([1.0, -1.0])
    places = np.concatenate((rng.uniform(-500, 9500, (40, 2)) * np.array([1.0, -1.0]), np.array(CORNERS)))
    heights = 0.02 * places[:, 0] + 0.03 * places[:, 1] + rng.normal(0, 30, len(places))
    said = LineHeights(line="L1", seat=2000.0, fall=0.015, top="level", pier_top=-50.0)
    piers = tuple(
        Pier(id=f"P{k}", at=(x, y), line="L1" if k % 2 else None, detail="D1")
        for k, (x, y) in enumerate(at.tolist())
    )
    plan = PORCH.with_(piers=piers, spots=spots(places.tolist(), heights.tolist()), levels=lines(said))
    surface = LinearNDInterpolator(places, heights)
    turns = np.arange(360) * math.pi / 180
    ring = np.column_stack((np.cos(turns), np.sin(turns)))
    start = plan.lines[0].start
    for k, h in enumerate(derive(plan).heights):
        x, y = at[k].tolist()
        ground = float(surface(x, y))
        samples = surface(np.concatenate([at[k] + r * ring for r in (0.0, 50.0, 100.0, 149.99)]))
        assert known(h.ground) == pytest.approx(ground, abs=1e-6)
        assert known(h.lowest) <= float(np.nanmin(samples)) + 1e-3
        assert known(h.lowest) == pytest.approx(float(np.nanmin(samples)), abs=1.0)
        assert known(h.bottom) == pytest.approx(known(h.lowest) - 800, abs=1e-9)
        assert known(h.top) == pytest.approx(-50.0 if k % 2 else ground + 50.0, abs=1e-6)
        assert h.seat == (pytest.approx(2000 - 0.015 * (x - start[0])) if k % 2 else None)


motions = st.builds(
    Motion,
    by=st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5)),
    degrees=st.floats(0, 360),
    mirror=st.booleans(),
)
rules: st.SearchStrategy[TopRule] = st.sampled_from(TOP_RULES)
elevations = st.floats(-3000, 3000)


@st.composite
def sloping_plans(draw: st.DrawFn) -> Plan:
    """Return the porch with heights of every kind."""
    said = [
        LineHeights(
            line=name,
            seat=draw(st.none() | elevations),
            fall=draw(st.floats(-0.1, 0.1)),
            top=draw(rules),
            pier_top=draw(st.none() | st.floats(-300, 300)),
            string=draw(st.none() | elevations),
            string_rule=draw(st.sampled_from(("level", "beam"))),
        )
        for name in ("L1", "L2")
    ]
    own = [
        PierHeights(pier=f"P{k}", ground=draw(st.none() | elevations), top=draw(st.none() | elevations))
        for k in draw(st.lists(st.integers(1, 6), unique=True, max_size=3))
    ]
    cell = st.tuples(st.integers(-4, 10), st.integers(-9, 3))
    cells = draw(st.lists(cell, unique=True, max_size=7))
    heights = draw(st.lists(elevations, min_size=len(cells), max_size=len(cells)))
    frost = draw(st.none() | st.floats(0, 1500))
    return PORCH.with_(
        spots=spots([(1000.0 * x, 1000.0 * y) for x, y in cells], heights),
        levels=Levels(lines=tuple(said), piers=tuple(own), settings=HeightSettings(frost=frost)),
    )


def same(one: PierHeight, other: PierHeight, up: float = 0.0) -> bool:
    """Return whether all of a row is that of another, its elevations raised."""
    raised = {"ground", "lowest", "top", "built", "bottom", "seat"}
    for field in dataclasses.fields(one):
        a, b = getattr(one, field.name), getattr(other, field.name)
        if isinstance(a, float) and isinstance(b, float):
            lift = up if field.name in raised else 0.0
            if not (math.isnan(a) and math.isnan(b)) and abs(a + lift - b) > 1e-5:
                return False
        elif a != b:
            return False
    return True


@settings(max_examples=60)
@given(sloping_plans(), motions)
def test_a_plan_that_is_carried_elsewhere_keeps_its_heights(plan: Plan, motion: Motion) -> None:
    """Moved, turned and mirrored: heights belong to the ground, not to the drawing's axes."""
    other = derive(carried(plan, motion))
    for one, moved in zip(derive(plan).heights, other.heights, strict=True):
        assert same(one, moved)


@settings(max_examples=60)
@given(sloping_plans(), st.integers(-40, 40).map(lambda k: 100.0 * k))
def test_a_job_whose_zero_lies_elsewhere_is_the_same_job(plan: Plan, up: float) -> None:
    """Every elevation raised by the same: all that follows is raised by it, and depths stay."""

    def lift(value: float | None) -> float | None:
        return None if value is None else value + up

    raised = plan.with_(
        spots=tuple(replace(s, elevation=lift(s.elevation)) for s in plan.spots),
        levels=replace(
            plan.levels,
            lines=tuple(
                replace(
                    h,
                    seat=lift(h.seat),
                    string=lift(h.string),
                    pier_top=lift(h.pier_top) if h.top == "level" else h.pier_top,
                )
                for h in plan.levels.lines
            ),
            piers=tuple(replace(h, ground=lift(h.ground), top=lift(h.top)) for h in plan.levels.piers),
        ),
    )
    for one, other in zip(derive(plan).heights, derive(raised).heights, strict=True):
        assert same(one, other, up)
