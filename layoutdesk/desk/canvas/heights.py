"""Heights on the sheet: spots, and while the page of the levels is open contours, boards and what each pier has."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPen, QPolygonF

from layoutdesk.desk.canvas.crowding import naming_of
from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.piers import DOT_PX, radii
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, halfway, pen, stroke
from layoutdesk.desk.theme import colour
from layoutdesk.geometry.vector import Vector, minus, plus, times, unit
from layoutdesk.plan.model import Attachment, Control
from layoutdesk.units import format_slope

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout
    from layoutdesk.engine.levels.entries import Board, GroundFrom, StringRun

MOST_LABELLED: Final = 90
"""With more spots and piers in the picture than this, heights are written only beside what is picked."""
MOST_STRINGS: Final = 120
_SPOT: Final = 5.0
_BOARD_PX: Final = 34.0
_ARROW_PX: Final = 92.0
_SHARES: Final = (0.5, 0.4, 0.6, 0.25, 0.75, 0.15, 0.85)
_RINGS: Final[tuple[GroundFrom, ...]] = ("surface", "beyond the spots", "none")


def paint_spots(painter: QPainter, scene: Scene) -> None:
    """Paint every spot as a slanting cross, in the colour of what is picked or of second text."""
    for spot in scene.plan.spots:
        at = scene.camera.to_screen(spot.at)
        if not scene.area.contains(at):
            continue
        picked = spot.id in scene.selected
        if picked:
            fill(painter, scene.theme.glow)
            painter.drawEllipse(at, 12, 12)
        stroke(painter, pen(scene.theme.work if picked else scene.theme.check, 2.2 if picked else 1.7))
        r = _SPOT
        painter.drawLine(at + QPointF(-r, -r), at + QPointF(r, r))
        painter.drawLine(at + QPointF(-r, r), at + QPointF(r, -r))
    for mark in scene.plan.levels.benchmarks:
        if (place := _benchmark_at(scene, mark.id, mark.at)) is not None:
            _benchmark(painter, scene, scene.camera.to_screen(place))


def _benchmark_at(scene: Scene, name: str, at: Vector | None) -> Vector | None:
    if at is not None:
        return at
    points: tuple[Attachment | Control, ...] = (*scene.plan.attachments, *scene.plan.controls)
    return next((p.at for p in points if p.id == name), None)


def _benchmark(painter: QPainter, scene: Scene, at: QPointF) -> None:
    """Paint a benchmark: a triangle that stands on its point under a bar, as on a section."""
    at += QPointF(0, -3)
    painter.setBrush(colour(scene.theme.paper))
    painter.setPen(pen(scene.theme.check, 1.8))
    painter.drawPolygon(QPolygonF([at, at + QPointF(-7, -11), at + QPointF(7, -11)]))
    painter.drawLine(at + QPointF(-11, -11), at + QPointF(11, -11))


def paint_ground(painter: QPainter, scene: Scene) -> None:
    """Paint contours, strings and boards, under the piers."""
    layout = scene.layout
    if not scene.heights or layout is None:
        return
    thin = halfway(scene.theme.check, scene.theme.paper)
    stroke(painter, pen(thin, 1.0))
    for contour in layout.ground.contours:
        painter.drawPolyline(scene.camera.polygon(contour.points))
    runs = layout.strings
    if len(runs) <= MOST_STRINGS:
        for run in runs:
            _string(painter, scene, run)


def _string(painter: QPainter, scene: Scene, run: StringRun) -> None:
    a, b = (board.at for board in run.boards)
    if a == b:
        return
    ends = scene.camera.to_screen(a), scene.camera.to_screen(b)
    way = unit(minus(b, a))
    stroke(painter, pen(scene.theme.work, 1.3, (7, 4)))
    painter.drawLine(*ends)
    for board in run.boards:
        _board(painter, scene, board, way)


def _board(painter: QPainter, scene: Scene, board: Board, way: Vector) -> None:
    """Paint a board across its string with its nails, or the nail in the house."""
    camera, theme = scene.camera, scene.theme
    at = camera.to_screen(board.at)
    if not scene.area.adjusted(-60, -60, 60, 60).contains(at):
        return
    left: Vector = (-way[1], way[0])
    nails = [camera.to_screen(plus(board.at, times(left, mark.across))) for mark in board.marks]
    if board.held_by == "board":
        aside = camera.to_screen(plus(board.at, times(left, 1000.0))) - at
        size = math.hypot(aside.x(), aside.y())
        far = max([_BOARD_PX / 2, *(math.hypot((n - at).x(), (n - at).y()) + 7 for n in nails)])
        end = aside * (far / size) if size else QPointF(0, far)
        plank = QPen(colour(theme.hatch), 6.0)
        stroke(painter, plank)
        painter.drawLine(at - end, at + end)
        stroke(painter, pen(theme.ink, 1.0))
        painter.drawLine(at - end, at + end)
    fill(painter, theme.ink)
    for nail in nails:
        painter.drawEllipse(nail, 1.8, 1.8)
    fill(painter, theme.work)
    painter.drawEllipse(at, 2.8, 2.8)


def paint_heights(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Write heights beside spots and piers, ring the piers without a reading, and say what the signs mean."""
    layout = scene.layout
    if not scene.heights or layout is None:
        return
    rings = _rings(painter, scene, layout)
    _write_heights(scene, layout, writer)
    _write_contours(scene, layout, writer)
    _fall(painter, scene, layout, writer)
    _legend(painter, scene, layout, rings)


