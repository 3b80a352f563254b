"""The Qt binding must survive being painted with: some releases lose a reference to None at every call."""

from __future__ import annotations

import subprocess
import sys

PAINT = """
from PySide6.QtCore import QObject, QPointF, Signal
from PySide6.QtGui import QColor, QImage, QPainter, QPen

class Bell(QObject):
    rung = Signal()

heard = []
bell = Bell()
bell.rung.connect(lambda: heard.append(1))
image = QImage(64, 64, QImage.Format.Format_RGB32)
painter = QPainter(image)
pen = QPen(QColor("#e4572e"))
for turn in range(12_500):
    painter.save()
    painter.setPen(pen)
    painter.drawLine(QPointF(0, turn % 64), QPointF(63, 0))
    painter.restore()
    if turn % 10 == 0:
        bell.rung.emit()
painter.end()
print("painted", len(heard))
"""


def test_fifty_thousand_painter_calls_are_survived() -> None:
    """PySide6 6.12.0 ends CPython 3.11 after a few thousand; the pin is raised only while this holds."""
    run = subprocess.run([sys.executable, "-c", PAINT], capture_output=True, text=True, timeout=100, check=False)
    assert (run.returncode, run.stdout) == (0, "painted 1250\n"), run.stderr[-600:]
