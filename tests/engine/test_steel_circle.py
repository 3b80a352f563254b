"""Bars on a circle, cover, and the steel of a pier piece by piece."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Point

from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.bends import hook
from layoutdesk.engine.steel.cage import Cage, cage_sentences, pieces, together, upright_length, uprights
from layoutdesk.engine.steel.circle import (
    circle_sentence,
    cover_sentence,
    least_clear,
    least_cover,
    on_circle,
)
from layoutdesk.engine.steel.hoops import round_hoop
from layoutdesk.engine.steel.sizes import STEEL_DENSITY, Bar, bar

NO_3, NO_4, NO_5, NO_6 = (bar(f"No. {n}") for n in (3, 4, 5, 6))
INCH, STEP = 25.4, 1.5875


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 8, 12])
@pytest.mark.parametrize("one", [NO_4, NO_6, bar("16 mm")], ids=lambda one: one.name)
def test_clear_spacing_is_the_distance_between_drawn_bars(count: int, one: Bar) -> None:
    """Oracle: distances between discs, and to the pier's edge."""
    found = on_circle(400.0, cover=75.0, tie=NO_3, bar=one, count=count)
    turns = [2 * math.pi * k / count for k in range(count)]
    middles = [Point(found.radius * math.cos(t), found.radius * math.sin(t)) for t in turns]
    nearest = min(a.distance(b) for k, a in enumerate(middles) for b in middles[:k])
    assert found.clear == pytest.approx(nearest - one.diameter)
    outermost = max(Point(0, 0).distance(m) for m in middles) + one.diameter / 2 + NO_3.diameter
    assert 200 - outermost == pytest.approx(75)


@pytest.mark.parametrize("lapped", [False, True])
@pytest.mark.parametrize("width", [250.0, 300.0, 406.4, 609.6])
def test_as_many_bars_fit_as_are_said_to_and_no_more(width: float, *, lapped: bool) -> None:
    most = on_circle(width, cover=76.2, tie=NO_3, bar=NO_4, count=1, lapped=lapped).most
    for count in range(2, most + 4):
        found = on_circle(width, cover=76.2, tie=NO_3, bar=NO_4, count=count, lapped=lapped)
        assert found.fits == (found.clear >= found.least - 1e-6) == (count <= most)


def test_least_clear_spacing_of_both_standards() -> None:
    """ACI 318-19, 25.2.3: 1.5 in, 1.5 d, 4/3 of the stone. EN 1992-1-1, 8.2: d, stone + 5 mm, 20 mm."""
    assert least_clear(NO_4) == pytest.approx(1.5 * INCH)
    assert least_clear(bar("No. 10")) == pytest.approx(1.5 * 1.27 * INCH)
    assert least_clear(NO_4, stone=1.5 * INCH) == pytest.approx(2 * INCH)
    assert least_clear(bar("12 mm"), stone=10.0) == 20
    assert least_clear(bar("12 mm"), stone=20.0) == 25
    assert least_clear(bar("32 mm"), stone=20.0) == 32


def test_sentence_says_how_far_apart_bars_stand_and_how_many_would_fit() -> None:
    few = on_circle(12 * INCH, cover=3 * INCH, tie=NO_3, bar=NO_4, count=4)
    told = circle_sentence(few, NO_4, units="ft-in", rounding=STEP)
    assert few.fits
    assert told.startswith("4 bars No. 4 on a circle of")
    many = on_circle(12 * INCH, cover=3 * INCH, tie=NO_3, bar=NO_4, count=12)
    assert not many.fits
    assert circle_sentence(many, NO_4, units="ft-in", rounding=STEP).endswith(f": {many.most} fit.")
    crowded = on_circle(12 * INCH, cover=3 * INCH, tie=NO_3, bar=NO_4, count=90)
    assert "do not go side by side" in circle_sentence(crowded, NO_4, units="ft-in", rounding=STEP)
    single = on_circle(200.0, cover=75.0, tie=None, bar=bar("12 mm"), count=1)
    assert circle_sentence(single, bar("12 mm"), units="mm", rounding=1.0) == "One bar 12 mm stands in the middle."
    tight = on_circle(180.0, cover=75.0, tie=None, bar=bar("12 mm"), count=3)
    assert circle_sentence(tight, bar("12 mm"), units="mm", rounding=1.0).endswith(": 1 fits.")