def _in_sight(scene: Scene, layout: Layout) -> Iterator[tuple[QPointF, str, float | None, float]]:
    """Yield the places whose heights can be written: pixel, id, elevation, and how large what stands there is."""
    piers = {pier.id: pier for pier in scene.plan.piers}
    ground = {spot.id: spot for spot in layout.ground.spots}
    area = scene.area.adjusted(-20, -20, 20, 20)
    for spot in scene.plan.spots:
        at = scene.camera.to_screen(spot.at)
        if area.contains(at):
            known = ground.get(spot.id)
            yield at, spot.id, known.elevation if known else None, _SPOT + 1
    for row in layout.heights:
        pier = piers.get(row.id)
        if pier is None:
            continue
        at = scene.camera.to_screen(pier.at)
        if area.contains(at):
            yield at, row.id, row.ground, max(radii(scene.plan, pier.detail, scene.camera.scale)) * 0.72 + 3


def _write_heights(scene: Scene, layout: Layout, writer: Writer) -> None:
    found = list(_in_sight(scene, layout))
    many = len(found) > MOST_LABELLED
    spots = {spot.id for spot in scene.plan.spots}
    names = {pier.id: box for box, pier in naming_of(scene).names}
    for at, name, elevation, size in found:
        picked = name in scene.selected
        if (elevation is None and name not in spots) or (many and not picked):
            continue
        words = "?" if elevation is None else scene.height(elevation)
        if name in spots:
            words = f"{name}  {words}"
        ink = scene.theme.work if picked else scene.theme.check
        writer.note(at, size, words, ink=ink, pixels=11, most=1000 if picked else 3, under=names.get(name))


