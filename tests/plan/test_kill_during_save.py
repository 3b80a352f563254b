"""A process that is killed while it saves loses nothing that was saved."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from layoutdesk.plan.file import read_plan, write_plan
from layoutdesk.plan.model import Plan

pytestmark = pytest.mark.timeout(60)

ROUNDS = 12
SAVER = """
import sys
from pathlib import Path
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan, write_plan
path = Path(sys.argv[1])
plan = edits.add_grid(read_plan(path), (0, 0), (1, 0), [2000.0] * 20, [2000.0] * 9)
number = int(plan.title)
while True:
    number += 1
    write_plan(path, edits.set_title(plan, str(number)))
    print(number, flush=True)
"""


def test_the_file_opens_and_holds_what_was_saved_last_however_often_its_saver_is_killed(
    tmp_path: Path, checkout: Path
) -> None:
    path = tmp_path / "plan.layout.json"
    write_plan(path, Plan(title="0"))
    for round_number in range(ROUNDS):
        with subprocess.Popen(
            [sys.executable, "-c", SAVER, str(path)], cwd=checkout, stdout=subprocess.PIPE, text=True
        ) as saver:
            assert saver.stdout is not None
            for _ in range(2 + round_number % 4):
                said = int(saver.stdout.readline())
            time.sleep(0.002 * round_number)  # so that different steps of a save are hit
            saver.kill()  # kill -9 where there is such a thing; the saver is in the midst of the next save
            rest = saver.stdout.read().split()
        saved = max([said, *map(int, rest)])
        plan = read_plan(path)
        assert int(plan.title) in {saved, saved + 1}  # the last one may have been saved before it was said
        assert len(plan.piers) == 200 * (round_number + 1)
    write_plan(path, plan)
    assert list(tmp_path.iterdir()) == [path]


def test_the_saver_says_when_it_cannot_start(checkout: Path) -> None:
    """The test above would wait for ever, or pass for nothing, if the saver did not run."""
    done = subprocess.run(
        [sys.executable, "-c", SAVER, "nowhere"], cwd=checkout, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert "nowhere is not there" in done.stderr
