"""The layers of the sheet, from the paper up: the one list that window and picture share."""

from __future__ import annotations

from PySide6.QtGui import QPainter

from layoutdesk.desk.canvas.baseline import paint_baseline
from layoutdesk.desk.canvas.checks import paint_bay, paint_tie_lengths, paint_ties
from layoutdesk.desk.canvas.crowding import shown_dimensions
from layoutdesk.desk.canvas.dimensions import paint_dimensions
from layoutdesk.desk.canvas.disagreeing import paint_disagreeing
from layoutdesk.desk.canvas.ground import paint_keepouts, paint_slabs
from layoutdesk.desk.canvas.heights import paint_ground, paint_heights, paint_spots
from layoutdesk.desk.canvas.holes import paint_hole_marks, paint_openings
from layoutdesk.desk.canvas.house import paint_house, paint_walls
from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.paper import paint_grid
from layoutdesk.desk.canvas.piers import paint_piers
from layoutdesk.desk.canvas.proof import paint_proof, paint_proof_tapes
from layoutdesk.desk.canvas.rows import paint_attachments, paint_controls, paint_lines
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.squaring import paint_square
from layoutdesk.desk.canvas.underlay_ground import Ground

_UNDER = (
    paint_grid,
    paint_house,
    paint_slabs,
    paint_openings,
    paint_keepouts,
    paint_walls,
    paint_baseline,
    paint_lines,
)
_OVER = (paint_attachments, paint_controls, paint_piers, paint_hole_marks, paint_spots)


def paint_sheet(painter: QPainter, scene: Scene, ground: Ground | None = None) -> None:
    """Paint the whole sheet without what a gesture shows over it.

    ``ground`` keeps the paper with what lies under the sheet from one painting to the next.
    """
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=True)
    (ground or Ground()).paint(painter, scene)
    for layer in _UNDER:
        layer(painter, scene)
    if scene.numbers:
        paint_dimensions(painter, scene, shown_dimensions(scene))
        paint_ground(painter, scene)
        if scene.proof is None and not scene.leveling:
            paint_ties(painter, scene)
        paint_proof_tapes(painter, scene)
    for layer in _OVER:
        layer(painter, scene)
    writer = Writer(painter, scene)
    writer.write_names()
    if scene.numbers:
        paint_square(painter, scene)
        if scene.proof is None and not scene.leveling:
            paint_tie_lengths(painter, scene, writer)
        paint_bay(painter, scene, writer)
        paint_disagreeing(painter, scene, writer)
        paint_proof(painter, scene, writer)
        paint_heights(painter, scene, writer)
