"""From the start of the process to the first painted window: the whole desk on a sample, against a bare window."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from statistics import median

from layoutdesk.places import SAMPLES
from tests.benchmarks.ratio import Row

STARTS = 11
TARGET = 1.5

BARE = """
import os, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QGraphicsScene, QGraphicsView, QMainWindow

class View(QGraphicsView):
    def paintEvent(self, event):
        super().paintEvent(event)
        QTimer.singleShot(0, painted)

def painted():
    print((time.monotonic() - float(os.environ["STARTED"])) * 1000, flush=True)
    os._exit(0)

application = QApplication([])
window = QMainWindow()
window.resize(1280, 800)
view = View(QGraphicsScene())
window.setCentralWidget(view)
window.show()
application.exec()
"""

# The desk as the command opens it; the only change is that its first painted frame ends the process.
OURS = """
import os, sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow
from layoutdesk.__main__ import main

class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, painted)
        return False

def painted():
    print((time.monotonic() - float(os.environ["STARTED"])) * 1000, flush=True)
    os._exit(0)

watch = Watch()
run_events = QApplication.exec

def watched_exec(*_):
    (window,) = [w for w in QApplication.topLevelWidgets() if isinstance(w, QMainWindow)]
    window.installEventFilter(watch)
    return run_events()

QApplication.exec = watched_exec
sys.argv = ["layoutdesk", os.environ["SAMPLE"]]
main()
"""


def one_start(code: str, environment: dict[str, str]) -> float:
    """Return how long one start took, in ms."""
    started = {**environment, "STARTED": repr(time.monotonic())}
    done = subprocess.run([sys.executable, "-c", code], env=started, capture_output=True, text=True, check=True)
    return float(done.stdout.split()[-1])


@contextlib.contextmanager
def display() -> Iterator[str | None]:
    """Give the name of a display: the one at hand, or one of our own where the system can make it."""
    if os.environ.get("DISPLAY"):
        yield os.environ["DISPLAY"]
        return
    if shutil.which("Xvfb") is None:
        yield None
        return
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=(write,), stderr=subprocess.DEVNULL)
    try:
        yield ":" + os.read(read, 64).decode().strip()
    finally:
        server.terminate()
        server.wait()
        os.close(read)
        os.close(write)


def rows() -> list[Row]:
    """Return a row for a start without a display, and one with a display where there is one."""
    sample = str(min(SAMPLES.glob("*.layout.json")))
    found = []
    with display() as name:
        platforms = {"offscreen": {"QT_QPA_PLATFORM": "offscreen"}}
        if name:
            platforms["X11"] = {"QT_QPA_PLATFORM": "xcb", "DISPLAY": name}
        for shown, more in platforms.items():
            environment = {**os.environ, **more, "SAMPLE": sample}
            # A user's modules are compiled once; so are these, in the first start.
            environment.pop("PYTHONDONTWRITEBYTECODE", None)
            times: list[list[float]] = [[], []]
            for turn in range(STARTS + 1):
                for k, code in enumerate((BARE, OURS)):
                    taken = one_start(code, environment)
                    if turn:  # the first start of each fills the page cache
                        times[k].append(taken)
            bare, ours = map(median, times)
            found.append(Row("first painted window", shown, "a window with an empty view", bare, ours, TARGET))
    return found
