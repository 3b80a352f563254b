"""Where stakes and moves of the proof lie on the picture, drawn larger; names give way to them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.gestures.kept import Kept

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import ProofPoint

LONGEST_PX: Final = 130.0
"""A move that would be drawn longer than this is cut short, and its length is written beside it."""
MARK_PX: Final = 4.6
"""Half the size of the mark of a staked place."""
BAND_PX: Final = 5.0
"""Names keep so far off an arrow."""


@dataclass(frozen=True, slots=True)
class Staked:
    """One stake on the picture: its planned place, and where it stands; None where that is not known."""

    point: ProofPoint
    at: QPointF
    stands: QPointF | None
    cut: bool

    @property
    def mark(self) -> QRectF | None:
        """Return the box of the mark where it stands."""
        r = MARK_PX + 2
        return None if self.stands is None else QRectF(self.stands.x() - r, self.stands.y() - r, 2 * r, 2 * r)

    @property
    def band(self) -> tuple[QPointF, ...]:
        """Return the ways to either side of its line that names keep off: none beside a dotted line."""
        way = QPointF() if self.stands is None else self.stands - self.at
        length = math.hypot(way.x(), way.y())
        if self.point.verdict == "leave" or length < 1:
            return (QPointF(),)
        side = QPointF(-way.y(), way.x()) * (BAND_PX / length)
        return (QPointF(), side, -side)


def _stakes(scene: Scene) -> list[Staked]:
    if scene.proof is None:
        return []
    camera, factor = scene.camera, scene.plan.proof.exaggeration
    far = scene.area.adjusted(-LONGEST_PX, -LONGEST_PX, LONGEST_PX, LONGEST_PX)
    found: list[Staked] = []
    for point in scene.proof.points:
        if point.held:
            continue
        at = camera.to_screen(point.planned)
        if not far.contains(at):
            continue
        if point.found is None:
            found.append(Staked(point, at, None, cut=False))
            continue
        drawn = (camera.to_screen(point.found) - at) * factor
        length = math.hypot(drawn.x(), drawn.y())
        cut = length > LONGEST_PX
        found.append(Staked(point, at, at + drawn * (LONGEST_PX / length) if cut else at + drawn, cut))
    return found


stakes_in_picture = Kept(_stakes)
"""Return the stakes of the proof in the picture; kept while the scene is the same."""
