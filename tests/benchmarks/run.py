"""Run the benchmarks and print one table of ratios: ``python tests/benchmarks/run.py [start derive …]``.

Run by hand, on an idle machine, from the environment of the tests; pytest never collects it. Each part runs
in a process of its own, so that none warms another's caches.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import time
from dataclasses import asdict
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.ratio import Row, table  # noqa: E402 - found only after the path is set

PARTS = ("start", "canvas", "derive", "edit", "drawing", "sheets", "lengths", "import", "proof", "cutting", "order")
LIBRARIES = ("PySide6_Essentials", "numpy", "scipy", "shapely", "ezdxf", "reportlab")


def spin() -> float:
    """Return how long a fixed piece of plain Python takes, in ms: how quiet the machine is."""
    start = time.perf_counter()
    total = 0
    for k in range(1_000_000):
        total += k * k & 7
    return (time.perf_counter() - start) * 1000


def measured(part: str) -> list[Row]:
    """Return the rows of one part, from a process of its own; none, with a word on stderr, when it failed."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(
        [sys.executable, __file__, "--part", part], env=environment, stdout=subprocess.PIPE, check=False
    )
    if done.returncode:
        sys.stderr.write(f"{part}: ended with {done.returncode}\n")
        return []
    return [Row(**row) for row in json.loads(done.stdout)]


def main(words: list[str]) -> int:
    """Measure the named parts, or all; return the exit code."""
    if words[:1] == ["--part"]:
        rows: list[Row] = import_module(f"tests.benchmarks.bench_{words[1]}").rows()
        sys.stdout.write(json.dumps([asdict(row) for row in rows]))
        return 0
    spins, rows = [spin()], []
    for part in words or PARTS:
        sys.stderr.write(f"{part} …\n")
        rows += measured(part)
        spins.append(spin())
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    sys.stdout.write(
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, CPython {platform.python_version()}, "
        f"{libraries}; a fixed spin took {min(spins):.0f} to {max(spins):.0f} ms (median {median(spins):.0f}).\n\n"
        f"{table(rows)}\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
