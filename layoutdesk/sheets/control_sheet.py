"""The control sheet: what is measured from, how to check it, and how to square the first line."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.engine.layout import Layout, PointRow, SquareTriangle
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.baseline_words import baseline_sentences
from layoutdesk.sheets.blocks import Column as Blocks
from layoutdesk.sheets.blocks import caution_box, caution_height, fitting
from layoutdesk.sheets.camera import fitted_camera, page_right, spread, work_places
from layoutdesk.sheets.cells import length_cell
from layoutdesk.sheets.frame import Draft, body
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.numbers import parts, said, said_whole
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.plan_dimensions import backing, covered, length_along
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.table import Cell, Column, Figure, Row, Table, Tick, Words, fit_table, table_marks

SECTION: Final = "Control"
_PICTURE: Final = 92.0
_WORDS: Final = 70.0
_GAP: Final = 6.0
_LEAST_SHARE: Final = 0.3
"""A triangle that is smaller than this share of the whole site is drawn by itself."""
_POINTS_SHARE: Final = 0.40
_SIZES: Final = (14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0)
_BOARDS_MM: Final = {"ft-in": 1219.2, "m": 1200.0, "mm": 1200.0}
"""How far batter boards stand outside the digging: 4 ft or 1.2 m. Common practice, no source."""


def control_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the control sheet, with as many pages as its tables need."""
    room = body(size)
    points, points_table = _points_table(layout, room.width * _POINTS_SHARE)
    ties, ties_table = _ties_table(layout, room.width * (1 - _POINTS_SHARE) - _GAP)
    boards = _boards_text(layout.plan)
    low = room.bottom + caution_height((boards,), room.width) + _GAP
    marks = _top(layout, Box(room.left, room.top - _PICTURE, room.right, room.top))
    marks += caution_box((boards,), room.left, low - _GAP, room.width)
    drafts: list[Draft] = []
    top = room.top - _PICTURE - _GAP
    while True:
        here, points = _split(points, points_table.rows_in(top - low))
        marks += table_marks(points_table, here, room.left, top) if here else []
        here, ties = _split(ties, ties_table.rows_in(top - low))
        marks += table_marks(ties_table, here, room.right - ties_table.width, top) if here else []
        drafts.append(Draft(SECTION, f"{SECTION}, page {len(drafts) + 1}", SECTION, size, tuple(marks)))
        if not points and not ties:
            break
        marks, top, low = [], room.top, room.bottom
    if len(drafts) == 1:
        return [Draft(SECTION, SECTION, SECTION, size, drafts[0].marks)]
    return drafts


def _split(rows: list[Row], count: int) -> tuple[list[Row], list[Row]]:
    return rows[:count], rows[count:]


def _points_table(layout: Layout, width: float) -> tuple[list[Row], Table]:
    """Return where control points and attachments are, from the baseline."""
    columns = (Column("point", "start", weight="black"), Column("station"), Column("offset"))
    rows: list[Row] = [_point_row(layout.plan, p) for p in layout.points if p.kind != "pier"]
    return rows, fit_table(columns, rows, width, sizes=_SIZES, row_share=0.62)


def _point_row(plan: Plan, p: PointRow) -> Row:
    cells: list[Cell] = [p.label]
    cells += [length_cell(plan, v) for v in (p.station, p.offset)]
    return cells


def _ties_table(layout: Layout, width: float) -> tuple[list[Row], Table]:
    """Return the distances between control points, with blanks for what the tape says."""
    columns = (
        Column("from", "start", weight="black"),
        Column("to", "start", weight="black"),
        Column("must be"),
        Column("read", blank=True, least=20.0),
        Column("agrees", "middle"),
    )
    rows: list[Row] = []
    for tie in layout.control_ties:
        distance = Figure(parts(layout.plan, tie.distance))
        if tie.blocked_by:
            rows.append((tie.first, tie.second, distance, Words(f"barred by {tie.blocked_by}"), None))
        else:
            rows.append((tie.first, tie.second, distance, None, Tick()))
    return rows, fit_table(columns, rows, width, sizes=_SIZES, row_share=0.62)


