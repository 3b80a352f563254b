"""Turn square to a wall: two points on a line of a picture, and what that line runs along on the ground."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

from layoutdesk.geometry.projective import Map9, composed
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, cross, distance, dot, left, minus, unit
from layoutdesk.gestures.gesture import Field
from layoutdesk.gestures.underlay_points import OnUnderlay
from layoutdesk.plan.model import Underlay

RUNS: Final = ("along", "square to")
SHEET: Final = "the sheet"
STAYS: Final = "stays"


class TurnUnderlay(OnUnderlay):
    """Turns a picture about the first point, so that the pressed line runs along a wall or square to it.

    Of the two ways round the nearer one is taken; H takes the other. The first point can be laid on a corner of
    a wall at the same time.
    """

    name = "Turn square to a wall"
    verb = "Turn"
    needed = 2
    _half = False

    @property
    def _press_hint(self) -> str:
        if self._marks:
            return "Press another point on the same line · the farther away, the more exact"
        return "Press a point on a line of the picture that runs along the wall, best its corner"

    @property
    def _last_hint(self) -> str:
        return "Enter to set · H turns it the other way round · Esc goes a step back"

    def _last_fields(self) -> tuple[Field, ...]:
        sides, corners = self._sides(), self._corners()
        return (
            self._choice("line runs", RUNS, RUNS[0]),
            self._choice("what", tuple(sides), next(iter(sides))),
            self._choice("first point", (STAYS, *corners), STAYS),
        )

    def _sides(self) -> dict[str, Vector]:
        """Return the directions that a line can run along, by the names that the field offers."""
        found: dict[str, Vector] = {}
        frame = self._bearings.frame
        for wall in self._plan.walls:
            sides = [(a, b) for a, b in pairwise(wall.points) if distance(a, b) > SAME_MM]
            for k, (a, b) in enumerate(sides, 1):
                found[f"wall {wall.id}" if len(sides) == 1 else f"wall {wall.id} side {k}"] = unit(minus(b, a))
        if frame is not None:
            found["the baseline"] = frame.along
        return found or {SHEET: self._bearings.right}

    def _corners(self) -> dict[str, Vector]:
        """Return the corners of the walls by name."""
        return {f"{w.id} corner {k}": p for w in self._plan.walls for k, p in enumerate(w.points, 1)}

    def letter(self, key: str) -> bool:
        """Turn it the other way round on H."""
        if key != "H" or self._pressing:
            return False
        self._half = not self._half
        return True

    def _begin_anew(self) -> None:
        super()._begin_anew()
        self._half = False

    def _placed(self, one: Underlay) -> Map9:
        runs, what, to = (str(f.value) for f in self._last_fields())
        first, second = self._points(one.to_plan)
        line, way = unit(minus(second, first)), self._sides()[what]
        if runs == RUNS[1]:
            way = left(way)
        c, s = dot(line, way), cross(line, way)
        if (c < 0) != self._half:
            c, s = -c, -s
        size = math.hypot(c, s)
        c, s = c / size, s / size
        x, y = first
        ax, ay = self._corners().get(to, first)
        return composed(one.to_plan, (c, -s, ax - c * x + s * y, s, c, ay - s * x - c * y, 0.0, 0.0, 1.0))
