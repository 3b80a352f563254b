"""Hypothesis strategies of heights: level books that hang together or not, and the rules for lines and piers."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from layoutdesk.plan.model import (
    SETUP_METHODS,
    STRING_RULES,
    TOP_RULES,
    BeamLine,
    Benchmark,
    ColumnRule,
    Extra,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    PierHeights,
    Reading,
    Setup,
)

heights = st.floats(-5000, 5000)
"""Elevations of a site, in millimetres."""


def levels(
    draw: st.DrawFn,
    stops: Sequence[str],
    lines: Sequence[BeamLine],
    piers: Sequence[Pier],
    *,
    extra: st.SearchStrategy[Extra],
    names: st.SearchStrategy[str],
) -> Levels:
    """Return heights: a level book that hangs together or not, and rules for some of the lines and piers."""
    points = st.sampled_from(
        [*stops, *(f"{p.id}{ending}" for p in piers for ending in (" top", " support")), "TP1"]
    )
    marks = st.lists(
        st.builds(
            Benchmark, id=points | names, elevation=heights, at=st.none() | st.tuples(heights, heights), extra=extra
        ),
        max_size=3,
        unique_by=lambda mark: mark.id,
    )
    readings = st.lists(
        st.builds(
            Reading,
            setup=st.integers(1, 4),
            point=points | names,
            kind=st.sampled_from(("back", "fore")),
            reading=st.floats(-5000, 5000),
            extra=extra,
        ),
        max_size=12,
    )
    return Levels(
        benchmarks=tuple(draw(marks)),
        readings=tuple(draw(readings)),
        setups=tuple(draw(st.lists(_setups(extra), max_size=3, unique_by=lambda setup: setup.setup))),
        lines=tuple(draw(_line_heights(line.id, extra)) for line in lines if draw(st.booleans())),
        piers=tuple(draw(_pier_heights(pier.id, extra)) for pier in piers if draw(st.booleans())),
        columns=draw(st.just(ColumnRule()) | _columns(extra)),
        settings=draw(st.just(HeightSettings()) | _height_settings(extra)),
        extra=draw(extra),
    )


def _setups(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[Setup]:
    return st.builds(
        Setup,
        setup=st.integers(0, 9),
        method=st.sampled_from(SETUP_METHODS),
        deviation=st.none() | st.floats(0.1, 20),
        extra=extra,
    )


def _line_heights(line: str, extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[LineHeights]:
    return st.builds(
        LineHeights,
        line=st.just(line),
        seat=st.none() | heights,
        fall=st.just(0.0) | st.floats(-0.1, 0.1),
        top=st.sampled_from(TOP_RULES),
        pier_top=st.none() | heights,
        string=st.none() | heights,
        string_rule=st.sampled_from(STRING_RULES),
        extra=extra,
    )


def _pier_heights(pier: str, extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[PierHeights]:
    some = st.none() | heights
    return st.builds(PierHeights, pier=st.just(pier), ground=some, top=some, support=some, extra=extra)


def _columns(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[ColumnRule]:
    return st.builds(
        ColumnRule,
        width=st.floats(1, 400),
        depth=st.floats(1, 400),
        foot=st.floats(-500, 200),
        cap=st.floats(0, 300),
        margin=st.floats(0, 300),
        support=st.floats(-100, 1000),
        stock=st.lists(st.floats(100, 10_000), max_size=3).map(tuple),
        extra=extra,
    )


def _height_settings(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[HeightSettings]:
    return st.builds(
        HeightSettings,
        deviation=st.floats(0.1, 10),
        misclosure=st.floats(0.1, 20),
        frost=st.none() | st.floats(0, 2000),
        board_clear=st.floats(0, 3000),
        line_mass=st.floats(0, 10),
        line_pull=st.floats(1, 200),
        line_gap=st.floats(0, 50),
        contour=st.none() | st.floats(10, 1000),
        exaggeration=st.floats(1, 20),
        extra=extra,
    )
