"""Which distances prove a whole layout, against trying every set of them; and in which order they are pulled."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise, permutations

import numpy as np
import pytest

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import TapingPlan
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.candidates import candidates
from layoutdesk.engine.proof.taping import site_of, worth_of
from layoutdesk.engine.proof.walk import in_walking_order, walks
from layoutdesk.engine.tapes import taken_deviation
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan import edits
from layoutdesk.plan.model import (
    Control,
    ControlTrust,
    Keepout,
    Pier,
    Plan,
    ProofSettings,
    Tape,
    TapeAtHand,
    TapeClass,
)
from layoutdesk.plan.tape_rules import reading_step

CERTAIN = 2.447746830681
FOOT = 304.8
SHOWS = 4.13


def job(
    controls: list[Vector],
    piers: list[Vector],
    *,
    tolerance: float = 12.7,
    trust: ControlTrust = "held",
    tape_class: TapeClass = "II",
    reach: float = 30_000.0,
) -> Plan:
    """Return a plan with control points C1… and piers P1…."""
    return Plan(
        units="mm",
        rounding=1.0,
        controls=tuple(Control(id=f"C{k}", at=at) for k, at in enumerate(controls, 1)),
        piers=tuple(Pier(id=f"P{k}", at=at) for k, at in enumerate(piers, 1)),
        tape_at_hand=TapeAtHand(length=reach, tape_class=tape_class),
        proof=ProofSettings(control=trust, tolerance=tolerance),
    )


def does(plan: Plan, pairs: list[tuple[int, int]]) -> bool:
    """Return whether distances prove a plan, written down plainly: places, axes and errors of a foot that show."""
    at = [c.at for c in plan.controls] + [p.at for p in plan.piers]
    controls, free = len(plan.controls), plan.proof.control == "free"
    rows, deviations = np.zeros((len(pairs), 2 * len(at))), []
    for r, (i, j) in enumerate(pairs):
        far = distance(at[i], at[j])
        s = taken_deviation(far, plan.tape_at_hand.tape_class, read_to=reading_step(plan))
        way = np.subtract(at[j], at[i]) / far / s
        rows[r, 2 * i : 2 * i + 2], rows[r, 2 * j : 2 * j + 2] = -way, way
        deviations.append(s)
    if not free:
        rows = rows[:, 2 * controls :]
    unknowns = rows.shape[1] - (3 if free else 0)
    values = np.linalg.svd(rows, compute_uv=False)
    if len(values) < unknowns or values[unknowns - 1] < 1e-6 * values[0]:
        return False
    covariance = np.linalg.pinv(rows.T @ rows, rcond=1e-11, hermitian=True)
    share = 1 - np.einsum("tu,uv,tv->t", rows, covariance, rows)
    shows = SHOWS * np.array(deviations) / np.sqrt(np.maximum(share, 1e-12))
    first = 2 * controls if free else 0
    axes = [
        CERTAIN * math.sqrt(np.linalg.eigvalsh(covariance[k : k + 2, k : k + 2]).max())
        for k in range(first, rows.shape[1], 2)
    ]
    return bool(max(axes) <= plan.proof.tolerance and shows.max() <= FOOT)


def open_pairs(plan: Plan) -> list[tuple[int, int]]:
    """Return all pairs that can be taped and tell something."""
    site = site_of(plan, PointTable(plan, None), Obstacles(plan))
    return list(zip(site.tapes.first.tolist(), site.tapes.second.tolist(), strict=True))


def fewest(plan: Plan) -> int | None:
    """Return the least number of distances that does, by trying all sets."""
    pairs = open_pairs(plan)
    if not does(plan, pairs):
        return None
    size = max(2 * len(plan.piers) - 3, 1)
    while not any(does(plan, list(some)) for some in combinations(pairs, size)):
        size += 1
    return size


def rows_of(plan: Plan, found: TapingPlan) -> list[tuple[int, int]]:
    """Return the pulls as pairs of rows."""
    ids = PointTable(plan, None).ids
    return [(ids.index(a), ids.index(b)) for a, b, _ in found.pulls]


@pytest.mark.parametrize("seed", range(8))
def test_at_most_one_pull_above_the_least_possible(seed: int) -> None:
    """Over 12 random small jobs a seed, with trees in the way and tight tolerances, against all sets."""
    rng = np.random.default_rng(seed)
    for _ in range(12):
        stakes = int(rng.integers(1, 4))
        count = int(rng.integers(2, 5 if stakes < 3 else 4))
        controls = [(0.0, 0.0), (8000.0, 0.0), (1000.0, -9000.0), (9000.0, -8000.0)][:count]
        piers = [(float(x), float(y)) for x, y in rng.uniform((0, -8000), (9000, -1000), (stakes, 2))]
        plan = job(
            controls,
            piers,
            tolerance=float(rng.choice([4.0, 6.0, 12.7])),
            trust="free" if rng.random() < 0.2 and stakes * count < 8 else "held",
            tape_class="III" if rng.random() < 0.3 else "II",
        )
        if rng.random() < 0.5:
            x, y = rng.uniform((1000, -7000), (8000, -2000))
            ring = ((x, y), (x + 400, y), (x + 400, y + 400), (x, y + 400))
            plan = plan.with_(keepouts=(Keepout(id="K1", outline=ring, kind="tree"),))
        found, least = derive(plan).taping_plan, fewest(plan)
        if least is None:
            assert not found.proves
            continue
        assert found.proves
        assert does(plan, rows_of(plan, found))
        assert len(found.pulls) <= least + 1


def grid(columns: int, rows: int) -> Plan:
    """Return a grid of piers with four control points round it."""
    width, depth = 3000.0 * columns, 2500.0 * rows
    piers = [
        (1500.0 + 3000 * c + 29.0 * ((c * r) % 4), -1500.0 - 2500 * r - 31.0 * (c % 3))
        for c in range(columns)
        for r in range(rows)
    ]
    return job([(0, 0), (width, 0), (0, -depth - 1000), (width, -depth - 1000)], piers)


@pytest.mark.parametrize(("columns", "rows"), [(3, 2), (4, 4), (6, 5)])
def test_what_it_says_it_reaches_is_what_the_adjustment_gives(columns: int, rows: int) -> None:
    """Taken as true tapes, the pulls prove every stake to what the plan of them said, small jobs and large.

    The step that they are read to is that of the plan: nothing is planned finer than it will be read.
    """
    plan = grid(columns, rows)
    found = derive(plan).taping_plan
    assert found.proves
    assert does(plan, rows_of(plan, found))
    wanted = [taken_deviation(far, "II", read_to=plan.rounding) for _, _, far in found.pulls]
    assert found.deviations == pytest.approx(wanted)
    assert len({frozenset(pull[:2]) for pull in found.pulls}) == len(found.pulls)
    taped = edits.add_tapes(plan, [Tape(start=a, end=b, distance=d) for a, b, d in found.pulls])
    proof = derive(taped).proof
    assert proof is not None
    stakes = [row for row in proof.points if row.kind == "pier"]
    assert max(row.semi_major for row in stakes) == pytest.approx(found.reaches, rel=1e-6)
    assert len(found.pulls) <= 2.25 * len(plan.piers) + 1


def test_the_first_measure_changes_nothing_of_it() -> None:
    """What was printed is what the table asks for: the first tape fixes the step that was planned with."""
    for plan in (grid(2, 2), edits.set_rounding(grid(3, 2), 25.4), edits.set_proof(grid(3, 2), read_to=12.7)):
        found = derive(plan).taping_plan
        start, end, far = found.pulls[0]
        assert derive(edits.add_tape(plan, start, end, far)).taping_plan == found


def test_a_foot_misread_in_any_pull_shows() -> None:
    """Each distance read one foot too long, one at a time: the test of the whole fails every time."""
    plan = grid(2, 2)
    found = derive(plan).taping_plan
    tapes = [Tape(start=a, end=b, distance=d) for a, b, d in found.pulls]
    for k, tape in enumerate(tapes):
        wrong = [*tapes[:k], replace(tape, distance=tape.distance + FOOT), *tapes[k + 1 :]]
        proof = derive(plan.with_(tapes=tuple(wrong))).proof
        assert proof is not None
        assert proof.weighted > proof.high


def test_corners_to_be_measured_are_found_too() -> None:
    plan = grid(2, 2)
    measured = plan.with_(controls=(replace(plan.controls[0], measured=True), *plan.controls[1:]))
    found = derive(measured).taping_plan
    assert found.proves
    assert sum("C1" in pull[:2] for pull in found.pulls) >= 3
    assert len(found.pulls) == 2 * 5 + 1


def test_what_the_tape_cannot_reach_is_said_by_name() -> None:
    plan = job([(0, 0), (8000, 0), (0, -8000)], [(2000, -2000), (40_000, -2000)])
    found = derive(plan).taping_plan
    assert (found.pulls, found.proves) == ((), False)
    assert "P2 cannot be proved with this tape" in found.says
    assert "no other point" in found.says


def test_a_tolerance_beyond_the_tape_is_said_with_its_class() -> None:
    plan = job([(0, 0), (8000, 0), (0, -8000)], [(2000, -2000), (6000, -5000)], tolerance=0.5, tape_class="III")
    found = derive(plan).taping_plan
    assert not found.proves
    assert found.reaches > 0.5
    assert "class III" in found.says
    assert found.pulls == ()


def test_what_nothing_checks_is_said() -> None:
    """One stake and two control points: it is found, and nothing would show a misreading."""
    plan = job([(0, 0), (8000, 0)], [(4000, -4000)])
    found = derive(plan).taping_plan
    assert not found.proves
    assert "30 cm misread there would not show" in found.says
    assert "a foot misread there would not show" in derive(plan.with_(units="ft-in")).taping_plan.says


def test_without_piers_there_is_nothing_to_prove() -> None:
    found = derive(job([(0, 0), (8000, 0)], [])).taping_plan
    assert (found.pulls, found.proves) == ((), False)
    assert "no piers" in found.says


def test_adding_to_what_does_still_does() -> None:
    """All distances together never reach less than the chosen ones."""
    plan = grid(3, 2)
    site = site_of(plan, PointTable(plan, None), Obstacles(plan))
    everything = worth_of(site, np.arange(len(site.tapes)))
    assert everything.axes[site.wanted].max() <= derive(plan).taping_plan.reaches


def walked(order: list[int], walk: Floats) -> float:
    """Return how far both people walk in all."""
    return float(sum(walk[a, b] for a, b in pairwise(order)))


def test_the_order_of_the_pulls_is_nearly_the_shortest_walk() -> None:
    """On 20 random sets of seven pulls at most a quarter longer than the shortest of all orders."""
    rng = np.random.default_rng(2)
    for _ in range(20):
        xy = rng.uniform(0, 9000, (9, 2))
        everything = np.ones(9, dtype=np.bool_)
        tapes = candidates(xy, everything, everything, TapeAtHand())
        chosen = np.sort(rng.choice(len(tapes), 7, replace=False))
        order = in_walking_order(xy, tapes, chosen)
        assert sorted(order.tolist()) == chosen.tolist()
        ends = xy[tapes.first[chosen]], xy[tapes.second[chosen]]
        walk = walks(*ends, *ends)
        where = [chosen.tolist().index(k) for k in order.tolist()]
        shortest = min(walked(list(one), walk) for one in permutations(range(7)))
        assert walked(where, walk) <= 1.25 * shortest
