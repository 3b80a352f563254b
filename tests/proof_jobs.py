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
from layoutdesk.engine.tapes import taken_deviation
from layoutdesk.plan.model import Attachment, Control, Pier, Plan, TakenClass, Tape

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
) -> Plan:
    """Return a plan with these distances taped, each with the error of its tape.

    Args:
        plan: the plan.
        pulls: from where to where.
        places: where the points truly stand.
        rng: chance; None for tapes without any error.
        tape_class: of the tape.
        misread: what is added to some readings, by their place in ``pulls``; mm.
    """
    true = np.array([abs(places[a] - places[b]) for a, b in pulls])
    deviation = np.array([taken_deviation(length, tape_class, None) for length in true.tolist()])
    read = true if rng is None else true + deviation * rng.standard_normal(len(true))
    for index, error in (misread or {}).items():
        read[index] += error
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
    way = (true - complex(*point.found)) * complex(
        math.cos(math.radians(point.turn)), -math.sin(math.radians(point.turn))
    )
    return (way.real / point.semi_major) ** 2 + (way.imag / point.semi_minor) ** 2 <= 1.0


@dataclass
class Counts:
    """What came of many jobs."""

    jobs: int = 0
    stakes: int = 0
    inside: int = 0
    rejected: int = 0

    @property
    def held(self) -> float:
        """Return the share of stakes that stand in their ellipse."""
        return self.inside / self.stakes

    @property
    def turned_down(self) -> float:
        """Return the share of jobs that the test of the whole turns down."""
        return self.rejected / self.jobs


def counted(plan: Plan, pulls: Sequence[Pull], jobs: int, seed: int) -> Counts:
    """Return what the proof says of sound jobs, against what is true."""
    rng, counts = np.random.default_rng(seed), Counts()
    for _ in range(jobs):
        places = staked(plan, rng)
        said = proof(taped(plan, pulls, places, rng))
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
