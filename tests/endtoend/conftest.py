"""The program as a person at a prompt has it: words in; an exit code, two streams and files out."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from layoutdesk.places import SAMPLES

Run = Callable[..., subprocess.CompletedProcess[str]]


def samples() -> list[Path]:
    """Return the sample plans."""
    return sorted(SAMPLES.glob("*.layout.json"))


@pytest.fixture(params=samples(), ids=lambda path: path.name.split(".")[0])
def sample(request: pytest.FixtureRequest) -> Path:
    """Return each sample plan in turn."""
    return Path(request.param)


@pytest.fixture
def layoutdesk(tmp_path: Path) -> Run:
    """Return a way to run the program in an empty folder; keywords are added to its environment."""

    def run(*words: str | Path, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "layoutdesk", *map(str, words)], cwd=tmp_path, stdin=subprocess.DEVNULL,
            env={**os.environ, **environment}, capture_output=True, encoding="utf-8", timeout=100, check=False,
        )  # fmt: skip

    return run
