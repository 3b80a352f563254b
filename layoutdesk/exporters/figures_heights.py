"""The figures of heights: the book, the ground, every pier, the strings, the columns and their stock.

Elevations are millimetres above the zero of the job, up positive; slopes are ratios, angles degrees; ``within`` is
1.96 standard deviations. What is not known is ``null``. The keys stand whether or not a plan says anything of
heights.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from layoutdesk.engine.layout import ColumnCut, Ground, Layout, LevelBook, PierHeight, StringRun
    from layoutdesk.engine.levels.entries import Board

Entry: TypeAlias = dict[str, Any]


def defined(value: float | None) -> float | None:
    """Return a number as JSON can hold it: none for what has no finite value."""
    return float(value) if value is not None and math.isfinite(value) else None


def pier_figures(height: PierHeight, cut: ColumnCut | None) -> Entry:
    """Return the heights of one pier: ``cut_length`` is on the column's axis, between its base and its seat."""
    return {
        "ground": defined(height.ground),
        "top": defined(height.top),
        "bottom": defined(height.bottom),
        "cut_length": defined(cut.length) if cut else None,
        "ground_from": height.ground_from,
        "ground_within": defined(height.within) if height.ground is not None else None,
        "lowest": defined(height.lowest),
        "built": defined(height.built),
        "dig": defined(height.dig),
        "seat": defined(height.seat),
    }


def height_figures(layout: Layout) -> Entry:
    """Return what the plan's heights come to beside those of the piers, by key."""
    heard = layout.has_heights
    return {
        "levels": {
            "book": _book(layout.level_book),
            "ground": _ground(layout.ground) if heard else None,
        },
        "strings": [_string(run) for run in layout.strings] if heard else [],
        "crossings": [
            {
                "upper": crossing.upper,
                "lower": crossing.lower,
                "x": crossing.at[0],
                "y": crossing.at[1],
                "gap": defined(crossing.gap),
            }
            for crossing in (layout.crossings if heard else ())
        ],
        "columns": [_column(cut) for cut in layout.columns],
        "stock": [
            {"length": group.stock, "cuts": [list(piece) for piece in group.cuts], "waste": defined(group.waste)}
            for group in layout.stock
        ],
    }


def _book(book: LevelBook | None) -> Entry | None:
    if book is None:
        return None
    return {
        "points": [
            {
                "id": point.id,
                "role": point.role,
                "elevation": defined(point.elevation),
                "within": defined(point.within) if point.elevation is not None else None,
                "readings": point.readings,
            }
            for point in book.points
        ],
        "readings": [
            {
                "index": row.index,
                "setup": row.setup,
                "point": row.point,
                "kind": row.kind,
                "reading": row.reading,
                "level_line": defined(row.height_of_line),
                "booked": defined(row.booked),
                "adjusted": defined(row.adjusted),
                "trouble": row.trouble,
            }
            for row in book.rows
        ],
        "loops": [
            {
                "setups": list(loop.setups),
                "from": loop.start,
                "to": loop.end,
                "misclosure": defined(loop.misclosure),
                "allowable": defined(loop.allowable),
                "closes": loop.closes,
                "text": loop.says,
            }
            for loop in book.loops
        ],
        "back_sum": defined(book.back_sum),
        "fore_sum": defined(book.fore_sum),
        "check_holds": book.check_holds,
        "troubles": list(book.troubles),
    }


def _ground(ground: Ground) -> Entry:
    plane = ground.plane
    return {
        "spots": [
            {
                "id": spot.id,
                "x": spot.at[0],
                "y": spot.at[1],
                "elevation": defined(spot.elevation),
                "within": defined(spot.within),
                "off": defined(spot.off),
            }
            for spot in ground.spots
        ],
        "plane": None
        if plane is None
        else {
            "x": plane.centre[0],
            "y": plane.centre[1],
            "elevation": defined(plane.elevation),
            "slope": defined(plane.slope),
            "fall": list(plane.fall),
            "away": defined(plane.away),
            "along": defined(plane.along),
            "deviation": defined(plane.deviation),
            "text": plane.says,
        },
        "contours": {"interval": defined(ground.interval), "count": len(ground.contours)},
    }


def _string(run: StringRun) -> Entry:
    return {
        "id": run.id,
        "over": run.over,
        "rule": run.rule,
        "proposed": run.proposed,
        "length": defined(run.length),
        "rise": defined(run.rise),
        "sag": defined(run.sag),
        "boards": [_board(board) for board in run.boards],
        "piers": [
            {
                "id": stop.pier,
                "running": stop.running,
                "string": defined(stop.string),
                "above_ground": defined(stop.above_ground),
                "above_top": defined(stop.above_top),
            }
            for stop in run.stops
        ],
        "troubles": list(run.troubles),
    }


def _board(board: Board) -> Entry:
    return {
        "held_by": board.held_by,
        "x": board.at[0],
        "y": board.at[1],
        "running": board.running,
        "string": defined(board.string),
        "ground": defined(board.ground),
        "above_ground": defined(board.above_ground),
        "marks": [{"of": mark.of, "across": mark.across} for mark in board.marks],
    }


def _column(cut: ColumnCut) -> Entry:
    return {
        "pier": cut.pier,
        "line": cut.line,
        "foot": defined(cut.foot),
        "head": defined(cut.head),
        "length": defined(cut.length),
        "long": defined(cut.long),
        "short": defined(cut.short),
        "slope": defined(cut.slope_deg),
        "rough": defined(cut.rough),
        "jig": defined(cut.jig),
        "support": defined(cut.support),
        "within": defined(cut.within),
        "stock": defined(cut.stock),
        "text": cut.says,
    }
