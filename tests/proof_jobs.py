"""Jobs made up by chance: stakes that do not stand quite right, and the tapes that a crew would read.

What is true is known here, so that what the proof says can be held against it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.engine.proof.entries import Proof, ProofPoint
from layoutdesk.engine.proof.statistics import ELLIPSE_SQUARED, SURE
from layoutdesk.engine.tapes import taken_deviation
from layoutdesk.plan.model import Attachment, Baseline, Control, Pier, Plan, TakenClass, Tape

Places = dict[str, complex]
"""Where every point truly stands, by id, mm."""
Pull = tuple[str, str]


def pulls_of(layout: Layout) -> list[Pull]:
    """Return what the printed sheets have blanks for: all open ties, and sides and diagonals of all bays."""
    ways = {(tie.control, stake.id) for stake in layout.stakes for tie in stake.ties if tie.blocked_by is None}
    for bay in layout.bays:
        a, b, c, d = bay.corners
        ways |= {(min(side), max(side)) for side in ((a, b), (b, c), (c, d), (d, a))}
        ways |= {
            (one, other) for (one, other), barred in zip(((a, c), (b, d)), bay.barred, strict=True) if not barred
        }
    return sorted(ways)


def staked(plan: Plan, rng: np.random.Generator, deviation: float = 6.0) -> Places:
    """Return where the points stand: control as drawn, the rest off by chance along x and y."""
    places = {control.id: complex(*control.at) for control in plan.controls}
    stakes: list[Attachment | Pier] = [*plan.attachments, *plan.piers]
    for point in stakes:
        places[point.id] = complex(*point.at) + complex(*rng.normal(0.0, deviation, 2))
    return places


def taped(
    plan: Plan,
    pulls: Sequence[Pull],
    places: Places,
    rng: np.random.Generator | None,
    *,
    tape_class: TakenClass = "II",
    misread: dict[int, float] | None = None,
    read_to: float | None = None,
) -> Plan:
    """Return a plan with these distances taped, each with the error of its tape, and rounded as it was read.

    Args:
        plan: the plan.
        pulls: from where to where.
        places: where the points truly stand.
        rng: chance; None for tapes without any error.
        tape_class: of the tape.
        misread: what is added to some readings, by their place in ``pulls``; mm.
        read_to: the step that readings are rounded to, mm, 0 for none; what the plan allows for when left out.
    """
    true = np.array([abs(places[a] - places[b]) for a, b in pulls])
    deviation = np.array([taken_deviation(length, tape_class, None) for length in true.tolist()])
    read = true if rng is None else true + deviation * rng.standard_normal(len(true))
    for index, error in (misread or {}).items():
        read[index] += error
    step = plan.proof.read_to if read_to is None else read_to
    if step:
        read = np.rint(read / step) * step
    tapes = [
        Tape(start=a, end=b, distance=float(d), tape_class=tape_class)
        for (a, b), d in zip(pulls, read, strict=True)
    ]
    return replace(plan, tapes=tuple(tapes))


def proof(plan: Plan) -> Proof:
    """Return the proof of a plan that has measures."""
    found = derive(plan).proof
    assert found is not None
    return found


def inside(point: ProofPoint, true: complex) -> bool:
    """Return whether a point truly stands inside its 95 % ellipse as the proof shows it."""
    assert point.found is not None
    return ellipses_long(point, true - complex(*point.found)) <= 1.0


def ellipses_long(point: ProofPoint, way: complex) -> float:
    """Return how long a way is, in half axes of the 95 % ellipse of a point that lie in its direction."""
    turned = way * complex(math.cos(math.radians(point.turn)), -math.sin(math.radians(point.turn)))
    return math.hypot(turned.real / point.semi_major, turned.imag / point.semi_minor)


def stretched(count: int) -> float:
    """Return how many times an ellipse must be enlarged so that all of so many hold, in 95 % of cases.

    At most one in twenty sets of ``count`` has a point outside, when each is outside once in 20 ``count``.
    """
    return math.sqrt(-2 * math.log((1 - SURE) / count) / ELLIPSE_SQUARED)


@dataclass
class Counts:
    """What came of many jobs."""

    jobs: int = 0
    stakes: int = 0
    inside: int = 0
    rejected: int = 0
    measures: int = 0
    suspected: int = 0

    @property
    def held(self) -> float:
        """Return the share of stakes that stand in their ellipse."""
        return self.inside / self.stakes

    @property
    def turned_down(self) -> float:
        """Return the share of jobs that the test of the whole turns down."""
        return self.rejected / self.jobs

    @property
    def suspects(self) -> float:
        """Return the share of measures that are named first among the suspects of a job."""
        return self.suspected / self.measures


def counted(
    plan: Plan, pulls: Sequence[Pull], jobs: int, seed: int, *, read_to: float | None = None, stray: float = 6.0
) -> Counts:
    """Return what the proof says of sound jobs, against what is true.

    Args:
        plan: the plan.
        pulls: what is taped.
        jobs: how many.
        seed: of chance.
        read_to: the step that readings are rounded to; what the plan allows for when left out.
        stray: how far stakes stand off, one standard deviation along x and along y; mm.
    """
    rng, counts = np.random.default_rng(seed), Counts()
    for _ in range(jobs):
        places = staked(plan, rng, stray)
        said = proof(taped(plan, pulls, places, rng, read_to=read_to))
        counts.measures += len(said.tapes)
        counts.suspected += bool(said.suspects)
        stakes = [point for point in said.points if point.found is not None and not point.held]
        counts.jobs += 1
        counts.rejected += said.passes is False
        counts.stakes += len(stakes)
        counts.inside += sum(inside(point, places[point.id]) for point in stakes)
    return counts


def named_first(plan: Plan, pulls: Sequence[Pull], jobs: int, seed: int, error: float) -> tuple[int, int, int]:
    """Return in how many jobs a planted misreading was named first alone, first among alike, or not so."""
    rng = np.random.default_rng(seed)
    alone = together = missed = 0
    for _ in range(jobs):
        planted = int(rng.integers(len(pulls)))
        way = error if rng.random() < 0.5 else -error
        said = proof(taped(plan, pulls, staked(plan, rng), rng, misread={planted: way}))
        first = said.suspects[0] if said.suspects else None
        if first is not None and first.index == planted and not first.alike:
            alone += 1
        elif first is not None and planted in {first.index, *first.alike}:
            together += 1
        else:
            missed += 1
    return alone, together, missed


@dataclass
class Loop:
    """What came of moving stakes as told and taping them again.

    ``ways`` says of each stake that was moved how far it then truly stands from its plan, in half axes of its
    ellipse, the rounding of the move left out: that is what the statement "within so much" is about. ``farthest``
    is the greatest distance from the plan in mm, with that rounding. ``left`` counts the moved stakes that the
    second proof says to leave, ``again`` those that it says to move once more.
    """

    ways: list[float]
    farthest: float = 0.0
    left: int = 0
    again: int = 0

    @property
    def outside(self) -> float:
        """Return the share of moved stakes that are out by more than their 95 % ellipse."""
        return sum(way > 1.0 for way in self.ways) / len(self.ways)

    @property
    def beyond(self) -> int:
        """Return how many are out by more than chance allows any of them."""
        return sum(way > stretched(len(self.ways)) for way in self.ways)


def loop(plan: Plan, pulls: Sequence[Pull], jobs: int, seed: int) -> Loop:
    """Return what came of jobs whose stakes stand badly, were moved as told, and were taped again."""
    rng, found = np.random.default_rng(seed), Loop([])
    for _ in range(jobs):
        places = staked(plan, rng, deviation=20.0)
        said = proof(taped(plan, pulls, places, rng))
        after, done = moved(plan, places, said)
        second = {point.id: point.verdict for point in proof(taped(plan, pulls, after, rng)).points}
        for point in done:
            assert point.found is not None
            planned = complex(*point.planned)
            rounding = after[point.id] - places[point.id] - (planned - complex(*point.found))
            assert abs(rounding) <= plan.rounding / 2**0.5 + 1e-6
            found.ways.append(ellipses_long(point, after[point.id] - planned - rounding))
            found.farthest = max(found.farthest, abs(after[point.id] - planned))
            found.left += second[point.id] == "leave"
            found.again += second[point.id] == "move"
    return found


def moved(plan: Plan, places: Places, said: Proof) -> tuple[Places, list[ProofPoint]]:
    """Return where the points stand after every move was made to the step of the tape, and what was moved."""
    frame = derive(plan).frame
    assert frame is not None
    step, after, done = plan.rounding, dict(places), []
    for point in said.points:
        if point.verdict == "move":
            along, away = (round(part / step) * step for part in (point.along, point.away))
            after[point.id] += along * complex(*frame.along) + away * complex(*frame.away)
            done.append(point)
    return after, done


def braced(*, controls: int) -> Plan:
    """Return a braced quadrilateral: two control points and two piers, and perhaps a third control point."""
    drawn = [("C1", (0.0, 0.0)), ("C2", (4800.0, 0.0)), ("C3", (2400.0, 600.0))][:controls]
    return Plan(
        controls=tuple(Control(id=name, at=at) for name, at in drawn),
        piers=(Pier(id="P1", at=(300.0, -3600.0)), Pier(id="P2", at=(4500.0, -3600.0))),
    )


def short(*, stakes: int) -> tuple[Plan, list[Pull]]:
    """Return a small job of short tapes, 2 to 5 m, and its pulls: each control point to each stake, and between."""
    drawn = [("C1", (0.0, 0.0)), ("C2", (2400.0, 0.0)), ("C3", (4200.0, -600.0))]
    at = [(300.0, -2300.0), (2500.0, -2500.0), (600.0, -4300.0), (2700.0, -4400.0)][:stakes]
    plan = Plan(
        baseline=Baseline(origin=drawn[0][1], toward=drawn[1][1], yard_side="right"),
        controls=tuple(Control(id=name, at=place) for name, place in drawn),
        piers=tuple(Pier(id=f"P{k + 1}", at=place) for k, place in enumerate(at)),
    )
    places = dict(drawn) | {pier.id: pier.at for pier in plan.piers}
    ids = list(places)
    ways = [(a, b) for k, a in enumerate(ids) for b in ids[k + 1 :] if b.startswith("P")]
    return plan, [(a, b) for a, b in ways if 2000.0 <= math.dist(places[a], places[b]) <= 5000.0]
