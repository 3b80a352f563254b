"""The same plan gives the same DXF, byte for byte, on any day and in any process."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest

from layoutdesk.exporters.dxf import write_dxf
from tests.exporters.dxf_scene import NAMES, sample

WRITE = """
import hashlib, sys
from pathlib import Path
from layoutdesk.engine.derive import derive
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.plan.file import read_plan
from layoutdesk.sheets.drawing import plan_drawing
for name in sys.argv[1:]:
    print(hashlib.sha256(write_dxf(plan_drawing(derive(read_plan(Path(name)))))).hexdigest())
"""


@pytest.mark.parametrize("seed", ["0", "1", "2", "3"])
def test_other_processes_write_the_same_bytes(seed: str, checkout: Path) -> None:
    """Each with its own hash seed, and with time gone by."""
    done = subprocess.run(
        [sys.executable, "-c", WRITE, *(str(checkout / "samples" / f"{name}.layout.json") for name in NAMES)],
        capture_output=True,
        text=True,
        check=True,
        cwd=checkout,
        env={**os.environ, "PYTHONHASHSEED": seed},
    )
    assert done.stdout.split() == [hashlib.sha256(sample(name).data).hexdigest() for name in NAMES]


def test_a_second_drawing_in_one_process_is_not_marked_by_the_first() -> None:
    for name in reversed(NAMES):
        assert write_dxf(sample(name).drawing) == sample(name).data


def test_the_library_s_option_is_put_back() -> None:
    """It holds for the whole process, and other code may want its clock."""
    assert not ezdxf.options.write_fixed_meta_data_for_testing
    write_dxf(sample(NAMES[0]).drawing)
    assert not ezdxf.options.write_fixed_meta_data_for_testing


def test_nothing_of_the_clock_or_the_machine_is_in_the_file() -> None:
    data = sample(NAMES[0]).data
    for trace in (str(Path.home()).encode(), b"/tmp/", sys.version.split()[0].encode()):
        assert trace not in data
