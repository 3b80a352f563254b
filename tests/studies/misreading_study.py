"""How often is the cause of a misreading rightly said? Counts over many jobs made up by chance; run by hand.

``python -m tests.studies.misreading_study [JOBS]`` says one line for each kind of slip and each sample; 500 jobs of
each by default. In every job one tape of all is misread, chosen by chance among those that can be misread so; what
is written down is rounded to the step of the tape. The slips are made here from the written number, not with the
code that recognises them.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.entries import Misreading
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from layoutdesk.units import format_length, parse_length
from tests.proof_jobs import Places, Pull, proof, pulls_of, staked, taped

FOOT, INCH = 304.8, 25.4
SAMPLES = Path(__file__).parents[2] / "samples"


@dataclass(frozen=True)
class Job:
    """One tape as it was read right: where, by whom, how long (mm)."""

    plan: Plan
    places: Places
    pull: Pull
    read: float
    rng: np.random.Generator

    @property
    def text(self) -> str:
        return format_length(self.read, self.plan.units, self.plan.rounding)


Slipped = Callable[[Job], float | None]


def off(*by: float) -> Slipped:
    """Return a slip that adds one of some errors."""

    def slip(job: Job) -> float | None:
        wrong = job.read + float(job.rng.choice(np.array(by)))
        return wrong if wrong > 0 else None

    return slip


def changed(job: Job, ways: list[str]) -> float | None:
    """Return one of several other ways to write the number, when it is another number that is written so."""
    units, step = job.plan.units, job.plan.rounding
    ways = [
        way
        for way in ways
        if _readable(way, job.plan) and way == format_length(parse_length(way, units), units, step)
    ]
    ways = [way for way in ways if abs(parse_length(way, units) - job.read) > step]
    return parse_length(ways[int(job.rng.integers(len(ways)))], job.plan.units) if ways else None


def _plain(text: str) -> int:
    """Return where the digits end that are no fraction."""
    return text.rfind(" ", 0, text.find("/")) if "/" in text else len(text)


def swapped(job: Job) -> float | None:
    text, ways = job.text, []
    at = [k for k in range(_plain(job.text)) if text[k].isdigit()]
    for a, b in pairwise(at):
        digits = list(text)
        digits[a], digits[b] = digits[b], digits[a]
        ways.append("".join(digits))
    return changed(job, ways)


def upside_down(job: Job) -> float | None:
    text = job.text
    other = {"6": "9", "9": "6"}
    ways = [text[:k] + other[c] + text[k + 1 :] for k, c in enumerate(text[: _plain(text)]) if c in other]
    return changed(job, ways)


def _readable(text: str, plan: Plan) -> bool:
    try:
        return parse_length(text, plan.units) > 0
    except ValueError:
        return False


def feet_for_inches(job: Job) -> float | None:
    return job.read * 12 if job.plan.units == "ft-in" else None


def tenths(job: Job) -> float | None:
    feet, inches = divmod(job.read / INCH, 12)
    whole = round(inches)
    if abs(inches - whole) > 1e-6 or not 1 <= whole <= 9:
        return None
    return (feet + whole / 10) * FOOT


def neighbour(job: Job) -> float | None:
    """Return what the tape reads when it is taken to the point next to the right one."""
    stays, goes = job.pull if job.rng.random() < 0.5 else job.pull[::-1]
    others = [name for name in job.places if name not in job.pull]
    near = sorted(others, key=lambda name: abs(job.places[name] - job.places[goes]))[:2]
    there = near[int(job.rng.integers(len(near)))]
    wrong = abs(job.places[there] - job.places[stays])
    return wrong if abs(wrong - job.read) > 30 else None


def anything(job: Job) -> float | None:
    size = float(np.exp(job.rng.uniform(np.log(12.0), np.log(900.0))))
    return max(job.read + (size if job.rng.random() < 0.5 else -size), 50.0)


IMPERIAL: dict[str, tuple[Misreading, Slipped]] = {
    "a foot": ("whole feet", off(FOOT, -FOOT)),
    "an inch": ("whole inches", off(INCH, -INCH)),
    "begun at 1 in": ("begun at a mark", off(INCH)),
    "begun at 1 ft": ("begun at a mark", off(FOOT)),
    "feet for inches": ("one unit for another", feet_for_inches),
    "tenths for inches": ("tenths for inches", tenths),
}
METRIC: dict[str, tuple[Misreading, Slipped]] = {
    "a metre": ("whole metres", off(1000.0, -1000.0)),
    "a decimetre": ("whole decimetres", off(100.0, -100.0)),
    "a centimetre": ("whole centimetres", off(10.0, -10.0)),
    "begun at 10 cm": ("begun at a mark", off(100.0)),
}
BOTH: dict[str, tuple[Misreading, Slipped]] = {
    "digits changed over": ("swapped digits", swapped),
    "6 for 9": ("upside down", upside_down),
    "the neighbour stake": ("wrong end", neighbour),
    "anything": ("other", anything),
}


@dataclass
class Said:
    """What was said in many jobs."""

    jobs: int = 0
    named: int = 0
    alike: int = 0
    first: int = 0
    among: int = 0
    other: int = 0


def said_of(plan: Plan, pulls: list[Pull], kind: Misreading, slip: Slipped, *, jobs: int, seed: int) -> Said:
    """Return how often the tape, and then the cause, was said."""
    rng, said = np.random.default_rng(seed), Said()
    tries = 0
    while said.jobs < jobs and tries < 200 * jobs:
        tries += 1
        places = staked(plan, rng)
        job = taped(plan, pulls, places, rng)
        planted = int(rng.integers(len(pulls)))
        tape = job.tapes[planted]
        read = round(tape.distance / plan.rounding) * plan.rounding
        wrong = slip(Job(plan, places, pulls[planted], read, rng))
        if wrong is None:
            continue
        said.jobs += 1
        tapes = (*job.tapes[:planted], replace(tape, distance=wrong), *job.tapes[planted + 1 :])
        found = proof(replace(job, tapes=tapes)).suspects
        if not found or planted not in {found[0].index, *found[0].alike}:
            continue
        said.named += 1
        said.alike += bool(found[0].alike)
        if found[0].index == planted:
            said.first += found[0].misreading == kind
            said.among += kind in {found[0].misreading, *found[0].also}
            said.other += found[0].misreading == "other"
    return said


def two_feet(plan: Plan, pulls: list[Pull], jobs: int, seed: int) -> tuple[int, int, int]:
    """Return in how many jobs two tapes that were misread by a foot were both named; they alone; with the cause."""
    rng = np.random.default_rng(seed)
    both = alone = cause = 0
    for _ in range(jobs):
        planted = rng.choice(len(pulls), 2, replace=False).tolist()
        wrong = {int(index): float(rng.choice([-FOOT, FOOT])) for index in planted}
        found = proof(taped(plan, pulls, staked(plan, rng), rng, misread=wrong)).suspects
        named = {suspect.index for suspect in found}
        both += named >= wrong.keys()
        alone += named == wrong.keys()
        sizes = {one.index: one.size for one in found}
        cause += named >= wrong.keys() and all(abs(sizes[n] - error) < FOOT / 20 for n, error in wrong.items())
    return both, alone, cause


def main(jobs: int) -> None:
    """Print the counts."""
    for path in sorted(SAMPLES.glob("*.layout.json")):
        plan = read_plan(path)
        if plan.tapes:
            continue
        pulls = pulls_of(derive(plan))
        for name, (kind, slip) in ((IMPERIAL if plan.units == "ft-in" else METRIC) | BOTH).items():
            said = said_of(plan, pulls, kind, slip, jobs=jobs, seed=11)
            sys.stdout.write(
                f"{path.stem}, {name}, {said.jobs} jobs: tape named {said.named} ({said.alike} with others), "
                f"cause first {said.first}, among those said {said.among}, none said {said.other}\n"
            )
            sys.stdout.flush()
        told = two_feet(plan, pulls, jobs, seed=12)
        sys.stdout.write(f"{path.stem}, two tapes a foot out, {jobs} jobs: both named, alone, sizes right {told}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