def _write_contours(scene: Scene, layout: Layout, writer: Writer) -> None:
    """Write the height of each contour on it, at the place nearest to its middle that is free."""
    for contour in layout.ground.contours:
        lines = [QLineF(scene.camera.to_screen(a), scene.camera.to_screen(b)) for a, b in pairwise(contour.points)]
        lines = [x for x in lines if x.length() > 0 and scene.area.contains(x.center())]
        if sum(x.length() for x in lines) < 90:
            continue
        count = len(lines)
        spots = [lines[round((count - 1) * share)].center() for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
        writer.on_line(spots, scene.height(contour.elevation), ink=scene.theme.check)


def _rings(painter: QPainter, scene: Scene, layout: Layout) -> set[GroundFrom]:
    """Ring the piers whose ground was not read: dashed when interpolated, with a ? beyond the spots."""
    shown: set[GroundFrom] = set()
    if not layout.ground.spots:
        return shown
    rows = {row.id: row.ground_from for row in layout.heights}
    for pier in scene.plan.piers:
        how = rows.get(pier.id, "none")
        at = scene.camera.to_screen(pier.at)
        if how not in _RINGS or not scene.area.contains(at):
            continue
        shown.add(how)
        radius = max(*radii(scene.plan, pier.detail, scene.camera.scale), DOT_PX) + 5
        ink = scene.theme.check if how == "surface" else scene.theme.look
        stroke(painter, pen(ink, 1.6, (4, 3)))
        painter.drawEllipse(at, radius, radius)
        if how != "surface":
            spot = at + QPointF(radius * 0.7 + 5, radius * 0.7 + 5)
            scene.lettering.write(painter, spot, "?", 12, ink, weight="bold", anchor="middle")
    return shown


def _fall(painter: QPainter, scene: Scene, layout: Layout, writer: Writer) -> None:
    """Paint an arrow down the fitted plane, with its slope."""
    plane = layout.ground.plane
    if plane is None or not plane.slope or plane.fall == (0.0, 0.0):
        return
    start = scene.camera.to_screen(plane.centre)
    way = scene.camera.to_screen(plus(plane.centre, times(plane.fall, 1000.0))) - start
    size = math.hypot(way.x(), way.y())
    if not size:
        return
    along = way / size
    start = _freest(scene, layout, writer, along) - along * (_ARROW_PX / 2)
    tip, side = start + along * _ARROW_PX, QPointF(-along.y(), along.x())
    for width, name in ((6.0, scene.theme.paper), (2.6, scene.theme.check)):
        stroke(painter, pen(name, width))
        painter.drawLine(start, tip - along * 8)
    fill(painter, scene.theme.check)
    painter.drawPolygon(QPolygonF([tip, tip - along * 13 + side * 6, tip - along * 13 - side * 6]))
    words = f"falls {format_slope(plane.slope, scene.plan.units)}"
    wide = scene.lettering.width(words, 12, "bold") / 2 + 14
    spots = [
        start + along * (_ARROW_PX * share) + side * (hand * wide) for share in (0.5, 0.2, 0.85) for hand in (1, -1)
    ]
    writer.pill(spots, words, edge=scene.theme.check, ink=scene.theme.check, pixels=12)


def _freest(scene: Scene, layout: Layout, writer: Writer, along: QPointF) -> QPointF:
    """Return where the middle of the arrow lies on nothing else, or on the least, near the middle of the spots."""
    outline = layout.ground.hull
    hull = scene.camera.polygon(outline).boundingRect().intersected(scene.area)
    if len(outline) < 3 or hull.isEmpty():
        assert layout.ground.plane is not None
        return scene.camera.to_screen(layout.ground.plane.centre)
    half = along * (_ARROW_PX / 2)
    shares = sorted(((x, y) for x in _SHARES for y in _SHARES), key=lambda s: abs(s[0] - 0.5) + abs(s[1] - 0.5))
    middles = [QPointF(hull.left() + x * hull.width(), hull.top() + y * hull.height()) for x, y in shares]
    return min(
        middles, key=lambda m: writer.load(QRectF(m - half, m + half).normalized().adjusted(-12, -12, 60, 12))
    )


def _legend(painter: QPainter, scene: Scene, layout: Layout, rings: set[GroundFrom]) -> None:
    """Write at the foot of the sheet what the numbers and rings mean."""
    marks = scene.plan.levels.benchmarks
    told = [f"heights above {marks[0].id}" if len(marks) == 1 else "heights above zero"] if marks else []
    if layout.ground.contours:
        told.append(f"contours every {scene.length(layout.ground.interval)}")
    if "surface" in rings:
        told.append("dashed ring: interpolated")
    if "beyond the spots" in rings:
        told.append("?: beyond the spots")
    if "none" in rings:
        told.append("?: ground not known" if "beyond the spots" not in rings else "or not known")
    if not told:
        return
    words = " · ".join(told)
    size = scene.lettering.laid_out(words, 12, "bold").size()
    box = QRectF(0, 0, min(size.width() + 20, scene.area.width() - 20), size.height() + 8)
    box.moveBottomLeft(scene.area.bottomLeft() + QPointF(10, -10))
    painter.setBrush(colour(scene.theme.paper, 0.94))
    painter.setPen(pen(scene.theme.check, 1.2))
    painter.drawRoundedRect(box, 4, 4)
    painter.save()
    painter.setClipRect(box)
    at = QPointF(box.left() + 10, box.center().y())
    scene.lettering.write(painter, at, words, 12, scene.theme.check, weight="bold")
    painter.restore()
