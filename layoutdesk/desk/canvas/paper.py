"""The paper and its grid."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF
from PySide6.QtGui import QColor, QPainter

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import halfway, pen
from layoutdesk.gestures.grid import STEPS, step_of_at_least

FINE_PX = 26.0
"""The finest grid lines are at least this many pixels apart."""
COARSE_PX = 100.0
"""The heavier ones, and the numbers on the rulers, are at least this far apart."""


def grid_steps(scene: Scene) -> tuple[float, float]:
    """Return the distances of fine and of heavy grid lines, in millimetres; heavy is a multiple of fine."""
    units, scale = scene.plan.units, scene.camera.scale
    coarse = step_of_at_least(units, COARSE_PX / scale)
    finer = [
        s for s in STEPS[units] if FINE_PX / scale <= s <= coarse and abs(coarse / s - round(coarse / s)) < 1e-9
    ]
    return (finer[0] if finer else coarse), coarse


def lines_across(scene: Scene, step: float) -> tuple[list[tuple[int, float]], list[tuple[int, float]]]:
    """Return the grid lines in the picture: (multiple of the step, pixel) up and down, then across."""
    area, camera = scene.area, scene.camera
    names = scene.bearings
    here = names.read(camera.centre)
    right = names.read_way(camera.right)[0]
    down = names.read_way(camera.down)[1]
    found: list[list[tuple[int, float]]] = []
    for value, sign, middle, low, high in (
        (here[0], right, camera.middle[0], area.left(), area.right()),
        (here[1], down, camera.middle[1], area.top(), area.bottom()),
    ):
        ends = sorted((value + (edge - middle) * sign / camera.scale) / step for edge in (low, high))
        found.append(
            [
                (k, middle + (k * step - value) * sign * camera.scale)
                for k in range(math.ceil(ends[0] - 1e-9), math.floor(ends[1] + 1e-9) + 1)
            ]
        )
    return found[0], found[1]


def paint_paper(painter: QPainter, scene: Scene) -> None:
    """Paint the bare sheet."""
    painter.fillRect(scene.area, QColor(scene.theme.paper))


def paint_grid(painter: QPainter, scene: Scene) -> None:
    """Paint the grid, in the steps of the tape and square to the baseline."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    fine, coarse = grid_steps(scene)
    for step, name in ((fine, halfway(scene.theme.faint, scene.theme.paper)), (coarse, scene.theme.faint)):
        upright, across = lines_across(scene, step)
        area = scene.area
        painter.setPen(pen(name, 1.0))
        painter.drawLines([QLineF(x, area.top(), x, area.bottom()) for _, x in upright])
        painter.drawLines([QLineF(area.left(), y, area.right(), y) for _, y in across])
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
