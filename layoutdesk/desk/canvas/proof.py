"""The proof on the sheet: tapes, planned and staked places, moves as arrows, and ellipses, all drawn larger."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, halfway, pen, stroke
from layoutdesk.desk.theme import Theme, colour
from layoutdesk.geometry.vector import Vector
from layoutdesk.units import format_small

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofPoint, ProofTape, Verdict

LONGEST_PX: Final = 130.0
"""A move that would be drawn longer than this is cut short, and its length is written beside it."""
MOST_WRITTEN: Final = 60
"""With more stakes than this, lengths are written only beside moves that were cut short."""
_DOT: Final = 4.6
_HEAD: Final = 8.0


def paint_proof_tapes(painter: QPainter, scene: Scene) -> None:
    """Paint every tape as a thin line between planned places, and suspect ones thick and broken with a triangle."""
    proof = scene.proof
    if proof is None:
        return
    places = {p.id: p.planned for p in proof.points}
    plain = halfway(scene.theme.check, scene.theme.paper)
    stroke(painter, pen(plain, 1.1))
    lines = [line for tape in proof.tapes if not tape.suspect for line in _lines(scene, places, tape)]
    painter.drawLines(lines)
    for tape in proof.tapes:
        if tape.suspect:
            for line in _lines(scene, places, tape):
                stroke(painter, pen(scene.theme.look, 2.4, (9, 5)))
                painter.drawLine(line)


def _lines(scene: Scene, places: dict[str, Vector], tape: ProofTape) -> Iterator[QLineF]:
    ends = (tape.start, tape.end) if tape.kind != "right angle" else (tape.end, tape.start, tape.third or "")
    for a, b in pairwise(ends):
        if a in places and b in places:
            yield QLineF(scene.camera.to_screen(places[a]), scene.camera.to_screen(places[b]))


def paint_proof(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint ellipses, moves and stakes over the piers, the tape that is shown, and how much larger it all is."""
    _shown_tape(painter, scene, writer)
    proof = scene.proof
    if proof is None:
        return
    factor = scene.plan.proof.exaggeration
    far = scene.area.adjusted(-LONGEST_PX, -LONGEST_PX, LONGEST_PX, LONGEST_PX)
    write = len(proof.points) <= MOST_WRITTEN
    for point in proof.points:
        at = scene.camera.to_screen(point.planned)
        if point.held or not far.contains(at):
            continue
        if point.found is None:
            _lost(painter, scene, at)
            continue
        _stake(painter, scene, point, at, writer, write=write)
    _triangles(painter, scene, proof)
    _say_factor(painter, scene, factor)


def _stake(painter: QPainter, scene: Scene, point: ProofPoint, at: QPointF, writer: Writer, *, write: bool) -> None:
    """Paint one stake: its ellipse, the arrow from where it stands to where it belongs, and both places."""
    theme, factor = scene.theme, scene.plan.proof.exaggeration
    assert point.found is not None
    way = scene.camera.to_screen(point.found) - at
    drawn = way * factor
    length = math.hypot(drawn.x(), drawn.y())
    cut = length > LONGEST_PX
    if cut:
        drawn *= LONGEST_PX / length
    stands, ink = at + drawn, _ink(theme, point.verdict)
    if math.isfinite(point.semi_major + point.semi_minor):
        _ellipse(painter, scene, point, stands, factor)
    if point.verdict == "leave":
        stroke(painter, pen(ink, 1.2, (2, 2)))
        painter.drawLine(at, stands)
    else:
        _arrow(painter, stands, at, ink, theme, broken=cut)
    # The planned place stays hollow, so that what is filled is what stands on the ground.
    painter.setBrush(colour(theme.paper))
    painter.setPen(pen(ink, 1.8))
    painter.drawEllipse(at, _DOT - 0.8, _DOT - 0.8)
    _mark(painter, stands, point.verdict, ink, theme)
    if (cut or (write and point.verdict == "move")) and scene.area.contains(at):
        words = format_small(point.out, scene.plan.units, scene.plan.rounding)
        words = f"{words}, drawn shorter" if cut else words
        size = scene.lettering.width(words, 11, "bold") / 2 + 16
        # Beyond the stake first, where the arrow is not.
        far = max(math.hypot(drawn.x(), drawn.y()), 1e-9)
        spots = [stands + QPointF(drawn.x() / far * size, drawn.y() / far * 20)]
        spots += [stands + QPointF(size, -14), stands + QPointF(-size, -14), stands + QPointF(size, 16)]
        spots += [stands + QPointF(-size, 16), stands + QPointF(0, 24), stands + QPointF(0, -24)]
        writer.pill(spots, words, edge=ink, ink=ink, pixels=11)


def _ink(theme: Theme, verdict: Verdict) -> str:
    return {"leave": theme.holds, "move": theme.wrong, "within the tapes": theme.look}.get(verdict, theme.soft)


