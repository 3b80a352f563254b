"""The one more distance that narrows the worst stake most, against trying all of them."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from layoutdesk.engine.columns import Bools, Floats
from layoutdesk.engine.derive import derive
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof import certainty
from layoutdesk.engine.proof.entries import TapeNext
from layoutdesk.engine.proof.network import Network
from layoutdesk.engine.proof.next import Taped, tape_next
from layoutdesk.engine.proof.observations import observations_of
from layoutdesk.engine.tapes import tape_deviation
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan.model import Control, Keepout, Pier, Plan, ProofSettings, Tape, TapeAtHand

CERTAIN = 2.447746830681
"""The root of chi-square for 95 % and two degrees, 5.9915 in the usual tables."""


def job(controls: list[Vector], piers: list[Vector], tapes: list[tuple[str, str]], *, reach: float = 3e4) -> Plan:
    """Return a plan with true tapes between points named C1… and P1…."""
    at = {f"C{k}": p for k, p in enumerate(controls, 1)} | {f"P{k}": p for k, p in enumerate(piers, 1)}
    return Plan(
        units="mm",
        rounding=1.0,
        controls=tuple(Control(id=key, at=p) for key, p in at.items() if key[0] == "C"),
        piers=tuple(Pier(id=key, at=p) for key, p in at.items() if key[0] == "P"),
        tapes=tuple(Tape(start=a, end=b, distance=distance(at[a], at[b])) for a, b in tapes),
        tape_at_hand=TapeAtHand(length=reach),
    )


def taped(plan: Plan, *, free: bool = False, loose: tuple[str, ...] = ()) -> Taped:
    """Return a network whose points stand where they are planned."""
    points = PointTable(plan, None)
    held = np.arange(len(points)) < points.first_pier
    prior = np.full(len(points), np.inf)
    network = Network(points.xy, held, prior, free, observations_of(plan, points))
    determined = np.array([key not in loose for key in points.ids])
    axes = np.full(len(points), np.nan)
    if not loose:
        seen = network.observations
        axes = worst_axes(points.xy, list(zip(seen.i.tolist(), seen.j.tolist(), strict=True)), held, free=free)
    return Taped(network, points.xy, determined, np.ones(len(points), dtype=np.bool_), axes)


def design(xy: Floats, pairs: list[tuple[int, int]]) -> Floats:
    """Return the derivatives of distances in units of their deviations, written down plainly."""
    rows = np.zeros((len(pairs), 2 * len(xy)))
    for r, (i, j) in enumerate(pairs):
        way = xy[j] - xy[i]
        far = math.hypot(*way)
        s = tape_deviation(far, "II")
        rows[r, 2 * i : 2 * i + 2], rows[r, 2 * j : 2 * j + 2] = -way / far / s, way / far / s
    return rows


def worst_axes(xy: Floats, pairs: list[tuple[int, int]], held: Bools, *, free: bool) -> Floats:
    """Return the semi-major axes of all points (95 %) by a dense inverse, or the pseudo-inverse of a free one."""
    rows = design(xy, pairs)
    keep = np.ones(2 * len(xy), dtype=bool) if free else ~np.repeat(held, 2)
    normal = rows[:, keep].T @ rows[:, keep]
    whole = np.zeros((2 * len(xy), 2 * len(xy)))
    whole[np.ix_(keep, keep)] = (
        np.linalg.pinv(normal, hermitian=True, rcond=1e-11) if free else np.linalg.inv(normal)
    )
    return np.array(
        [
            CERTAIN * math.sqrt(max(np.linalg.eigvalsh(whole[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]).max(), 0))
            for k in range(len(xy))
        ]
    )


def next_of(plan: Plan, state: Taped) -> TapeNext | None:
    """Return what to tape next."""
    return tape_next(plan, PointTable(plan, None), Obstacles(plan), state)


@pytest.mark.parametrize("free", [False, True])
def test_equal_to_trying_every_distance(*, free: bool) -> None:
    """On 60 random jobs nothing that was not taped yet does more for the worst stake than what is named."""
    rng = np.random.default_rng(5)
    checked = 0
    while checked < 60:
        stakes = int(rng.integers(2, 8))
        controls = [(0.0, 0.0), (9000.0, 0.0), (4000.0, -11000.0)][: int(rng.integers(2, 4))]
        piers = [(float(x), float(y)) for x, y in rng.uniform((0, -9000), (9000, -1000), (stakes, 2))]
        names = [f"C{k + 1}" for k in range(len(controls))] + [f"P{k + 1}" for k in range(stakes)]
        pairs = list(combinations(range(len(names)), 2))
        count = min(2 * stakes + int(rng.integers(1, 6)), len(pairs))
        some = [pairs[k] for k in rng.choice(len(pairs), count, replace=False)]
        plan = job(controls, piers, [(names[i], names[j]) for i, j in some])
        held = np.arange(len(names)) < len(controls)
        rows = design(PointTable(plan, None).xy, some)
        keep = np.ones(2 * len(names), dtype=bool) if free else ~np.repeat(held, 2)
        values = np.linalg.svd(rows[:, keep], compute_uv=False)
        need = keep.sum() - (3 if free else 0)
        if len(values) < need or values[need - 1] < 1e-3 * values[0]:
            continue
        checked += 1
        state = taped(plan, free=free)
        before = worst_axes(state.xy, some, held, free=free)
        worst = len(controls) + int(np.argmax(before[len(controls) :]))
        open_ = [p for p in pairs if p not in some and (free or not (held[p[0]] and held[p[1]]))]
        after = [worst_axes(state.xy, [*some, p], held, free=free)[worst] for p in open_]
        found = next_of(plan, state)
        if not after or min(after) > before[worst] * (1 - 1e-6):
            assert found is None or (names.index(found.start), names.index(found.end)) in some
            continue
        assert found is not None
        assert found.worst == names[worst]
        assert found.before == pytest.approx(before[worst], rel=1e-8)
        assert found.after == pytest.approx(min(after), rel=1e-8)
        named = (names.index(found.start), names.index(found.end))
        assert after[open_.index(named)] == pytest.approx(min(after), rel=1e-8)
        assert found.planned == pytest.approx(distance(tuple(state.xy[named[0]]), tuple(state.xy[named[1]])))


def grid_job(columns: int, rows: int, *, held: int = 4) -> Plan:
    """Return a grid of stakes, each taped to its neighbours and over both diagonals, corners of it held."""
    at = {
        (c, r): (c * 3000.0 + 37.0 * ((c * r) % 5), -r * 2500.0 - 41.0 * ((c + r) % 3))
        for c in range(columns)
        for r in range(rows)
    }
    corners = [(0, 0), (columns - 1, 0), (0, rows - 1), (columns - 1, rows - 1)][:held]
    cells = [*corners, *(cell for cell in at if cell not in corners)]
    names = {cell: f"C{k + 1}" if k < held else f"P{k + 1 - held}" for k, cell in enumerate(cells)}
    tapes = [
        (names[c, r], names[c + dc, r + dr])
        for c, r in at
        for dc, dr in ((1, 0), (0, 1), (1, 1), (1, -1))
        if (c + dc, r + dr) in at
    ]
    return job([at[c] for c in corners], [at[c] for c in cells[held:]], tapes)


def test_looking_only_at_the_promising_ones_changes_nothing() -> None:
    """On 80 stakes, of 2,900 distances, the one named is the best by one inverse and the formula for all."""
    plan = grid_job(12, 7)
    state = taped(plan)
    held, xy = state.network.held, state.xy
    seen = state.network.observations
    rows = design(xy, list(zip(seen.i.tolist(), seen.j.tolist(), strict=True)))[:, ~np.repeat(held, 2)]
    c = np.zeros((2 * len(xy),) * 2)
    free = ~np.repeat(held, 2)
    c[np.ix_(free, free)] = np.linalg.inv(rows.T @ rows)
    blocks = np.array([c[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] for k in range(len(xy))])
    worst = int(np.argmax([np.linalg.eigvalsh(b).max() for b in blocks]))
    least = math.inf
    taped_pairs = set(zip(np.minimum(seen.i, seen.j).tolist(), np.maximum(seen.i, seen.j).tolist(), strict=True))
    for i, j in combinations(range(len(xy)), 2):
        far = math.hypot(*(xy[j] - xy[i]))
        if (i, j) in taped_pairs or far > plan.tape_at_hand.length or (held[i] and held[j]):
            continue
        a = np.zeros(2 * len(xy))
        a[2 * i : 2 * i + 2], a[2 * j : 2 * j + 2] = (xy[i] - xy[j]) / far, (xy[j] - xy[i]) / far
        ca = c @ a
        v = ca[2 * worst : 2 * worst + 2]
        left = blocks[worst] - np.outer(v, v) / (tape_deviation(far, "II") ** 2 + a @ ca)
        least = min(least, CERTAIN * math.sqrt(np.linalg.eigvalsh(left).max()))
    found = next_of(plan, state)
    assert found is not None
    assert found.worst == PointTable(plan, None).ids[worst]
    assert found.after == pytest.approx(least, rel=1e-7)


CONTROLS: list[Vector] = [(0.0, 0.0), (8000.0, 0.0), (4000.0, -9000.0)]


def test_a_stake_with_one_tape_is_told_the_one_that_crosses_it() -> None:
    plan = job(CONTROLS, [(100.0, -3000.0)], [("C1", "P1")])
    found = next_of(plan, taped(plan, loose=("P1",)))
    assert found is not None
    assert {found.start, found.end} == {"C2", "P1"}
    assert math.isinf(found.before)
    assert found.after < 20
    assert "not determined yet" in found.says


def test_a_stake_with_no_tape_is_told_the_first_of_the_best_two() -> None:
    """The pair is the best of the three by the inverse of both rows."""
    plan = job([*CONTROLS, (7000.0, -3000.0)], [(1000.0, -3000.0)], [("C1", "C2")])
    state = taped(plan, loose=("P1",))
    found = next_of(plan, state)
    assert found is not None
    axes = {
        pair: worst_axes(state.xy, [(pair[0], 4), (pair[1], 4)], state.network.held, free=False)[4]
        for pair in combinations(range(4), 2)
    }
    best = min(axes, key=lambda pair: axes[pair])
    assert found.after == pytest.approx(axes[best])
    nearer = min(best, key=lambda k: distance(tuple(state.xy[k]), tuple(state.xy[4])))
    assert {found.start, found.end} == {f"C{nearer + 1}", "P1"}
    assert "and then C" in found.says


def test_a_stake_that_can_flip_is_told_what_shows_its_side() -> None:
    """P1 hangs on two tapes, from C1 and C2: C3, far below, tells on which side of them it stands."""
    plan = job(CONTROLS, [(4000.0, -300.0)], [("C1", "P1"), ("C2", "P1")])
    found = next_of(plan, taped(plan, loose=("P1",)))
    assert found is not None
    assert {found.start, found.end} == {"C3", "P1"}


def test_a_barred_distance_is_not_named() -> None:
    piers = [(3000.0, -3000.0)]
    open_plan = job(CONTROLS, piers, [("C1", "P1"), ("C2", "P1")])
    first = next_of(open_plan, taped(open_plan))
    assert first is not None
    assert {first.start, first.end} == {"C3", "P1"}
    tree = Keepout(id="K1", outline=((3000, -6000), (4000, -6000), (4000, -5000), (3000, -5000)), kind="tree")
    barred = open_plan.with_(keepouts=(tree,))
    again = next_of(barred, taped(barred))
    assert again is not None
    assert {again.start, again.end} <= {"C1", "C2", "P1"}


def test_a_distance_beyond_the_tape_is_not_named() -> None:
    plan = job(CONTROLS, [(3000.0, -3000.0)], [("C1", "P1"), ("C2", "P1")], reach=6000.0)
    found = next_of(plan, taped(plan))
    assert found is not None
    assert {found.start, found.end} in ({"C1", "P1"}, {"C2", "P1"})


def test_the_same_pair_only_when_nothing_else_helps() -> None:
    plan = job(CONTROLS, [(3000.0, -3000.0)], [("C1", "P1"), ("C2", "P1"), ("C3", "P1")])
    found = next_of(plan, taped(plan))
    assert found is not None
    assert found.after < found.before


def test_nothing_to_tape_is_none() -> None:
    alone = Plan(controls=(Control(id="C1", at=(0.0, 0.0)),), piers=(Pier(id="P1", at=(50_000.0, 0.0)),))
    assert next_of(alone, taped(alone, loose=("P1",))) is None
    bare = Plan(controls=(Control(id="C1", at=(0.0, 0.0)),))
    assert next_of(bare, taped(bare)) is None


def test_a_large_free_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """The way for large networks, column by column, equals the pseudo-inverse of a free one."""
    monkeypatch.setattr(certainty, "WHOLE_UP_TO", 40)
    plan = grid_job(10, 6, held=2)
    state = taped(plan, free=True)
    found = next_of(plan, state)
    assert found is not None
    seen = state.network.observations
    pairs = list(zip(seen.i.tolist(), seen.j.tolist(), strict=True))
    before = worst_axes(state.xy, pairs, state.network.held, free=True)
    assert found.before == pytest.approx(before[2:].max(), rel=1e-6)
    ids = PointTable(plan, None).ids
    named = ids.index(found.start), ids.index(found.end)
    after = worst_axes(state.xy, [*pairs, named], state.network.held, free=True)[ids.index(found.worst)]
    assert found.after == pytest.approx(after, rel=1e-6)


def measured(plan: Plan) -> Plan:
    """Return the plan with true tapes of its taping plan."""
    pulls = derive(plan).taping_plan.pulls
    return plan.with_(tapes=tuple(Tape(start=a, end=b, distance=d) for a, b, d in pulls))


SIX: list[Vector] = [(1500.0 + 2600 * k, -2000.0 - 2700 * r - 40 * k) for r in range(2) for k in range(3)]


@pytest.mark.parametrize("read_to", [0.0, 1.5875])
def test_what_is_promised_is_what_the_proof_then_shows(read_to: float) -> None:
    """The named distance is taped, ten times over: each time the proof shows the axis that was promised."""
    plan = measured(job(CONTROLS, SIX, []).with_(proof=ProofSettings(read_to=read_to)))
    for _ in range(10):
        found = derive(plan).tape_next
        assert found is not None
        plan = plan.with_(tapes=(*plan.tapes, Tape(start=found.start, end=found.end, distance=found.planned)))
        proof = derive(plan).proof
        assert proof is not None
        (stake,) = (row for row in proof.points if row.id == found.worst)
        assert stake.semi_major == pytest.approx(found.after, rel=1e-6)


def test_following_it_finds_every_stake() -> None:
    """From a single tape on, taping what is named determines all six stakes, in 12 tapes or little more."""
    plan = job(CONTROLS, SIX, [("C1", "P1")])
    while True:
        proof, found = derive(plan).proof, derive(plan).tape_next
        assert proof is not None
        assert found is not None
        if all(row.found is not None for row in proof.points if row.kind == "pier"):
            break
        assert len(plan.tapes) < 18
        plan = plan.with_(tapes=(*plan.tapes, Tape(start=found.start, end=found.end, distance=found.planned)))
    assert len(plan.tapes) <= 15


def test_without_measures_there_is_no_next() -> None:
    assert derive(job(CONTROLS, SIX, [])).tape_next is None