@pytest.mark.parametrize("count", [0, -3, 100_000])
def test_count_that_is_none_is_refused(count: int) -> None:
    with pytest.raises(ReckoningError, match="cannot stand on a circle"):
        on_circle(400.0, cover=75.0, tie=NO_3, bar=NO_4, count=count)


def test_pier_too_narrow_for_its_cover_is_refused() -> None:
    with pytest.raises(ReckoningError, match="Nothing is left"):
        on_circle(160.0, cover=75.0, tie=NO_3, bar=NO_4, count=4)
    with pytest.raises(ReckoningError, match="cover"):
        on_circle(400.0, cover=-1.0, tie=NO_3, bar=NO_4, count=4)


def test_cover_against_the_ground_is_three_inches_or_75_mm() -> None:
    """ACI 318-19, table 20.5.1.3.1."""
    assert least_cover(NO_3, against="earth", units="ft-in") == 3 * INCH
    assert least_cover(NO_3, against="earth", units="m") == 75
    assert least_cover(NO_5, against="formed", units="ft-in") == 1.5 * INCH
    assert least_cover(NO_6, against="formed", units="ft-in") == 2 * INCH
    assert least_cover(bar("12 mm"), against="formed", units="mm") == 40
    assert least_cover(bar("20 mm"), against="formed", units="mm") == 50


def test_cover_is_told_with_its_numbers() -> None:
    assert cover_sentence(50.0, NO_3, against="earth", units="mm", rounding=1.0) == (
        "Cover of 50\u00a0mm is 25\u00a0mm too little: "
        "ACI 318-19 asks 75\u00a0mm where concrete is cast against the ground."
    )
    assert "is enough" in cover_sentence(75.0, NO_3, against="earth", units="mm", rounding=1.0)
    assert "is enough" in cover_sentence(76.0, NO_3, against="earth", units="ft-in", rounding=STEP)
    assert "too little" in cover_sentence(75.0, NO_3, against="earth", units="ft-in", rounding=STEP)
    assert "weather" in cover_sentence(40.0, NO_3, against="formed", units="mm", rounding=1.0)


def test_uprights_end_within_the_covers_or_stand_out() -> None:
    assert upright_length(-150.0, 900.0, cover_top=50.0, cover_bottom=75.0) == 925
    assert upright_length(-150.0, 900.0, cover_top=50.0, cover_bottom=75.0, stands_out=400.0) == 1375
    with pytest.raises(ReckoningError, match="Nothing is left"):
        upright_length(0.0, 100.0, cover_top=50.0, cover_bottom=75.0)
    with pytest.raises(ReckoningError, match="cover"):
        upright_length(0.0, 100.0, cover_top=-50.0, cover_bottom=75.0)


def test_cage_weighs_what_its_pieces_weigh_and_displaces_as_much() -> None:
    bars = uprights(NO_4, count=4, length=1000.0, hooks=(hook(NO_4, 90),))
    ties = pieces("hoop", NO_3, count=5, cut=round_hoop(150.0, NO_3))
    cage = Cage((bars, ties))
    assert bars.mass == pytest.approx(4 * bars.cut / 304.8 * 0.668 * 0.45359237)
    assert cage.mass == pytest.approx(bars.mass + ties.mass)
    assert cage.volume == pytest.approx(cage.mass / STEEL_DENSITY * 1e9)
    assert cage.volume == pytest.approx(4 * bars.cut * NO_4.area + 5 * ties.cut * NO_3.area, rel=0.02)
    assert cage.times(6).mass == pytest.approx(6 * cage.mass)
    assert together([cage, cage]) == cage.times(2)
    assert together([]).mass == 0


@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_cage_is_told_piece_by_piece(units: str) -> None:
    cage = Cage((uprights(NO_4, count=4, length=1000.0), pieces("hoop", NO_3, count=5, cut=700.0)))
    told = cage_sentences(cage, units="ft-in" if units == "ft-in" else "m", rounding=1.0)
    assert len(told) == 3
    assert told[0].startswith("4 × bar No. 4, each cut ")
    assert told[2].endswith(" lb." if units == "ft-in" else " kg.")


@pytest.mark.parametrize(("count", "cut"), [(100_001, 500.0), (-1, 500.0), (4, 0.0)])
def test_pieces_that_are_none_are_refused(count: int, cut: float) -> None:
    with pytest.raises(ReckoningError):
        pieces("bar", NO_4, count=count, cut=cut)
