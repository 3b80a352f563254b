"""``layoutdesk FILE`` opens the desk on the plan, with a screen and without one, and ends without a word."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

# Runs the command as it is. Once the window bears the plan's name, it is closed as a person would close it.
VISIT = """
import os, sys
from PySide6.QtCore import QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QMainWindow
from layoutdesk.__main__ import main

def look():
    (window,) = [w for w in QApplication.topLevelWidgets() if isinstance(w, QMainWindow)]
    if os.environ["EXPECTED"] in window.windowTitle():
        timer.stop()
        print(QGuiApplication.platformName(), window.isVisible(), flush=True)
        window.close()

def exec_and_look(*_):
    global timer
    timer = QTimer()
    timer.timeout.connect(look)
    timer.start(20)
    return run_events()

run_events, QApplication.exec = QApplication.exec, exec_and_look
main()
"""


@pytest.fixture(scope="module")
def x_display() -> Iterator[str]:
    """Give a display of our own, where the system can make one."""
    if shutil.which("Xvfb") is None:
        pytest.skip("Xvfb is not installed")
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=(write,), stderr=subprocess.DEVNULL) as server:
        os.close(write)
        with os.fdopen(read) as told:
            yield ":" + told.readline().strip()
        server.terminate()


def visit(sample: Path, home: Path, **surroundings: str) -> str:
    """Open the desk on a plan, close it, and return what platform it stood on and whether it was seen."""
    title = json.loads(sample.read_text(encoding="utf-8"))["title"]
    homes = {name: str(home) for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME")}
    done = subprocess.run(
        [sys.executable, "-c", VISIT, str(sample)], env={**os.environ, **homes, **surroundings, "EXPECTED": title},
        capture_output=True, encoding="utf-8", timeout=60, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def test_the_desk_opens_on_a_plan_without_a_screen(sample: Path, tmp_path: Path) -> None:
    assert visit(sample, tmp_path, QT_QPA_PLATFORM="offscreen") == "offscreen True\n"


def test_the_desk_opens_on_a_plan_on_a_screen(sample: Path, tmp_path: Path, x_display: str) -> None:
    assert visit(sample, tmp_path, QT_QPA_PLATFORM="xcb", DISPLAY=x_display) == "xcb True\n"
