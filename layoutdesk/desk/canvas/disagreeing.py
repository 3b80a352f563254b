"""Written dimensions that are not what is drawn: a broken line in the colour of a warning, with both numbers."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import pen, stroke

MOST: Final = 40
"""So many are marked; the list on the Plan page has all of them."""
_PX: Final = 12
_OFF_PX: Final = 30
"""So far beside a level line its numbers are clear of the piers on it."""
_SHARES: Final = (0.5, 0.35, 0.65, 0.2, 0.8)


def paint_disagreeing(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Mark each written dimension that disagrees, at its place."""
    if scene.layout is None or not scene.plan.written:
        return
    theme = scene.theme
    wrong = [w for w in scene.layout.written if not w.agrees][:MOST]
    for found in wrong:
        a, b = (scene.camera.to_screen(at) for at in found.line)
        stroke(painter, pen(theme.look, 2.0, (6, 4)))
        painter.drawLine(a, b)
        text = f"! written {scene.length(found.value)}, drawn {scene.length(found.drawn)}"
        # Beside the line first, where no chain of dimensions stands; on it where there is no room.
        aside = scene.lettering.width(text, _PX, "bold") / 2 + 24
        if abs(b.x() - a.x()) > abs(b.y() - a.y()):
            # A row of piers may stand on it: then below or above them.
            ways = [QPointF(0, 0), QPointF(0, _OFF_PX), QPointF(0, -_OFF_PX)]
        else:
            ways = [QPointF(aside, 0), QPointF(0, 0)]
        spots = [a + (b - a) * share + way for way in ways for share in _SHARES]
        writer.pill(spots, text, edge=theme.look, ink=theme.look, pixels=_PX)
