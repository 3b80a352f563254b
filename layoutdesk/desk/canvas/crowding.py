"""What stands where on the picture: the squaring triangle's figures, names of piers, and then dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QTransform

from layoutdesk.desk.canvas.clutter import Clutter, part_inside
from layoutdesk.desk.canvas.dimensions import Placed, placed_dimensions
from layoutdesk.desk.canvas.piers import DOT_PX, MOST_LABELS, piers_in_picture, radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.staked import stakes_in_picture
from layoutdesk.desk.canvas.triangle_figures import TriangleFigures, crosses, triangle_figures
from layoutdesk.gestures.kept import Kept
from layoutdesk.plan.model import Pier

NAME_PX = 14
"""The size of a pier's mark."""
MOST_WEIGHED = 90
"""With more piers than this in the picture their marks all stand alike, because weighing places takes time."""
FEW = 40
"""With more dimensions than this their thin lines are not kept clear of."""


@dataclass(frozen=True)
class Naming:
    """The marks of the piers with their boxes, and the clutter that other names go on from.

    ``circles`` are the boxes of the piers themselves; with ``alike`` nothing was weighed, and each mark
    stands up to the right of its pier. ``triangle`` is what is written of the squaring triangle.
    """

    clutter: Clutter
    names: tuple[tuple[QRectF, Pier], ...]
    circles: tuple[QRectF, ...]
    alike: bool
    triangle: TriangleFigures | None = None


def _naming(scene: Scene) -> Naming:
    clutter = _clutter(scene)
    seen = piers_in_picture(scene)
    if len(seen) > MOST_LABELS:
        seen = [(at, pier) for at, pier in seen if pier.id in scene.selected] if scene.selected else []
    sizes = {d: max(radii(scene.plan, d, scene.camera.scale)) for d in {pier.detail for _, pier in seen}}
    names: list[tuple[QRectF, Pier]] = []
    circles = [_square(at, max(sizes[pier.detail] * 0.65, DOT_PX)) for at, pier in seen]
    if len(seen) > MOST_WEIGHED:
        for at, pier in seen:
            size = scene.lettering.laid_out(pier.label, NAME_PX, "bold").size()
            names.append((next(spots_round(at, sizes[pier.detail] * 0.72 + 4, size)), pier))
        triangle = triangle_figures(scene, clutter, [box for box, _ in names] + circles)
        return Naming(clutter, tuple(names), tuple(circles), alike=True, triangle=triangle)
    triangle = triangle_figures(scene, clutter, circles)
    for circle in circles:
        clutter.take(circle)
    for at, pier in seen:
        if not scene.area.adjusted(-40, -40, 40, 40).contains(at):
            continue
        size = scene.lettering.laid_out(pier.label, NAME_PX, "bold").size()
        away = sizes[pier.detail] * 0.72 + (8 if pier.id in scene.selected else 4)
        box = clutter.freest(spots_round(at, away, size))
        if box is not None:
            names.append((box, pier))
    return Naming(clutter, tuple(names), tuple(circles), alike=False, triangle=triangle)


naming_of = Kept(_naming)
"""Return where the marks of the piers stand; kept while the scene is the same."""


def spots_round(at: QPointF, away: float, size: QSizeF) -> Iterator[QRectF]:
    """Yield the boxes that a name may take round a symbol, the best first: up to the right of it."""
    wide, high = size.width(), size.height() - 4
    x, y, far = at.x(), at.y(), away * 1.38
    for left, top in (
        (x + away, y - away - high),
        (x - away - wide, y - away - high),
        (x + away, y + away),
        (x - away - wide, y + away),
        (x - wide / 2, y - far - high),
        (x + far, y - high / 2),
        (x - far - wide, y - high / 2),
        (x - wide / 2, y + far),
    ):
        yield QRectF(left, top, wide, high)


def _square(at: QPointF, half: float) -> QRectF:
    return QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half)


