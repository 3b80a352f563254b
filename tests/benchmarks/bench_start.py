"""From the start of the process to the first painted window: the whole desk on a sample, against a bare window."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from statistics import median

from layoutdesk.places import SAMPLES
from tests.benchmarks.ratio import Row

STARTS = 15
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

# The desk as the command opens it. Its first painted frame ends the process; or, when EXPECTED names the plan,
# the frame that shows the plan once everything is awake.
OURS = """
import gc, os, sys, time
import layoutdesk.__main__ as program

def watch():
    from PySide6.QtCore import QEvent, QObject, QTimer
    from PySide6.QtWidgets import QApplication, QMainWindow

    class Watch(QObject):
        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint:
                self.window.removeEventFilter(self)
                QTimer.singleShot(0, end if "EXPECTED" not in os.environ else self.look)
            return False

        def look(self):
            if os.environ["EXPECTED"] in self.window.windowTitle():
                QApplication.processEvents()
                end()
            QTimer.singleShot(1, self.look)

    def watched_exec(*_):
        (watch.window,) = [w for w in QApplication.topLevelWidgets() if isinstance(w, QMainWindow)]
        watch.window.installEventFilter(watch)
        return run_events()

    watch = Watch()
    run_events, QApplication.exec = QApplication.exec, watched_exec

def end():
    print((time.monotonic() - float(os.environ["STARTED"])) * 1000, flush=True)
    os._exit(0)

def disable():
    # The command's first step towards the desk: Qt must not be imported earlier here than it is there.
    really_disable()
    watch()

really_disable, gc.disable = gc.disable, disable
sys.argv = ["layoutdesk", os.environ["SAMPLE"]]
program.main()
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
    """Return rows for starts without a display, and with one where there is one."""
    sample = min(SAMPLES.glob("*.layout.json"))
    title = json.loads(sample.read_text(encoding="utf-8"))["title"]
    found = []
    with display() as name, tempfile.TemporaryDirectory() as home:
        homes = dict.fromkeys(("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"), home)
        platforms = {"offscreen": {"QT_QPA_PLATFORM": "offscreen"}}
        if name:
            platforms["X11"] = {"QT_QPA_PLATFORM": "xcb", "DISPLAY": name}
        for shown, more in platforms.items():
            environment = {**os.environ, **homes, **more, "SAMPLE": str(sample)}
            # A user's modules are compiled once; so are these, in the first start.
            environment.pop("PYTHONDONTWRITEBYTECODE", None)
            contestants = (
                (BARE, environment),
                (OURS, environment),
                (OURS, {**environment, "EXPECTED": title}),
            )
            times: list[list[float]] = [[] for _ in contestants]
            for turn in range(STARTS + 1):
                for k, (code, surroundings) in enumerate(contestants):
                    taken = one_start(code, surroundings)
                    if turn:  # the first start of each fills the page cache
                        times[k].append(taken)
            bare, first, whole = map(median, times)
            against = "a window with an empty view"
            found.append(Row("first painted window", shown, against, bare, first, TARGET))
            found.append(Row("the plan on the sheet, all pages awake", shown, against, bare, whole, None))
    return found
