"""The geometry behind the drawing of a section: words apart, points in order, one scale both ways."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.profile_hand import drag_step, holds_of, moved, with_point, without_point
from layoutdesk.desk.notebook.section_scale import fitted, reach_of, spread
from layoutdesk.desk.notebook.section_view import few
from layoutdesk.desk.notebook.section_words import Callout, depth_words, width_words
from layoutdesk.desk.notebook.shapes import SHAPES, profile_of, shape_of
from layoutdesk.engine.derive import derive
from layoutdesk.plan import edits
from layoutdesk.plan.model import CastIn, Detail, Plan, Steel
from layoutdesk.units import inches

HEIGHTS = st.lists(st.floats(-500, 900), max_size=14).map(sorted)


@settings(max_examples=25)
@given(HEIGHTS)
def test_words_never_lie_on_one_another_and_move_only_where_they_must(wanted: list[float]) -> None:
    places = spread(wanted, 15.0, 10.0, 400.0)
    assert all(b - a >= 15.0 - 1e-9 for a, b in pairwise(places))
    assert all(10.0 - 1e-9 <= y <= 400.0 + 1e-9 for y in places)
    free = [y for y in wanted if 10 <= y <= 400]
    if free == wanted and all(b - a >= 15 for a, b in pairwise(wanted)):
        assert places == pytest.approx(wanted)


@st.composite
def details(draw: st.DrawFn) -> Detail:
    """Return a detail of a building site: any profile, round or square, with and without tube, post and steel."""
    count = draw(st.integers(2, 5))
    depths = sorted([0.0, *(float(draw(st.integers(0, 30)) * 50) for _ in range(count - 1))])
    depths[-1] += 100.0
    widths = [float(draw(st.integers(4, 24)) * 50) for _ in depths]
    return Detail(
        id="D1",
        profile=tuple(zip(depths, widths, strict=True)),
        reveal=draw(st.sampled_from([-40.0, 0.0, 80.0])),
        tube=draw(st.sampled_from([None, 0.0, depths[-1]])),
        square_from=draw(st.sampled_from([None, depths[1]])),
        cast_in=draw(st.sampled_from([None, CastIn(), CastIn(kind="post")])),
        steel=draw(st.sampled_from([None, Steel(), Steel(hook=90, stands_out=300.0)])),
    )


@settings(max_examples=25)
@given(details(), st.data())
def test_any_detail_is_drawn_inside_its_box_and_shaped_into_one_that_can_be(
    detail: Detail, data: st.DataObject
) -> None:
    """Whatever is pulled wherever, the points stay in order and the plan takes the detail that comes of it."""
    plan = Plan(details=(detail,))
    section = derive(plan).sections[0]
    reach = reach_of(section)
    at = fitted(reach, x0=50, wide=120, y0=20, tall=300)
    assert at.x(reach.half) <= 170 + 1e-6
    assert 20 - 1e-6 <= at.y(reach.high) < at.y(reach.low) <= 320 + 1e-6
    text = LengthText.of(plan)
    for words in (depth_words(section, text), width_words(section, detail, text)):
        assert words == sorted(words, key=lambda word: word.depth)
        assert all(reach.high - 1e-6 <= word.depth <= reach.low + 1e-6 for word in words)
    hold = data.draw(st.sampled_from(holds_of(detail)))
    straight = data.draw(st.booleans())
    after = moved(
        detail, hold, data.draw(st.floats(-3000, 9000)), data.draw(st.floats(10, 3000)), straight=straight
    )
    depths = [depth for depth, _ in after.profile]
    assert depths == sorted(depths)
    assert edits.replace_detail(plan, after).detail("D1") == after


def test_of_very_many_words_the_first_the_last_and_some_between_are_written() -> None:
    words = [Callout(0.0, float(k), str(k)) for k in range(200)]
    chosen = few(words)
    assert (chosen[0], chosen[-1], len(chosen)) == (words[0], words[-1], 24)
    assert few(words[:24]) == words[:24]


def test_a_point_that_is_added_changes_nothing_and_goes_away_again() -> None:
    bell = Detail(id="D1", profile=((0.0, 300.0), (600.0, 300.0), (800.0, 400.0)))
    more = with_point(bell, 1, 150.0)
    assert more.profile[2] == (700.0, 350.0)
    assert without_point(more, 2) == bell
    assert with_point(bell, 2, 150.0).profile[3] == (950.0, 400.0)
    short = Detail(id="D1", profile=bell.profile[:2])
    assert without_point(short, 1) == short


@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_the_shapes_are_what_they_are_called(units: str) -> None:
    begun = Detail(id="D1", profile=((0.0, inches(12)), (inches(32), inches(12))))
    for shape in SHAPES:
        if shape != "own":
            made = replace(begun, profile=profile_of(shape, begun, units))  # type: ignore[arg-type]
            assert shape_of(made) == shape
            assert made.profile[-1][0] == begun.profile[-1][0]


def test_dragging_goes_by_whole_steps_of_the_rounding_that_a_pixel_can_show() -> None:
    assert drag_step(1.5875, "ft-in", 1.0) == 1.5875
    assert drag_step(1.5875, "ft-in", 0.3) == pytest.approx(6.35)
    assert drag_step(1.0, "m", 0.3) == 5.0
    assert drag_step(7.0, "mm", 0.01) == 7.0
