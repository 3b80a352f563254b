"""Bends, hooks, hoops and ties: lengths along the middle of the bar."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.steel.bends import bend_diameter, bent_length, extension, hook, hooked_length
from layoutdesk.engine.steel.hoops import (
    LEAST_OVERLAP,
    greatest_spacing,
    lap,
    round_hoop,
    square_tie,
    tie_is_thick_enough,
    ties_along,
)
from layoutdesk.engine.steel.sizes import Bar, bar, bars, usual_standard

NO_3, NO_4, NO_5, NO_8 = (bar(f"No. {n}") for n in (3, 4, 5, 8))
INCH = 25.4


def walked(moves: list[tuple[str, float]], radius: float) -> float:
    """Return the length of a line of straights (mm) and turns (degrees) by stepping along it."""
    places, heading = [np.zeros(2)], 0.0
    for kind, amount in moves:
        steps = 4000
        for _ in range(steps):
            if kind == "turn":
                heading += math.radians(amount) / steps
                step = radius * math.radians(amount) / steps
            else:
                step = amount / steps
            places.append(places[-1] + step * np.array([math.cos(heading), math.sin(heading)]))
    return float(np.linalg.norm(np.diff(places, axis=0), axis=1).sum())


@pytest.mark.parametrize("one", [NO_3, NO_4, bar("10 mm"), bar("12 mm")], ids=lambda one: one.name)
def test_square_tie_is_as_long_as_the_walk_along_its_middle(one: Bar) -> None:
    """Oracle: stepping along straights and turns of the middle of the bar."""
    width, depth = 240.0, 300.0
    inside = bend_diameter(one, use="tie")
    radius, back = (inside + one.diameter) / 2, inside / 2 + one.diameter
    out = extension(one, 135, use="tie")
    moves = [("straight", out), ("turn", 135.0)]
    for k, side in enumerate((width, depth, width, depth)):
        moves += [("straight", side - 2 * back), ("turn", 135.0 if k == 3 else 90.0)]
    moves += [("straight", out)]
    assert square_tie(width, depth, one) == pytest.approx(walked(moves, radius), rel=1e-6)


def test_bar_bent_square_loses_what_the_corner_cuts_off() -> None:
    """A side of 300 and one of 500 out to out; the walk along the middle."""
    inside = bend_diameter(NO_4)
    back, radius = inside / 2 + NO_4.diameter, (inside + NO_4.diameter) / 2
    moves = [("straight", 300 - back), ("turn", 90.0), ("straight", 500 - back)]
    assert bent_length((300.0, 500.0), NO_4) == pytest.approx(walked(moves, radius), rel=1e-6)
    assert bent_length((300.0,), NO_4) == 300


def test_hooked_bar_is_measured_over_its_hooks() -> None:
    end = hook(NO_5, 180)
    moves = [("straight", end.extension), ("turn", 180.0), ("straight", 900 - end.set_back)]
    assert hooked_length(900.0, (end,)) == pytest.approx(walked(moves, (end.inside + NO_5.diameter) / 2), rel=1e-6)
    assert hooked_length(900.0, (end, end)) == pytest.approx(900 + 2 * end.adds)
    assert hooked_length(900.0, ()) == 900


def test_bar_bent_square_with_a_leg_is_a_bar_with_a_square_hook() -> None:
    end = hook(NO_4, 90)
    assert hooked_length(700.0, (end,)) == pytest.approx(bent_length((700.0, end.leg), NO_4))


def test_round_hoop_goes_once_around_and_past_itself() -> None:
    plain = round_hoop(254.0, NO_3, overlap=0.0, turn=None)
    assert plain == pytest.approx(math.pi * (254 - 9.525))
    end = hook(NO_3, 135, use="tie")
    assert round_hoop(254.0, NO_3) == pytest.approx(plain + LEAST_OVERLAP + 2 * (end.arc + end.extension))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: round_hoop(40.0, NO_3),
        lambda: round_hoop(254.0, NO_3, overlap=900.0),
        lambda: round_hoop(254.0, NO_3, overlap=-1.0),
        lambda: square_tie(30.0, 300.0, NO_3),
        lambda: bent_length((300.0, 20.0), NO_8),
        lambda: hooked_length(10.0, (hook(NO_8, 180),)),
        lambda: hooked_length(0.0, ()),
        lambda: extension(NO_5, 135),
        lambda: bend_diameter(bar("No. 9"), use="tie"),
        lambda: ties_along(900.0, first=50.0, spacing=0.0),
        lambda: ties_along(900.0, first=-50.0, spacing=100.0),
        lambda: ties_along(90.0, first=50.0, spacing=100.0),
        lambda: ties_along(9e6, first=50.0, spacing=1.0),
        lambda: greatest_spacing(NO_5, NO_3, 0.0),
        lambda: bar("No. 12"),
    ],
)
def test_what_cannot_be_bent_or_counted_is_refused_in_a_sentence(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ReckoningError) as trouble:
        wrong()
    assert str(trouble.value).endswith(".")


@pytest.mark.parametrize(
    ("length", "first", "spacing", "count"),
    [(900, 50, 100, 9), (900, 50, 101, 9), (900, 50, 99, 10), (100, 50, 80, 1)],
)
def test_ties_stand_no_farther_apart_than_asked(length: float, first: float, spacing: float, count: int) -> None:
    assert ties_along(length, first=first, spacing=spacing) == count


def test_ties_are_thick_enough_for_their_bars() -> None:
    assert tie_is_thick_enough(bar("No. 10"), NO_3)
    assert not tie_is_thick_enough(bar("No. 11"), NO_3)
    assert tie_is_thick_enough(bar("No. 11"), NO_4)
    assert tie_is_thick_enough(bar("No. 11"), bar("12 mm"))
    assert not tie_is_thick_enough(NO_5, bar("8 mm"))


def test_european_ties_follow_their_own_rule() -> None:
    """EN 1992-1-1:2004, 9.5.3: a quarter of the bar and 6 mm at least; 20 diameters, the width, 400 mm apart."""
    assert tie_is_thick_enough(bar("12 mm"), bar("6 mm"))
    assert tie_is_thick_enough(bar("32 mm"), bar("8 mm"))
    assert not tie_is_thick_enough(bar("40 mm"), bar("8 mm"))
    assert greatest_spacing(bar("12 mm"), bar("8 mm"), 500.0) == 240
    assert greatest_spacing(bar("12 mm"), bar("8 mm"), 200.0) == 200
    assert greatest_spacing(bar("25 mm"), bar("8 mm"), 900.0) == 400


def test_lap_is_never_under_a_foot() -> None:
    assert lap(NO_3, "compression") == 12 * INCH
    assert lap(bar("20 mm"), "tension, grade 60") == 1200


def test_european_bars_are_bent_by_their_own_table() -> None:
    """EN 1992-1-1:2004, table 8.1N: four diameters to 16 mm, seven beyond."""
    assert bend_diameter(bar("16 mm")) == 64
    assert bend_diameter(bar("20 mm"), use="tie") == 140
    assert extension(bar("8 mm"), 90, use="tie") == 80
    assert extension(bar("6 mm"), 90, use="tie") == 70
    assert extension(bar("8 mm"), 135, use="tie") == 50
    assert extension(bar("12 mm"), 180) == 60


def test_each_system_has_its_bars() -> None:
    assert bars(usual_standard("ft-in"))[0].name == "No. 3"
    assert bars(usual_standard("mm"))[0].name == "6 mm"
    assert all(a.diameter < b.diameter for s in ("astm", "en") for a, b in zip(bars(s), bars(s)[1:], strict=False))
