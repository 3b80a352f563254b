"""The strings that show it all: from board to board, how high they hang, and the marks on the boards.

A string over a beam line is held by a nail in the house where the line begins at an attachment, and by a batter
board outside the digging at its other end; a string across a row of piers has a board at both ends and hangs above
every string that it crosses.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from layoutdesk.engine.families import Family
from layoutdesk.engine.levels.board_places import Hole, Reach, free_place, reaches
from layoutdesk.engine.levels.entries import Board, NailMark, PierHeight, StringRun, StringStop
from layoutdesk.engine.levels.ground_contract import GroundBelow
from layoutdesk.engine.levels.sag import sag
from layoutdesk.engine.levels.string_heights import StringHeight
from layoutdesk.engine.levels.string_rows import StringRow, string_rows
from layoutdesk.engine.obstacles import THE_HOUSE, Obstacles
from layoutdesk.engine.reasons import shown_small
from layoutdesk.engine.rows import RowTable
from layoutdesk.geometry.vector import Vector, plus, times
from layoutdesk.plan.model import Detail, Plan

BEYOND_MARKS_MM: Final = 150.0
"""A board reaches this far beyond its outermost mark (common practice, no source)."""


class Strings:
    """All strings of a plan.

    Args:
        plan: the plan.
        rows: its beam lines with their piers.
        families: which of them run side by side.
        obstacles: the house and the keep-outs.
        ground: the ground.
        heights: the piers' heights by id.
        hung: the heights of the strings over beam lines, by the line's id.
    """

    def __init__(
        self,
        plan: Plan,
        *,
        rows: RowTable,
        families: Sequence[Family],
        obstacles: Obstacles,
        ground: GroundBelow,
        heights: Mapping[str, PierHeight],
        hung: Mapping[str, StringHeight],
    ) -> None:
        self._plan, self._rows = plan, rows
        self._obstacles, self._ground = obstacles, ground
        self._heights, self._hung = heights, hung
        details: dict[str | None, Detail] = {d.id: d for d in reversed(plan.details)}
        self._profiles = [details[p.detail].profile if p.detail in details else () for p in plan.piers]
        self._holes = [
            Hole(pier.at, max((d for _, d in profile), default=0.0) / 2)
            for pier, profile in zip(plan.piers, self._profiles, strict=True)
        ]
        self._families = families

    def runs(self) -> tuple[StringRun, ...]:
        """Return the strings over beam lines in plan order, then those across."""
        return tuple(self._run(row) for row in string_rows(self._plan, self._rows, self._families))

    def _run(self, row: StringRow) -> StringRun:
        settings = self._plan.levels.settings
        height = self._hung.get(row.id, _NOWHERE) if row.line >= 0 else self._above_all(row)
        marks = self._marks(row)
        near, far, troubles = self._ends(row, max(abs(m.across) for m in marks) + BEYOND_MARKS_MM)
        boards = (self._board(row, near, marks, height), self._board(row, far, marks, height))
        length = far[1] - near[1]
        low = sag(length, settings.line_mass, settings.line_pull)
        barred = self._obstacles.blocking(np.array(boards[0].at), np.array(boards[1].at))
        if int(barred) >= 0:
            troubles = (
                *troubles,
                f"{self._obstacles.labels[int(barred)]} stands in the way of the string{_of(row)}",
            )
        return StringRun(
            id=row.id,
            label=row.label,
            over=row.over,
            rule=self._plan.levels.of_line(row.id).string_rule if row.line >= 0 else "level",
            boards=boards,
            stops=tuple(self._stop(k, running, height) for k, running in zip(row.piers, row.running, strict=True)),
            length=length,
            rise=height.rise,
            sag=low,
            sag_says=self._sag_says(row, length, low),
            proposed=height.proposed,
            troubles=troubles,
        )

    def _above_all(self, row: StringRow) -> StringHeight:
        """Return the height of a string across: above every string over a beam line that it crosses."""
        under = []
        for k in row.piers:
            pier = self._plan.piers[k]
            string = self._hung.get(pier.line or "")
            if string is not None:
                height = string.at(self._rows.row(int(self._rows.line_of_pier[k])).running(pier.at))
                if height is not None:
                    under.append(height)
        top = max(under) + self._plan.levels.settings.line_gap if under else None
        return StringHeight(top, 0.0, proposed=True)

    def _marks(self, row: StringRow) -> tuple[NailMark, ...]:
        """Return the marks of a board, from one side to the other: line, edges of the holes at the top, column."""
        columns = self._plan.levels.columns
        tops = sorted({self._profiles[k][0][1] / 2 for k in row.piers if self._profiles[k]})
        column = (columns.width if row.line >= 0 else columns.depth) / 2
        marks = [NailMark("line", 0.0)]
        marks += [NailMark("pier edge", side * radius) for radius in tops for side in (1.0, -1.0)]
        marks += [NailMark("column edge", side * column) for side in (1.0, -1.0)]
        return tuple(sorted(marks, key=lambda mark: -mark.across))

    def _ends(self, row: StringRow, half: float) -> tuple[tuple[str, float], tuple[str, float], tuple[str, ...]]:
        """Return how both ends are held and at which running, and what is wrong with them."""
        clear = self._plan.levels.settings.board_clear
        taken = reaches(row.zero, row.way, half, obstacles=self._obstacles, holes=self._holes, clear=clear)
        first = min(r - self._holes[k].radius for k, r in zip(row.piers, row.running, strict=True)) - clear
        last = max(r + self._holes[k].radius for k, r in zip(row.piers, row.running, strict=True)) + clear
        near, near_trouble = self._end(row, first, -1, taken)
        far, far_trouble = self._end(row, last, 1, taken)
        return near, far, (*near_trouble, *far_trouble)

    def _end(
        self, row: StringRow, start: float, sign: int, taken: Sequence[Reach]
    ) -> tuple[tuple[str, float], tuple[str, ...]]:
        """Return how one end of a string is held, its running, and what is wrong with it."""
        attached = row.line >= 0 and int(self._rows.attachment[row.line]) >= 0
        if attached and sign < 0 and min(row.running) > 0:
            return ("house", 0.0), ()
        place, passed = free_place(start, sign, taken)
        wall = self._wall(row, sign)
        if wall is not None and (place is None or sign * (place - wall) > 0):
            return ("house", wall), ()
        if place is not None:
            return ("board", place), ()
        beyond = self._plan.piers[row.piers[-1 if sign > 0 else 0]].label
        are = "is" if len(passed) == 1 else "are"
        trouble = f"there is no free place for a board of the string{_of(row)} beyond {beyond}:"
        return ("board", start), (f"{trouble} {' and '.join(passed)} {are} in the way",)

    def _wall(self, row: StringRow, sign: int) -> float | None:
        """Return the running at which the string meets the house beyond its last pier, or None."""
        if THE_HOUSE not in self._obstacles.labels:
            return None
        thin = reaches(row.zero, row.way, 0.5, obstacles=self._obstacles, holes=(), clear=0.0)
        house = [r for r in thin if r.label == THE_HOUSE]
        if sign < 0:
            return max((r.high for r in house if r.high <= min(row.running)), default=None)
        return min((r.low for r in house if r.low >= max(row.running)), default=None)

    def _board(
        self, row: StringRow, end: tuple[str, float], marks: tuple[NailMark, ...], height: StringHeight
    ) -> Board:
        held_by, running = end
        at: Vector = plus(row.zero, times(row.way, running))
        ground, string = self._ground.at(at)[0], height.at(running)
        return Board(
            held_by="house" if held_by == "house" else "board",
            at=at,
            running=running,
            string=string,
            ground=ground,
            above_ground=None if ground is None or string is None else string - ground,
            marks=marks,
        )

    def _stop(self, index: int, running: float, height: StringHeight) -> StringStop:
        pier = self._plan.piers[index]
        heights, string = self._heights.get(pier.id), height.at(running)
        ground = heights.ground if heights else None
        top = heights.top if heights else None
        return StringStop(
            pier=pier.id,
            label=pier.label,
            running=running,
            string=string,
            above_ground=None if string is None or ground is None else string - ground,
            above_top=None if string is None or top is None else string - top,
        )

    def _sag_says(self, row: StringRow, length: float, low: float) -> str | None:
        """Return what a line that hangs through means, when a tape can show it."""
        if low < self._plan.rounding:
            return None
        name = f"The string{_of(row)}"
        if not np.isfinite(low):
            return f"{name} is so slack that it shows nothing: pull it harder."
        return (
            f"{name} hangs {shown_small(low, self._plan)} low in the middle of its"
            f" {shown_small(length, self._plan)}: pull it harder, or hold it up half way with a stake."
        )


def _of(row: StringRow) -> str:
    """Return how a sentence goes on after ``the string``: `` of L1`` or `` across P1–P4``."""
    return f" {row.label}" if row.line < 0 else f" of {row.label}"


_NOWHERE: Final = StringHeight(None, 0.0, proposed=True)
