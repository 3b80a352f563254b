"""The string sheet: where the boards stand, how high every string hangs, what to mark on the boards."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from layoutdesk.engine.layout import Layout, StringRun
from layoutdesk.engine.levels.entries import Board
from layoutdesk.geometry.tolerance import SAME_MM
from layoutdesk.geometry.vector import Vector, distance, minus, plus, times, unit
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import Column as Blocks
from layoutdesk.sheets.blocks import fitting
from layoutdesk.sheets.board_marks import board_marks
from layoutdesk.sheets.camera import fitted_camera, page_right, work_places
from layoutdesk.sheets.cells import elevation_cell, length_cell
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.marks import Line, Mark
from layoutdesk.sheets.numbers import said, said_small
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.table import Column, Row, fit_table
from layoutdesk.sheets.tape_picture import tape_lines

SECTION: Final = "Strings"
_PICTURE: Final = 95.0
_WORDS: Final = 58.0
_NAMES: Final = 14.0
"""Room at the right of the plan for the names of strings beyond their boards, in millimetres."""
_SIZES: Final = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_BOARDS: Final[tuple[Column, ...]] = (
    Column("string", "start", weight="black"),
    Column("end", "start", weight="semibold", scale=0.85),
    Column("held by", "start", weight="regular"),
    Column("from zero"),
    Column("elevation"),
    Column("above ground"),
    Column("set", blank=True, least=18.0),
)
_STOPS: Final[tuple[Column, ...]] = (
    Column("string", "start", weight="black"),
    Column("pier", "start", weight="black"),
    Column("from zero"),
    Column("string above ground"),
    Column("string above pier top"),
)
_HALF: Final = 2.5


def string_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the string sheet: the strings on the plan, their boards, their heights at every pier, their marks."""
    runs, plan = layout.strings, layout.plan
    if not runs or not layout.has_heights:
        return []
    flow = Flow(SECTION, size)
    flow.block(_PICTURE, lambda box: _top(layout, box), after=3.0)
    rows = [row for run in runs for row in _boards(plan, run)]
    flow.table("Boards", fit_table(_BOARDS, rows, flow.width, sizes=_SIZES, row_share=0.58), rows, whole=False)
    board_marks(flow, plan, runs)
    sagging = [run.sag_says for run in runs if run.sag_says]
    for heading, lines in (("Where strings cross", _crossing_lines(layout)), ("Strings that sag", sagging)):
        if lines:
            flow.heading(heading, keep=6.0)
            for line in lines:
                flow.text(line, size=9.5, after=0.6)
            flow.gap(3.0)
    rows = [row for run in runs for row in _stops(plan, run)]
    flow.table(
        "Strings at the piers",
        fit_table(_STOPS, rows, flow.width, sizes=_SIZES[1:], row_share=0.56),
        rows,
        whole=False,
    )
    return flow.drafts(by="set by")


def _top(layout: Layout, box: Box) -> list[Mark]:
    """Return the plan with its strings and boards, and what to do beside it."""
    picture = box.between(box.left, box.right - _WORDS - 5.0)
    inner = Box(picture.left + 5.0, picture.bottom + 6.0, picture.right - _NAMES, picture.top - 7.0)
    ends = [board.at for run in layout.strings for board in run.boards]
    camera = fitted_camera([*work_places(layout), *ends], page_right(layout), inner)
    scene = Scene(layout, camera, picture)
    scene.house()
    scene.keepouts()
    lie = tape_lines(scene, ((run.boards[0].at, run.boards[1].at) for run in layout.strings), width=0.3)
    for run in layout.strings:
        for board in run.boards:
            for stroke in _board_on_plan(scene, run, board):
                scene.marks.append(stroke)
                scene.taken.take_stroke(stroke.start, stroke.end, width=stroke.width)
    scene.piers()
    for run in layout.strings:
        scene.point(run.label.removeprefix("across "), run.boards[1].at)
    scene.names(shy_of=lie)

    def write(column: Blocks, size: float) -> None:
        column.steps(_steps(layout), size=size)

    words = fitting(box.between(box.right - _WORDS, box.right), write, (10.0, 9.5, 9.0, 8.5, 8.0))
    return [*scene.marks, *words.marks]


def _steps(layout: Layout) -> tuple[str, ...]:
    clear = said(layout.plan, layout.plan.levels.settings.board_clear)
    return (
        f"Drive the boards **{clear} or more** off the digging, square across their string.",
        "Set each board to its **elevation**, with the level from the benchmark; write what you set.",
        "Put the string's own nail where the string meets the board; mark the **edges** from it.",
        "Stretch the line **hard**. Where two cross, look up which lies on top.",
        "Take the strings off to dig; the nails bring them back.",
        "**From zero** is along the string, from where its beam line begins or from a row's first pier.",
    )


def _board_on_plan(scene: Scene, run: StringRun, board: Board) -> Iterator[Line]:
    """Yield a board as a short heavy stroke square across its string; a nail in the house has none."""
    if board.held_by == "house":
        return
    a, b = scene.camera.path((run.boards[0].at, run.boards[1].at))
    if distance(a, b) <= SAME_MM:
        return
    u, v = unit(minus(b, a))
    at = scene.camera.on_paper(board.at)
    side = times((-v, u), _HALF)
    yield Line(minus(at, side), plus(at, side), 0.9)


def _crossing_lines(layout: Layout) -> list[str]:
    """Return for every string that lies on others, over which and by how much; what touches is said by itself."""
    plan = layout.plan
    runs = {run.id: run for run in layout.strings}
    over: dict[str, list[str]] = {}
    lines = []
    for crossing in layout.crossings:
        if crossing.gap < plan.levels.settings.line_gap - SAME_MM:
            lines.append(f"**{crossing.says}**")
            continue
        gap = "" if math.isnan(crossing.gap) else f" by {said_small(plan, crossing.gap)}"
        over.setdefault(crossing.upper, []).append(f"{runs[crossing.lower].label}{gap}")
    lines += [f"**{runs[upper].label}** lies over {', '.join(lowers)}." for upper, lowers in over.items()]
    return lines


def _boards(plan: Plan, run: StringRun) -> list[Row]:
    rows: list[Row] = []
    for end, board in zip(_ends(run), run.boards, strict=True):
        rows.append(
            (
                run.label if board is run.boards[0] else "",
                end,
                "nail in the house" if board.held_by == "house" else "board",
                length_cell(plan, board.running),
                elevation_cell(plan, board.string),
                length_cell(plan, board.above_ground),
                None,
            )
        )
    return rows


def _ends(run: StringRun) -> tuple[str, str]:
    """Return how to find the two ends of a string: by the house, or by the pier that they lie beyond."""
    names = ("near", "far")
    if run.stops:
        names = (f"beyond {run.stops[0].label}", f"beyond {run.stops[-1].label}")
    near, far = (
        "at the house" if board.held_by == "house" else name for board, name in zip(run.boards, names, strict=True)
    )
    return near, far


def _stops(plan: Plan, run: StringRun) -> list[Row]:
    return [
        (
            run.label if i == 0 else "",
            stop.label,
            length_cell(plan, stop.running),
            length_cell(plan, stop.above_ground),
            length_cell(plan, stop.above_top),
        )
        for i, stop in enumerate(run.stops)
    ]
