"""Tapes on a picture of the plan: each a thin line, with its number in a ring where there is room for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

from layoutdesk.geometry.vector import Vector, along, distance
from layoutdesk.sheets.clipping import clipped_lines
from layoutdesk.sheets.labels import Taken
from layoutdesk.sheets.lettering import text_width
from layoutdesk.sheets.marks import Circle, Dash, Ink, Line, Mark, Text
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.type import CAPITAL, MM_PER_POINT

_SIZES: Final = (8.5, 7.5, 6.5, 5.5)
_SHARES: Final = (0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73, 0.2, 0.8)
"""Where on its tape a number may stand, the best place first."""
_ROUND: Final = 0.7
"""Free room round a number in its ring, in millimetres."""


def tape_lines(
    scene: Scene,
    tapes: Iterable[tuple[Vector, Vector]],
    *,
    ink: Ink = "check",
    width: float = 0.18,
    dash: Dash = (),
    lie: Taken | None = None,
) -> Taken:
    """Draw tapes as thin lines from place to place of the plan; return where they lie, so that names can be shy.

    ``lie`` is where others lie; these are added to it.
    """
    lie = Taken(scene.window) if lie is None else lie
    for a, b in tapes:
        for part in clipped_lines(scene.camera.path((a, b)), scene.window):
            for p, q in pairwise(part):
                scene.marks.append(Line(p, q, width, ink, dash))
                lie.take_stroke(p, q)
    return lie


def tape_numbers(scene: Scene, tapes: Sequence[tuple[str, Vector, Vector]]) -> int:
    """Write the number of each tape on it and return how many had no room; all at one size that serves the most.

    ``tapes`` are number and both ends in the plan.
    """
    fewest = len(tapes) + 1
    for size in _SIZES:
        trial = scene.taken.copy()
        marks: list[Mark] = []
        missing = 0
        for number, start, end in tapes:
            a, b = scene.camera.path((start, end))
            radius = max(
                text_width(number, size, "bold") / 2 + _ROUND * 0.6, CAPITAL * size * MM_PER_POINT / 2 + _ROUND
            )
            at = free_place(a, b, radius, trial)
            if at is None:
                missing += 1
                continue
            trial.take_round(at, radius)
            foot = at[1] - CAPITAL * size * MM_PER_POINT / 2
            marks += [
                Circle(at, radius, width=0.2, ink="check", fill="paper"),
                Text((at[0], foot), number, size, "bold", "check", "middle"),
            ]
        if missing < fewest:
            fewest, best, taken = missing, marks, trial
        if missing == 0:
            break
    scene.taken.become(taken)
    scene.marks += best
    return fewest


def free_place(a: Vector, b: Vector, radius: float, taken: Taken) -> Vector | None:
    """Return where on a tape a ring has room, the middle first; None where there is none."""
    if distance(a, b) < 2 * radius:
        return None
    for over_soft in (False, True):
        for share in _SHARES:
            x, y = along(a, b, share)
            if taken.free(Box(x - radius, y - radius, x + radius, y + radius), over_soft=over_soft):
                return (x, y)
    return None
