"""Are the statistics of the proof true? Counts over many jobs made up by chance; run by hand.

``python -m tests.studies.proof_study [JOBS]`` says one line for each question; 2,000 jobs of each sample by
default. Readings come three ways: to the last digit; rounded to the plan's step with that step allowed for; and, to
show what the allowance is for, rounded without it. What the first two say must be true.
"""

from __future__ import annotations

import sys
from pathlib import Path

from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.statistics import SUSPECT_AT
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.proof_jobs import Pull, braced, counted, loop, named_first, pulls_of, short, stretched

FOOT = 304.8
SIXTEENTH = 25.4 / 16
SAMPLES = Path(__file__).parents[2] / "samples"


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def ways_to_read(plan: Plan, step: float) -> list[tuple[str, Plan, float]]:
    """Return how tapes can be read: what to call it, the plan with what it allows for, and the step."""
    allowed = edits.set_proof(plan, read_to=step)
    return [
        ("to the last digit", plan, 0.0),
        (f"to {step:g} mm, allowed for", allowed, step),
        (f"to {step:g} mm, not allowed for", plan, step),
    ]


def say_counts(name: str, plan: Plan, pulls: list[Pull], step: float, jobs: int, *, stray: float = 6.0) -> None:
    """Print how often ellipses hold, the test turns sound jobs down, and a sound measure is suspect."""
    for called, judged, read_to in ways_to_read(plan, step):
        found = counted(judged, pulls, jobs, seed=1, read_to=read_to, stray=stray)
        say(
            f"{name}, {len(pulls)} tapes, {called}: ellipses hold {found.held:.2%} of {found.stakes};"
            f" the test turns down {found.turned_down:.2%} of {jobs} sound jobs;"
            f" suspects in {found.suspected}, {found.suspects:.3%} of {found.measures} measures"
        )


def say_loop(name: str, plan: Plan, pulls: list[Pull], step: float, jobs: int) -> None:
    """Print what came of making the moves and taping again."""
    for called, judged, _ in ways_to_read(plan, step)[:2]:
        found = loop(judged, pulls, jobs, seed=3)
        count = len(found.ways)
        say(
            f"{name}, {called}: {count} stakes moved; {found.outside:.2%} out by more than the 95 % ellipse;"
            f" {found.beyond} by more than {stretched(count):.2f} of it, which all of them keep in 95 % of cases;"
            f" at most {found.farthest:.1f} mm out, the tolerance is {plan.proof.tolerance:g};"
            f" taped again: leave {found.left}, move {found.again}"
        )


def main(jobs: int) -> None:
    """Print the counts."""
    tries = max(1, jobs // 4)
    for path in sorted(SAMPLES.glob("*.layout.json")):
        plan = read_plan(path)
        if plan.tapes:
            continue
        name, pulls = path.name.removesuffix(".layout.json"), pulls_of(derive(plan))
        say_counts(name, plan, pulls, plan.rounding, jobs)
        say(f"{name}, 1 ft misread: alone, together, missed {named_first(plan, pulls, tries, 2, FOOT)}")
        say_loop(name, plan, pulls, plan.rounding, jobs)
    say(f"short tapes, each tested at {SUSPECT_AT:.1%}:")
    for stakes in (2, 4):
        plan, pulls = short(stakes=stakes)
        say_counts(f"{stakes} stakes, 2 to 5 m", plan, pulls, SIXTEENTH, jobs, stray=25.0)
        say_loop(f"{stakes} stakes, 2 to 5 m", plan, pulls, SIXTEENTH, tries)
    for controls in (2, 3):
        plan = braced(controls=controls)
        pulls = [(f"C{k + 1}", p) for k in range(controls) for p in ("P1", "P2")] + [("P1", "P2")]
        told = named_first(plan, pulls, jobs, 4, FOOT)
        say(f"braced, {controls} control points, 1 ft misread: alone, together, missed {told}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
