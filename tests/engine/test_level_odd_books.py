"""Books of any numbers, from any setups, on points at any places: nothing breaks, and every height is a number."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.levels.book import level_book
from layoutdesk.plan.model import SETUP_METHODS, Benchmark, Levels, Pier, Plan, Reading, Setup, SpotHeight
from layoutdesk.units import UNITS
from tests.strategies import plans

numbers = st.sampled_from((0.0, 1e7, -1e7, 1e-9, -1e-300, 5e-324, 1000.0)) | st.floats(-5000, 5000)
places = st.sampled_from(((0.0, 0.0), (0.0, 1e-9), (1e7, -1e7))) | st.tuples(numbers, numbers)


@st.composite
def odd_books(draw: st.DrawFn) -> Plan:
    """Return plans with three piers, three spots, and a book of anything."""
    names = ["B1", "B2", "P1", "P1 top", "P2", "P3", "G1", "G2", "G3", "T1", "T2"]
    kinds = st.sampled_from(("back", "fore"))
    row = st.builds(Reading, setup=st.integers(0, 5), point=st.sampled_from(names), kind=kinds, reading=numbers)
    marks = st.lists(st.sampled_from(["B1", "B2", "G1", "P1"]), unique=True, max_size=3)
    setup = st.builds(
        Setup,
        setup=st.integers(0, 5),
        method=st.sampled_from(SETUP_METHODS),
        deviation=st.sampled_from((None, 0.01, 1000.0)),
    )
    return Plan(
        units=draw(st.sampled_from(UNITS)),
        piers=tuple(Pier(id=f"P{n}", at=draw(places)) for n in (1, 2, 3)),
        spots=tuple(
            SpotHeight(id=f"G{n}", at=draw(places), elevation=draw(st.none() | numbers)) for n in (1, 2, 3)
        ),
        levels=Levels(
            benchmarks=tuple(
                Benchmark(id=name, elevation=draw(numbers), at=draw(st.none() | places)) for name in draw(marks)
            ),
            readings=tuple(draw(st.lists(row, max_size=30))),
            setups=tuple(draw(st.lists(setup, max_size=4, unique_by=lambda s: s.setup))),
        ),
    )


@given(odd_books() | plans())
def test_nothing_breaks_and_every_height_is_a_number(plan: Plan) -> None:
    found = level_book(plan)
    if found is None:
        assert not plan.levels.readings
        return
    for row in found.rows:
        assert row.booked is None or math.isfinite(row.booked)
        assert (row.booked is None) == (row.adjusted is None)
        assert row.adjusted is None or math.isfinite(row.adjusted)
    for point in found.points:
        assert (point.elevation is None) == math.isnan(point.within)
    for loop in found.loops:
        assert math.isfinite(loop.misclosure)
        assert loop.allowable > 0
        assert set(loop.setups) <= {reading.setup for reading in plan.levels.readings}
    assert all(text.endswith(".") and "nan" not in text for text in found.troubles)
