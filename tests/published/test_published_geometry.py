"""Right triangles, diagonals and two-tape crossings, against published figures and exact algebra.

Sources: shared/published.toml, beside each value.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
import sympy

from layoutdesk.engine.derive import derive
from layoutdesk.engine.linkage import corner_per_difference
from layoutdesk.engine.squaring import RATIOS
from layoutdesk.geometry.vector import turned
from layoutdesk.plan.model import Baseline, Bay, Control, Pier, Plan, TapeAtHand
from tests.published.checks import published


@pytest.mark.parametrize("name", ["right-triangle-3-4-5", "right-triangle-300-400-500"])
def test_published_right_triangles_close(name: str) -> None:
    """Source: US Army Engineer course EN0069; Canadian Wood-Frame House Construction."""
    check = published()[name]
    a, b = check["inputs"].values()
    assert list(check["expected"].values()) == [math.hypot(a, b)]


def test_triangles_offered_are_published_ones() -> None:
    """Source: carpentry manuals, a layout leaflet and Euclid."""
    triples = published()["right-triangle-multiples"]["inputs"]["triples"]
    assert all(a * a + b * b == c * c for a, b, c in triples)
    shapes = {(a // math.gcd(a, b), b // math.gcd(a, b), c // math.gcd(a, b)) for a, b, c in triples}
    assert shapes == set(RATIOS)


def test_offered_triangle_is_right_in_the_plan() -> None:
    """The triangle that a plan offers is a whole multiple of a published one, and its corner is square."""
    plan = Plan(
        units="mm",
        baseline=Baseline(origin=(0.0, 0.0), toward=(9000.0, 1234.5), yard_side="right"),
        piers=(Pier(id="P1", at=(4000.0, -6000.0)),),
        tape_at_hand=TapeAtHand(length=10_000.0),
    )
    found = derive(plan).square
    assert found is not None
    step = found.hypotenuse / found.ratio[2]
    assert sorted((found.leg_along, found.leg_out)) == pytest.approx([step * side for side in found.ratio[:2]])
    assert step == pytest.approx(100 * round(step / 100), abs=1e-6)
    assert math.dist(found.on_line, found.out) == pytest.approx(found.hypotenuse, abs=1e-6)
    assert found.hypotenuse <= 10_000


def test_diagonals_of_a_published_rectangle() -> None:
    """Source: US Army Engineer course EN0069."""
    check = published()["rectangle-diagonal"]
    w, h = (check["inputs"][key] * 304.8 for key in ("width_ft", "length_ft"))
    bay = bay_of((0, 0), (w, 0), (w, h), (0, h))
    feet = [diagonal / 304.8 for diagonal in bay.diagonals]
    assert feet == pytest.approx([check["expected"]["diagonal_ft"]] * 2, abs=check["tolerance"])
    assert bay.equal


def test_diagonals_of_a_leaning_rectangle() -> None:
    """Derived from the law of cosines; the difference also tells how far the far corner went."""
    check = published()["leaning-rectangle"]
    a, b = check["inputs"]["a_ft"] * 304.8, check["inputs"]["b_ft"] * 304.8
    side = turned((0.0, b), check["inputs"]["lean_deg"])
    bay = bay_of((0, 0), (a, 0), (a + side[0], side[1]), side)
    difference = abs(bay.diagonals[0] - bay.diagonals[1])
    assert difference / 304.8 == pytest.approx(check["expected"]["difference_ft"], abs=check["tolerance"])
    corner_moved = math.dist((a + side[0], side[1]), (a, b))
    square = corner_per_difference((0, 0), (a, 0), (a, b), (0, b))
    assert square * difference == pytest.approx(corner_moved, rel=1e-4)


def bay_of(*corners: tuple[float, float]) -> Any:
    """Return the check of one named bay."""
    piers = tuple(Pier(id=f"P{k}", at=(float(x), float(y))) for k, (x, y) in enumerate(corners, start=1))
    plan = Plan(piers=piers, bays=(Bay(id="B1", corners=("P1", "P2", "P3", "P4")),))
    (bay,) = derive(plan).bays
    return bay


@pytest.mark.parametrize("corner", ["nw", "ne"])
def test_ties_of_a_published_yard(corner: str) -> None:
    """Source: a yard measured by four tapes from two corners; our ties to its exact roots are its tapes."""
    check = published()["two-tapes"]
    inputs, stake = check["inputs"], check["expected"][corner]
    plan = Plan(
        controls=(Control(id="SW", at=(0.0, 0.0)), Control(id="SE", at=(8.0, 0.0))),
        piers=(Pier(id="P1", at=(stake[0], stake[1])),),
    )
    ties = [tie.distance for tie in derive(plan).stakes.of("P1").ties]
    assert ties == pytest.approx([inputs[f"{corner}_from_sw"], inputs[f"{corner}_from_se"]], abs=check["tolerance"])


def test_two_tapes_cross_where_exact_algebra_says() -> None:
    """Oracle: sympy's circles. The stake's ties swung from its best pair cross at the stake again."""
    stake = (sympy.Rational(31, 10), sympy.Rational(-47, 10))
    homes = {"C1": (0, 0), "C2": (8, 1), "C3": (3, 2)}
    plan = Plan(
        controls=tuple(Control(id=i, at=(1000.0 * x, 1000.0 * y)) for i, (x, y) in homes.items()),
        piers=(Pier(id="P1", at=(3100.0, -4700.0)),),
    )
    row = derive(plan).stakes.of("P1")
    assert row.best is not None
    circles = []
    for tie in (row.best.first, row.best.second):
        centre = sympy.Point(*homes[tie.control])
        circles.append(sympy.Circle(centre, centre.distance(sympy.Point(*stake))))
        assert tie.distance == pytest.approx(1000 * float(circles[-1].radius), abs=1e-9)
    assert sympy.Point(*stake) in circles[0].intersection(circles[1])
    a, b = (sympy.Point(*homes[tie.control]) - sympy.Point(*stake) for tie in (row.best.first, row.best.second))
    sine = abs(a.x * b.y - a.y * b.x) / (sympy.sqrt(a.dot(a)) * sympy.sqrt(b.dot(b)))
    assert row.best.crossing_deg == pytest.approx(math.degrees(float(sympy.asin(sine))), abs=1e-9)
