"""How often are stakes that were set out wrongly noticed and named? Counts over jobs by chance; run by hand.

``python -m tests.studies.starts_study [JOBS]`` says one line for each sample and each thing that goes wrong;
300 jobs of each by default.
"""

from __future__ import annotations

import sys
from pathlib import Path

from layoutdesk.engine.derive import derive
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from tests.proof_jobs import Pull, pulls_of
from tests.wrong_starts import WRONGS, told

SAMPLES = Path(__file__).parents[2] / "samples"


def main(jobs: int) -> None:
    """Print the counts."""
    scenes: list[tuple[str, Plan | None, list[Pull]]] = [("grids", None, [])]
    for path in sorted(SAMPLES.glob("*.layout.json")):
        plan = read_plan(path)
        if not plan.tapes:
            scenes.append((path.stem.removesuffix(".layout"), plan, pulls_of(derive(plan))))
    for name, drawn, pulls in scenes:
        for wrong in WRONGS:
            many = jobs if wrong != "sound" else 3 * jobs
            found = told(many, 7, wrong, drawn, pulls)
            sys.stdout.write(
                f"{name}, {wrong}: {found.jobs} jobs ({found.hidden} more cannot be told), noticed {found.noticed},"
                f" named {found.named}, as one of two halves {found.either}, named wrongly {found.misnamed},"
                f" false and silent {found.silent}; look at {found.odd[:8]}\n"
            )
            sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
