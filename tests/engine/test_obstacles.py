"""What a tape cannot cross, and what it may touch."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.engine.obstacles import Obstacles, keepout_label
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import KeepoutKind, Plan
from tests.engine.scenes import tree
from tests.engine.test_house import SHAPES, wall


def obstacles(plan: Plan) -> Obstacles:
    """Return the obstacles of a plan."""
    return PlanLayout(plan).obstacles


def in_the_way(plan: Plan, a: Vector, b: Vector) -> str | None:
    """Return what stands between two places."""
    known = obstacles(plan)
    return known.label(int(known.blocking(np.array(a), np.array(b))))


JOG = Plan(walls=(wall(SHAPES["jog"]),))
YARD = Plan(keepouts=(tree((0.0, -3000.0)), tree((0.0, -6000.0), name="K2")))


@pytest.mark.parametrize(
    ("a", "b", "barred"),
    [
        ((0, 0), (4000, 0), False),  # along the wall's face
        ((0, 0), (9000, 0), False),  # on past the jog, in the yard
        ((0, 0), (4000, 800), True),  # from corner to corner, through the house
        ((0, 0), (9000, 800), True),
        ((4000, 0), (9000, 800), False),  # in front of the jog
        ((4000, 800), (9000, 800), False),
        ((0, 0), (5000, -4000), False),
        ((2000, 1000), (2000, -1000), True),  # out of the house
        ((2000, 0), (2000, 0), False),  # no way at all
        ((2000, 0.5), (2500, 0.5), False),  # half a millimetre in the plaster
    ],
)
def test_tape_along_a_wall_is_open_and_through_the_house_is_not(a: Vector, b: Vector, barred: bool) -> None:  # noqa: FBT001
    assert in_the_way(JOG, a, b) == ("the house" if barred else None)


def test_first_obstacle_in_order_is_named() -> None:
    assert in_the_way(YARD, (0.0, 0.0), (0.0, -9000.0)) == "tree K1"
    assert in_the_way(YARD, (0.0, -4000.0), (0.0, -9000.0)) == "tree K2"
    assert in_the_way(YARD, (1000.0, 0.0), (1000.0, -9000.0)) is None


def test_touching_a_tree_is_allowed() -> None:
    assert in_the_way(YARD, (300.0, 0.0), (300.0, -9000.0)) is None
    assert in_the_way(YARD, (297.0, 0.0), (297.0, -9000.0)) == "tree K1"


def test_ways_are_told_apart_in_columns() -> None:
    starts = np.array([[0.0, 0.0], [1000.0, 0.0]])[:, None, :]
    ends = np.array([[0.0, -2000.0], [0.0, -4000.0], [0.0, -9000.0]])[None, :, :]
    assert obstacles(YARD).blocking(starts, ends).tolist() == [[-1, 0, 0], [-1, 0, -1]]


def test_nothing_blocks_an_empty_yard() -> None:
    known = obstacles(Plan())
    assert known.blocking(np.zeros((0, 2)), np.zeros((0, 2))).shape == (0,)
    assert known.blocking(np.zeros((3, 2)), np.ones((3, 2))).tolist() == [-1, -1, -1]
    assert known.label(-1) is None


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("tree", "tree K1"),
        ("air conditioner", "air conditioner K1"),
        ("utility", "utility K1"),
        ("other", "keep-out K1"),
    ],
)
def test_keepouts_are_called_by_their_kind(kind: KeepoutKind, name: str) -> None:
    from dataclasses import replace

    assert keepout_label(replace(tree((0.0, 0.0)), kind=kind)) == name
