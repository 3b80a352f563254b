"""Nothing heavy is imported before it is needed: the window opens before a file is read."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("msgspec", "numpy", "shapely", "scipy", "pint", "ezdxf", "reportlab", "PySide6")


@pytest.mark.parametrize(
    "module", ["units", "plan.edits", "plan.file", "session.document", "session.viewstate", "session.recovery"]
)
def test_a_room_below_the_engine_imports_only_the_standard_library(module: str, checkout: Path) -> None:
    program = f"import sys, layoutdesk.{module}; print([name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], cwd=checkout, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