def _clutter(scene: Scene) -> Clutter:
    """Return what of the picture is taken by lines, symbols and dimensions."""
    camera = scene.camera
    clutter = Clutter(scene.area, camera.to_screen((0.0, 0.0)))
    for wall in scene.plan.walls:
        for a, b in pairwise(wall.points):
            clutter.take_line(camera.to_screen(a), camera.to_screen(b))
    if len(scene.plan.lines) <= MOST_LABELS:
        for line in scene.plan.lines:
            clutter.take_line(camera.to_screen(line.start), camera.to_screen(line.end))
    base = scene.plan.baseline
    if base is not None:
        clutter.take_line(camera.to_screen(base.origin), camera.to_screen(base.toward))
    if scene.heights and scene.layout is not None:
        for run in scene.layout.strings[:MOST_LABELS]:
            clutter.take_line(*(camera.to_screen(board.at) for board in run.boards))
            for board in run.boards:
                if board.held_by == "board":
                    clutter.take(_square(camera.to_screen(board.at), 18))
    plan = scene.plan
    for place in [p.at for p in plan.attachments] + [p.at for p in plan.controls] + [p.at for p in plan.spots]:
        at = camera.to_screen(place)
        clutter.take(QRectF(at.x() - 6, at.y() - 7, 12, 13))
    stakes = stakes_in_picture(scene)
    for stake in stakes if len(stakes) <= MOST_WEIGHED else ():
        if stake.stands is not None and stake.mark is not None:
            for beside in stake.band:
                clutter.take_line(stake.stands + beside, stake.at + beside)
            clutter.take(stake.mark)
    dimensions = placed_dimensions(scene) if scene.numbers else []
    for placed in dimensions:
        clutter.take_line(placed.start, placed.end)
        if len(dimensions) <= FEW:
            clutter.take_line(placed.foot, placed.start)
            clutter.take_line(placed.toe, placed.end)
        clutter.take(text_box(placed))
    return clutter


def text_box(placed: Placed) -> QRectF:
    """Return the upright box round a dimension's text."""
    text = QRectF(-placed.width / 2, -placed.height / 2, placed.width, placed.height)
    return QTransform().rotate(placed.turn).mapRect(text).translated(placed.middle)


def _shown(scene: Scene) -> list[Placed]:
    naming, placed = naming_of(scene), placed_dimensions(scene)
    triangle = naming.triangle
    if naming.alike and triangle is None:
        return placed
    taken: list[QRectF] = []
    if not naming.alike:
        taken += [box.adjusted(2, 2, -2, -2) for box, _ in naming.names] + list(naming.circles)
    sides: tuple[QLineF, ...] = ()
    if triangle is not None:
        taken += [box.adjusted(-3, -3, 3, 3) for box, _ in (*triangle.lengths, *triangle.names)]
        sides = triangle.sides
    shown: list[Placed] = []
    for chain in _chains(placed):
        texts = [text_box(one) for one in chain if one.text]
        crossed = any(_crosses(one, box) for one in chain for box in taken)
        if crossed or any(text.intersects(box) for text in texts for box in taken):
            continue
        if any(crosses(side, text) for text in texts for side in sides):
            continue
        shown += chain
        if naming.alike:
            continue
        taken += [text.adjusted(2, 2, -2, -2) for text in texts]
    return shown


def _chains(placed: list[Placed]) -> Iterator[list[Placed]]:
    """Yield the dimensions that go on from one another, chain by chain."""
    chain: list[Placed] = []
    for one in placed:
        if chain and QLineF(chain[-1].end, one.start).length() > 1.5:
            yield chain
            chain = []
        chain.append(one)
    if chain:
        yield chain


def _crosses(one: Placed, box: QRectF) -> bool:
    """Return whether a dimension line runs through a box."""
    around = QRectF(one.start, one.end).normalized().adjusted(-1, -1, 1, 1)
    return around.intersects(box) and part_inside(box, one.start, one.end) is not None


shown_dimensions = Kept(_shown)
"""Return the dimensions that are painted: names and the figures of the squaring triangle win.

A chain that crosses one of them waits for more room.
"""
