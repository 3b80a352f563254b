"""Groups of stakes that hang on a line can stand on either side of it, and are named when the plan does not say."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.network import Network
from layoutdesk.plan.model import Control, Pier, Plan
from tests.engine.networks import network, taped
from tests.proof_jobs import proof
from tests.proof_jobs import taped as taped_plan

CONTROL = [[-1000.0, 0.0], [10_000.0, 0.0], [4000.0, 800.0]]
HINGE = [[0.0, -3000.0], [9000.0, -3000.0]]
HELD = (0, 1, 2)
TIES = [(c, p) for p in (3, 4) for c in HELD]
DOOR = [(3, 5), (5, 6), (6, 4), (3, 6), (5, 4)]
"""Two stakes that hang on two others, braced as well as one can from there."""


def job(
    drawn: list[list[float]],
    stands: list[list[float]],
    *more: tuple[int, int],
    turn: float = 0.0,
    deviation: float = 0.5,
) -> Network:
    """Return control and hinge, and stakes that are drawn in some places and stand in others."""
    start, truth = (np.array([*CONTROL, *HINGE, *part]) for part in (drawn, stands))
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    start, truth = start @ spin, truth @ spin
    return network(start, taped(truth, [*TIES, *DOOR, *more], deviation=deviation), held=HELD)


def groups(found: Adjustment) -> list[tuple[tuple[int, ...], str, tuple[int, int] | None]]:
    return [(group.points, group.kind, group.hinge) for group in found.loose]


@pytest.mark.parametrize("turn", [0.0, 0.7, 2.0])
def test_two_stakes_near_their_hinge_and_far_out_of_place_can_stand_on_either_side(turn: float) -> None:
    net = job([[3000, -2980], [6000, -3010]], [[3000, -3400], [6000, -3350]], turn=turn)
    found = adjust(net)
    assert groups(found) == [((5, 6), "two places", (3, 4))]
    assert np.isnan(found.xy[[5, 6]]).all()
    assert found.determined[:5].all()


def test_the_distance_that_is_said_to_tell_the_side_does() -> None:
    drawn, stands = [[3000.0, -2980.0], [6000.0, -3010.0]], [[3000.0, -3400.0], [6000.0, -3350.0]]
    (group,) = adjust(job(drawn, stands)).loose
    assert group.settled_by is not None
    found = adjust(job(drawn, stands, group.settled_by))
    assert found.determined.all()
    np.testing.assert_allclose(found.xy[5:], stands, atol=1e-5)


def test_the_plan_chooses_the_side_of_stakes_that_are_near_their_places() -> None:
    stands = [[3000.0, -3390.0], [6000.0, -3360.0]]
    found = adjust(job([[3000, -3400], [6000, -3350]], stands))
    assert not found.loose
    np.testing.assert_allclose(found.xy[5:], stands, atol=1e-5)


def test_stakes_so_near_their_line_that_its_tapes_say_nothing_across_it() -> None:
    found = adjust(job([[3000, -3080], [6000, -3090]], [[3000, -3085], [6000, -3095]], deviation=3.0))
    assert {p for group in found.loose for p in group.points} == {5, 6}
    assert {group.kind for group in found.loose} == {"in line"}


def test_a_longer_row_is_named_whole_and_a_part_of_it_alone_where_only_that_can_turn_over() -> None:
    drawn = [[1800, -3050], [3600, -3070], [5400, -3065], [7200, -3040]]
    stands = [[1800.0, -3400.0], [3600.0, -3450.0], [5400.0, -3430.0], [7200.0, -3380.0]]
    whole = [(3, 5), (5, 6), (6, 7), (7, 8), (8, 4), (3, 6), (5, 7), (6, 8), (7, 4)]
    start, truth = (np.array([*CONTROL, *HINGE, *part]) for part in (drawn, stands))

    def found(*more: tuple[int, int]) -> Adjustment:
        return adjust(network(start, taped(truth, [*TIES, *whole, *more], deviation=0.3), held=HELD))

    assert groups(found()) == [((5, 6, 7, 8), "two places", (3, 4))]
    assert found((2, 5), (2, 6)).determined.all()


def test_bracing_from_off_the_line_leaves_no_door() -> None:
    found = adjust(job([[3000, -2980], [6000, -3010]], [[3000, -3400], [6000, -3350]], (2, 5)))
    assert found.determined.all()


def test_one_sentence_names_the_stakes_the_line_and_the_distance() -> None:
    controls = tuple(Control(id=f"C{k + 1}", at=(x, y)) for k, (x, y) in enumerate(CONTROL))
    drawn = [*HINGE, [3000.0, -2980.0], [6000.0, -3010.0]]
    piers = tuple(Pier(id=f"P{k + 1}", at=(x, y)) for k, (x, y) in enumerate(drawn))
    plan = Plan(controls=controls, piers=piers, units="mm", rounding=1.0)
    at = {one.id: complex(*one.at) for one in controls} | {one.id: complex(*one.at) for one in piers}
    at |= {"P3": 3000 - 3400j, "P4": 6000 - 3350j}
    pulls = [(f"C{c + 1}", f"P{p}") for p in (1, 2) for c in range(3)]
    pulls += [("P1", "P3"), ("P3", "P4"), ("P4", "P2"), ("P1", "P4"), ("P3", "P2")]
    said = proof(taped_plan(plan, pulls, at, None))
    assert [(one.ids, one.says) for one in said.loose] == [
        (
            ("P3", "P4"),
            "P3 and P4 can stand on either side of the line from P1 to P2: tape P3 to C3, which tells the side.",
        )
    ]
    assert [point.found is None for point in said.points if point.kind == "pier"] == [False, False, True, True]


def _door_of_chance(seed: int) -> tuple[Network, Floats]:
    """Return a row of two to seven stakes that hang on its two ends, near its line, each with a try at the side."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 8))
    along = np.linspace(0, 9000, count + 2)[1:-1]
    row = np.stack((along, np.full(count, -3000.0)), axis=1)
    start = np.array([*CONTROL, *HINGE, *(row + rng.normal((0, -50), 10, row.shape))])
    truth = start.copy()
    truth[5:, 1] -= rng.uniform(450, 700, count)
    order = [3, *range(5, 5 + count), 4]
    ways = [(order[k], order[k + s]) for s in (1, 2, 3) for k in range(len(order) - s)]
    ways = [way for way in ways if set(way) != {3, 4}]
    return network(start, taped(truth, [*TIES, *ways], deviation=0.2), held=HELD), truth


@pytest.mark.parametrize("seed", range(20))
def test_a_row_that_hangs_on_its_ends_is_never_given_a_place_by_guess(seed: int) -> None:
    net, truth = _door_of_chance(seed)
    found = adjust(net)
    named = {p for group in found.loose for p in group.points}
    wrong = np.hypot(*(found.xy - truth).T) > 50
    assert named | set(np.flatnonzero(~wrong).tolist()) == set(range(len(truth)))
    assert named == set(range(5, len(truth)))
