"""The house as closed outlines: every shape of wall has the house behind it and the yard before it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import pytest
import shapely

from layoutdesk.engine.derive import derive
from layoutdesk.engine.house import HOUSE_DEPTH_MM, STRIP_MM, joined_walls
from layoutdesk.geometry.vector import Vector, left, middle, minus, plus, times, unit
from layoutdesk.plan.model import Plan, Side, Wall

SHAPES: dict[str, Sequence[Vector]] = {
    "straight": ((0, 0), (9000, 0)),
    "jog": ((0, 0), (4000, 0), (4000, 800), (9000, 800)),
    "two jogs": ((0, 0), (3000, 0), (3000, 800), (6000, 800), (6000, 0), (9000, 0)),
    "outer corner": ((0, 6000), (0, 0), (9000, 0)),
    "inner corner": ((0, 0), (9000, 0), (9000, -5000)),
    "wing": ((0, 6000), (0, 0), (9000, 0), (9000, 2000), (13_000, 2000)),
    "yard on three sides": ((0, 5000), (0, 0), (9000, 0), (9000, 5000)),
    "house on three sides": ((0, -5000), (0, 0), (9000, 0), (9000, -5000)),
    "house on three sides, one long": ((0, -3000), (0, 0), (5000, 0), (5000, -9000)),
    "slanting bay window": ((0, 0), (3000, 0), (3600, -600), (5400, -600), (6000, 0), (9000, 0)),
    "skewed": ((0, 0), (9000, 1500)),
    "curved": ((0, 0), (1000, -300), (2000, -400), (3000, -300), (4000, 0)),
    "nearly closed": ((4000, 0), (9000, 0), (9000, 7000), (0, 7000), (0, 0), (3000, 0)),
}


def wall(points: Sequence[Vector], side: Side = "left", name: str = "W1") -> Wall:
    """Return a wall."""
    return Wall(id=name, points=tuple((float(x), float(y)) for x, y in points), house_side=side)


def outlines(*walls: Wall) -> list[shapely.Polygon]:
    """Return the house as polygons."""
    return [shapely.Polygon(ring) for ring in derive(Plan(walls=walls)).house.outlines]


def beside(points: Sequence[Vector], by: float) -> list[Vector]:
    """Return a place beside the middle of every straight, ``by`` to its left."""
    return [plus(middle(a, b), times(left(unit(minus(b, a))), by)) for a, b in pairwise(points)]


@pytest.mark.parametrize("points", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("side", ["left", "right"])
def test_house_is_behind_every_straight_and_never_before_it(points: Sequence[Vector], side: Side) -> None:
    """The same wall drawn from its other end, with the house on the right, is the same house."""
    (house,) = outlines(wall(points if side == "left" else tuple(reversed(points)), side))
    assert house.is_valid
    for inside in beside(points, 1.0):
        assert house.contains(shapely.Point(inside))
    for yard in beside(points, -1.0):
        assert not house.intersects(shapely.Point(yard))


@pytest.mark.parametrize("points", SHAPES.values(), ids=SHAPES)
def test_house_reaches_at_least_its_depth_behind_the_wall(points: Sequence[Vector]) -> None:
    (house,) = outlines(wall(points))
    assert house.area >= HOUSE_DEPTH_MM * max(shapely.LineString(p).length for p in pairwise(points)) * 0.9


def test_straight_wall_gives_a_rectangle() -> None:
    layout = derive(Plan(walls=(wall(((0, 0), (9000, 0))),)))
    assert layout.house.outlines == (((0, 0), (9000, 0), (9000, 2400), (0, 2400)),)


def test_wall_with_an_outer_corner_runs_back_to_the_same_depth() -> None:
    (house,) = outlines(wall(SHAPES["wing"]))
    expected = shapely.Polygon([*SHAPES["wing"], (13_000, 8400), (0, 8400)])
    assert house.normalize() == expected.normalize()


def test_closed_wall_is_its_own_outline() -> None:
    ring = [(0.0, 0.0), (8000.0, 0.0), (8000.0, 6000.0), (0.0, 6000.0), (0.0, 0.0)]
    (house,) = outlines(wall(ring))
    assert house.normalize() == shapely.Polygon(ring).normalize()


def test_house_round_a_courtyard_is_cut_into_rings_without_holes() -> None:
    """A closed wall with the house outside it: a strip all round, in two halves, the court left free."""
    court = [(0.0, 0.0), (8000.0, 0.0), (8000.0, 6000.0), (0.0, 6000.0), (0.0, 0.0)]
    halves = outlines(wall(court, "right"))
    assert len(halves) == 2
    assert all(half.is_valid for half in halves)
    assert shapely.union_all(halves).intersection(shapely.Polygon(court)).area == pytest.approx(0, abs=1e-3)
    assert sum(half.area for half in halves) == pytest.approx(STRIP_MM * 28_000 + 4 * STRIP_MM**2 / 2, rel=1e-6)


def test_walls_that_meet_are_one_house() -> None:
    """Drawn as two walls, with the house on the left of one and on the right of the other."""
    together = outlines(wall(((0, 6000), (0, 0), (9000, 0))))
    apart = outlines(wall(((0, 6000), (0, 0))), wall(((9000, 0), (0, 0)), "right", "W2"))
    assert [one.normalize() for one in apart] == [one.normalize() for one in together]


def test_walls_are_joined_whichever_was_drawn_first() -> None:
    pieces = (
        wall(((4000, 0), (9000, 0))),
        wall(((0, 0), (4000, 0)), name="W2"),
        wall(((0, 6000), (0, 0)), name="W3"),
    )
    assert joined_walls(pieces) == [((0, 6000), (0, 0), (4000, 0), (9000, 0))]


def test_walls_apart_are_two_houses() -> None:
    assert len(outlines(wall(((0, 0), (4000, 0))), wall(((20_000, 0), (24_000, 0)), name="W2"))) == 2


def test_wall_that_crosses_itself_has_a_strip_behind_it() -> None:
    points = ((0, 0), (4267.2, 0), (4267.2, 762), (0, -2438.4))
    houses = outlines(wall(points))
    for inside in beside(points, 1.0):
        assert any(house.contains(shapely.Point(inside)) for house in houses)
    assert sum(house.area for house in houses) < STRIP_MM * 11_000


def test_no_wall_is_no_house() -> None:
    assert derive(Plan()).house.outlines == ()
    assert outlines(wall(((5, 5), (5, 5)))) == []
