"""Are the statistics of the proof true? Counts over many jobs made up by chance; run by hand.

``python -m tests.studies.proof_study [JOBS]`` says one line for each question;
2,000 jobs of each sample by default.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from layoutdesk.engine.derive import derive
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Attachment, Pier, Plan
from tests.proof_jobs import braced, counted, moved, named_first, proof, pulls_of, staked, taped

FOOT = 304.8
SAMPLES = Path(__file__).parents[2] / "samples"


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def closes(plan: Plan, jobs: int, seed: int) -> tuple[int, int, int]:
    """Return how many stakes were moved, are then out by more than stated, and are to be moved again."""
    rng = np.random.default_rng(seed)
    pulls = pulls_of(derive(plan))
    count = beyond = again = 0
    stakes: list[Attachment | Pier] = [*plan.attachments, *plan.piers]
    drawn = {point.id: complex(*point.at) for point in stakes}
    for _ in range(jobs):
        places = staked(plan, rng, deviation=20.0)
        after, done = moved(plan, places, proof(taped(plan, pulls, places, rng)))
        count += len(done)
        half = plan.rounding / 2**0.5
        beyond += sum(abs(after[point.id] - drawn[point.id]) > point.semi_major + half for point in done)
        said = proof(taped(plan, pulls, after, rng))
        again += sum(point.verdict == "move" for point in said.points)
    return count, beyond, again


def main(jobs: int) -> None:
    """Print the counts."""
    for path in sorted(SAMPLES.glob("*.layout.json")):
        plan = read_plan(path)
        if plan.tapes:
            continue
        pulls = pulls_of(derive(plan))
        counts = counted(plan, pulls, jobs, seed=1)
        say(f"{path.stem}, {len(pulls)} tapes: ellipses hold {counts.held:.2%} of {counts.stakes}")
        say(f"{path.stem}: the test turns down {counts.turned_down:.2%} of {jobs} sound jobs")
        tries = max(1, jobs // 4)
        say(f"{path.stem}, 1 ft misread: alone, together, missed {named_first(plan, pulls, tries, 2, FOOT)}")
        say(f"{path.stem}: moved, beyond what is stated, to move again {closes(plan, tries, 3)}")
    for controls in (2, 3):
        plan = braced(controls=controls)
        pulls = [(f"C{k + 1}", p) for k in range(controls) for p in ("P1", "P2")] + [("P1", "P2")]
        told = named_first(plan, pulls, jobs, 4, FOOT)
        say(f"braced, {controls} control points, 1 ft misread: alone, together, missed {told}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