def _mark(painter: QPainter, at: QPointF, verdict: Verdict, ink: str, theme: Theme) -> None:
    """Paint a staked place: a disc to leave, a square to move, a diamond where the tapes cannot tell."""
    painter.setBrush(colour(ink))
    painter.setPen(pen(theme.paper, 1.2))
    r = _DOT
    if verdict == "move":
        painter.drawRect(QRectF(at.x() - r, at.y() - r, 2 * r, 2 * r))
    elif verdict == "within the tapes":
        r *= 1.35
        ways = (QPointF(0, -r), QPointF(r, 0), QPointF(0, r), QPointF(-r, 0))
        painter.drawPolygon(QPolygonF([at + way for way in ways]))
    else:
        painter.drawEllipse(at, r, r)


def _ellipse(painter: QPainter, scene: Scene, point: ProofPoint, stands: QPointF, factor: float) -> None:
    """Paint the 95 % ellipse round a staked place, as much larger as the moves are."""
    size = scene.camera.scale * factor
    turn = math.radians(point.turn)
    along = (math.cos(turn), math.sin(turn))
    right, down = scene.camera.right, scene.camera.down
    on_screen = math.degrees(
        math.atan2(along[0] * down[0] + along[1] * down[1], along[0] * right[0] + along[1] * right[1])
    )
    painter.save()
    painter.translate(stands)
    painter.rotate(on_screen)
    painter.setBrush(colour(scene.theme.check, 0.10))
    painter.setPen(pen(scene.theme.check, 1.3))
    painter.drawEllipse(QPointF(0, 0), point.semi_major * size, point.semi_minor * size)
    painter.restore()


def _arrow(painter: QPainter, start: QPointF, end: QPointF, ink: str, theme: Theme, *, broken: bool) -> None:
    """Paint the move: from where the stake stands to where it belongs; broken where it was cut short."""
    line = QLineF(start, end)
    if line.length() < 2 * _DOT + 2:
        return
    for width, name in ((4.6, theme.paper), (2.2, ink)):
        stroke(painter, pen(name, width, (6, 4) if broken else ()))
        painter.drawLine(line)
    unit = (end - start) / line.length()
    tip, side = end - unit * (_DOT + 0.5), QPointF(-unit.y(), unit.x())
    back = tip - unit * _HEAD
    fill(painter, ink)
    painter.drawPolygon(QPolygonF([tip, back + side * (_HEAD * 0.5), back - side * (_HEAD * 0.5)]))


def _lost(painter: QPainter, scene: Scene, at: QPointF) -> None:
    """Paint a stake whose place the tapes do not say: hollow, with a question mark."""
    painter.setBrush(colour(scene.theme.paper))
    painter.setPen(pen(scene.theme.soft, 1.6, (3, 2)))
    painter.drawEllipse(at, 8.5, 8.5)
    scene.lettering.write(painter, at, "?", 12, scene.theme.soft, weight="bold", anchor="middle")


def _triangles(painter: QPainter, scene: Scene, proof: Proof) -> None:
    """Set a triangle on every suspect tape, so that its colour is not its only sign."""
    places = {p.id: p.planned for p in proof.points}
    for tape in proof.tapes:
        if not tape.suspect:
            continue
        for line in _lines(scene, places, tape):
            middle = line.pointAt(0.44)
            r = 9.0
            shape = [middle + QPointF(0, -r), middle + QPointF(r, r * 0.8), middle + QPointF(-r, r * 0.8)]
            painter.setBrush(colour(scene.theme.paper))
            painter.setPen(pen(scene.theme.look, 2.0))
            painter.drawPolygon(QPolygonF(shape))
            at = middle + QPointF(0, 2)
            scene.lettering.write(painter, at, "!", 11, scene.theme.look, weight="bold", anchor="middle")


def _shown_tape(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint the tape that is worth taking next from point to point, with what it is planned to read."""
    if scene.tape is None or scene.layout is None:
        return
    points = scene.layout.points
    try:
        a, b = (points[points.index(i)].at for i in scene.tape)
    except KeyError:
        return
    line = QLineF(scene.camera.to_screen(a), scene.camera.to_screen(b))
    stroke(painter, pen(scene.theme.work, 2.4, (10, 5)))
    painter.drawLine(line)
    words = f"tape next  {scene.length(math.dist(a, b))}"
    spots = [line.pointAt(share) for share in (0.5, 0.4, 0.6, 0.3, 0.7)]
    writer.pill(spots, words, edge=scene.theme.work, ink=scene.theme.work, pixels=12)


def _say_factor(painter: QPainter, scene: Scene, factor: float) -> None:
    """Write at the foot of the sheet how much larger moves and ellipses are."""
    words = f"moves and ellipses {factor:g} times larger" if factor != 1 else "moves and ellipses to scale"
    size = scene.lettering.laid_out(words, 12, "bold").size()
    box = QRectF(0, 0, size.width() + 20, size.height() + 8)
    box.moveBottomLeft(scene.area.bottomLeft() + QPointF(10, -10))
    painter.setBrush(colour(scene.theme.paper, 0.94))
    painter.setPen(pen(scene.theme.check, 1.2))
    painter.drawRoundedRect(box, 4, 4)
    scene.lettering.write(painter, box.center(), words, 12, scene.theme.check, weight="bold", anchor="middle")
