"""The window stands before anything but Qt is loaded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

PROGRAM = """
import sys
from PySide6.QtWidgets import QApplication
from layoutdesk.app import build
from layoutdesk.desk.dialogs.answers import Dialogs

app = QApplication(["layoutdesk"])
window = build(app, Dialogs())
def painted():
    heavy = {"numpy", "shapely", "scipy", "msgspec", "pint", "reportlab", "ezdxf", "pypdfium2"}
    print("loaded:", sorted(heavy & set(sys.modules)))
    app.quit()
window.painted.connect(painted)
window.show()
app.exec()
window.close()
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
