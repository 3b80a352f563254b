"""Cages of details: where bars and hoops stand, what is cut for them, and what is said of them."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.holes.cages import NO_CAGE, CageFound, cage_of
from layoutdesk.engine.holes.section import pier_parts
from layoutdesk.engine.steel.bends import hook
from layoutdesk.engine.steel.hoops import lap
from layoutdesk.engine.steel.sizes import bar
from layoutdesk.plan.edits import usual_steel
from layoutdesk.plan.model import CastIn, Detail, Steel
from layoutdesk.units import format_small
from tests import hole_strategies

FOOT, INCH = 304.8, 25.4
FINE = 0.001
SHAFT = Detail(id="D1", profile=((0.0, FOOT), (32 * INCH, FOOT)), reveal=6 * INCH, steel=usual_steel("ft-in"))
BELL = replace(SHAFT, profile=((0.0, FOOT), (20 * INCH, FOOT), (32 * INCH, 3 * FOOT)))


def cage(detail: Detail, **steel: object) -> CageFound:
    """Return the cage of a detail with some of its steel changed."""
    assert detail.steel is not None
    changed = replace(detail, steel=replace(detail.steel, **steel))  # type: ignore[arg-type]
    return cage_of(changed, units="ft-in", rounding=FINE)


def bad(found: CageFound) -> list[str]:
    """Return what is bad about a cage."""
    return [check.about for check in found.checks if not check.good]


def test_usual_cage_of_a_usual_pier_is_that_of_pencil_and_paper() -> None:
    """38 in high less 3 in at both ends: bars of 32 in; 26 in between the outer hoops at most 8 in apart: 5 hoops.

    Source of masses: ASTM A615, 0.668 and 0.376 lb to the foot. Hooks of 135° add 3 in and 0.75 π (2 + ½) d each.
    """
    found = cage(SHAFT)
    bars, hoops = found.cage.kinds
    assert (bars.what, bars.bar.name, bars.count) == ("bar", "No. 4", 4)
    assert (hoops.what, hoops.bar.name, hoops.count) == ("hoop", "No. 3", 5)
    assert bars.cut / INCH == pytest.approx(32.0)
    around = math.pi * (6 - 0.375) + 6 + 2 * (0.75 * math.pi * 2.5 * 0.375 + 3)
    assert hoops.cut / INCH == pytest.approx(around)
    pounds = 4 * 32 / 12 * 0.668 + 5 * around / 12 * 0.376
    assert found.cage.mass / 0.45359237 == pytest.approx(pounds)
    assert [round(depth / INCH, 6) for depth in found.hoops] == [0.0, 6.5, 13.0, 19.5, 26.0]
    assert found.hoop_width == pytest.approx(6 * INCH)
    assert found.cover == pytest.approx((3 * INCH, 3 * INCH, 3 * INCH))
    outermost = (6 / 2 - 0.375 - 0.25) * INCH
    assert [one.across for one in found.bars] == pytest.approx([-outermost, 0.0, 0.0, outermost], abs=1e-9)
    assert {(round(one.top / INCH, 6), round(one.bottom / INCH, 6)) for one in found.bars} == {(-3.0, 29.0)}
    assert bad(found) == []
    assert bad(cage_of(replace(SHAFT, steel=usual_steel("mm")), units="mm", rounding=1.0)) == []


@given(
    detail=hole_strategies.details(
        "D1",
        st.lists(st.tuples(st.floats(1, 2500), st.floats(150, 1500)), min_size=1, max_size=4).map(
            lambda points: tuple(sorted(points, key=lambda point: point[0]))
        ),
        st.just(()),
        st.just("No. 5"),
    )
)
def test_every_cage_keeps_its_cover_or_says_why_there_is_none(detail: Detail) -> None:
    """Oracle: widths of the parts walked down bar by bar; distances of discs on a circle."""
    found = cage_of(detail, units="mm", rounding=FINE)
    steel = detail.steel
    if steel is None:
        assert found is NO_CAGE
        return
    if found.trouble:
        assert found.trouble.endswith(".")
        assert not found.cage.kinds
        assert not found.bars
        return
    parts = pier_parts(detail)
    main = bar(steel.bar)
    top, foot = max(parts[0].top, min(one.top for one in found.bars)), max(one.bottom for one in found.bars)
    reach = [abs(one.across) + main.diameter / 2 for one in found.bars]
    rim = found.hoop_width / 2 if steel.hoop else max(reach)
    assert max(reach) <= rim + 1e-6
    widths = [
        part.width(depth)
        for part in parts
        for depth in (max(part.top, top), min(part.bottom, foot))
        if part.bottom > top + 1e-6 and part.top < foot - 1e-6
    ]
    assert min(widths) / 2 - rim >= steel.cover - 1e-6
    assert found.cover is not None
    assert found.cover[0] == pytest.approx(min(widths) / 2 - rim, abs=1e-6)
    assert parts[-1].bottom - foot == pytest.approx(steel.cover_ends, abs=1e-6)
    assert found.cage.kinds[0].count == steel.bars
    assert sum(kind.mass for kind in found.cage.kinds) == pytest.approx(found.cage.mass)
    gaps = [below - above for above, below in pairwise(found.hoops)]
    assert all(0 < gap <= steel.spacing + 1e-6 for gap in gaps)
    assert all(top - 1e-6 <= depth <= foot + 1e-6 for depth in found.hoops)
    assert len(found.pieces_say) == len(found.cage.kinds) + 1
    assert all(one.endswith(".") for one in (*(check.says for check in found.checks), *found.pieces_say))


def test_bars_stand_as_far_in_as_the_narrowest_width_along_them_asks() -> None:
    tapered = replace(SHAFT, profile=((0.0, 400.0), (1000.0, 300.0)), reveal=0.0)
    found = cage(tapered, cover=50.0, cover_ends=100.0)
    assert found.hoop_width == pytest.approx(310.0 - 100.0)  # 310 mm wide where the bars end, 900 mm down
    assert cage(BELL).hoop_width == pytest.approx(6 * INCH)


def test_cover_in_a_tube_and_against_the_ground_are_looked_at_apart() -> None:
    """ACI 318-19, table 20.5.1.3.1: 1½ in where formed, 3 in against the ground."""
    tube = replace(
        SHAFT,
        profile=((0.0, FOOT), (20 * INCH, FOOT), (20 * INCH, 16 * INCH), (32 * INCH, 16 * INCH)),
        tube=20 * INCH,
    )
    good = cage(tube, cover=1.5 * INCH)
    assert bad(good) == []
    assert f"cover of {format_small(3.5 * INCH, 'ft-in', FINE)} is enough" in " ".join(
        check.says for check in good.checks
    )
    assert bad(cage(replace(tube, tube=None), cover=1.5 * INCH)) == ["cover"]
    assert bad(cage(tube, cover=1.0 * INCH)) == ["cover"]
    assert bad(cage(tube, cover=1.5 * INCH, cover_ends=2 * INCH)) == ["cover"]


def test_hooks_turn_where_there_is_room_for_them() -> None:
    outward = cage(BELL, hook=90)
    assert outward.bars[0].hook == pytest.approx(-hook(bar("No. 4"), 90).leg)
    inward = cage(SHAFT, hook=180)
    assert inward.bars[0].hook == pytest.approx(hook(bar("No. 4"), 180).wide)
    assert bad(outward) == bad(inward) == []
    assert bad(cage(SHAFT, bar="No. 6", hook=90)) == ["hooks"]
    added = outward.cage.kinds[0].cut - cage(BELL).cage.kinds[0].cut
    assert added == pytest.approx(hook(bar("No. 4"), 90).adds)


def test_starters_go_on_above_the_pier_and_laps_make_two_pieces() -> None:
    long = 60 * 12.7
    plain = cage(SHAFT, stands_out=400.0)
    assert plain.cage.kinds[0].cut == pytest.approx(29 * INCH + 6 * INCH + 400.0)
    assert plain.bars[0].top == pytest.approx(-6 * INCH - 400.0)
    assert plain.cover is not None
    assert plain.cover[1] == 0.0
    bars, starters, _ = cage(SHAFT, stands_out=400.0, lapped=True).cage.kinds
    assert lap(bar("No. 4"), "tension, grade 60") == pytest.approx(long)
    assert (starters.what, starters.count) == ("starter", 4)
    assert bars.cut == pytest.approx(32 * INCH)
    assert starters.cut == pytest.approx(400.0 + 3 * INCH + long)
    deep = replace(SHAFT, profile=((0.0, FOOT), (3000.0, FOOT)), reveal=0.0)
    lower, upper, _ = cage(deep, lapped=True).cage.kinds
    assert lower.cut + upper.cut == pytest.approx(3000.0 - 6 * INCH + long)


@pytest.mark.parametrize(
    ("detail", "steel", "about"),
    [
        (SHAFT, {"bars": 9}, "bars"),
        (SHAFT, {"cover": 2.5 * INCH}, "cover"),
        (SHAFT, {"spacing": FOOT}, "hoop spacing"),
        (SHAFT, {"first": 10 * INCH}, "hoop spacing"),
        (replace(SHAFT, profile=((0.0, 500.0), (800.0, 500.0))), {"bar": "No. 11"}, "hoop size"),
        (replace(SHAFT, cast_in=CastIn(kind="post", foot=300.0)), {}, "post"),
    ],
)
def test_what_is_bad_is_told_with_its_numbers(detail: Detail, steel: dict[str, object], about: str) -> None:
    found = cage(detail, **steel)
    assert about in bad(found)
    says = next(check.says for check in found.checks if check.about == about and not check.good)
    assert says.endswith(".")
    assert any(sign.isdigit() for sign in says)


@pytest.mark.parametrize(
    ("steel", "words"),
    [
        ({"bars": 100_000}, "100,000 bars cannot stand on a circle"),
        ({"cover": 150.0}, "Nothing is left inside the cover"),
        ({"cover_ends": 500.0}, "Nothing is left of the bars"),
        ({"first": 500.0}, "The first tie and the last stand past one another"),
        ({"bar": "No. 99"}, "There is no bar “No. 99”"),
        ({"bar": "No. 9", "lapped": True}, "too short to be lapped"),
        ({"cover": 130.0, "bars": 1, "bar": "No. 3"}, "tighter than No. 3 may be bent"),
    ],
)
def test_a_cage_that_cannot_be_says_why_in_one_sentence(steel: dict[str, object], words: str) -> None:
    found = cage(SHAFT, **steel)
    assert words in found.trouble
    assert found.trouble.endswith(".")
    assert found.cage.kinds == ()


def test_starters_keep_their_cover_at_the_top_of_a_pier_that_widens_downward() -> None:
    """The bars end 75 mm below the top, but the starters beside them go through it, where it is narrowest."""
    steel = Steel(bar="No. 5", hoop="", cover=75.0, cover_ends=75.0, stands_out=400.0, lapped=True)
    found = cage_of(
        Detail(id="D1", profile=((0.0, 400.0), (1500.0, 700.0)), steel=steel), units="mm", rounding=FINE
    )
    reach = max(abs(one.across) for one in found.bars) + bar("No. 5").diameter / 2
    assert reach == pytest.approx(400.0 / 2 - 75.0)
    assert found.cover is not None
    assert found.cover[0] == pytest.approx(75.0)
