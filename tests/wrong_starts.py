"""Jobs set out wrongly by chance: stakes in each other's place, rows shifted, turned about, on the wrong side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

import numpy as np
from scipy.special import chdtri

from layoutdesk.engine.derive import derive
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.entries import Proof
from layoutdesk.engine.proof.observations import observations_of
from layoutdesk.engine.proof.standing import standing_of
from layoutdesk.geometry.vector import mirrored
from layoutdesk.plan.model import Baseline, BeamLine, Control, Pier, Plan, ProofSettings
from tests.proof_jobs import Places, Pull, proof, staked, taped

Wrong = Literal["sound", "swapped", "mirrored", "shifted", "reversed"]
WRONGS: Final[tuple[Wrong, ...]] = ("sound", "swapped", "mirrored", "shifted", "reversed")
WORDS: Final[dict[str, str]] = {
    "swapped": "changed places",
    "mirrored": "wrong side",
    "shifted": "one place along",
    "reversed": "other way round",
}
"""What the sentence that names each says."""
ELSEWHERE_MM: Final = 100.0
FOOT_MM: Final = 304.8
Harder = Literal["", "a tape misread", "few tapes", "control uncertain", "control free"]
HARDER: Final[tuple[Harder, ...]] = ("", "a tape misread", "few tapes", "control uncertain", "control free")
"""What makes it harder to tell: a foot misread besides, a quarter of the tapes not taken, control not held."""


def grid(rng: np.random.Generator) -> tuple[Plan, list[Pull]]:
    """Return a grid of two or three rows of three to five piers, two to four control points, and its pulls.

    The control stands along the house or not; some ties are left out, neighbours and diagonals are taped.
    """
    rows, columns = int(rng.integers(2, 4)), int(rng.integers(3, 6))
    gaps = np.concatenate(([0.0], np.cumsum(rng.choice([2000.0, 2400.0, 3000.0], columns - 1))))
    deep = -np.cumsum(rng.choice([1800.0, 2500.0, 3200.0], rows))
    long = float(gaps[-1])
    controls = [(-300.0, 0.0), (long + 400.0, 0.0), (long / 2 + 150.0, 0.0), (long + 2500.0, deep[-1] + 600.0)]
    used = controls[: int(rng.integers(2, 5))]
    lines = tuple(BeamLine(id=f"L{r}", start=(0.0, float(y)), end=(long, float(y))) for r, y in enumerate(deep))
    piers = tuple(
        Pier(id=f"P{r * columns + c + 1}", at=(float(x), float(y)), line=f"L{r}")
        for r, y in enumerate(deep)
        for c, x in enumerate(gaps)
    )
    plan = Plan(
        controls=tuple(Control(id=f"C{k + 1}", at=(float(x), float(y))) for k, (x, y) in enumerate(used)),
        lines=lines,
        piers=piers,
        baseline=Baseline(origin=used[0], toward=used[1], yard_side="right"),
        units="mm",
        rounding=1.0,
    )
    ties = [(control.id, pier.id) for pier in piers for control in plan.controls]
    share = float(rng.uniform(0.0, 0.25)) if len(used) > 2 else 0.0
    pulls = [pull for pull in ties if rng.random() >= share]
    for r in range(rows):
        for c in range(columns):
            near = [(r, c + 1), (r + 1, c), (r + 1, c + 1), (r + 1, c - 1)]
            pulls += [
                (piers[r * columns + c].id, piers[s * columns + d].id)
                for s, d in near
                if s < rows and 0 <= d < columns
            ]
    return plan, pulls


@dataclass
class Job:
    """One job: the plan with its tapes, where all points truly stand, and which stakes were set out wrongly."""

    plan: Plan
    places: Places
    wrong: Wrong
    stakes: frozenset[str]


def set_out(plan: Plan, pulls: Sequence[Pull], wrong: Wrong, rng: np.random.Generator, harder: Harder = "") -> Job:
    """Return a job in which this went wrong, taped as it stands."""
    if harder == "control uncertain":
        plan = replace(plan, proof=ProofSettings(control="uncertain"))
    elif harder == "control free":
        plan = replace(plan, proof=ProofSettings(control="free"))
    elif harder == "few tapes":
        pulls = [pull for pull in pulls if rng.random() > 0.25]
    good = staked(plan, rng, deviation=15.0)
    places = dict(good)
    rows = [[pier for pier in plan.piers if pier.line == line.id] for line in plan.lines]
    row = rows[int(rng.integers(len(rows)))]
    names = [pier.id for pier in row]
    drawn = np.array([complex(*pier.at) for pier in row])
    off = np.array([good[name] for name in names]) - drawn
    match wrong:
        case "sound":
            names, stands = [], drawn[:0]
        case "swapped":
            names = [plan.piers[k].id for k in rng.choice(len(plan.piers), 2, replace=False).tolist()]
            stands = np.array([good[names[1]], good[names[0]]])
        case "mirrored":
            assert plan.baseline is not None
            a, b = plan.baseline.origin, plan.baseline.toward
            stands = np.array([complex(*mirrored(pier.at, a, b)) for pier in row]) + off
        case "shifted":
            stands = np.append(drawn[1:], 2 * drawn[-1] - drawn[-2]) + off
        case "reversed":
            stands = drawn[0] + drawn[-1] - drawn + off
    moved = {name: complex(place) for name, place in zip(names, stands, strict=True)}
    places |= moved
    changed = frozenset(name for name, place in moved.items() if abs(place - good[name]) > ELSEWHERE_MM)
    misread = {int(rng.integers(len(pulls))): FOOT_MM} if harder == "a tape misread" else None
    return Job(taped(plan, pulls, places, rng, misread=misread), places, wrong, changed)


def can_be_told(job: Job) -> bool:
    """Return whether the tapes of a job tell its places from those that are reached from the drawn ones."""
    plan = job.plan
    points = PointTable(plan, derive(plan).frame)
    network = standing_of(plan, points, observations_of(plan, points)).network
    truth = np.array([[job.places[name].real, job.places[name].imag] for name in points.ids])
    right, drawn = adjust(replace(network, start=truth)), adjust(network)
    if not right.determined.all():
        return False
    fits = drawn.degrees < 1 or drawn.weighted <= float(chdtri(drawn.degrees, 1e-3))
    same = bool((np.abs(right.xy - drawn.xy).max(1) < ELSEWHERE_MM).all())
    return same or not fits


@dataclass
class Told:
    """What came of many jobs of one kind.

    ``noticed`` counts jobs of which something is said that is amiss; ``named`` those whose stakes are named with
    the right words and no others; ``either`` those in which a line is said to part them from others that may as
    well be the wrong ones; ``misnamed`` those in which other stakes are named, or other words are said; ``silent``
    those in which nothing is said while stakes are shown more than 100 mm from where they stand.
    """

    jobs: int = 0
    hidden: int = 0
    noticed: int = 0
    named: int = 0
    either: int = 0
    misnamed: int = 0
    silent: int = 0
    odd: list[int] = field(default_factory=list)

    def add(self, job: Job, said: Proof, number: int) -> None:
        """Count one job."""
        if job.wrong != "sound" and not can_be_told(job):
            self.hidden += 1
            return
        self.jobs += 1
        told = {one for entry in said.swapped for one in entry.ids}
        words = [entry.says for entry in said.swapped]
        either = job.wrong == "mirrored" and told > job.stakes and len(words) == 1 and " parts " in words[0]
        right = bool(told) and told == job.stakes and all(_fits(job.wrong, says) for says in words)
        elsewhere = any(
            point.found is not None and abs(complex(*point.found) - job.places[point.id]) > ELSEWHERE_MM
            for point in said.points
        )
        noticed = bool(told) or said.passes is False
        self.noticed += noticed
        self.named += right
        self.either += either
        self.misnamed += bool(told) and not right and not either
        self.silent += elsewhere and not noticed
        if (not right and not either) if job.wrong != "sound" else (bool(told) or elsewhere):
            self.odd.append(number)


def _fits(wrong: Wrong, says: str) -> bool:
    # A row of two that is turned round is two stakes that changed places.
    also = wrong == "reversed" and WORDS["swapped"] in says
    return wrong != "sound" and (WORDS[wrong] in says or also)


def told(
    jobs: int,
    seed: int,
    wrong: Wrong,
    plan: Plan | None = None,
    pulls: Sequence[Pull] = (),
    *,
    harder: Harder = "",
) -> Told:
    """Return what is said of so many jobs of a plan, or of a new grid each."""
    counts = Told()
    for number in range(jobs):
        rng = np.random.default_rng((seed, number))
        one, ways = (plan, pulls) if plan is not None else grid(rng)
        job = set_out(one, ways, wrong, rng, harder)
        counts.add(job, proof(job.plan), number)
    return counts
