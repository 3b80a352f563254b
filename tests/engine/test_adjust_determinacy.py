"""What measures do not determine is named, and no number is given for it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.proof.adjust import Adjustment, adjust
from layoutdesk.engine.proof.derivatives import rows_of
from layoutdesk.engine.proof.network import ANGLE, BESIDE, DISTANCE, Network
from tests.engine.networks import Row, network, taped

WALL = [[0.0, 0.0], [9000.0, 0.0]]
YARD = [[1000.0, -3000.0], [5000.0, -3500.0], [8000.0, -2500.0]]


def kinds(adjustment: Adjustment) -> dict[tuple[int, ...], str]:
    return {group.points: group.kind for group in adjustment.loose}


def of(places: list[list[float]], pairs: list[tuple[int, int]], *, held: tuple[int, ...] = (0, 1)) -> Network:
    xy = np.array(places, dtype=np.float64)
    return network(xy, taped(xy, pairs), held=held)


def test_a_stake_without_any_tape_is_apart() -> None:
    found = adjust(of(WALL + YARD, [(0, 2), (1, 2), (0, 3), (1, 3), (2, 3)]))
    assert kinds(found) == {(4,): "apart"}
    assert np.isnan(found.xy[4]).all()
    assert np.isnan(found.covariance[4]).all()
    np.testing.assert_allclose(found.xy[2:4], YARD[:2], atol=1e-6)


def test_stakes_taped_only_among_themselves_are_one_group_apart() -> None:
    more = [[20_000.0, -3000.0], [25_000.0, -3500.0], [22_000.0, -8000.0]]
    found = adjust(of(WALL + YARD + more, [(0, 2), (1, 2), (3, 2), (3, 0), (5, 6), (6, 7), (5, 7), (4, 3)]))
    assert kinds(found)[5, 6, 7] == "apart"
    assert kinds(found)[4,] == "too few"


def test_one_tape_is_too_few_and_says_nothing_of_its_other_end() -> None:
    with_it = adjust(of(WALL + YARD, [(0, 2), (1, 2), (0, 3), (1, 3), (2, 3), (2, 4)]))
    without = adjust(of(WALL + YARD, [(0, 2), (1, 2), (0, 3), (1, 3), (2, 3)]))
    assert kinds(with_it) == {(4,): "too few"}
    np.testing.assert_allclose(with_it.xy[:4], without.xy[:4], atol=1e-9)
    assert with_it.degrees == without.degrees == 1
    assert np.isnan(with_it.residual[5])


def test_a_chain_of_single_tapes_is_too_few_all_along() -> None:
    found = adjust(of([*WALL, [1000, -3000], [2000, -5000], [3000, -8000]], [(0, 2), (1, 2), (2, 3), (3, 4)]))
    assert kinds(found) == {(3,): "too few", (4,): "too few"}


def test_a_braced_figure_on_one_point_can_turn() -> None:
    found = adjust(of([[0, 0], *YARD], [(0, 1), (0, 2), (0, 3), (1, 2), (2, 3), (1, 3)], held=(0,)))
    assert kinds(found) == {(1, 2, 3): "turns"}
    assert not found.determined[1:].any()


def test_two_tapes_give_two_places_and_the_plan_chooses_the_clear_one() -> None:
    found = adjust(of([*WALL, YARD[0]], [(0, 2), (1, 2)]))
    assert found.determined.all()
    (flip,) = found.flips
    assert (flip.point, flip.by_plan) == (2, True)
    assert flip.mirror == pytest.approx((1000, 3000), abs=1e-6)
    assert found.redundancy == pytest.approx([0, 0], abs=1e-9)


def test_two_places_between_which_the_plan_does_not_choose_are_no_place() -> None:
    drawn, stands = np.array([*WALL, [4000, -150]]), np.array([*WALL, [4000.0, -700]])
    net = network(drawn, taped(stands, [(0, 2), (1, 2)], deviation=0.5), held=(0, 1))
    found = adjust(net)
    assert kinds(found) == {(2,): "two places"}
    assert np.isnan(found.xy[2]).all()
    (flip,) = found.flips
    assert sorted((flip.found[1], flip.mirror[1])) == pytest.approx([-700, 700], abs=1e-6)


@pytest.mark.parametrize("off", [0.0, 0.01, 1.0, 5.0])
@pytest.mark.parametrize("turned", [0.0, 0.3, 1.1])
def test_all_control_in_line_with_a_stake_tells_nothing_across_that_line(off: float, turned: float) -> None:
    places = np.array([[0, 0], [9000, 0], [15_000, 0], [5000, off], [4000, -4000]])
    cos, sin = np.cos(turned), np.sin(turned)
    places = places @ np.array([[cos, sin], [-sin, cos]])
    net = network(places, taped(places, [(0, 3), (1, 3), (2, 3), (0, 4), (1, 4), (2, 4)]), held=(0, 1, 2))
    found = adjust(net)
    assert kinds(found) == {(3,): "in line"}
    assert found.determined.tolist() == [True, True, True, False, True]


def test_a_square_offset_tells_the_side() -> None:
    places = np.array([*WALL, YARD[0]], dtype=np.float64)
    rows: list[Row] = [*taped(places, [(0, 2), (1, 2)]), (BESIDE, 0, 2, 1, -3000.0, 3.0)]
    start = places.copy()
    start[2, 1] = 2800
    found = adjust(network(start, rows, held=(0, 1)))
    assert not found.flips
    np.testing.assert_allclose(found.xy[2], YARD[0], atol=1e-6)


def test_the_two_diagonals_and_sides_of_a_bay_are_enough_when_nothing_is_held() -> None:
    bay = np.array([[0, 0], [3000, 0], [3000, 4000], [0, 4000]], dtype=np.float64)
    found = adjust(network(bay, taped(bay, [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]), free=True))
    assert found.determined.all()
    assert found.degrees == 1
    assert not found.loose


def test_a_bay_without_diagonals_can_lean() -> None:
    bay = np.array([[0, 0], [3000, 0], [3000, 4000], [0, 4000]], dtype=np.float64)
    found = adjust(network(bay, taped(bay, [(0, 1), (1, 2), (2, 3), (3, 0)]), free=True))
    assert not found.determined.any()
    assert found.loose


def test_no_measures_at_all() -> None:
    found = adjust(network([*WALL, *YARD], [], held=(0, 1)))
    assert set(kinds(found).values()) == {"apart"}
    assert found.weighted == 0
    assert found.degrees == 0
    assert adjust(network([], [])).xy.shape == (0, 2)


def test_control_taped_against_control_is_checked() -> None:
    places = np.array(WALL, dtype=np.float64)
    rows: list[Row] = [(DISTANCE, 0, 1, -1, 9010.0, 5.0)]
    found = adjust(network(places, rows, held=(0, 1)))
    assert found.degrees == 1
    assert found.weighted == pytest.approx(4.0)
    assert found.redundancy == pytest.approx([1.0])


_steps = st.sampled_from([0.0, 1.0, 1000.0, 1500.5, 4000.0])


@st.composite
def degenerate(draw: st.DrawFn) -> Network:
    """Few places on a coarse grid, so that they often coincide or lie in one line; measures as they come."""
    count = draw(st.integers(1, 7))
    drawn = [[draw(_steps), draw(_steps)] for _ in range(count)]
    point = st.integers(0, count - 1)
    value = st.sampled_from([0.0, 1e-3, 1.0, 1000.0, 1500.5, 4000.0, 1e6])
    rows: list[Row] = draw(
        st.lists(
            st.tuples(
                st.sampled_from([DISTANCE, DISTANCE, DISTANCE, BESIDE, ANGLE]),
                point,
                point,
                point,
                value.map(lambda v: v if v < 1e6 else -1000.0) | st.just(float("nan")),
                st.sampled_from([0.5, 3.0]),
            ),
            max_size=16,
        )
    )
    turned = [(k, i, j, t, v % 3 if k == ANGLE else v, d / 1000 if k == ANGLE else d) for k, i, j, t, v, d in rows]
    held = draw(st.lists(point, max_size=3, unique=True))
    known = draw(st.dictionaries(point, st.just(3.0), max_size=2))
    return network(drawn, turned, held=held, known=known, free=draw(st.booleans()))


@given(degenerate())
def test_every_point_has_a_place_and_an_ellipse_or_is_named(net: Network) -> None:
    found = adjust(net)
    named = {p for group in found.loose for p in group.points}
    for p in range(len(net.start)):
        assert bool(found.determined[p]) != (p in named)
        assert bool(np.isfinite(found.xy[p]).all()) == bool(found.determined[p])
        assert bool(np.isfinite(found.covariance[p]).all()) == bool(found.determined[p])
        if found.determined[p]:
            assert np.linalg.eigvalsh(found.covariance[p]).min() > -1e-6 * (1 + np.abs(found.covariance[p]).max())
    assert found.degrees >= 0
    assert found.weighted >= 0


@given(degenerate())
def test_what_is_determined_cannot_move_while_all_measures_stay(net: Network) -> None:
    """Wherever the adjustment gives numbers, its measures hold every point in both directions."""
    found = adjust(net)
    sought = np.flatnonzero(found.determined & ~net.held)
    if not len(sought) or net.free:
        return
    rows = rows_of(net, np.where(found.determined[:, None], found.xy, net.start)).toarray()
    used = np.isfinite(found.residual)
    rows = rows[used][:, np.ravel([[2 * p, 2 * p + 1] for p in sought])]
    known = np.repeat(np.where(np.isfinite(net.prior[sought]), 1 / net.prior[sought], 0.0), 2)
    whole = np.concatenate((rows, np.diag(known)))
    size = np.sqrt((whole**2).sum(0))
    assert (size > 0).all()
    assert np.linalg.svd(whole / size, compute_uv=False)[-1] > 1e-7