def _boards_text(plan: Plan) -> str:
    away = said_whole(plan, _BOARDS_MM[plan.units])
    return (
        f"**Batter boards** stand {away} or more outside the digging, so that they"
        " outlast it (common practice), with all strings at one height. Flag every string: at shin height it trips"
        " people."
    )


def _top(layout: Layout, box: Box) -> list[Mark]:
    """Return the drawing, and how to use it beside it."""
    picture = box.between(box.left, box.right - _WORDS - _GAP)
    inner = Box(picture.left + 7.0, picture.bottom + 6.0, picture.right - 7.0, picture.top - 9.0)
    square = layout.square
    places = _places(layout)
    scene = Scene(layout, fitted_camera(places, page_right(layout), inner), picture)
    scene.house()
    scene.keepouts()
    scene.attachments()
    scene.controls()
    scene.baseline()
    names: list[Mark] = []
    if square:
        names = _triangle(scene, layout.plan, square)
    scene.names()
    room = box.between(box.right - _WORDS, box.right).below(box.top - 2.0)
    words = fitting(room, lambda column, size: _words(column, layout, size), (9.5, 8.5, 7.5, 6.5, 5.5))
    return [*scene.marks, *names, *words.marks]


def _places(layout: Layout) -> list[Vector]:
    """Return the places that the drawing shows: all of the work, or the triangle alone where it would be small."""
    places, square = work_places(layout), layout.square
    if square is None:
        return places
    triangle = [square.corner, square.on_line, square.out]
    right = page_right(layout)
    small, whole = spread(triangle, right), spread([*places, *triangle], right)
    if max(small.width, small.height) >= _LEAST_SHARE * max(whole.width, whole.height):
        return [*places, *triangle]
    return triangle


def _triangle(scene: Scene, plan: Plan, square: SquareTriangle) -> list[Mark]:
    """Draw the triangle, name its ends **a** and **b**, and return the lengths of its sides."""
    scene.stroke(square.corner, square.on_line, square.out, square.corner, width=0.35)
    scene.point("a", square.on_line)
    scene.point("b", square.out)
    texts: list[Mark] = []
    for start, end, value in (
        (square.corner, square.on_line, square.leg_along),
        (square.corner, square.out, square.leg_out),
        (square.on_line, square.out, square.hypotenuse),
    ):
        a, b = scene.camera.path((start, end))
        if text := length_along(parts(plan, value), a, b, scene.taken):
            texts += [backing(text), text]
            for box in covered(text):
                scene.taken.take(box)
    return texts


def _words(column: Blocks, layout: Layout, size: float) -> None:
    """Write where the baseline runs, and how the first line is squared from it."""
    column.heading("The baseline")
    for sentence in baseline_sentences(layout):
        column.text(sentence, size=size)
        column.gap(1.2)
    column.gap(1.8)
    column.heading("Square the first line")
    plan, square = layout.plan, layout.square
    if square is None:
        text = "No right triangle of whole steps fits baseline, yard and tape here: square by the diagonals."
        column.text(text, size=size)
        return
    along, out, long = (said(plan, v) for v in (square.leg_along, square.leg_out, square.hypotenuse))
    corner = square.corner_label
    within = math.ceil(square.angle_within_deg * 100 - 1e-9) / 100
    column.steps(
        (
            f"From **{corner}** tape **{along}** along the baseline: that is **a**.",
            f"Swing **{out}** from {corner} into the yard and **{long}** from a: they cross at **b**.",
            f"{corner} to b is square to the baseline, within {within:.2f}° by this tape.",
        ),
        size=size,
    )
    column.text(f"It is the triangle {_ratio(square)}, as large as fits here.", size=size - 1.0)
    if other := layout.square_other:
        sides = ", ".join(said(plan, v) for v in (other.leg_along, other.leg_out, other.hypotenuse))
        column.gap(1.0)
        column.text(f"Or {_ratio(other)} from {other.corner_label}: {sides} (along, out, across).", size=size - 1.0)


def _ratio(square: SquareTriangle) -> str:
    return "-".join(str(n) for n in square.ratio)
