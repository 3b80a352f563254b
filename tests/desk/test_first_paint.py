"""The window stands before anything but Qt is loaded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

PROGRAM = """
import sys
from PySide6.QtWidgets import QApplication
from layoutdesk.app import Opening

def painted():
    heavy = {"numpy", "shapely", "scipy", "msgspec", "pint", "reportlab", "ezdxf", "pypdfium2"}
    print("loaded:", sorted(heavy & set(sys.modules)))
    print("plans:", "layoutdesk.plan.model" in sys.modules)
    print("drawings:", incoming())
    opening.window.painted.connect(opening._on_painted)
    opening._on_painted()
    print("page:", incoming())
    app.quit()

def incoming():
    late = ("importers.linework", "importers.reading", "desk.incoming.leaf", "desk.incoming.frame")
    return [name for name in late if f"layoutdesk.{name}" in sys.modules]

app = QApplication(["layoutdesk"])
opening = Opening(app, None)
opening.window.painted.disconnect(opening._on_painted)
opening.window.painted.connect(painted)
opening.window.show()
app.exec()
opening.window.close()
"""


def test_only_qt_is_loaded_before_the_first_painting(checkout: Path, tmp_path: Path) -> None:
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "XDG_CONFIG_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        cwd=checkout,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "loaded: []" in done.stdout
    assert "plans: False" in done.stdout
    assert "drawings: []" in done.stdout
    assert "page: []" in done.stdout
